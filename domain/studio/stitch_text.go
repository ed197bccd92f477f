package studio

import (
	"slices"
	"strconv"
	"strings"

	"rowproof/domain/lineage"
	"rowproof/domain/notation"
)

func itoa(n int) string { return strconv.Itoa(n) }

// StitchText is what of a stitch's text is placed in a pattern.
type StitchText struct {
	Lines   []string      // multiple or cast-on, rows and what repeats them, as written
	Defines []NamedStitch // stitches that it explains, for the pattern's own list
	Yarns   []string      // that its rows name
}

// NamedStitch is a stitch explained in words: "MB", "(k1, yo, k1) in next st …".
type NamedStitch struct{ Name, Words string }

// ReadStitch takes a stitch's text apart. Title, heads, remarks and yarns stay
// behind; every line with something to work is kept word for word.
func ReadStitch(text string) StitchText {
	ms := notation.Read(text)
	t := StitchText{Yarns: ms.Yarns}
	kept := map[int]bool{}
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *notation.Define:
			t.Defines = append(t.Defines, NamedStitch{strings.Join(strings.Fields(it.Name), " "), strings.Join(strings.Fields(it.Text), " ")})
			continue
		case *notation.Multiple:
			// one that stands on the line of a name: "Pebble (multiple of 2)"
			if words := cut(ms.Source, it.Line, it.Col, it.EndCol); it.Line == it.EndLine && words != strings.TrimSpace(ms.Source[it.Line-1]) {
				t.Lines = append(t.Lines, upperFirst(strings.Trim(words, " .()"))+".")
				kept[it.Line] = true
				continue
			}
		}
		if !worked(it) {
			continue
		}
		at := it.Place()
		for n := at.Line; n >= 1 && n <= at.EndLine && n <= len(ms.Source); n++ {
			if l := strings.TrimSpace(ms.Source[n-1]); !kept[n] && l != "" {
				t.Lines = append(t.Lines, l)
			}
			kept[n] = true
		}
	}
	return t
}

// worked tells the items that say what is worked from words about it.
func worked(it notation.Item) bool {
	switch it.(type) {
	case *notation.Multiple, *notation.Begin, *notation.Row, *notation.RepRows, *notation.Shape, *notation.Straight, *notation.As,
		*notation.BindOffAll, *notation.HoldAll:
		return true
	}
	return false
}

func cut(source []string, line, from, to int) string {
	if line < 1 || line > len(source) {
		return ""
	}
	r := []rune(source[line-1])
	to = min(max(to-1, 0), len(r))
	return strings.TrimSpace(string(r[min(max(from-1, 0), to):to]))
}

func upperFirst(s string) string {
	if s == "" {
		return s
	}
	r := []rune(s)
	return strings.ToUpper(string(r[:1])) + string(r[1:])
}

// SameStitch reports whether two texts of a stitch say the same to work: spaces,
// blank lines, titles and remarks do not count.
func SameStitch(was, now string) bool {
	if was == now {
		return true
	}
	a, b := ReadStitch(was), ReadStitch(now)
	even := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return slices.EqualFunc(a.Lines, b.Lines, func(x, y string) bool { return even(x) == even(y) }) && slices.Equal(a.Defines, b.Defines)
}

// RowChange is a row that differs between two texts of a stitch. Was is empty for
// a row that came, Now for one that went.
type RowChange struct{ Head, Was, Now string }

// StitchChanges tells which rows differ between two texts of a stitch, in the order
// of the later text, those that went at the end. Rows are matched as through the
// edits of a pattern (package lineage), so that a row renumbered is not two.
func StitchChanges(was, now string) []RowChange {
	a, b := stitchRows(was), stitchRows(now)
	old := make([]lineage.Row, len(a))
	for i, r := range a {
		old[i] = lineage.Row{ID: int64(i + 1), Head: r.Head, Text: r.Text}
	}
	var out []RowChange
	gone := make([]bool, len(a))
	for i := range gone {
		gone[i] = true
	}
	for i, m := range lineage.Trace(old, b) {
		if m.ID == 0 {
			out = append(out, RowChange{Head: b[i].Head, Now: b[i].Text})
			continue
		}
		r := a[m.ID-1]
		gone[m.ID-1] = false
		if r.Text != b[i].Text {
			out = append(out, RowChange{b[i].Head, r.Text, b[i].Text})
		}
	}
	for i, g := range gone {
		if g {
			out = append(out, RowChange{Head: a[i].Head, Was: a[i].Text})
		}
	}
	return out
}

