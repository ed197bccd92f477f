// Package errata tells what one revision of a pattern changed against another, row by
// row and size by size: the "for … read …" that goes out with it, whether a change
// touches what a knitter noted, and which of her rows are others now.
//
//	was, _ := errata.Read(older)
//	now, _ := errata.Read(newer)
//	for _, c := range errata.Compare(was, now) { … }
//
// It compares rows by their identities (package lineage), never by their numbers, so
// that a row put in does not make every later row an erratum.
package errata

import (
	"slices"
	"strings"

	"rowproof/domain/lineage"
	"rowproof/domain/studio"
)

// Reading is a revision with the words of each row for each size.
type Reading struct {
	Rev   studio.Revision
	texts [][]string // by size, then by row; "" where the size does not work the row
	at    map[int64]int
}

// NewReading is a revision with the words of its rows: texts[s][i] is the i-th row for
// the s-th size, "" where the size does not work it. Without texts every size reads the
// row as it is written.
func NewReading(rev studio.Revision, texts [][]string) Reading {
	r := Reading{Rev: rev, texts: texts, at: make(map[int64]int, len(rev.Rows))}
	for i, row := range rev.Rows {
		r.at[row.ID] = i
	}
	return r
}

// Row is the place of a row in the revision; false when it does not stand in it.
func (r Reading) Row(id int64) (int, bool) {
	i, ok := r.at[id]
	return i, ok
}

// Size is the place of a size among the revision's; 0 for size 0, of a pattern of one
// size; false when it is not one of them.
func (r Reading) Size(id int64) (int, bool) {
	if id == 0 {
		return 0, true
	}
	i := slices.IndexFunc(r.Rev.Sizes, func(s studio.Size) bool { return s.ID == id })
	return max(i, 0), i >= 0
}

// Text is what the i-th row says for the size at that place, without its head.
func (r Reading) Text(i, size int) string {
	if size < len(r.texts) && i < len(r.texts[size]) {
		return lineage.Body(r.Rev.Rows[i].Head, r.texts[size][i])
	}
	return lineage.Body(r.Rev.Rows[i].Head, r.Rev.Rows[i].Text)
}

// Count is the stitches after the i-th row for the size at that place, -1 when not known.
func (r Reading) Count(i, size int) int {
	if c := r.Rev.Rows[i].Counts; size < len(c) {
		return c[size]
	}
	return -1
}

// sizes are the ids of the revision's sizes; 0 alone for a pattern of one.
func (r Reading) sizes() []studio.Size {
	if len(r.Rev.Sizes) == 0 {
		return []studio.Size{{}}
	}
	return r.Rev.Sizes
}

// Kind is what happened to a row.
type Kind string

// The kinds of changes.
const (
	Reworded   Kind = "reworded"   // its words changed, for some size at least
	Recounted  Kind = "recounted"  // the same words leave another number of stitches
	Added      Kind = "added"      // it did not stand before
	Removed    Kind = "removed"    // it no longer stands
	Renumbered Kind = "renumbered" // it goes by another head, as when a row is put in before it
)

// SizeChange is a change as one size reads it.
type SizeChange struct {
	Size               studio.Size
	Was, Now           string // its words; "" where the size does not work it
	WasCount, NowCount int    // stitches after it, -1 when not known
}

// Change is what happened to one row.
type Change struct {
	Kind      Kind
	RowID     int64
	At        int    // place in the newer revision; of a removed row, in the older
	Piece     string // where it stands, or stood
	Head      string // what it goes by, or went by
	WasHead   string // what it went by before, where that is another
	Was, Now  string // its words as written, all sizes in one, without the head
	Sizes     []SizeChange
	EverySize bool // all sizes that both revisions have are touched
}

// For reports whether a change touches a size; size 0 is that of a pattern of one.
func (c Change) For(sizeID int64) (SizeChange, bool) {
	for _, s := range c.Sizes {
		if s.Size.ID == sizeID {
			return s, true
		}
	}
	return SizeChange{}, false
}

