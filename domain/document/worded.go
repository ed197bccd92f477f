package document

import (
	"sort"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// Worded is one item of a manuscript in the words of an edition of one size.
type Worded struct {
	Head  string       // "Row 1 (RS)"; "" for a sentence
	Text  string       // the size's numbers alone, and without a count stated behind
	Terms []Definition // abbreviations and special stitches that stand in it, in the order of the alphabet
}

// Wording is a manuscript in the words of one size, item by item.
type Wording struct {
	b     *builder
	items map[notation.Item]Worded
}

// Of gives the words of an item that is worked or stands between such; the zero value for
// others.
func (w *Wording) Of(it notation.Item) Worded { return w.items[it] }

// Part gives what stands at a span within an item, in the numbers of the size.
func (w *Wording) Part(it notation.Item, at finding.Span) string {
	text := fine(w.b.src.words(place{at.Line, at.Col}, place{at.EndLine, at.EndCol}, sizeChanges(it, w.b.size)))
	if _, row := it.(*notation.Row); !row || w.b.n > 2 {
		text = forSize(text, w.b.n, w.b.size)
	}
	return text
}

// WordsOfItems gives the words of every item as an edition of in.Size prints them; what
// that size skips is among them.
func WordsOfItems(in Input) *Wording {
	b := newBuilder(in, "en-US")
	b.walk()
	glossary := b.glossary()
	forms := map[string]string{}
	out := map[notation.Item]Worded{}
	b.whole, b.begun, b.inBody = true, true, true
	for i, it := range b.ms.Items {
		_, worked := notation.AsInstruction(it)
		b.body = nil
		switch it := it.(type) {
		case *notation.Row:
			b.instruction(i, it.Head.Span, it.Stated)
		case *notation.RepRows:
			b.instruction(i, it.Head.Span, it.Stated)
		case *notation.Begin:
			b.sentence(i, it.Stated)
		case *notation.Shape:
			b.sentence(i, it.Stated)
		case *notation.Straight:
			b.sentence(i, it.Stated)
		case *notation.Prose:
			b.sentence(i, nil)
		case *notation.Field:
			if text := forSize(fine(it.Text), b.n, b.size); text != "" {
				b.add(&Instruction{Text: P(strings.Trim(fine(it.Label), " :.") + ": " + text)})
			}
		case *notation.JoinRound, *notation.Markers:
			b.sentence(i, nil)
		default:
			if worked {
				b.sentence(i, nil)
			}
		}
		for _, x := range b.body {
			if ins, ok := x.(*Instruction); ok {
				w := Worded{Head: ins.Head, Text: ins.Text.String()}
				w.Terms = b.termsOf(it, w.Head+" "+w.Text, glossary, forms)
				out[it] = w
			}
		}
	}
	return &Wording{b, out}
}

// glossary is what the designer defines and what the trade's little words mean.
func (b *builder) glossary() []Definition {
	out := append([]Definition(nil), b.special...)
	for name, text := range b.abbr {
		out = append(out, Definition{Term: name, Text: text})
	}
	return out
}

// termsOf lists what an item's words abbreviate.
func (b *builder) termsOf(it notation.Item, text string, glossary []Definition, forms map[string]string) []Definition {
	seen := map[string]bool{}
	var out []Definition
	put := func(d Definition) {
		if k := strings.ToLower(d.Term); !seen[k] {
			seen[k] = true
			out = append(out, d)
		}
	}
	low := strings.ToLower(text)
	own := map[string]bool{}
	var dos []*notation.Do
	if r, ok := it.(*notation.Row); ok {
		notation.Each(r.Body, func(o notation.Op) {
			if d, ok := o.(*notation.Do); ok {
				dos = append(dos, d)
				if s := b.ms.Own[d.Key]; s != nil {
					own[strings.ToLower(s.Name)] = true
				}
			}
		})
	}
	for _, d := range glossary {
		if k := strings.ToLower(d.Term); own[k] || hasWord(low, k) {
			put(d)
		}
	}
	for _, d := range dos {
		if t, ok := b.termOf(d, forms); ok {
			put(t)
		}
	}
	for _, t := range b.w.Terms {
		for _, form := range strings.Split(t[0], "|") {
			in := low
			if form != strings.ToLower(form) {
				in = text
			}
			if hasWord(in, form) {
				put(Definition{Term: form, Text: P(t[1])})
				break
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return strings.ToLower(out[i].Term) < strings.ToLower(out[j].Term) })
	return out
}
