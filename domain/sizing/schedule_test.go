package sizing

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// Worked examples are named by their number in the project's list of published
// examples, with their source.
func TestPublishedSchedules(t *testing.T) {
	// W15, designyourownsweater.blogspot.com "Sleeve", 2007: 42 increases over 176
	// rows are every 4th row 34 times, then every 5th row 8 times.
	s, err := Plan{Rhythm: AnyRow, ShortFirst: true}.Schedule(42, 176)
	if err != nil {
		t.Fatal(err)
	}
	if runs, ok := s.WholeRuns(); !ok || !slices.Equal(runs, []Run{{4, 34}, {5, 8}}) || s.Tail != 0 {
		t.Errorf("W15: 42 over 176 = %v, %v, %+v", runs, ok, s)
	}
	got, err := Wording{Do: "Inc 1 st at each end"}.Write([]Schedule{s})
	if want := "Inc 1 st at each end of every 4th row 34 times, then every 5th row 8 times."; err != nil || got.String() != want {
		t.Errorf("W15: %q, %v, want %q", got, err, want)
	}
	// W19, kristentendyke.blogspot.com, 2006/2014 (derived): 11 increase rows over
	// 108 rows are every 9th row twice and every 10th row 9 times.
	s, err = Plan{Rhythm: AnyRow, ShortFirst: true}.Schedule(11, 108)
	if runs, ok := s.WholeRuns(); err != nil || !ok || !slices.Equal(runs, []Run{{9, 2}, {10, 9}}) {
		t.Errorf("W19: 11 over 108 = %v, %v, %v", runs, ok, err)
	}
	// W18, same source: 60 - 38 stitches are 11 shaping rows of 2.
	if (60-38)/2 != 11 {
		t.Error("W18")
	}
	// W71, Bernat BRK0502-027907M, 2019: a mitred square of 33 stitches loses 2 on
	// each of 16 RS rows.
	s, err = Plan{Placement: AtOnce}.Schedule(16, 32)
	if ev := s.Events(); err != nil || len(ev) != 16 || ev[0] != 1 || ev[15] != 31 || s.Tail != 1 {
		t.Errorf("W71: %+v, %v", s, err)
	}
	// W21, Quince & Co errata "Sandy": every 4th row 9 times after the first.
	s, err = Plan{Rhythm: AnyRow, Placement: EndToEnd}.Schedule(10, 37)
	if err != nil || s.First != 1 || !slices.Equal(s.Runs, []Run{{4, 9}}) {
		t.Errorf("W21: %+v, %v", s, err)
	}
	if got, err := (Wording{Do: "Dec 1 st at neck edge", Count: CountInAll}).Write([]Schedule{s}); err != nil ||
		got.String() != "Dec 1 st at neck edge of next and every foll 4th row 10 times in all." || !got.OneRun {
		t.Errorf("W21: %q, %v", got, err)
	}
}

// TestScheduleProperties checks over a random grid that schedules sum exactly,
// keep their side, and differ by one step at most.
func TestScheduleProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	for range 20000 {
		p := Plan{Rhythm: Rhythm(r.IntN(3)), Placement: Placement(r.IntN(4)), ShortFirst: r.IntN(2) == 0}
		n := r.IntN(240)
		k := r.IntN(n/2 + 3)
		s, err := p.Schedule(k, n)
		if err != nil {
			if k <= p.Rhythm.Slots(n) {
				t.Fatalf("%+v %d over %d: %v", p, k, n, err)
			}
			continue
		}
		ev := s.Events()
		if len(ev) != k || s.Count() != k || s.Rows() != n || s.Tail < 0 || len(s.Runs) > 2 {
			t.Fatalf("%+v %d over %d: %+v does not sum", p, k, n, s)
		}
		step := p.Rhythm.step()
		lo, hi := 1<<30, 0
		for i, e := range ev {
			if e < 1 || e > n || p.Rhythm == RSNext && e%2 != 1 || p.Rhythm == WSNext && e%2 != 0 {
				t.Fatalf("%+v %d over %d: event on row %d", p, k, n, e)
			}
			if i > 0 {
				lo, hi = min(lo, e-ev[i-1]), max(hi, e-ev[i-1])
			}
		}
		if len(ev) > 1 && (hi-lo > step || lo < step) {
			t.Fatalf("%+v %d over %d: intervals from %d to %d", p, k, n, lo, hi)
		}
		if p.Placement == AfterInterval && k > 0 && p.Rhythm.Slots(n) > 0 && ev[k-1] != p.Rhythm.row(p.Rhythm.Slots(n)) {
			t.Fatalf("%+v %d over %d: last event on row %d", p, k, n, ev[k-1])
		}
		if (p.Placement == AtOnce || p.Placement == EndToEnd) && k > 0 && ev[0] != p.Rhythm.row(1) {
			t.Fatalf("%+v %d over %d: first event on row %d", p, k, n, ev[0])
		}
		if runs, ok := s.WholeRuns(); ok {
			sum := s.Tail
			for _, q := range runs {
				sum += q.Every * q.Times
			}
			if sum != n {
				t.Fatalf("%+v %d over %d: whole runs %v sum to %d", p, k, n, runs, sum)
			}
		}
	}
}