// Compare lists what the newer of two revisions changed, in the order of its rows; a row
// that was removed stands where it stood. A size that only one of them has is passed over.
func Compare(was, now Reading) []Change {
	var out []Change
	var common []studio.Size
	for _, s := range now.sizes() {
		if _, ok := was.Size(s.ID); ok {
			common = append(common, s)
		}
	}
	next := 0 // first row of the older revision that was not passed yet
	gone := func(to int) {
		for ; next < to; next++ {
			if _, ok := now.Row(was.Rev.Rows[next].ID); !ok {
				out = append(out, removed(was, next, common))
			}
		}
	}
	for i, row := range now.Rev.Rows {
		j, ok := was.Row(row.ID)
		if !ok {
			out = append(out, added(now, i, common))
			continue
		}
		gone(j)
		next = max(next, j+1)
		if c, ok := between(was, now, j, i, common); ok {
			out = append(out, c)
		}
	}
	gone(len(was.Rev.Rows))
	return out
}

func added(now Reading, i int, sizes []studio.Size) Change {
	row := now.Rev.Rows[i]
	c := Change{Kind: Added, RowID: row.ID, At: i, Piece: row.Piece, Head: row.Head, Now: lineage.Body(row.Head, row.Text)}
	for _, s := range sizes {
		k, _ := now.Size(s.ID)
		if t := now.Text(i, k); t != "" {
			c.Sizes = append(c.Sizes, SizeChange{Size: s, Now: t, WasCount: -1, NowCount: now.Count(i, k)})
		}
	}
	c.EverySize = len(c.Sizes) == len(sizes)
	return c
}

func removed(was Reading, j int, sizes []studio.Size) Change {
	row := was.Rev.Rows[j]
	c := Change{Kind: Removed, RowID: row.ID, At: j, Piece: row.Piece, Head: row.Head, Was: lineage.Body(row.Head, row.Text)}
	for _, s := range sizes {
		k, _ := was.Size(s.ID)
		if t := was.Text(j, k); t != "" {
			c.Sizes = append(c.Sizes, SizeChange{Size: s, Was: t, WasCount: was.Count(j, k), NowCount: -1})
		}
	}
	c.EverySize = len(c.Sizes) == len(sizes)
	return c
}

// between compares a row that stands in both.
func between(was, now Reading, j, i int, sizes []studio.Size) (Change, bool) {
	a, b := was.Rev.Rows[j], now.Rev.Rows[i]
	c := Change{RowID: b.ID, At: i, Piece: b.Piece, Head: b.Head, Was: lineage.Body(a.Head, a.Text), Now: lineage.Body(b.Head, b.Text)}
	if !same(a.Head, b.Head) {
		c.WasHead = a.Head
	}
	words := false
	for _, s := range sizes {
		ka, _ := was.Size(s.ID)
		kb, _ := now.Size(s.ID)
		x := SizeChange{Size: s, Was: was.Text(j, ka), Now: now.Text(i, kb), WasCount: was.Count(j, ka), NowCount: now.Count(i, kb)}
		w := !same(x.Was, x.Now)
		if w || x.WasCount >= 0 && x.NowCount >= 0 && x.WasCount != x.NowCount {
			words = words || w
			c.Sizes = append(c.Sizes, x)
		}
	}
	c.EverySize = len(c.Sizes) == len(sizes)
	switch {
	case words:
		c.Kind = Reworded
	case len(c.Sizes) > 0:
		c.Kind = Recounted
	case c.WasHead != "":
		c.Kind = Renumbered
		for _, s := range sizes {
			ka, _ := was.Size(s.ID)
			kb, _ := now.Size(s.ID)
			if t := now.Text(i, kb); t != "" {
				c.Sizes = append(c.Sizes, SizeChange{Size: s, Was: t, Now: t, WasCount: was.Count(j, ka), NowCount: now.Count(i, kb)})
			}
		}
	default:
		return Change{}, false
	}
	return c, true
}

// same compares words, whatever the spaces.
func same(a, b string) bool {
	return strings.Join(strings.Fields(a), " ") == strings.Join(strings.Fields(b), " ")
}
