package handlers

import (
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/notation"
	"rowproof/web"
)

// The head lines of a manuscript as fields of a form. A field that was not
// changed changes nothing; one that was changes its own lines only: their labels,
// and every other line, stay as they were typed.

// heads are the fields of the form. Those of several lines have one entry a line.
type heads struct {
	Title, Sizes                               string
	Gauge, Yarn, Needles, Notes, Abbreviations string
}

// labelLine is a line "Label: value", or one of the lines below a label that stands alone.
type labelLine struct {
	line         int    // from 0
	label, value string // label with its colon and the space behind it; "" below a label
	under        int    // the line of the label above it, from 0; -1 where it has its own
}

var (
	sizesLabel  = regexp.MustCompile(`(?i)^\s*(?:sizes?)\b[^:]{0,40}:\s*`)
	gaugeLabel  = regexp.MustCompile(`(?i)^\s*(?:gauge|tension)\b[^:]{0,40}:\s*`)
	yarnLabel   = regexp.MustCompile(`(?i)^\s*(?:yarns?|wool|MC|CC\d?)\b[^:]{0,40}:\s*`)
	needleLabel = regexp.MustCompile(`(?i)^\s*needles?\b[^:]{0,40}:\s*`)
)

// bareLabel is a label alone on its line: "GAUGE", "Needles:", "## Sizes".
var bareLabel = regexp.MustCompile(`^[\s#*_=]*\pL+[\s:.*_=]*$`)

// formLabels are those of the fields that are lines.
var formLabels = []*regexp.Regexp{sizesLabel, gaugeLabel, yarnLabel, needleLabel}

// labelled finds the lines with such a label, in the order of the text, and where the
// label stands alone the lines below it, up to a blank one or another label. Of sizes
// there is one line: what else stands there tells whom they fit.
func labelled(source []string, label *regexp.Regexp) []labelLine {
	var out []labelLine
	for i, l := range source {
		m := label.FindString(l)
		switch value := strings.TrimSpace(l[len(m):]); {
		case m != "" && value != "":
			out = append(out, labelLine{i, m, value, -1})
		case bareLabel.MatchString(l) && label.MatchString(strings.Trim(l, " \t#*_=:.")+":"):
			k := i + 1
			if k+1 < len(source) && strings.TrimSpace(source[k]) == "" {
				k++ // one blank line below the label
			}
			for ; k < len(source) && strings.TrimSpace(source[k]) != "" && !opensHead(source[k]); k++ {
				out = append(out, labelLine{k, "", strings.TrimSpace(source[k]), i})
			}
			if m != "" && (len(out) == 0 || out[len(out)-1].under != i) {
				out = append(out, labelLine{i, m, "", -1}) // "Yarn:", left open
			}
		}
		if label == sizesLabel && len(out) > 0 {
			return out[:1]
		}
	}
	return out
}

// opensHead says that a line has a label of the form, alone or with its value.
func opensHead(line string) bool {
	return formLabel(line) || bareLabel.MatchString(line) && formLabel(strings.Trim(line, " \t#*_=:.")+":")
}

func isNotes(head string) bool {
	h := strings.ToLower(strings.Trim(head, " :."))
	return h == "notes" || h == "note" || h == "pattern notes"
}

func isAbbreviations(head string) bool {
	h := strings.ToLower(strings.Trim(head, " :."))
	return h == "abbreviations" || h == "abbreviation"
}

// readHeads reads the fields off a manuscript.
func readHeads(ms *notation.Manuscript) heads {
	h := heads{Title: ms.Title}
	if ls := labelled(ms.Source, sizesLabel); len(ls) > 0 {
		h.Sizes = ls[0].value
	}
	h.Gauge = values(labelled(ms.Source, gaugeLabel))
	h.Yarn = values(labelled(ms.Source, yarnLabel))
	h.Needles = values(labelled(ms.Source, needleLabel))
	if from, to, ok := section(ms, isNotes); ok {
		h.Notes = strings.Join(ms.Source[from:to], "\n")
	}
	if from, to, ok := section(ms, isAbbreviations); ok {
		h.Abbreviations = strings.Join(ms.Source[from:to], "\n")
	}
	return h
}

