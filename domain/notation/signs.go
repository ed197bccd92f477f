package notation

import (
	"regexp"
	"strings"
)

// This file levels the signs of a house before a line is read: boxes to tick, arrows
// for the way a row goes, the word “star” for the asterisk, initials with points.

// boxes are the signs that people tick a row off in.
const boxes = "☐☑☒□■▢◻◼▫▪✓✔✗✘❏❑❒➤➢►▶▸◆◇❖»"

// untick takes the box off that stands before a line: "☐ Row 1", "[ ] Row 1", "[x] Row 1",
// "___ Row 1".
func untick(toks []Token) []Token {
	lead := len(toks) - len(stripBullet(toks))
	rest := toks[lead:]
	n := 0
	switch {
	case len(rest) > 1 && rest[0].Kind == Punct && strings.Contains(boxes, rest[0].Raw) && rest[1].Kind != Punct: // no line of a chart
		n = 1
	case len(rest) > 2 && (rest[0].Text == "[" || rest[0].Text == "(") && rest[1].Text == openers[rest[0].Text]: // [ ]
		n = 2
	case len(rest) > 3 && rest[0].Text == "[" && rest[2].Text == "]" && (rest[1].Text == "x" || strings.Contains(boxes, rest[1].Raw)) && !rest[3].Glued:
		n = 3
	default:
		for n < len(rest)-1 && rest[n].Text == "_" {
			n++
		}
		if n == 1 || n > 0 && rest[n].Glued {
			n = 0 // _in slanting letters_
		}
	}
	if n == 0 || rest[n].Text == "," || rest[n].Text == "*" && n > 1 {
		return toks
	}
	return append(append([]Token(nil), toks[:lead]...), rest[n:]...)
}

// initials are abbreviations that leaflets write letter by letter: t.b.l., p.s.s.o.
var initials = map[string]bool{"tbl": true, "psso": true, "ssk": true, "ssp": true, "skpo": true, "skp": true, "yo": true, "yon": true, "yrn": true, "yfwd": true, "ybk": true, "wyib": true, "wyif": true,
	"rh": true, "lh": true, "mc": true, "cc": true, "pm": true, "dpn": true, "kfb": true, "wrn": true, "won": true, "wfd": true, "pfb": true, "wrs": true, "sk": true, "co": true, "bo": true, "wf": true}

// reOwnInitials finds the initials of a stitch where a designer says what they stand for:
// "M.B. (make bobble): …", "M.B. = …".
var reOwnInitials = regexp.MustCompile(`^\s*(\p{L}(?:\.\p{L}){1,4}\.?)\s*(?:[=:–—]|\([^)]*\)\s*[=:–—])`)

// reStocking finds that "s.s." stands for stocking stitch in a manuscript.
var reStocking = regexp.MustCompile(`(?i)\bs\. ?s\.?\s*[,=:(–—-]+\s*stock`)

// stockingInitials stands among a manuscript's own initials where "s.s." is stocking stitch.
const stockingInitials = "s.s. = stocking stitch"

// ownInitials are those that the manuscript defines, in small letters and without their points.
func ownInitials(lines []string) map[string]bool {
	var own map[string]bool
	for _, l := range lines {
		if m := reOwnInitials.FindStringSubmatch(l); m != nil {
			if own == nil {
				own = map[string]bool{}
			}
			own[strings.ToLower(strings.ReplaceAll(m[1], ".", ""))] = true
		}
		if reStocking.MatchString(l) {
			if own == nil {
				own = map[string]bool{}
			}
			own[stockingInitials] = true
		}
	}
	return own
}

// joinInitials reads "t.b.l." as "tbl.": single letters, each with its point, nothing between.
func joinInitials(toks []Token, own map[string]bool) []Token {
	var out []Token // toks as far as they were looked at, once something is joined
	changed := false
	keep := func(i int) {
		if !changed {
			out = append(make([]Token, 0, len(toks)), toks[:i]...)
			changed = true
		}
	}
	for i := 0; i < len(toks); i++ {
		if i > 0 && isMark(toks[i-1].Text) && toks[i].Glued && toks[i].Text == "'" && i+1 < len(toks) && toks[i+1].Glued && toks[i+1].Text == "s" { // "rep between *'s"
			keep(i)
			i++
			continue
		}
		if i > 1 && isMark(toks[i-1].Text) && toks[i].Glued && toks[i].Text == "s" && (i+1 >= len(toks) || !toks[i+1].Glued) && (toks[i-2].Text == "between" || toks[i-2].Text == "the") { // "repeat between *s across"
			keep(i)
			continue
		}
		word, raw, j := "", "", i
		for j < len(toks) && toks[j].Kind == Word && len(toks[j].Text) == 1 && (j == i || toks[j].Glued) {
			word, raw = word+toks[j].Text, raw+toks[j].Raw
			if j+2 < len(toks) && toks[j+1].Text == "." && toks[j+1].Glued && toks[j+2].Glued && toks[j+2].Kind == Word && len(toks[j+2].Text) == 1 {
				raw += "."
				j += 2
				continue
			}
			break
		}
		if j > i && word == "ss" && own[stockingInitials] && strings.Contains(raw, ".") {
			t := toks[i]
			t.Text, t.fold, t.Raw = "st", "st", raw
			t.Span = t.Span.Cover(toks[j].Span)
			second := t
			second.Raw, second.Glued = "", true
			keep(i)
			out = append(out, t, second)
			if i = j; i+2 < len(toks) && toks[i+1].Text == "." && !beginsSentence(toks[i+2]) {
				i++ // the point ends no sentence
			}
			continue
		}
		if j > i && (initials[word] && j+1 < len(toks) && toks[j+1].Text == "." || own[word] && strings.Contains(raw, ".")) {
			t := toks[i]
			t.Text, t.fold, t.Raw = word, folded(word), raw
			t.Span = t.Span.Cover(toks[j].Span)
			keep(i)
			out = append(out, t)
			if i = j; word == "co" || word == "bo" {
				i++ // "C.O. 134 sts": its point ends no sentence
			}
			continue
		}
		if changed {
			out = append(out, toks[i])
		}
	}
	if !changed {
		return toks
	}
	return out
}

