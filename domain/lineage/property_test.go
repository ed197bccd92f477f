package lineage_test

import (
	"fmt"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rowproof/domain/lineage"
)

// text draws a row's text, now and then one that stands everywhere.
func text(t *rapid.T) string {
	if rapid.IntRange(0, 3).Draw(t, "plain") == 0 {
		return rapid.SampledFrom([]string{"knit", "purl", "k to end", "as Row 2"}).Draw(t, "plain text")
	}
	steps := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) string {
		op := rapid.SampledFrom([]string{"k", "p", "sl ", "yo ", "k2tog ", "ssk ", "m1 ", "*k", "dc ", "c4f "}).Draw(t, "op")
		return op + fmt.Sprint(rapid.IntRange(1, 99).Draw(t, "n"))
	}), 3, 12).Draw(t, "steps")
	return strings.Join(steps, ", ")
}

// pattern draws one to three pieces of rows, numbered in each.
func pattern(t *rapid.T) []lineage.Line {
	var out []lineage.Line
	for p := range rapid.IntRange(1, 3).Draw(t, "pieces") {
		for r := range rapid.IntRange(1, 20).Draw(t, "rows") {
			out = append(out, lineage.Line{Piece: fmt.Sprint("Piece ", p+1), Head: fmt.Sprint("Row ", r+1), Text: text(t)})
		}
	}
	return out
}

func identified(lines []lineage.Line) []lineage.Row {
	out := make([]lineage.Row, len(lines))
	for i, l := range lines {
		out[i] = lineage.Row{ID: int64(100 + i), Piece: l.Piece, Head: l.Head, Text: l.Text}
	}
	return out
}

// renumber gives each piece's rows the heads Row 1, Row 2, … again.
func renumber(lines []lineage.Line) {
	n := map[string]int{}
	for i := range lines {
		n[lines[i].Piece]++
		lines[i].Head = fmt.Sprint("Row ", n[lines[i].Piece])
	}
}

// traced is Trace, which must say the same when the texts begin with their heads, as they
// do in a manuscript: a head is no part of what a row says.
func traced(t *rapid.T, old []lineage.Row, lines []lineage.Line) []lineage.Match {
	ms := lineage.Trace(old, lines)
	headed := slices.Clone(old)
	for i, r := range headed {
		headed[i].Text = r.Head + ": " + r.Text
	}
	whole := slices.Clone(lines)
	for i, l := range whole {
		whole[i].Text = l.Head + ": " + l.Text
	}
	if got := lineage.Trace(headed, whole); !reflect.DeepEqual(got, ms) {
		t.Fatalf("with their heads the rows are %v, without %v", got, ms)
	}
	return ms
}

// fresh is a text that no drawn row resembles.
func fresh(i int) string {
	return fmt.Sprintf("wrap%d turn%d bead%d float%d weave%d catch%d loop%d", i, i, i, i, i, i, i)
}

func TestSameTextKeepsEveryRow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := pattern(t)
		old := identified(lines)
		for i, m := range traced(t, old, lines) {
			if m.ID != old[i].ID || m.Parents != nil {
				t.Fatalf("row %d %v: got %v", i, lines[i], m)
			}
		}
	})
}

// TestAnyEditIsSound: whatever the two texts are, an identity is given once,
// parents are old rows and never the row itself.
func TestAnyEditIsSound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		old, lines := identified(pattern(t)), pattern(t)
		ms := traced(t, old, lines)
		if len(ms) != len(lines) {
			t.Fatalf("%d matches for %d lines", len(ms), len(lines))
		}
		known := map[int64]bool{}
		for _, r := range old {
			known[r.ID] = true
		}
		given := map[int64]bool{}
		for i, m := range ms {
			if m.ID != 0 && (!known[m.ID] || given[m.ID]) {
				t.Fatalf("line %d: identity %d is unknown or given twice", i, m.ID)
			}
			given[m.ID] = true
			for _, p := range m.Parents {
				if !known[p] || p == m.ID {
					t.Fatalf("line %d: parent %d of %d", i, p, m.ID)
				}
			}
			if !slices.IsSorted(m.Parents) {
				t.Fatalf("line %d: parents %v", i, m.Parents)
			}
		}
	})
}

