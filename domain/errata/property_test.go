package errata

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowproof/domain/lineage"
	"rowproof/domain/studio"
)

// A pattern in the making: rows that know who they really are, whatever the program makes
// of their texts.
type truth struct {
	who   int // the row, as its designer would say
	text  string
	fresh bool // put in, or retyped so that nothing of it is left
}

// opening is a text that no other row resembles.
func opening(n int) string {
	return fmt.Sprintf("k%d, yo, ssk, p%d, c%df, k%d to m%d, bead%d, k2tog", n+2, 3*n+1, n%5+2, 7*n+3, n, n)
}

// edit draws one change of a designer's, of those that leave no doubt which row is which.
func edit(t *rapid.T, rows []truth, next *int) []truth {
	at := rapid.IntRange(0, len(rows)-1).Draw(t, "at")
	rows = slices.Clone(rows)
	switch kind := rapid.SampledFrom([]string{"insert", "delete", "move", "retype a little", "retype in place"}).Draw(t, "edit"); kind {
	case "insert":
		*next++
		return slices.Insert(rows, at, truth{who: *next, text: opening(1000 + *next), fresh: true})
	case "delete":
		if len(rows) > 2 {
			return slices.Delete(rows, at, at+1)
		}
	case "move":
		row := rows[at]
		rows = slices.Delete(rows, at, at+1)
		return slices.Insert(rows, rapid.IntRange(0, len(rows)).Draw(t, "to"), row)
	case "retype a little":
		rows[at].text = strings.Replace(rows[at].text, "ssk", "skp", 1)
	case "retype in place":
		*next++
		rows[at].text = opening(5000 + *next)
		rows[at].fresh = true
	}
	return rows
}

// written gives rows the heads and texts that a manuscript has.
func written(rows []truth) []lineage.Line {
	out := make([]lineage.Line, len(rows))
	for i, r := range rows {
		head := fmt.Sprintf("Row %d", i+1)
		out[i] = lineage.Line{Piece: "Body", Head: head, Text: head + ": " + r.text + "."}
	}
	return out
}

// An erratum follows its row through any number of saves, each with one edit, as long as a
// human would say that it is the same row; when the row is gone, it says so, and never
// shows another in its place. It counts as touched when, and only when, the row's own words
// changed; another number is no change.
func TestErratumFollowsItsRow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var rows []truth
		next := rapid.IntRange(2, 14).Draw(t, "rows")
		for i := range next {
			rows = append(rows, truth{who: i + 1, text: opening(i + 1)})
		}
		next++
		ids := map[int]int64{} // who -> identity, as first given
		var known []lineage.Row
		for i, l := range written(rows) {
			id := int64(100 + i)
			ids[rows[i].who] = id
			known = append(known, lineage.Row{ID: id, Piece: l.Piece, Head: l.Head, Text: l.Text})
		}
		free := int64(1000)
		was := NewReading(asRevision(known), nil)
		before := slices.Clone(rows)
		for range rapid.IntRange(1, 8).Draw(t, "saves") {
			rows = edit(t, rows, &next)
			lines := written(rows)
			matches := lineage.Trace(known, lines)
			known = nil
			for i, l := range lines {
				id := matches[i].ID
				if id == 0 {
					free++
					id = free
				}
				known = append(known, lineage.Row{ID: id, Piece: l.Piece, Head: l.Head, Text: l.Text})
			}
		}
		now := NewReading(asRevision(known), nil)
		for _, old := range before {
			fate := FateOf(studio.Erratum{RowID: ids[old.who]}, was, now)
			at := slices.IndexFunc(rows, func(r truth) bool { return r.who == old.who })
			switch {
			case !fate.Known:
				t.Fatalf("row %d is not known", old.who)
			case at < 0 && !fate.Removed && !takenOver(rows, fate):
				t.Fatalf("row %d is gone, and %q is shown in its place", old.who, fate.Now)
			case at >= 0 && fate.Removed:
				t.Fatalf("row %d stands as %v, and is said to be gone", old.who, rows[at])
			case at >= 0 && fate.Now != rows[at].text+".":
				t.Fatalf("row %d is %q, and %q is shown", old.who, rows[at].text, fate.Now)
			case at >= 0 && fate.Touched != (rows[at].text != old.text):
				t.Fatalf("row %d: touched is %v, from %q to %q", old.who, fate.Touched, old.text, rows[at].text)
			}
		}
	})
}

// takenOver reports whether what is shown for a row that was deleted is a row that was put
// in or retyped where it stood: from the texts alone nobody could tell that from a row that
// was rewritten.
func takenOver(rows []truth, f Fate) bool {
	for _, r := range rows {
		if r.fresh && r.text+"." == f.Now {
			return true
		}
	}
	return false
}

func asRevision(rows []lineage.Row) studio.Revision {
	var rev studio.Revision
	for _, r := range rows {
		rev.Rows = append(rev.Rows, studio.RevisionRow{Row: studio.Row{ID: r.ID, RowLine: studio.RowLine{Piece: r.Piece, Head: r.Head, Text: r.Text}}})
	}
	return rev
}