// findDictation says whether repeats go back to a star told by its word, so that "star" is
// not the name of a stitch.
func (r *reader) findDictation() {
	for i := range r.lines {
		p := r.parser(r.lines[i])
		if _, _, ok := p.find(0, len(p.toks), "rep|again instructions? from|between|after star|stars|asterisk|asterisks", "back to star|asterisk"); ok {
			r.dictated = true
		}
	}
	for i := range r.lines {
		r.lines[i] = r.starWord(r.lines[i])
	}
}

// starWord reads the word for the sign, as rows are dictated: "knit one; star, knit two;
// repeat from star to end".
func (r *reader) starWord(toks []Token) []Token {
	if !r.dictated {
		return toks
	}
	for i := 1; i+1 < len(toks); i++ {
		if w := toks[i].Text; w != "star" && w != "asterisk" || toks[i].Kind != Word {
			continue
		}
		before, after := toks[i-1], toks[i+1]
		if !strings.Contains(",;:.", before.Text) && before.Text != "then" && before.Text != "and" || before.Kind == Number {
			continue
		}
		if after.Text != "," && after.Text != ";" && after.Text != ":" && after.Text != "–" {
			continue
		}
		t := toks[i]
		t.Kind, t.Text, t.fold = Punct, "*", "*"
		toks = append(append(append([]Token(nil), toks[:i]...), t), toks[i+2:]...)
	}
	return toks
}

// findArrows learns the signs that stand for the sides: "→ = RS row, ← = WS row". A line
// that says nothing else defines no stitch.
func (r *reader) findArrows() {
	r.arrows, r.legend = map[string]string{}, map[int]bool{}
	for i, toks := range r.lines {
		said := 0
		for k := 0; k < len(toks); {
			sign, j := toks[k], k+1
			if j < len(toks) && sign.Kind == Punct && !isASCII(sign.Raw) && !isMark(sign.Text) && !isDash(sign.Text) && sign.Text != "•" && sign.Text != "…" && sign.Text != "\"" {
				if w := toks[j].Text; w == "=" || w == ":" || isDash(w) {
					j++
				} else {
					j = -1
				}
				if j > 0 {
					p := r.parser(toks)
					for p.w(j) == "a" || p.w(j) == "the" || p.w(j) == "for" {
						j++
					}
					if side, q, ok := p.sideWord(j); ok {
						if p.w(q) == "row" {
							q++
						}
						r.arrows[sign.Raw] = side
						said++
						k = q
						continue
					}
				}
			}
			if t := toks[k].Text; t != "," && t != ";" && t != "." && t != "and" && t != "(" && t != ")" {
				said = -len(toks)
			}
			k++
		}
		r.legend[i] = said > 0
	}
	for i := range r.lines {
		if !r.legend[i] {
			r.lines[i] = r.headArrow(r.lines[i])
		}
	}
}

// headArrow reads the arrow of a row's head, "Row 1 →:" or "→ Row 1:", as the side that it
// stands for; where none is said it is left out.
func (r *reader) headArrow(toks []Token) []Token {
	at := -1
	row := 0
	for k := 0; k < len(toks) && k < 8; k++ {
		if t := toks[k]; t.Text == ":" || t.Text == "*" || t.Text == "," {
			break
		} else if t.Kind == Punct && (r.arrows[t.Raw] != "" || strings.Contains("→←⇒⇐➔⟶⟵↠↞⇨⇦", t.Raw)) {
			at = k
			break
		}
	}
	if at < 0 {
		return toks
	}
	p := r.parser(toks[:at:at])
	if at == 0 {
		p = r.parser(toks[1:])
		row = 1
	}
	_, _, j, ok := p.rowOrOrdinal(0)
	if !ok || at > 0 && j != at {
		return toks
	}
	out := append([]Token(nil), toks[row:row+j]...)
	if side := r.arrows[toks[at].Raw]; side != "" {
		t := toks[at]
		t.Kind, t.Text, t.fold = Word, strings.ToLower(side), strings.ToLower(side)
		if row == 1 {
			t.Span = out[len(out)-1].Span
			t.Raw = ""
		}
		out = append(out, t)
	}
	if row == 1 {
		return append(out, toks[1+j:]...)
	}
	return append(out, toks[at+1:]...)
}

// rowOrOrdinal reads "Row 1" or "1st row", no more of a head.
func (p *parser) rowOrOrdinal(i int) (ns []int, round bool, next int, ok bool) {
	if round, j, ok := p.rowWord(i); ok {
		ns, _, k, ok := p.numbers(j)
		return ns, round, k, ok
	}
	if p.at(i).Kind == Ordinal && i < len(p.toks) {
		ns, _, j, _ := p.numbers(i)
		round, k, ok := p.rowWord(j)
		return ns, round, k, ok
	}
	return nil, false, i, false
}

func isASCII(s string) bool {
	for _, r := range s {
		if r > 126 {
			return false
		}
	}
	return true
}
