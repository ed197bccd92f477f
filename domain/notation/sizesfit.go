package notation

import (
	"regexp"
	"slices"
	"strings"
)

// fitLabels begin a line that says whom the sizes fit, the most telling first; sizes without names
// go by its numbers (common practice: “the 91 cm size”).
var fitLabels = [...][]string{
	{"age", "ages", "to fit age", "to fit ages"},
	{"to fit", "fits", "to fit size", "to fit sizes"},
	{"chest", "bust", "chest size", "bust size", "chest sizes", "bust sizes"},
	{"actual chest", "actual bust", "finished chest", "finished bust"},
}

// reFit is a name among those of a line that says whom the sizes fit: 91, “2-3 years”, “6 to 12 months”.
var reFit = regexp.MustCompile(`(?i)^\d[\d½¼¾]*(?: ?(?:[-–/]|to) ?\d[\d½¼¾]*)?(?: ?[a-z"″]+\.?)?$`)

// fittedNames names n sizes by the line that says whom they fit: “To fit chest: 81 (86, 91) cm”,
// “Age: 2-3 years (4-5 years)”. It is nil where no line does, or two names are alike.
func (r *reader) fittedNames(n int) []string {
	for _, labels := range fitLabels {
		for i, toks := range r.lines {
			toks = unmeasured(stripBullet(toks))
			for _, label := range labels {
				if words := labelled(toks, label); words > 0 {
					if names := r.fitted(i, len(r.lines[i])-len(toks)+words); len(names) == n {
						return names
					}
				}
			}
		}
	}
	return nil
}

// reSaid finds the names in "Directions are for size Small. Changes for sizes Medium and Large are in parentheses."
var reSaid = regexp.MustCompile(`(?i:\b(?:directions|instructions|pattern|figures|written|given|changes)\b)[^.;]*?(?i:\b(?:for|in) (?:the )?(?:smallest )?(?:sizes? )?)([A-Z0-9][\w/-]*(?: [A-Z][a-z]+)?)(?:[,;.(]| with| and)(?: .*?|)(?i:(?:sizes? )?)\b([A-Z0-9][\w/-]*(?:(?:, | and | & |, and )[A-Z0-9][\w/-]*)*) (?i:(?:are |is |being |given |written |shown |set )*(?:in|within) (?:the )?(?:parenthes[ei]s|(?:square |round )?brackets))`)

// saidNames are n sizes as a sentence names them; nil where none does.
func (r *reader) saidNames(n int) []string {
	for _, line := range r.ms.Source {
		m := reSaid.FindStringSubmatch(line)
		if m == nil {
			continue
		}
		names := append([]string{m[1]}, strings.FieldsFunc(strings.NewReplacer(" and ", ",", " & ", ",", ", and ", ",").Replace(m[2]), func(c rune) bool { return c == ',' })...)
		for i := range names {
			names[i] = strings.TrimSpace(names[i])
		}
		if len(names) == n {
			return names
		}
	}
	return nil
}

// unmeasured drops a label of measurements before another: "Measurements.—To fit a 34 [36, 38] inch bust."
func unmeasured(toks []Token) []Token {
	if len(toks) < 4 || !hasWordIn(toks[0], "measurements", "measurement") {
		return toks
	}
	k := 1
	for k < len(toks) && toks[k].Kind == Punct {
		k++
	}
	if k == 1 || k >= len(toks) {
		return toks
	}
	return toks[k:]
}

// fitted reads the names behind the label that ends at token j of a line, up to the end of
// the last bracket.
func (r *reader) fitted(line, j int) []string {
	toks := r.lines[line]
	for j < len(toks) && toks[j].Kind != Number && toks[j].Kind != Ordinal && !(sizeLetters[toks[j].Text] && j+1 < len(toks) && openers[toks[j+1].Text] != "") {
		j++
	}
	end := j
	for k := j; k < len(toks); k++ {
		if closes(toks[k].Text) {
			end = k + 1
			break
		}
	}
	if end == j {
		return nil
	}
	src := []rune(r.ms.Source[line])
	signs := "()[]{},:;"
	text := string(src[toks[j].Col-1 : toks[end-1].EndCol-1])
	if !strings.ContainsAny(text, ",:;") && strings.Count(text, "-") > 1 {
		signs += "-" // "34 (36-38-40) ins"
	}
	inner := strings.FieldsFunc(text, func(c rune) bool { return strings.ContainsRune(signs, c) })
	var names []string
	for _, s := range inner {
		s = strings.TrimSpace(s)
		if !reFit.MatchString(s) && !sizeLetters[strings.ToLower(s)] || slices.Contains(names, s) {
			return nil
		}
		names = append(names, s)
	}
	return names
}

// labelled is how many words a line's label has, where it is the one asked for; else 0.
func labelled(toks []Token, label string) int {
	words := strings.Fields(label)
	if len(toks) <= len(words) || !slices.EqualFunc(toks[:len(words)], words, func(t Token, w string) bool { return t.Text == w }) {
		return 0
	}
	return len(words)
}

// fitLabel says that a line begins with a label of those that name sizes.
func fitLabel(toks []Token) bool {
	return slices.ContainsFunc(fitLabels[:], func(labels []string) bool {
		return slices.ContainsFunc(labels, func(l string) bool { return labelled(toks, l) > 0 })
	})
}