func TestInsertKeepsTheOthers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := pattern(t)
		old := identified(lines)
		at := rapid.IntRange(0, len(lines)).Draw(t, "at")
		piece := lines[max(at-1, 0)].Piece
		lines = slices.Insert(slices.Clone(lines), at, lineage.Line{Piece: piece, Text: fresh(1)})
		renumber(lines)
		ms := traced(t, old, lines)
		if ms[at].ID != 0 {
			t.Fatalf("the new row got identity %d", ms[at].ID)
		}
		for i, m := range slices.Delete(slices.Clone(ms), at, at+1) {
			if m.ID != old[i].ID {
				t.Fatalf("row %d %v after an insert at %d: got %d, want %d", i, old[i], at, m.ID, old[i].ID)
			}
		}
	})
}

func TestDeleteKeepsTheOthers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := pattern(t)
		at := rapid.IntRange(0, len(lines)-1).Draw(t, "at")
		lines[at].Text = fresh(2) // so that no neighbour could be taken for it
		old := identified(lines)
		left := slices.Delete(slices.Clone(lines), at, at+1)
		renumber(left)
		want := slices.Delete(slices.Clone(old), at, at+1)
		for i, m := range traced(t, old, left) {
			if m.ID != want[i].ID {
				t.Fatalf("row %d %v after taking out %d: got %d, want %d", i, left[i], at, m.ID, want[i].ID)
			}
		}
	})
}

func TestMoveKeepsEveryRow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := pattern(t)
		for i := range lines {
			lines[i].Text = fresh(i) + ", " + lines[i].Text
		}
		old := identified(lines)
		from := rapid.IntRange(0, len(lines)-1).Draw(t, "from")
		to := rapid.IntRange(0, len(lines)-1).Draw(t, "to")
		moved := slices.Delete(slices.Clone(lines), from, from+1)
		row := lines[from]
		row.Piece = lines[to].Piece
		moved = slices.Insert(moved, to, row)
		renumber(moved)
		want := slices.Insert(slices.Delete(slices.Clone(old), from, from+1), to, old[from])
		for i, m := range traced(t, old, moved) {
			if m.ID != want[i].ID {
				t.Fatalf("row %d after moving %d to %d: got %d, want %d", i, from, to, m.ID, want[i].ID)
			}
		}
	})
}

func TestRetypeInPlaceKeepsEveryRow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := pattern(t)
		old := identified(lines)
		lines = slices.Clone(lines)
		at := rapid.IntRange(0, len(lines)-1).Draw(t, "at")
		lines[at].Text = fresh(3)
		for i, m := range traced(t, old, lines) {
			if m.ID != old[i].ID {
				t.Fatalf("row %d after rewriting row %d: got %d, want %d", i, at, m.ID, old[i].ID)
			}
		}
	})
}

// long draws a row of n steps, all different from each other.
func long(t *rapid.T, n int) []string {
	steps := make([]string, n)
	for i := range steps {
		steps[i] = fmt.Sprintf("%s%d", []string{"cable", "bobble", "twist", "cross"}[i%4], 1000+i+rapid.IntRange(0, 9).Draw(t, "step")*100)
	}
	return steps
}

func TestSplitAndMergeKnowTheirRows(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := pattern(t)
		at := rapid.IntRange(0, len(lines)-1).Draw(t, "at")
		steps := long(t, rapid.IntRange(6, 20).Draw(t, "steps"))
		cut := rapid.IntRange(2, len(steps)-2).Draw(t, "cut")
		first, second := strings.Join(steps[:cut], ", "), strings.Join(steps[cut:], ", ")

		whole := slices.Clone(lines)
		whole[at].Text = first + ", " + second
		parts := slices.Insert(slices.Clone(whole), at+1, whole[at])
		parts[at].Text, parts[at+1].Text = first, second
		renumber(parts)

		old := identified(whole)
		ms := traced(t, old, parts)
		heir, other := ms[at], ms[at+1]
		if heir.ID == 0 {
			heir, other = other, heir
		}
		if heir.ID != old[at].ID || other.ID != 0 || !slices.Equal(other.Parents, []int64{old[at].ID}) {
			t.Fatalf("split of %v: got %v", old[at], ms[at:at+2])
		}

		old = identified(parts)
		m := traced(t, old, whole)[at]
		if m.ID != old[at].ID || !slices.Equal(m.Parents, []int64{old[at+1].ID}) {
			t.Fatalf("merge of %v: got %v", old[at:at+2], m)
		}
	})
}
