package sizing_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"rowproof/domain/review"
	. "rowproof/domain/sizing"
)

// proved reads a manuscript in three sizes and wants no error or warning, and
// these stitches at the end of its one part.
func proved(t *testing.T, body string, want []int) {
	t.Helper()
	text := "Osier Sample\n\nSizes: S (M, L)\n\nSleeve\n" + body
	rep := review.Check(text).Report
	for _, f := range rep.Findings {
		if f.Severity != "note" {
			t.Fatalf("%s\n%s (line %d): %s", text, f.Code, f.Line, f.Message)
		}
	}
	if len(rep.Parts) != 1 {
		t.Fatalf("%s\n%d parts", text, len(rep.Parts))
	}
	var got []int
	for _, c := range rep.Parts[0].FinalCounts {
		if c != nil {
			got = append(got, *c)
		}
	}
	if !slices.Equal(got, want) {
		t.Fatalf("%s\nends with %v, want %v", text, got, want)
	}
}

// only is the head of a line that some sizes work.
func only(sizes []int) string {
	if sizes == nil {
		return ""
	}
	var names []string
	for _, i := range sizes {
		names = append(names, [...]string{"S", "M", "L"}[i])
	}
	if len(names) == 1 {
		return "Size " + names[0] + " only: "
	}
	return "Sizes " + strings.Join(names, " and ") + " only: "
}

// TestScheduleWordsProve writes random schedules and has them proved: the words
// give the events that the numbers gave, on the side they were placed on.
func TestScheduleWordsProve(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 8))
	for range 400 {
		p := Plan{Rhythm: Rhythm(r.IntN(3)), Placement: Placement(r.IntN(4)), ShortFirst: r.IntN(2) == 0}
		round := p.Rhythm == AnyRow
		named := r.IntN(2) == 0
		k, n, after := make([]int, 3), make([]int, 3), make([]int, 3)
		sts := []int{60, 70, 80}
		shaped := false
		for i := range k {
			n[i] = 2 * (20 + r.IntN(20))
			if k[i] = r.IntN(n[i] / 3); named {
				k[i]++
			}
			shaped = shaped || k[i] > 0
			after[i] = sts[i] + 2*k[i]
		}
		if !shaped {
			continue
		}
		ss, err := p.Schedules(k, n)
		if err != nil {
			t.Fatal(err)
		}
		w := Wording{Round: round, Count: CountWord(r.IntN(2)), UK: r.IntN(2) == 0}
		inc := "Inc row (RS): K1, m1, k to last st, m1, k1."
		if w.Do = "Inc 1 st at each end"; named {
			if w.Name = "Inc row"; round {
				w.Name, inc = "Inc rnd", strings.Replace(inc, "row (RS)", "rnd", 1)
			}
		}
		got, err := w.Write(ss)
		if err != nil {
			t.Fatal(err)
		}
		lines := []string{"CO " + Vector(sts) + " sts."}
		switch p.Rhythm {
		case AnyRow:
			lines[0] += " Join to work in the round."
			lines = append(lines, "Rnd 1: Knit.")
		case RSNext:
			lines = append(lines, "Row 1 (RS): Knit.", "Row 2: Purl.")
		default:
			lines = append(lines, "Row 1 (RS): Knit.")
		}
		if got.Before != "" {
			lines = append(lines, got.Before)
		}
		if named {
			lines = append(lines, inc)
		}
		if got.Shape != "" {
			lines = append(lines, only(got.Only)+got.Shape)
		}
		if got.After != "" {
			lines = append(lines, got.After)
		}
		if side := map[Rhythm]string{RSNext: " (RS)", WSNext: " (WS)", AnyRow: ""}[p.Rhythm]; round {
			lines = append(lines, "Next rnd: Knit.")
		} else {
			lines = append(lines, "Next row"+side+": Knit.") // all n are even: the side is that of the start
		}
		proved(t, strings.Join(lines, "\n")+"\nBind off all sts.\n", after)
	}
}

// TestEvenWordsProve does the same for rows of even events.
func TestEvenWordsProve(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 9))
	for range 400 {
		p := Evenly{Convention: Convention(r.IntN(3)), Event: [...]Event{Make1, K2tog, {"kfb", 1, 2}}[r.IntN(3)], ShortFirst: r.IntN(2) == 0}
		if r.IntN(3) == 0 {
			p.Repeat, p.Left = Multiple{6, 5}, 2
		}
		n, k := make([]int, 3), make([]int, 3)
		for i := range n {
			n[i] = 65 + 12*i + 6*r.IntN(2)
			k[i] = 1 + r.IntN(8)
		}
		rows, err := p.Rows(n, k)
		if err != nil {
			t.Fatalf("%+v %v %v: %v", p, n, k, err)
		}
		got, err := p.Write(rows, EvenWording{Star: r.IntN(2) == 0})
		if err != nil || got.Only != nil {
			t.Fatal(got, err)
		}
		proved(t, fmt.Sprintf("CO %s sts.\nRow 1 (RS): %s (%s sts)\nBind off all sts.\n", Vector(n), got.Shape, Vector(p.Counts(n, k))), p.Counts(n, k))
	}
}

// TestSlopeWordsProve binds off both shoulders and keeps the neck.
func TestSlopeWordsProve(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 10))
	for range 100 {
		sts, after := make([]int, 3), make([]int, 3)
		ss := make([]Slope, 3)
		rows, base := 2+2*r.IntN(5), 12+r.IntN(12)
		for i := range sts {
			shoulder := base + r.IntN(3) + 3*i
			after[i] = 20 + 2*i
			sts[i] = after[i] + 2*shoulder
			ss[i] = Shoulder(shoulder, rows)
		}
		proved(t, fmt.Sprintf("CO %s sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\n%s %s sts.\nPlace sts on a holder.\n", Vector(sts), Slopes(ss), Vector(after)), after)
	}
}
