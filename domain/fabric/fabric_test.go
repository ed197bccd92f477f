package fabric

import (
	"fmt"
	"runtime"
	"testing"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// build works a text, stitches to begin with.
func build(t testing.TB, text string, stitches, passes int) *Fabric {
	t.Helper()
	ms := notation.Read(text)
	res := needle.Work(ms)
	f, err := Build(ms, res, 0, 0, stitches, passes)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	whole(t, f)
	return f
}

// whole checks what holds of every fabric.
func whole(t testing.TB, f *Fabric) {
	t.Helper()
	for i := range f.Rows {
		r := &f.Rows[i]
		n := len(r.Rest)
		last := int32(-1)
		for k := range r.Works {
			w := &r.Works[k]
			n += len(w.Out)
			if w.Kind == Held { // worked, and put on a holder in the same round
				for _, id := range w.In {
					if f.Loops[id].Row == int32(i) {
						n--
					}
				}
			}
			for _, c := range w.Columns {
				if last >= 0 && (c <= last) != r.WS {
					t.Fatalf("row %d (%s, WS %v): column %d after %d", i, r.Name, r.WS, c, last)
				}
				last = c
			}
			if len(w.Columns) != wants(w) {
				t.Errorf("row %d: %d columns for %d", i, len(w.Columns), wants(w))
			}
		}
		if n != r.After {
			t.Errorf("row %d (%s): %d loops by its workings, %d counted", i, r.Name, n, r.After)
		}
	}
	for i := range f.Loops {
		l := &f.Loops[i]
		if l.Child != None && l.End != Worked {
			t.Errorf("loop %d has a loop through it and ended %d", i, l.End)
		}
		for _, p := range f.Parents(ID(i)) {
			if f.Loops[p].End == Live {
				t.Errorf("loop %d was drawn through %d, which is live", i, p)
			}
		}
	}
}

func faces(f *Fabric, row int, ws bool) string {
	out := make([]byte, f.Columns)
	for i := range out {
		out[i] = '.'
	}
	for i := range f.Loops {
		if l := &f.Loops[i]; int(l.Row) == row {
			c := l.Column
			out[c] = "kp"[f.FaceFrom(ID(i), ws)]
		}
	}
	return string(out)
}

// TestFaces: common practice. Garter is alike on both sides, 2x2 rib shows knit
// columns on both, the wrong side of stockinette is all bumps.
func TestFaces(t *testing.T) {
	garter := build(t, "CO 6 sts.\nRow 1: Knit.\nRow 2: Knit.\nRep Rows 1 and 2.", 0, 2)
	for i := 1; i < len(garter.Rows); i++ {
		if a, b := faces(garter, i, false), faces(garter, i-1, true); a != b {
			t.Errorf("garter: RS of row %d shows %s, WS of the row before %s", i, a, b)
		}
	}
	rib := build(t, "CO 8 sts.\nRow 1 (RS): *K2, p2; rep from * to end.\nRep Row 1.", 0, 3)
	for i := range rib.Rows {
		if got := faces(rib, i, false); got != "kkppkkpp" {
			t.Errorf("rib row %d: RS %s", i, got)
		}
		if got := faces(rib, i, true); got != "ppkkppkk" {
			t.Errorf("rib row %d: WS %s", i, got)
		}
	}
	st := build(t, "CO 5 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2.", 0, 2)
	rounds := build(t, "CO 5 sts. Join to work in the round.\nRnd 1: Knit.\nRep Rnd 1.", 0, 3)
	for _, f := range []*Fabric{st, rounds} {
		for i := range f.Rows {
			if got := faces(f, i, true); got != "ppppp" {
				t.Errorf("stockinette row %d: WS %s", i, got)
			}
		}
	}
}

// TestBelow: a column dropped n rows leaves n ladders and catches the loop n+1
// rows down. Over a band of exactly n rows that is the band before, over n+1
// the band's own first row. Source: it follows from the loops; common practice
// of dropped-stitch textures in stripes.
func TestBelow(t *testing.T) {
	for n := 1; n <= 6; n++ {
		for _, band := range []int{n, n + 1, n + 2} { // rows of B before the dropping row
			text := "CO 5 sts.\nRow 1 (RS): With A, knit.\nRow 2: With A, purl.\nRow 3: With A, knit.\nRow 4: With A, purl.\n"
			row := 5
			for ; row < 5+band; row++ {
				text += fmt.Sprintf("Row %d: With B, k to end.\n", row)
			}
			text += fmt.Sprintf("Row %d: With A, k2, k%d below, k2.\n", row, n)
			f := build(t, text, 0, 1)
			if len(f.Catches) != 1 {
				t.Fatalf("%d catches\n%s", len(f.Catches), text)
			}
			c := f.Catches[0]
			at := f.Loops[c.Loop].Row
			if len(c.Ladders) != n || f.Loops[c.Caught].Row != at-int32(n)-1 {
				t.Errorf("%d rows under a band of %d: %d ladders, row %d caught from row %d", n, band, len(c.Ladders), f.Loops[c.Caught].Row, at)
			}
			want := "B"
			if band == n {
				want = "A"
			}
			if got := f.Yarns[f.Loops[c.Caught].Yarn]; got != want {
				t.Errorf("%d rows under a band of %d: caught %s, want %s", n, band, got, want)
			}
			for _, id := range c.Ladders {
				if f.Loops[id].End != Ravelled || f.Yarns[f.Loops[id].Yarn] != "B" {
					t.Errorf("ladder %d: ended %d in %s", id, f.Loops[id].End, f.Yarns[f.Loops[id].Yarn])
				}
			}
			if f.Loops[c.Caught].Child != c.Loop || f.Loops[c.Caught].End != Worked {
				t.Errorf("the caught loop goes through %d", f.Loops[c.Caught].Child)
			}
		}
	}
}

// TestLinear: the memory of a fabric grows with its stitches and no faster.
func TestLinear(t *testing.T) {
	per := func(rows int) float64 {
		ms, res := read(fmt.Sprintf("CO 100 sts.\nRow 1 (RS): *K2, p2; rep from * to end.\nRow 2: *K2, p2; rep from * to end.\nRep Rows 1 and 2 %d times more.\n", rows/2-1))
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		f, err := Build(ms, res, 0, 0, 0, 1)
		runtime.ReadMemStats(&after)
		if err != nil {
			t.Fatal(err)
		}
		if len(f.Rows) != rows {
			t.Fatalf("%d rows", len(f.Rows))
		}
		return float64(after.TotalAlloc-before.TotalAlloc) / float64(rows*100)
	}
	per(100)
	short, long := per(100), per(1600)
	t.Logf("%.0f bytes a stitch over 100 rows, %.0f over 1600", short, long)
	if long > 1.2*short || long > 500 {
		t.Errorf("%.0f bytes a stitch over 1600 rows, %.0f over 100", long, short)
	}
}

func read(text string) (*notation.Manuscript, *needle.Result) {
	ms := notation.Read(text)
	return ms, needle.Work(ms)
}
