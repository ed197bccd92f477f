package errata

import (
	"strings"
	"testing"

	"rowproof/domain/notation"
	"rowproof/domain/studio"
)

// revision makes a revision of a text; ids names the identity of each row in order.
func revision(t *testing.T, text string, ids ...int64) studio.Revision {
	t.Helper()
	ms := notation.Read(text)
	rev := studio.Revision{Manuscript: text}
	for i, name := range ms.Sizes {
		rev.Sizes = append(rev.Sizes, studio.Size{ID: int64(i + 1), Label: name})
	}
	ins := notation.Instructions(ms)
	if len(ins) != len(ids) {
		t.Fatalf("%d rows in the text, %d identities given", len(ins), len(ids))
	}
	for i, in := range ins {
		rev.Rows = append(rev.Rows, studio.RevisionRow{Row: studio.Row{ID: ids[i], RowLine: studio.RowLine{
			Piece: in.Piece, Head: in.Head, Text: notation.TextAt(ms.Source, in.Span)}}})
	}
	return rev
}

const first = `Kelp Cuff

Sizes: S, M, L
Cuff
CO 24 (28, 32) sts.
Row 1 (RS): K2, *p2, k2; rep from * to end.
Row 2 (WS): P2, *k2, p2; rep from * to end.
Row 3: K2, p2, k16 (20, 24), p2, k2.
Row 4: P2, k2, p16 (20, 24), k2, p2.
Bind off.
`

func compared(t *testing.T, second string, ids ...int64) []string {
	t.Helper()
	was, now := Read(revision(t, first, 1, 2, 3, 4, 5, 6)), Read(revision(t, second, ids...))
	var out []string
	for _, l := range Lines(Compare(was, now)) {
		out = append(out, l.String())
	}
	return out
}

func TestLines(t *testing.T) {
	for _, c := range []struct {
		name, from, to string
		ids            []int64
		want           []string
	}{
		{"nothing", "Kelp", "Kelp", []int64{1, 2, 3, 4, 5, 6}, nil},
		{"spaces alone", "K2, *p2", "K2,  *p2", []int64{1, 2, 3, 4, 5, 6}, nil},
		{"a word in every size", "P2, *k2, p2; rep", "P2, *k2, k2; rep", []int64{1, 2, 3, 4, 5, 6},
			[]string{"Cuff, Row 2 (WS): for “*k2, p2” read “*k2, k2”"}},
		{"a number of one size", "k16 (20, 24), p2", "k16 (22, 24), p2", []int64{1, 2, 3, 4, 5, 6},
			[]string{"Cuff, Row 3, size M: for “k20” read “k22”"}},
		{"two sizes alike, each with its number", "p16 (20, 24)", "p16 (22, 26)", []int64{1, 2, 3, 4, 5, 6},
			[]string{"Cuff, Row 4, size M: for “p20” read “p22”", "Cuff, Row 4, size L: for “p24” read “p26”"}},
		{"a row put in", "Row 3: K2, p2, k16 (20, 24), p2, k2.\nRow 4:", "Row 3: Knit.\nRow 4: Purl.\nRow 5: K2, p2, k16 (20, 24), p2, k2.\nRow 6:", []int64{1, 2, 3, 8, 9, 4, 5, 6},
			[]string{"Cuff, Row 3: put in: Knit.", "Cuff, Row 4: put in: Purl.", "Cuff, Row 3 to Row 4: are Row 5 to Row 6 now, in the same words"}},
		{"a row left out", "Row 4: P2, k2, p16 (20, 24), k2, p2.\n", "", []int64{1, 2, 3, 4, 6},
			[]string{"Cuff, Row 4: left out; it said “P2, k2, p16 (20, 24), k2, p2.”"}},
		{"the cast-on", "CO 24 (28, 32)", "CO 26 (28, 32)", []int64{1, 2, 3, 4, 5, 6},
			[]string{"Cuff, Cast-on, size S: for “CO 24” read “CO 26”"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			got := compared(t, strings.Replace(first, c.from, c.to, 1), c.ids...)
			if strings.Join(got, "\n") != strings.Join(c.want, "\n") {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(c.want, "\n"))
			}
		})
	}
}

func TestForRead(t *testing.T) {
	for _, c := range []struct{ was, now, f, r string }{
		{"K2, yo, k2tog, k3, yo, k2.", "K2, yo, ssk, k3, yo, k2.", "k2tog", "ssk"},
		{"K2, yo, k3, ssk, k4, p1, k2.", "K2, yo, k3, ssk, k4, k2.", "k4, p1", "k4"},
		{"Knit.", "Purl.", "Knit.", "Purl."},
		{"K1, p1, k1, p1, k1, p1, k4.", "P1, k1, p1, k1, p1, k1, p4.", "K1, p1, k1, p1, k1, p1, k4.", "P1, k1, p1, k1, p1, k1, p4."},
	} {
		if f, r := ForRead(c.was, c.now); f != c.f || r != c.r {
			t.Errorf("ForRead(%q, %q) = %q, %q; want %q, %q", c.was, c.now, f, r, c.f, c.r)
		}
	}
}

func TestFate(t *testing.T) {
	was := Read(revision(t, first, 1, 2, 3, 4, 5, 6))
	now := Read(revision(t, strings.Replace(first, "k16 (20, 24)", "k16 (22, 24)", 1), 1, 2, 3, 4, 5, 6))
	gone := Read(revision(t, strings.Replace(first, "Row 3: K2, p2, k16 (20, 24), p2, k2.\n", "", 1), 1, 2, 3, 5, 6))
	for _, c := range []struct {
		name             string
		row, size        int64
		now              Reading
		touched, removed bool
	}{
		{"the size it changed for", 4, 2, now, true, false},
		{"a size it did not change for", 4, 1, now, false, false},
		{"another row", 5, 2, now, false, false},
		{"a row that is gone", 4, 1, gone, true, true},
		{"the row before it", 3, 1, gone, false, false},
		{"a row that only got another number", 5, 1, gone, false, false},
	} {
		f := FateOf(studio.Erratum{RowID: c.row, SizeID: c.size}, was, c.now)
		if !f.Known || f.Touched != c.touched || f.Removed != c.removed {
			t.Errorf("%s: %+v", c.name, f)
		}
	}
	if f := FateOf(studio.Erratum{RowID: 99}, was, now); f.Known {
		t.Errorf("a row that never stood there: %+v", f)
	}
}

func TestForKnitter(t *testing.T) {
	was := Read(revision(t, first, 1, 2, 3, 4, 5, 6))
	text := strings.NewReplacer("k16 (20, 24)", "k16 (22, 24)", "*p2, k2; rep", "*p1, k2; rep").Replace(first)
	now := Read(revision(t, text, 1, 2, 3, 4, 5, 6))
	cs := Compare(was, now)
	ahead, past := ForKnitter(cs, now, 2, 3)
	if len(ahead) != 1 || ahead[0].RowID != 4 || len(past) != 1 || past[0].RowID != 2 {
		t.Errorf("in size M at row 2: ahead %v, past %v", ahead, past)
	}
	if ahead, past := ForKnitter(cs, now, 1, 3); len(ahead) != 0 || len(past) != 1 {
		t.Errorf("in size S at row 2: ahead %v, past %v", ahead, past)
	}
	if ahead, _ := ForKnitter(cs, now, 2, 0); len(ahead) != 2 {
		t.Errorf("in size M, not begun: ahead %v", ahead)
	}
}
