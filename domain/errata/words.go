package errata

import (
	"fmt"
	"strings"
	"unicode"

	"rowproof/domain/notation"
	"rowproof/domain/studio"
)

// ForRead cuts two wordings of a row to what differs, at the bounds of stitches: "for k3
// read k4". Where most of it differs it is the whole. Either may be empty: then something
// is put in or falls away.
func ForRead(was, now string) (f, r string) {
	a, b := strings.Fields(was), strings.Fields(now)
	head := 0
	for head < len(a) && head < len(b) && a[head] == b[head] {
		head++
	}
	tail := 0
	for tail < len(a)-head && tail < len(b)-head && a[len(a)-1-tail] == b[len(b)-1-tail] {
		tail++
	}
	x, y := a[head:len(a)-tail], b[head:len(b)-tail]
	if 2*max(len(x), len(y)) > max(len(a), len(b)) && max(len(a), len(b)) < 30 {
		return strings.Join(a, " "), strings.Join(b, " ")
	}
	cut := func(w []string) string { return strings.TrimRight(strings.Join(w, " "), ".,; ") }
	// It must be found on the page, in one place: nothing at all, a number alone or what
	// stands there twice takes its neighbours along, the word before first.
	for before := true; head+tail > 0; before = !before {
		x, y = a[head:len(a)-tail], b[head:len(b)-tail]
		if len(x) > 0 && len(y) > 0 && !number(cut(x)) && once(a, cut(x)) {
			break
		}
		if before && head > 0 || tail == 0 {
			head--
		} else {
			tail--
		}
	}
	x, y = a[head:len(a)-tail], b[head:len(b)-tail]
	if cut(x) == cut(y) { // only a comma differs
		return strings.Join(x, " "), strings.Join(y, " ")
	}
	return cut(x), cut(y)
}

// once reports whether words stand in a text once, whatever their case.
func once(text []string, words string) bool {
	return strings.Count(" "+strings.ToLower(strings.Join(text, " ")), " "+strings.ToLower(words)) == 1
}

func number(s string) bool { return strings.Trim(s, "0123456789.") == "" }

// Where names a row in a sentence: "Back, Row 12 (WS)".
func Where(piece, head, text string) string {
	if head == "" {
		head = "“" + studio.Clip(text, 40) + "”"
	}
	head = sentenceCase(head)
	if piece == "" {
		return head
	}
	return piece + ", " + head
}

func sentenceCase(s string) string {
	r := []rune(s)
	if len(r) > 0 && unicode.IsLower(r[0]) {
		r[0] = unicode.ToUpper(r[0])
	}
	return string(r)
}

// Line is a change in print: "Back, Row 12 (WS), size M: for k3 read k4". Sizes that read
// alike are named together.
type Line struct {
	Where string // "Back, Row 12 (WS)"
	Sizes string // "sizes M and L"; "" for all
	What  string // "for k3 read k4", "added: …", "left out: …", "now 84 sts, not 82"
	RowID int64
	For   []int64 // ids of the sizes it touches
	At    int
	Kind  Kind
}

func (l Line) String() string {
	w := l.Where
	if l.Sizes != "" {
		w += ", " + l.Sizes
	}
	return w + ": " + l.What
}

// Lines writes changes for readers, as few as say all: sizes with the same wording
// in one line, a run of renumbered rows in one.
func Lines(changes []Change) []Line {
	var out []Line
	for i := 0; i < len(changes); i++ {
		c := changes[i]
		if c.Kind == Renumbered {
			j := i
			for j+1 < len(changes) && changes[j+1].Kind == Renumbered && changes[j+1].Piece == c.Piece {
				j++
			}
			out = append(out, renumbered(c, changes[j], j > i))
			i = j
			continue
		}
		out = append(out, linesOf(c)...)
	}
	return out
}

func renumbered(a, b Change, run bool) Line {
	l := Line{Where: Where(a.Piece, a.WasHead, a.Was), RowID: a.RowID, At: a.At, Kind: Renumbered}
	for _, s := range a.Sizes {
		l.For = append(l.For, s.Size.ID)
	}
	if run {
		l.Where += " to " + sentenceCase(b.WasHead)
		l.What = fmt.Sprintf("are %s to %s now, in the same words", a.Head, b.Head)
	} else {
		l.What = fmt.Sprintf("is %s now, in the same words", a.Head)
	}
	return l
}

// linesOf writes one change: in the designer's own words where every size is touched, and
// size by size otherwise.
func linesOf(c Change) []Line {
	where := Where(c.Piece, c.Head, c.Now+c.Was)
	line := func(what, sizes string, of ...SizeChange) Line {
		l := Line{Where: where, Sizes: sizes, What: what, RowID: c.RowID, At: c.At, Kind: c.Kind}
		for _, s := range of {
			l.For = append(l.For, s.Size.ID)
		}
		return l
	}
	renamed := ""
	if c.WasHead != "" && c.Kind != Renumbered {
		renamed = " (it was " + c.WasHead + ")"
	}
	switch c.Kind {
	case Added:
		return []Line{line("put in: "+c.Now, sizesOf(c, c.Sizes), c.Sizes...)}
	case Removed:
		return []Line{line("left out; it said “"+c.Was+"”", sizesOf(c, c.Sizes), c.Sizes...)}
	}
	if c.EverySize && c.Kind == Reworded && !same(c.Was, c.Now) {
		f, r := ForRead(c.Was, c.Now)
		return []Line{line(fmt.Sprintf("for “%s” read “%s”%s", f, r, renamed), "", c.Sizes...)}
	}
	var out []Line
	for i := 0; i < len(c.Sizes); i++ {
		group := []SizeChange{c.Sizes[i]}
		what := sizeWords(c.Sizes[i])
		done := false
		for _, earlier := range c.Sizes[:i] {
			done = done || sizeWords(earlier) == what
		}
		if done {
			continue
		}
		for _, s := range c.Sizes[i+1:] {
			if sizeWords(s) == what {
				group = append(group, s)
			}
		}
		out = append(out, line(what+renamed, sizesOf(c, group), group...))
	}
	return out
}

func sizeWords(s SizeChange) string {
	switch {
	case same(s.Was, s.Now):
		return fmt.Sprintf("%d sts after it, not %d", s.NowCount, s.WasCount)
	case s.Was == "":
		return "worked in this size now: " + s.Now
	case s.Now == "":
		return "no longer worked in this size"
	}
	f, r := ForRead(s.Was, s.Now)
	return fmt.Sprintf("for “%s” read “%s”", f, r)
}

// sizesOf names the sizes of a line; "" when they are all.
func sizesOf(c Change, group []SizeChange) string {
	if c.EverySize && len(group) == len(c.Sizes) {
		return ""
	}
	var names []string
	for _, s := range group {
		if s.Size.Label != "" {
			names = append(names, s.Size.Label)
		}
	}
	switch len(names) {
	case 0:
		return ""
	case 1:
		return "size " + names[0]
	}
	return "sizes " + notation.And(names)
}
