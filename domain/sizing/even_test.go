package sizing

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// places gives the stitches of the old row after which each event stands, or
// with which it ends.
func places(e EvenRow, uses int) []int {
	var out []int
	at := 0
	for _, g := range e.Gaps()[:e.Events] {
		at += g + uses
		out = append(out, at)
	}
	return out
}

// Worked examples are named by their number in the project's list of published
// examples. DUM is Dummies.com, "Increase at several points in the same row"; KAB
// knitabit.net, "Increasing and decreasing evenly"; WPY Woolpack Yarn; MDK Modern
// Daily Knitting; NEA neasesneedlework.com.
func TestPublishedEvenRows(t *testing.T) {
	for _, c := range []struct {
		id         string
		p          Evenly
		n, k, then int
		gaps       string // gaps in stitches, in words that the source's numbers give
		want       string
	}{
		{"W01 DUM", Evenly{Event: Make1}, 40, 4, 44, "5 sections of 8", "[K8, m1] 4 times, k8."},
		{"W02 KAB", Evenly{Convention: Groups, Event: Make1}, 100, 10, 110, "one every 10", "[K10, m1] 10 times."},
		{"W03 KAB", Evenly{Event: Make1}, 110, 10, 120, "one every 10", "[K10, m1] 10 times, k10."},
		// W04 KAB is wrong in its source, "every 10th st 9 times and every 11th once",
		// which leaves 19 stitches at the end: 11 sections are 10 of 11 and one of 10.
		{"W04 KAB, source not right", Evenly{Event: Make1}, 120, 10, 130, "10 of 11 and 1 of 10", "[K11, m1] 10 times, k10."},
		{"W05 KAB", Evenly{Convention: Groups, Event: Make1, ShortFirst: true}, 100, 11, 111, "9 sts 10 times and 10 sts once", "[K9, m1] 10 times, k10, m1."},
		{"W06 WPY", Evenly{Convention: Groups, Event: Make1}, 51, 4, 55, "13, 13, 13, 12", "[K13, m1] 3 times, k12, m1."},
		{"W07 WPY", Evenly{Convention: HalfEdges, Event: Make1}, 51, 4, 55, "6, 19, 32, 45", "K6, [m1, k13] 3 times, m1, k6."},
		{"W08 WPY", Evenly{Convention: HalfEdges, Event: Make1}, 112, 16, 128, "every 7, first after 3.5", "K3, [m1, k7] 15 times, m1, k4."},
		{"W09 MDK", Evenly{Convention: Groups, Event: Make1}, 48, 6, 54, "6 groups of 8", "[K8, m1] 6 times."},
		{"W10 NEA", Evenly{Convention: Groups, Event: Make1}, 60, 6, 66, "every 10th", "[K10, m1] 6 times."},
		{"W11 NEA", Evenly{Convention: Groups, Event: K2tog, ShortFirst: true}, 100, 16, 84, "12 groups of 6 and 4 of 7", "[K4, k2tog] 12 times, [k5, k2tog] 4 times."},
		// W33, J. Joyce 2012: k2, k2tog takes a quarter, k1, k2tog a third.
		{"W33", Evenly{Convention: Groups, Event: K2tog}, 120, 30, 90, "-25 %", "[K2, k2tog] 30 times."},
		{"W33", Evenly{Convention: Groups, Event: K2tog}, 90, 30, 60, "-33.3 %", "[K1, k2tog] 30 times."},
	} {
		e, err := c.p.Row(c.n, c.k)
		if err != nil {
			t.Errorf("%s: %v", c.id, err)
			continue
		}
		w, err := c.p.Write([]EvenRow{e}, EvenWording{})
		if err != nil || w.Shape != c.want {
			t.Errorf("%s (%s): %q, %v, want %q", c.id, c.gaps, w.Shape, err, c.want)
		}
		if got := c.p.Counts([]int{c.n}, []int{c.k}); got[0] != c.then {
			t.Errorf("%s: %d sts after, want %d", c.id, got[0], c.then)
		}
	}
	e, err := Evenly{Convention: Groups, Event: Make1}.Row(51, 4)
	if got := places(e, 0); err != nil || !slices.Equal(got, []int{13, 26, 39, 51}) {
		t.Errorf("W06: at %v, %v", got, err)
	}
	e, err = Evenly{Convention: HalfEdges, Event: Make1}.Row(51, 4)
	if got := places(e, 0); err != nil || !slices.Equal(got, []int{6, 19, 32, 45}) {
		t.Errorf("W07: at %v, %v", got, err)
	}
	// W62 and W63, knittingrobin 2012: 7 buttonholes, 3 sts at each end.
	hole := Event{"make buttonhole", 4, 4}
	for _, c := range []struct {
		id      string
		n, uses int
		want    []Gap
	}{
		{"W62", 100, 4, []Gap{{11, 6}}},
		{"W63", 110, 3, []Gap{{14, 5}, {13, 1}}},
	} {
		hole.Uses, hole.Makes = c.uses, c.uses
		// the six gaps are the sections of six holes; the first hole follows the edge
		e, err := Evenly{Convention: Groups, Event: hole}.Row(c.n-6-c.uses, 6)
		if err != nil || !slices.Equal(e.closed(), c.want) {
			t.Errorf("%s: %+v, %v, want %v", c.id, e, err, c.want)
		}
	}
	// W69, Bernat BRK0502-031848M 2021: (88 - 8)/4 = 20 repeats. W70, its next row,
	// is not right in its source: 88 - 10 is no whole number of repeats of 4.
	if _, err := (Evenly{Event: Make1, Repeat: Multiple{4, 8}, Left: 4}).Row(88, 4); err != nil {
		t.Errorf("W69: %v", err)
	}
	if _, err := (Evenly{Event: Make1, Repeat: Multiple{4, 10}, Left: 6}).Row(88, 4); err == nil {
		t.Error("W70: 88 stitches were taken for a multiple of 4 + 10")
	}
}