func TestScheduleTooFull(t *testing.T) {
	_, err := Plan{}.Schedules([]int{4, 11}, []int{20})
	if err == nil || !strings.Contains(err.Error(), "size 2: 11 shaping rows do not fit into 20 rows, of which 10 are RS rows") {
		t.Errorf("err = %v", err)
	}
	if _, err := (Plan{}).Schedules([]int{4, 11}, []int{20, 30, 40}); err == nil {
		t.Error("three row numbers for two sizes went through")
	}
	if _, err := (Plan{}).Schedule(-1, 4); err == nil {
		t.Error("negative shaping went through")
	}
}

func TestScheduleWording(t *testing.T) {
	one := func(first int, runs ...Run) Schedule { return Schedule{First: first, Runs: runs} }
	for _, c := range []struct {
		name string
		w    Wording
		ss   []Schedule
		want string
		only []int
	}{
		{"one run serves all", Wording{Do: "Dec 1 st at each end", Count: CountBare},
			[]Schedule{one(1, Run{6, 5}), one(1, Run{6, 5}), one(1, Run{6, 6})},
			"Dec 1 st at each end of next and every foll 6th row 5 (5, 6) times.", nil},
		{"the same without doubt", Wording{Do: "Dec 1 st at each end"},
			[]Schedule{one(1, Run{6, 5}), one(1, Run{6, 5}), one(1, Run{6, 6})},
			"Dec 1 st at each end of next and every foll 6th row 5 (5, 6) times more.", nil},
		{"two runs, shared intervals", Wording{Do: "Inc 1 st at each end"},
			[]Schedule{one(6, Run{6, 4}, Run{4, 3}), one(6, Run{6, 3}, Run{4, 5}), one(4, Run{4, 8})},
			"Inc 1 st at each end of every 6th row 5 (4, 0) times, then every 4th row 3 (5, 9) times.", nil},
		{"intervals by size", Wording{Name: "Inc row"},
			[]Schedule{one(7, Run{8, 3}, Run{6, 2}), one(5, Run{6, 5}, Run{4, 1}), one(5, Run{6, 7})},
			"Work 6 (4, 4) rows even. Rep Inc row every 8th (6th, 6th) row 3 (5, 7) times more, then every 6th (4th, 4th) row 2 (1, 0) times more.", nil},
		{"first apart", Wording{Do: "Inc 1 st at each end"},
			[]Schedule{{First: 5, Runs: []Run{{6, 3}, {4, 2}}, Tail: 1}},
			"Work 4 rows even. Inc 1 st at each end of next row, then on every 6th row 3 times, then on every 4th row 2 times. Work 1 row even.", nil},
		{"a size without", Wording{Do: "Dec 1 st at each end"},
			[]Schedule{{Tail: 9}, {First: 1, Runs: []Run{{4, 2}}}},
			"Dec 1 st at each end of next and every foll 4th row - (2) times more. Work 9 (0) rows even.", []int{1}},
		{"every other, UK", Wording{Do: "Dec 1 st at neck edge", UK: true},
			[]Schedule{one(1, Run{2, 5})}, "Dec 1 st at neck edge of next and every foll alt row 5 times more.", nil},
		{"rounds", Wording{Name: "Dec rnd", Round: true},
			[]Schedule{{First: 3, Runs: []Run{{2, 1}}}}, "Work 2 rnds even. Rep Dec rnd every other rnd 1 time more.", nil},
		{"once", Wording{Do: "Dec 1 st at each end"}, []Schedule{{First: 1}}, "Dec 1 st at each end of next row.", nil},
	} {
		got, err := c.w.Write(c.ss)
		if err != nil || got.String() != c.want || !slices.Equal(got.Only, c.only) {
			t.Errorf("%s:\n got %q %v %v\nwant %q %v", c.name, got.String(), got.Only, err, c.want, c.only)
		}
	}
	if _, err := (Wording{Do: "Dec"}).Write([]Schedule{{Tail: 4}}); err == nil {
		t.Error("no shaping was written")
	}
	if _, err := (Wording{}).Write([]Schedule{{First: 1}}); err == nil {
		t.Error("shaping without words was written")
	}
}

func BenchmarkSchedules(b *testing.B) {
	k := []int{11, 12, 14, 15, 17, 18, 20, 21, 22}
	n := []int{108, 110, 112, 112, 114, 114, 116, 116, 118}
	for b.Loop() {
		ss, err := Plan{}.Schedules(k, n)
		if err != nil {
			b.Fatal(err)
		}
		if _, err := (Wording{Name: "Inc row"}).Write(ss); err != nil {
			b.Fatal(err)
		}
	}
}