// stitchRows are the lines of a stitch's text that are worked, with the multiple.
func stitchRows(text string) []lineage.Line {
	ms := notation.Read(text)
	var out []lineage.Line
	for _, it := range ms.Items {
		if !worked(it) {
			continue
		}
		at := it.Place()
		var words []string
		for n := at.Line; n >= 1 && n <= at.EndLine && n <= len(ms.Source); n++ {
			words = append(words, strings.Fields(ms.Source[n-1])...)
		}
		head := "Multiple"
		switch it := it.(type) {
		case *notation.Row:
			head = it.Head.Words
		case *notation.Begin:
			head = "Cast-on"
		case *notation.RepRows:
			head = it.Words
		}
		out = append(out, lineage.Line{Head: head, Text: strings.Join(words, " ")})
	}
	return out
}

// Section is a section of a manuscript under one head.
type Section struct {
	Heading string
	Line    int // of the head, from 1
	// From and To are the lines, from 1, half open, that hold what is worked, up to
	// the next head; empty where nothing is.
	From, To int
	Lines    []string // they, without blank ones
}

// Pieces lists the sections of a manuscript in the order of the text.
func Pieces(text string) []Section {
	ms := notation.Read(text)
	var out []Section
	for _, it := range ms.Items {
		if h, ok := it.(*notation.Heading); ok {
			if h.Kind == notation.HeadPiece {
				out = append(out, Section{Heading: strings.TrimSpace(h.Text), Line: h.Line})
			} else {
				out = append(out, Section{Line: h.Line}) // ends the one before
			}
			continue
		}
		if len(out) == 0 || !worked(it) {
			continue
		}
		s, at := &out[len(out)-1], it.Place()
		if at.Line <= s.Line {
			continue // a multiple on the line of the head
		}
		if s.From == 0 {
			s.From = at.Line
		}
		s.To = max(s.To, at.EndLine+1)
	}
	out = slices.DeleteFunc(out, func(s Section) bool { return s.Heading == "" })
	for i := range out {
		for n := out[i].From; n >= 1 && n < out[i].To && n <= len(ms.Source); n++ {
			if l := strings.TrimSpace(ms.Source[n-1]); l != "" {
				out[i].Lines = append(out[i].Lines, l)
			}
		}
	}
	return out
}

// FindSection finds the section that a head names, the first of that name.
func FindSection(text, heading string) (Section, bool) {
	for _, s := range Pieces(text) {
		if strings.EqualFold(s.Heading, heading) {
			return s, true
		}
	}
	return Section{}, false
}

// PlaceSection gives the text with a new section before the line of a head, from 1;
// 0 puts it at the end. No other line is touched.
func PlaceSection(text, heading string, lines []string, before int) string {
	all := strings.Split(text, "\n")
	block := append([]string{heading}, lines...)
	if before < 1 || before > len(all) {
		text = strings.TrimRight(text, "\n \t")
		if text != "" {
			text += "\n\n"
		}
		return text + strings.Join(block, "\n") + "\n"
	}
	if before > 1 && strings.TrimSpace(all[before-2]) != "" {
		block = append([]string{""}, block...)
	}
	return strings.Join(slices.Insert(all, before-1, append(block, "")...), "\n")
}

// ReplaceSection gives the text with what is worked under a head replaced. Words
// that stand between the rows are kept, behind them.
func ReplaceSection(text, heading string, lines []string) (string, bool) {
	s, ok := FindSection(text, heading)
	if !ok {
		return text, false
	}
	all := strings.Split(text, "\n")
	if s.From == 0 {
		return strings.Join(slices.Insert(all, s.Line, lines...), "\n"), true
	}
	ms := notation.Read(text)
	row := map[int]bool{}
	for _, it := range ms.Items {
		if at := it.Place(); worked(it) {
			for n := at.Line; n <= at.EndLine; n++ {
				row[n] = true
			}
		}
	}
	block := slices.Clone(lines)
	for n := s.From; n < s.To && n <= len(all); n++ {
		if !row[n] && strings.TrimSpace(all[n-1]) != "" {
			block = append(block, all[n-1])
		}
	}
	return strings.Join(slices.Replace(all, s.From-1, min(s.To-1, len(all)), block...), "\n"), true
}
