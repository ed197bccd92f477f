package fabric

import "testing"

// held lists the loops that go to holders in a row.
func held(r *Row) (out []ID) {
	for i := range r.Works {
		if r.Works[i].Kind == Held {
			out = append(out, r.Works[i].In...)
		}
	}
	return out
}

// TestHeldAcross: the last and the first stitches of a round go to one holder, the
// first after they were worked.
func TestHeldAcross(t *testing.T) {
	f := build(t, "CO 10 sts, pm and join in the round.\nRnd 1: Knit.\nRnd 2: K to last 2 sts, place next 4 sts (last 2 and first 2 of rnd) on a holder. 6 sts rem.", 0, 1)
	r := &f.Rows[1]
	var columns []int32
	for _, id := range held(r) {
		columns = append(columns, f.Loops[id].Column)
		if f.Loops[id].End != Live {
			t.Errorf("loop %d on the holder ended %d", id, f.Loops[id].End)
		}
	}
	if len(columns) != 4 || columns[0] != 8 || columns[1] != 9 || columns[2] != 0 || columns[3] != 1 || r.After != 6 || len(r.Rest) != 0 {
		t.Errorf("columns %v are held, %d loops remain, %d are left", columns, r.After, len(r.Rest))
	}
}

// TestDivided: what stays on the needles when a round is divided goes on in rows.
func TestDivided(t *testing.T) {
	for _, divide := range []string{"K4, turn, place rem 4 sts on a holder.", "K4, place rem 4 sts on a holder, turn."} {
		f := build(t, "CO 8 sts, pm and join in the round.\nRnd 1: Knit.\nNext rnd: "+divide+"\nNext row (WS): Purl.\nNext row (RS): Knit.\nNext row: Purl.\nNext row: Knit.", 0, 1)
		if n := len(held(&f.Rows[1])); n != 4 || f.Rows[1].After != 4 {
			t.Errorf("%s: %d loops are held, %d remain", divide, n, f.Rows[1].After)
		}
		for i, ws := range []bool{true, false, true, false} {
			if r := &f.Rows[2+i]; r.WS != ws || r.Round {
				t.Errorf("%s: row %d: WS %v, round %v", divide, i+1, r.WS, r.Round)
			}
		}
		for i := range f.Loops {
			if f.Loops[i].Face == Purl {
				t.Errorf("%s: loop %d is a purl", divide, i)
			}
		}
	}
}

// TestStartMoves: the stitches that the round's start passes, the fewer ones, lie beyond its old
// end from then on; each is still drawn through the one below it.
func TestStartMoves(t *testing.T) {
	f := build(t, "CO 8 sts, join in the round, pm.\nRnd 1: K2, pm, k6.\nRnd 2: Knit to marker; this is the new beg of rnd.\nRnd 3: Knit.\nRnd 4: Knit.", 0, 1)
	last := &f.Rows[len(f.Rows)-1]
	for k := range last.Works {
		if got, want := last.Works[k].Columns[0], int32(2+k); got != want {
			t.Errorf("stitch %d lies in column %d, want %d", k+1, got, want)
		}
	}
	for k := range last.Works {
		id := last.Works[k].Out[0]
		for f.Loops[id].Row >= 0 {
			id = f.Parents(id)[0]
		}
		if got, want := f.Loops[id].Column, int32((2+k)%8); got != want {
			t.Errorf("stitch %d stands on the cast-on's column %d, want %d", k+1, got, want)
		}
	}
}

// TestJoined: pieces that come onto the needle have loops of untold origin, and
// what was only just put on a holder stays there.
func TestJoined(t *testing.T) {
	f := build(t, "Body\nCO 12 sts, pm and join in the round.\nRnd 1: Knit.\nJoining rnd: *K4 body sts, place next 2 body sts on a holder, pm, k3 sts of one sleeve, pm; rep from * once more. 14 sts.\nRnd 2: Knit.", 0, 1)
	r := &f.Rows[1]
	if n := len(held(r)); n != 4 || r.After != 14 || !r.Untold {
		t.Errorf("%d loops are held, %d remain, untold %v", n, r.After, r.Untold)
	}
	for _, id := range held(r) {
		if f.Loops[id].End != Live {
			t.Errorf("loop %d on the holder ended %d", id, f.Loops[id].End)
		}
	}
}

// TestRoundsAfterShortRows: rounds begin at their start again, wherever short rows ended.
func TestRoundsAfterShortRows(t *testing.T) {
	f := build(t, "CO 12 sts, join in the round.\nRnd 1: Knit.\nRow 1 (RS): K5, w&t.\nRow 2 (WS): P4, w&t.\nKnit 2 rnds.", 0, 1)
	for i := len(f.Rows) - 2; i < len(f.Rows); i++ {
		r := &f.Rows[i]
		if len(r.Works) != 12 || r.Works[0].Columns[0] != 0 || r.Works[11].Columns[0] != 11 || len(r.Rest) > 0 {
			t.Errorf("row %s: %d workings, first in column %d", r.Name, len(r.Works), r.Works[0].Columns[0])
		}
	}
}