// otherHeads are the head lines that no field of the form has: those with another
// label, and free lines below a heading such as Materials. Rows and what follows
// them are not head lines.
func otherHeads(ms *notation.Manuscript) []web.HeadLine {
	inForm := map[int]bool{}
	for _, label := range formLabels {
		for _, l := range labelled(ms.Source, label) {
			inForm[l.line] = true
		}
	}
	var out []web.HeadLine
	under := false // the lines below a heading of ours
items:
	for _, item := range ms.Items {
		switch it := item.(type) {
		case *notation.Begin, *notation.Row, *notation.Multiple:
			break items
		case *notation.Heading:
			under = it.Kind == notation.HeadWords && !isNotes(it.Text)
			if under {
				out = append(out, web.HeadLine{Label: it.Text})
			}
		case *notation.Prose:
			for k, line := range strings.Split(it.Text, "\n") {
				if under && !inForm[it.Line-1+k] {
					out[len(out)-1].Lines = append(out[len(out)-1].Lines, line)
				}
			}
		case *notation.Field:
			if !inForm[it.Line-1] {
				out = append(out, web.HeadLine{Label: it.Label, Lines: []string{it.Text}})
				under = false
			}
		}
	}
	return slices.DeleteFunc(out, func(h web.HeadLine) bool { return len(h.Lines) == 0 })
}

// formLabel reports whether a line is in a field of the form.
func formLabel(line string) bool {
	for _, label := range formLabels {
		if label.MatchString(line) {
			return true
		}
	}
	return false
}

func values(ls []labelLine) string {
	var out []string
	for _, l := range ls {
		out = append(out, l.value)
	}
	return strings.Join(out, "\n")
}

// section finds the lines below a heading, from 0, half open, without blank
// lines at its end.
func section(ms *notation.Manuscript, is func(string) bool) (from, to int, ok bool) {
	for _, item := range ms.Items {
		switch it := item.(type) {
		case *notation.Heading:
			if ok {
				return from, to, true
			}
			if is(it.Text) && strings.TrimSpace(strings.TrimRight(ms.Source[it.Line-1], ": ")) == strings.TrimSpace(strings.TrimRight(it.Text, ": ")) {
				ok, from, to = true, it.EndLine, it.EndLine
			}
		case *notation.Prose:
			if ok {
				to = max(to, it.EndLine)
			}
		case *notation.Define:
			if ok {
				to = max(to, it.EndLine)
			}
		case *notation.Blank:
		default:
			if ok {
				return from, to, true
			}
		}
	}
	return from, to, ok
}

// writeHeads gives the text with the fields changed from was to now.
func writeHeads(text string, was, now heads) string {
	edit := func(change func(ms *notation.Manuscript, lines []string) []string) {
		ms := notation.Read(text)
		lines := strings.Split(text, "\n")
		if len(ms.Source) != len(lines) {
			lines = append([]string(nil), ms.Source...)
		}
		text = strings.Join(change(ms, lines), "\n")
	}
	if n := oneLine(now.Title); n != oneLine(was.Title) {
		edit(func(ms *notation.Manuscript, lines []string) []string { return setTitle(ms, lines, n) })
	}
	if n := oneLine(now.Sizes); n != oneLine(was.Sizes) {
		edit(func(ms *notation.Manuscript, lines []string) []string {
			return setLabelled(ms, lines, sizesLabel, "Sizes", splitLines(n))
		})
	}
	for _, f := range []struct {
		was, now, name string
		label          *regexp.Regexp
	}{
		{was.Yarn, now.Yarn, "Yarn", yarnLabel},
		{was.Needles, now.Needles, "Needles", needleLabel},
		{was.Gauge, now.Gauge, "Gauge", gaugeLabel},
	} {
		if next := splitLines(f.now); strings.Join(next, "\n") != strings.Join(splitLines(f.was), "\n") {
			edit(func(ms *notation.Manuscript, lines []string) []string {
				return setLabelled(ms, lines, f.label, f.name, next)
			})
		}
	}
	for _, f := range []struct {
		was, now, name string
		is             func(string) bool
	}{
		{was.Abbreviations, now.Abbreviations, "Abbreviations", isAbbreviations},
		{was.Notes, now.Notes, "Notes", isNotes},
	} {
		if next := trimBlank(f.now); next != trimBlank(f.was) {
			edit(func(ms *notation.Manuscript, lines []string) []string {
				return setSection(ms, lines, f.is, f.name, next)
			})
		}
	}
	return text
}

