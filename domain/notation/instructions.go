package notation

import (
	"slices"
	"strings"

	"rowproof/domain/finding"
)

// Instruction is an item of a manuscript that is worked: a cast-on, a row, a sentence
// that works rows, a bind-off. What keeps rows apart through edits counts them in this
// order.
type Instruction struct {
	Item  Item
	Head  string // what it goes by: "Row 12 (WS)", "cast-on"; "" for a sentence
	Piece string // the heading of the piece it stands under; "" for none
	Span  finding.Span
	Only  []int // sizes that work it; nil for all
}

// For reports whether a size works the instruction.
func (in Instruction) For(size int) bool { return in.Only == nil || slices.Contains(in.Only, size) }

// Instructions lists what is worked, in the order of the text.
func Instructions(ms *Manuscript) []Instruction {
	var out []Instruction
	piece := ""
	for _, item := range ms.Items {
		if h, ok := item.(*Heading); ok && h.Kind == HeadPiece {
			piece = h.Text
		}
		if in, ok := AsInstruction(item); ok {
			in.Piece = piece
			out = append(out, in)
		}
	}
	return out
}

// AsInstruction tells an item that is worked from the rest. Its piece is not known from
// the item alone.
func AsInstruction(item Item) (Instruction, bool) {
	in := Instruction{Item: item, Only: onlyOf(item)}
	switch it := item.(type) {
	case *Begin:
		in.Head, in.Span = "cast-on", it.Span
	case *Row:
		in.Head, in.Span = it.Head.Words, it.Span
		if in.Only == nil {
			in.Only = it.Head.Only
		}
	case *RepRows:
		in.Head, in.Span = it.Words, it.Span
		if in.Only == nil {
			in.Only = it.Head.Only
		}
	case *Shape:
		in.Span = it.Span
	case *Straight:
		in.Span = it.Span
	case *BindOffAll:
		in.Span = it.Span
	case *HoldAll:
		in.Span = it.Span
	case *As:
		in.Span = it.Span
	default:
		return Instruction{}, false
	}
	return in, true
}

// TextAt is what stands at a span of a manuscript's lines, word for word.
func TextAt(source []string, at finding.Span) string {
	var b strings.Builder
	for n := at.Line; n <= at.EndLine && n <= len(source); n++ {
		if n < 1 {
			continue
		}
		r := []rune(source[n-1])
		from, to := 0, len(r)
		if n == at.Line {
			from = min(max(at.Col-1, 0), len(r))
		}
		if n == at.EndLine {
			to = min(max(at.EndCol-1, from), len(r))
		}
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(string(r[from:to]))
	}
	return b.String()
}
