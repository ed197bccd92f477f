package sizing

import (
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// Worked examples are named by their number in the project's list of published
// examples, with their source.
func TestPublishedCrowns(t *testing.T) {
	// W36, summityarnstudio.wordpress.com 2013: 88 sts, 8 wedges of 11: k9, k2tog;
	// then k8, k2tog; one plain round between.
	c, err := CrownPlan{}.Crown(88)
	if err != nil {
		t.Fatal(err)
	}
	r := c.Rounds()
	if c.Wedge != 11 || r[0] != (CrownRound{true, 9, 80}) || r[1] != (CrownRound{false, 0, 80}) || r[2] != (CrownRound{true, 8, 72}) || c.Left != 8 {
		t.Errorf("W36: %+v %v", c, r)
	}
	// W37, knittinghelp forum 76143: 70 sts are 7 wedges of k8, k2tog or 10 of k5, k2tog.
	for w, before := range map[int]int{7: 8, 10: 5} {
		c, err := CrownPlan{Wedges: w, Rate: EveryRound}.Crown(70)
		if err != nil || c.Rounds()[0].Before != before {
			t.Errorf("W37: %d wedges: %+v, %v", w, c, err)
		}
	}
	// W38, the same: 84 is 7 x 12 and 88 is 8 x 11.
	if !slices.Contains(CrownWedges(84), 7) || !slices.Contains(CrownWedges(88), 8) || slices.Contains(CrownWedges(88), 7) {
		t.Errorf("W38: %v %v", CrownWedges(84), CrownWedges(88))
	}
	// W39, Caron leaflet CAK0116: a flat crown of 98 sts in four wedges between two
	// edge stitches, paired decreases on every RS row.
	c, err = CrownPlan{Wedges: 4, Leave: 6, Edge: 2, Lose: 2}.Crown(98)
	var counts []int
	for _, r := range c.Rounds() {
		if r.Dec {
			counts = append(counts, r.Count)
		}
	}
	if err != nil || !slices.Equal(counts, []int{90, 82, 74, 66, 58, 50, 42, 34, 26}) {
		t.Errorf("W39: %v, %v", counts, err)
	}
	// W40, Woolly Wormhead 2016: 22 and 30 give 4.6 a round. W41: 100 sts have a
	// radius of 7.2 cm.
	if got := FlatRate(Gauge{22, 30}); math.Abs(got-4.6) > 0.05 {
		t.Errorf("W40: %v", got)
	}
	if got := Radius(100, Gauge{22, 30}).Cm(); math.Abs(got-7.2) > 0.05 {
		t.Errorf("W41: %v", got)
	}
	// W35, quiltnparty.com: 95 is no eight wedges; the error names 88 and 96.
	if _, err := (CrownPlan{}).Crown(95); err == nil || !strings.Contains(err.Error(), "decrease to 88 or increase to 96") {
		t.Errorf("W35: %v", err)
	}
}

func TestCrownProperties(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 5))
	for range 5000 {
		p := CrownPlan{Wedges: 4 + r.IntN(9), Leave: 1 + r.IntN(3), Edge: r.IntN(3), Lose: 1 + r.IntN(2), Rate: CrownRate(r.IntN(4)), Rounds: 30 + r.IntN(60)}
		wedge := p.Leave + p.Lose*r.IntN(20)
		n := p.Edge + p.Wedges*wedge
		c, err := p.Crown(n)
		if err != nil {
			t.Fatalf("%+v of %d: %v", p, n, err)
		}
		last, was := n, n
		for _, round := range c.Rounds() {
			if last = round.Count; last > was || round.Dec && was-last != p.Wedges*p.Lose || !round.Dec && was != last {
				t.Fatalf("%+v of %d: from %d to %d", p, n, was, last)
			}
			was = last
		}
		if last != c.Left || c.Left != p.Edge+p.Wedges*p.Leave {
			t.Fatalf("%+v of %d: ends with %d, says %d", p, n, last, c.Left)
		}
		if p.Rate == ToHeight && wedge > p.Leave && c.Schedule.Rows() != p.Rounds {
			t.Fatalf("%+v of %d: %d rounds", p, n, c.Schedule.Rows())
		}
	}
	for _, p := range []CrownPlan{{Wedges: -1}, {Leave: 20}, {Lose: 2, Leave: 2}, {Rate: ToHeight, Rounds: 3}} {
		if _, err := p.Crown(88); err == nil {
			t.Errorf("%+v made a crown of 88", p)
		}
	}
}

func TestRaglan(t *testing.T) {
	p := Plan{Rhythm: AnyRow, Placement: AtOnce}
	r, err := p.Raglan(RaglanLines{Body: 30, Sleeve: 22, Rows: 60}, false)
	if err != nil {
		t.Fatal(err)
	}
	joint, single := r.Both()
	if joint.Count() != 22 || single.Count() != 8 || r.Sleeve || joint.Rows()+single.Rows() != 60 {
		t.Errorf("joint %+v, single %+v", joint, single)
	}
	// In words: both every other round, then the body alone.
	a, err := Wording{Name: "Inc rnd", Round: true}.Write([]Schedule{joint})
	b, err2 := Wording{Name: "Body inc rnd", Round: true}.Write([]Schedule{single})
	if err != nil || err2 != nil || a.String() != "Rep Inc rnd every other rnd 21 times more." ||
		b.String() != "Work 1 rnd even. Rep Body inc rnd every other rnd 7 times more. Work 1 rnd even." {
		t.Errorf("%q %q %v %v", a, b, err, err2)
	}
	if _, err := (Plan{}).Raglans([]RaglanLines{{10, 10, 40}, {30, 22, 50}}, false); err == nil || !strings.Contains(err.Error(), "size 2") || !strings.Contains(err.Error(), "underarms") {
		t.Errorf("err = %v", err)
	}
	rnd := rand.New(rand.NewPCG(4, 6))
	for range 5000 {
		p := Plan{Rhythm: Rhythm(rnd.IntN(3)), Placement: Placement(rnd.IntN(4)), ShortFirst: rnd.IntN(2) == 0}
		l := RaglanLines{rnd.IntN(40), rnd.IntN(40), 84 + rnd.IntN(40)}
		r, err := p.Raglan(l, rnd.IntN(2) == 0)
		if err != nil {
			t.Fatalf("%+v %+v: %v", p, l, err)
		}
		joint, single := r.Both()
		body, sleeve := joint.Count(), joint.Count()
		if r.Sleeve {
			sleeve += single.Count()
		} else {
			body += single.Count()
		}
		if body != l.Body || sleeve != l.Sleeve || joint.Rows()+single.Rows() != l.Rows {
			t.Fatalf("%+v %+v: body %d, sleeve %d, %d rows", p, l, body, sleeve, joint.Rows()+single.Rows())
		}
		first, second := r.Parts()
		at := 0
		var events []int
		for _, s := range []Schedule{first, second} {
			for _, e := range s.Events() {
				events = append(events, at+e)
			}
			at += s.Rows()
		}
		if !slices.Equal(events, r.All.Events()) && len(events) > 0 {
			t.Fatalf("%+v %+v: parts %v, all %v", p, l, events, r.All.Events())
		}
	}
}