func setTitle(ms *notation.Manuscript, lines []string, title string) []string {
	for _, item := range ms.Items {
		if t, ok := item.(*notation.Title); ok && t.Line >= 1 && t.EndLine <= len(lines) {
			if i := strings.Index(lines[t.Line-1], t.Text); i >= 0 && t.Text != "" { // "Title: …" keeps its label
				lines[t.Line-1] = lines[t.Line-1][:i] + title + lines[t.Line-1][i+len(t.Text):]
				return lines
			}
			return splice(lines, t.Line-1, t.EndLine, []string{title})
		}
	}
	if len(lines) == 1 && lines[0] == "" {
		return []string{title, ""}
	}
	return splice(lines, 0, 0, []string{title, ""})
}

// setLabelled gives the i-th line of a label the i-th value; values beyond them
// become new lines, lines beyond the values go, and with the last of them the label
// above them.
func setLabelled(ms *notation.Manuscript, lines []string, label *regexp.Regexp, name string, next []string) []string {
	have := labelled(lines, label)
	for i := len(have) - 1; i >= 0; i-- { // from below, so that numbers above stay right
		switch at := have[i].line; {
		case i >= len(next):
			lines = splice(lines, at, at+1, nil)
			if under := have[i].under; under >= 0 && (i == 0 || have[i-1].under != under) {
				lines = splice(lines, under, at, nil)
			}
		case have[i].value != next[i]:
			lines[at] = have[i].label + next[i]
		}
	}
	if len(next) <= len(have) {
		return lines
	}
	prefix, at := name+": ", headEnd(ms)
	if n := len(have); n > 0 {
		at = have[n-1].line + 1
		if have[n-1].under >= 0 {
			prefix = ""
		}
	}
	var add []string
	for _, v := range next[len(have):] {
		add = append(add, prefix+v)
	}
	return splice(lines, at, at, add)
}

// headEnd is the line, from 0, before which a new head line goes: behind the last
// of the head lines that are there, else below the title.
func headEnd(ms *notation.Manuscript) int {
	at := 0
	for _, item := range ms.Items {
		switch it := item.(type) {
		case *notation.Title:
			at = it.EndLine
		case *notation.Sizes:
			at = it.EndLine
		case *notation.Field:
			at = it.EndLine
		case *notation.Heading, *notation.Begin, *notation.Row, *notation.Multiple:
			return at
		}
	}
	return at
}

func setSection(ms *notation.Manuscript, lines []string, is func(string) bool, name, next string) []string {
	var body []string
	if next != "" {
		body = strings.Split(next, "\n")
	}
	if from, to, ok := section(ms, is); ok {
		if body == nil {
			from-- // the heading goes as well
		}
		return splice(lines, from, to, body)
	}
	if body == nil {
		return lines
	}
	at := headEnd(ms)
	add := append([]string{"", name}, body...)
	if at < len(lines) && strings.TrimSpace(lines[at]) != "" {
		add = append(add, "")
	}
	return splice(lines, at, at, add)
}

// splice puts add in the place of lines[from:to].
func splice(lines []string, from, to int, add []string) []string {
	out := append([]string(nil), lines[:from]...)
	out = append(out, add...)
	return append(out, lines[to:]...)
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// splitLines gives the lines of a field that say something.
func splitLines(s string) []string {
	var out []string
	for _, l := range strings.Split(s, "\n") {
		if l = strings.TrimSpace(l); l != "" {
			out = append(out, l)
		}
	}
	return out
}

func trimBlank(s string) string {
	ls := strings.Split(s, "\n")
	for i, l := range ls {
		ls[i] = strings.TrimRight(l, " \t")
	}
	return strings.Trim(strings.Join(ls, "\n"), "\n")
}
