package handlers

import (
	"net/http"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/notation"
	"rowproof/domain/studio"
	"rowproof/web"
)

// The special stitches of a manuscript, "C4F: slip 2 sts to cable needle …", as a
// form. One that was not changed keeps its lines as they were typed; one that was
// keeps its sign behind the name.

// stitch is a special stitch: its name and how it is worked, in one line.
type stitch struct {
	name, words string
	line, end   int // lines of the text, from 0, half open; 0, 0 for a new one
}

// mostStitches is how many the form takes.
const mostStitches = 200

// blankStitches are the empty fields below those that are there.
const blankStitches = 2

func isStitches(head string) bool {
	h := strings.ToLower(strings.Trim(head, " :."))
	return h == "special stitches" || h == "special stitch" || h == "stitches"
}

// readStitches finds the stitches that are explained, in the order of the text:
// all but those that stand in another field of the page.
func readStitches(ms *notation.Manuscript) []stitch {
	var out []stitch
	elsewhere := false
	for _, item := range ms.Items {
		switch it := item.(type) {
		case *notation.Heading:
			elsewhere = isNotes(it.Text) || isAbbreviations(it.Text)
		case *notation.Define:
			if !elsewhere && it.Line >= 1 && it.EndLine <= len(ms.Source) {
				out = append(out, stitch{oneLine(it.Name), oneLine(it.Text), it.Line - 1, it.EndLine})
			}
		}
	}
	return out
}

// writeStitches gives the text with its stitches changed to now: the i-th to the
// i-th, those without a name and words taken out, those beyond them put in.
func writeStitches(text string, now []stitch) string {
	ms := notation.Read(text)
	was := readStitches(ms)
	lines := append([]string(nil), ms.Source...)
	if at, add := newStitches(ms, was, now); len(add) > 0 {
		lines = splice(lines, at, at, add)
	}
	for i := min(len(was), len(now)) - 1; i >= 0; i-- { // from below, so that lines above stay right
		w, n := was[i], now[i]
		switch {
		case n.name == "" && n.words == "":
			lines = splice(lines, w.line, w.end, nil)
		case n.name != w.name || n.words != w.words:
			lines = splice(lines, w.line, w.end, []string{stitchLine(lines[w.line], w, n)})
		}
	}
	return strings.Join(lines, "\n")
}

// stitchLine is the line of a stitch changed from w to n.
func stitchLine(line string, w, n stitch) string {
	sign := regexp.MustCompile(`^(\s*(?:[-•*]\s+)?)` + regexp.QuoteMeta(w.name) + `(\s*[:=–—-]\s*)`).FindStringSubmatch(line)
	if sign == nil {
		return n.name + ": " + n.words
	}
	return sign[1] + n.name + sign[2] + n.words
}

// newStitches are the lines to put in, and where: behind the last stitch, else
// under the heading of the stitches, which is made when there is none.
func newStitches(ms *notation.Manuscript, was, now []stitch) (at int, add []string) {
	for _, n := range now[min(len(was), len(now)):] {
		if n.name != "" || n.words != "" {
			add = append(add, n.name+": "+n.words)
		}
	}
	if len(add) == 0 {
		return 0, nil
	}
	if len(was) > 0 {
		return was[len(was)-1].end, add
	}
	if _, to, ok := section(ms, isStitches); ok {
		return to, add
	}
	at = headEnd(ms)
	add = append([]string{"", "Special stitches"}, add...)
	if at < len(ms.Source) && strings.TrimSpace(ms.Source[at]) != "" {
		add = append(add, "")
	}
	return at, add
}

// formStitches are the stitches of the form that was sent.
func formStitches(r *http.Request) []stitch {
	var out []stitch
	for i := 1; i <= mostStitches; i++ {
		n := strconv.Itoa(i)
		if !r.PostForm.Has("stitch-" + n) {
			break
		}
		out = append(out, stitch{name: oneLine(r.PostForm.Get("stitch-" + n)), words: oneLine(manuscriptOf(r, "words-"+n))})
	}
	return out
}

// stitchFields are the fields of the form, with empty ones at the end.
func stitchFields(have []stitch) []web.StitchField {
	var out []web.StitchField
	for i, s := range append(append([]stitch(nil), have...), make([]stitch, blankStitches)...) {
		out = append(out, web.StitchField{Number: strconv.Itoa(i + 1), Name: s.name, Words: s.words})
	}
	return out
}

// saveStitches carries the changed stitches into the text.
func (s *server) saveStitches(w http.ResponseWriter, r *http.Request) error {
	if err := readForm(r); err != nil {
		return err
	}
	p, err := s.pattern(r)
	if err != nil {
		return err
	}
	now, base := formStitches(r), baseVersion(r)
	again := func(status int, problem string) error {
		m := materials{heads: readHeads(notation.Read(p.Manuscript)), stitches: now, stitchesProblem: problem}
		return s.renderMaterials(w, r, status, p, m, p.Version)
	}
	if base != p.Version {
		return again(http.StatusConflict, savedMeanwhile)
	}
	text := writeStitches(p.Manuscript, now)
	if problem := stitchProblem(now, readStitches(notation.Read(text))); problem != "" {
		return again(http.StatusUnprocessableEntity, problem)
	}
	if _, err = s.keep(r.Context(), p, text, base, studio.Form); err != nil {
		return s.orConflict(w, r, p, err)
	}
	return s.done(w, r, patternURL(p)+"/materials", "Saved into the manuscript.")
}

// stitchProblem says which stitch of the form is not in the text as it will be
// read; "" when all are.
func stitchProblem(now, read []stitch) string {
	for _, n := range now {
		if (n.name == "") != (n.words == "") {
			return "Each stitch needs a name and how it is worked."
		}
	}
	for _, n := range now {
		if n.name == "" {
			continue
		}
		if len(read) == 0 || read[0].name != n.name || read[0].words != n.words {
			return "“" + n.name + "” would not be read as the name of a stitch: a short word, such as C4F or MB, does."
		}
		read = read[1:]
	}
	return ""
}