func TestEvenForAllSizes(t *testing.T) {
	for _, c := range []struct {
		name string
		p    Evenly
		w    EvenWording
		n, k []int
		want string
		only []int
	}{
		{"sections", Evenly{Event: Make1}, EvenWording{}, []int{120, 131, 142}, []int{10, 10, 12},
			"[K11 (12, 11), m1] 10 (10, 12) times, k10 (11, 10).", nil},
		{"a bracket that one size does not use", Evenly{Convention: Groups, Event: Make1}, EvenWording{}, []int{60, 66, 70}, []int{6, 6, 6},
			"[K10 (11, 12), m1] 6 (6, 4) times, [k11, m1] 0 (0, 2) times.", nil},
		{"half gaps", Evenly{Convention: HalfEdges, Event: Make1}, EvenWording{Star: true}, []int{51, 64}, []int{4, 5},
			"K6, *m1, k13; rep from * 2 (3) times more, m1, k6.", nil},
		{"a size without", Evenly{Convention: Groups, Event: K2tog}, EvenWording{}, []int{60, 64}, []int{0, 8},
			"[K6, k2tog] - (8) times.", []int{1}},
		{"side by side", Evenly{Convention: Groups, Event: K2tog}, EvenWording{}, []int{20, 24}, []int{10, 8},
			"[K0 (1), k2tog] 10 (8) times.", nil},
		{"on a purl side", Evenly{Event: Event{"p2tog", 2, 1}}, EvenWording{Plain: "p"}, []int{44}, []int{4},
			"P8, p2tog, [p7, p2tog] 3 times, p7.", nil},
		{"in pattern", Evenly{Event: Make1, Repeat: Multiple{6, 5}, Left: 2}, EvenWording{Plain: "work % sts in patt"}, []int{65}, []int{4},
			"Work 14 sts in patt, m1, [work 12 sts in patt, m1] 3 times, work 15 sts in patt.", nil},
	} {
		rows, err := c.p.Rows(c.n, c.k)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		got, err := c.p.Write(rows, c.w)
		if err != nil || got.Shape != c.want || !slices.Equal(got.Only, c.only) {
			t.Errorf("%s:\n got %q %v %v\nwant %q %v", c.name, got.Shape, got.Only, err, c.want, c.only)
		}
	}
}

func TestEvenProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for range 20000 {
		p := Evenly{Convention: Convention(r.IntN(3)), Event: [...]Event{Make1, K2tog, {"kfb", 1, 2}}[r.IntN(3)], ShortFirst: r.IntN(2) == 0}
		of := 1
		if r.IntN(2) == 0 {
			of = 2 + r.IntN(12)
			p.Repeat = Multiple{of, r.IntN(10)}
			p.Left = r.IntN(p.Repeat.Plus + 1)
		}
		n := p.Repeat.Plus + of*r.IntN(200/of+1)
		k := r.IntN(n/3 + 2)
		e, err := p.Row(n, k)
		if err != nil {
			continue
		}
		gaps := e.Gaps()
		sum, lo, hi := k*p.Event.Uses, 1<<30, 0
		for i, g := range gaps {
			sum += g
			if g < 0 {
				t.Fatalf("%+v over %d, %d times: gap %d", p, n, k, g)
			}
			if i > 0 && i < len(gaps)-1 {
				lo, hi = min(lo, g), max(hi, g)
				if (g+p.Event.Uses)%of != 0 {
					t.Fatalf("%+v over %d, %d times: gap %d cuts a repeat", p, n, k, g)
				}
			}
		}
		if sum != n || len(gaps) != k+1 || e.Events != k {
			t.Fatalf("%+v over %d, %d times: %v sums to %d", p, n, k, gaps, sum)
		}
		if k > 1 && (hi-lo > of || p.Event.Uses == 0 && lo < 1) {
			t.Fatalf("%+v over %d, %d times: gaps from %d to %d", p, n, k, lo, hi)
		}
		if k == 0 {
			continue
		}
		closed := e.Tail + k*p.Event.Uses
		for _, g := range e.closed() {
			closed += g.Plain * g.Times
		}
		if closed != n || len(e.closed()) > 3 {
			t.Fatalf("%+v over %d, %d times: closed %v", p, n, k, e.closed())
		}
	}
}

func TestEvenRefuses(t *testing.T) {
	for _, c := range []struct {
		p    Evenly
		n, k int
		want string
	}{
		{Evenly{Event: Make1}, 10, 10, "do not fit into 10 stitches"},
		{Evenly{Event: K2tog}, 10, 6, "do not fit into 10 stitches"},
		{Evenly{Event: Make1, Repeat: Multiple{6, 1}}, 20, 2, "no multiple of 6 + 1"},
		{Evenly{Event: Make1, Repeat: Multiple{6, 1}}, 19, 5, "between 3 repeats"},
		{Evenly{Event: Make1}, -1, 3, "from 0"},
	} {
		if _, err := c.p.Row(c.n, c.k); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%+v over %d, %d times: err = %v, want %q", c.p, c.n, c.k, err, c.want)
		}
	}
	if _, err := (Evenly{}).Write([]EvenRow{{Tail: 4}}, EvenWording{}); err == nil {
		t.Error("nothing was written")
	}
}
