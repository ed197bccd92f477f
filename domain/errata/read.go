package errata

import (
	"rowproof/domain/notation"
	"rowproof/domain/studio"
)

// Read puts the words of every row into every size, with the numbers of that size alone.
// Where a text cannot be brought to one size (its numbers stand in prose), every size
// reads what is written.
func Read(rev studio.Revision) Reading {
	n := len(rev.Sizes)
	if n < 2 {
		return NewReading(rev, nil)
	}
	ms := notation.Read(rev.Manuscript)
	all := notation.Instructions(ms)
	if len(ms.Sizes) != n || len(all) != len(rev.Rows) { // another program read it
		return NewReading(rev, nil)
	}
	texts := make([][]string, n)
	for s := range n {
		texts[s] = oneSize(ms, rev.Manuscript, all, s)
	}
	return NewReading(rev, texts)
}

// oneSize is each instruction's text for one size, "" where that size does not work it.
func oneSize(ms *notation.Manuscript, text string, all []notation.Instruction, size int) []string {
	out := make([]string, len(all))
	worked := 0
	for i, in := range all {
		if in.For(size) {
			out[i] = notation.TextAt(ms.Source, in.Span)
			worked++
		}
	}
	one, err := notation.Resize(ms, text, []notation.NewSize{{From: size}})
	if err != nil {
		return out
	}
	small := notation.Read(one)
	rows := notation.Instructions(small)
	if len(rows) != worked {
		return out
	}
	k := 0
	for i, in := range all {
		if in.For(size) {
			out[i] = notation.TextAt(small.Source, rows[k].Span)
			k++
		}
	}
	return out
}
