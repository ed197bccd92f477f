package draft

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"rowproof/domain/finding"
	"rowproof/domain/review"
	"rowproof/domain/sizing"
)

// Stitch patterns to draft with, flat and in the round; common stitches, written here.
var draftStitches = []struct{ flat, round sizing.DraftStitch }{
	{},
	{sizing.DraftStitch{Name: "Pebble", Of: 4, Plus: 2, Repeat: 4, Lines: []string{"Multiple of 4 sts + 2.", "Row 1 (RS): Knit.", "Row 2: Purl.", "Row 3: K1, *k2, p2; rep from * to last st, k1.", "Row 4: Purl."}},
		sizing.DraftStitch{Name: "Pebble", Of: 4, Repeat: 4, Lines: []string{"Multiple of 4 sts.", "Rnd 1: Knit.", "Rnd 2: Knit.", "Rnd 3: *K2, p2; rep from * to end.", "Rnd 4: Knit."}}},
	{sizing.DraftStitch{Name: "Fern", Of: 6, Plus: 1, Repeat: 4, Lines: []string{"Multiple of 6 sts + 1.", "Row 1 (RS): *K1, yo, ssk, k1, k2tog, yo; rep from * to last st, k1.", "Row 2: Purl.", "Row 3: K1, *k1, yo, sl1, k2tog, psso, yo, k2; rep from * to end.", "Row 4: Purl."}},
		sizing.DraftStitch{Name: "Fern", Of: 6, Repeat: 4, Lines: []string{"Multiple of 6 sts.", "Rnd 1: *K1, yo, ssk, k1, k2tog, yo; rep from * to end.", "Rnd 2: Knit.", "Rnd 3: *K2, yo, sl1, k2tog, psso, yo, k1; rep from * to end.", "Rnd 4: Knit."}}},
	{sizing.DraftStitch{Name: "Thicket", Of: 5, Plus: 4, Repeat: 6, Lines: []string{"Multiple of 5 sts + 4.", "Row 1 (RS): Knit.", "Row 2: Purl.", "Row 3: Knit.", "Row 4: Purl.", "Row 5: K4, *k3b, k4; rep from * to end.", "Row 6: Purl."}},
		sizing.DraftStitch{Name: "Thicket", Of: 5, Repeat: 6, Lines: []string{"Multiple of 5 sts.", "Rnd 1: Knit.", "Rnd 2: Knit.", "Rnd 3: Knit.", "Rnd 4: Knit.", "Rnd 5: *K3b, k4; rep from * to end.", "Rnd 6: Knit."}}},
}

// TestDraftsProve: every form, over a grid of gauges, sizes and stitch patterns
// drawn at random, is proved without an error or a doubt.
func TestDraftsProve(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 1))
	n := 160
	if testing.Short() {
		n = 5
	}
	for _, f := range sizing.Forms() {
		t.Run(f.Name, func(t *testing.T) {
			t.Parallel()
			bad := 0
			for k := range n {
				req, seed := draftAtRandom(r, f), k
				d, err := sizing.Make(req)
				if err != nil {
					t.Errorf("%d: %v\n%s", seed, err, tell(req))
					continue
				}
				res := review.Check(d.Manuscript)
				for _, x := range res.Findings {
					if x.Severity() != finding.Note && x.Code != "drops-collide" && x.Code != "drop-at-edge" {
						t.Errorf("%d: line %d: %s: %s\n%s\n%s", seed, x.Line, x.Code, x.Message, tell(req), numbered(d.Manuscript))
						bad++
						break
					}
				}
				for _, x := range res.Findings {
					if x.Code == "line-not-understood" {
						t.Errorf("%d: line %d: %s\n%s", seed, x.Line, x.Message, numbered(d.Manuscript))
						bad++
						break
					}
				}
				if bad > 2 {
					t.FailNow()
				}
			}
		})
	}
}

func tell(r sizing.Request) string {
	s := fmt.Sprintf("%s at %g x %g", r.Form, r.Gauge.Sts, r.Gauge.Rows)
	for _, x := range r.Sizes {
		s += fmt.Sprintf(" %s %v", x.Label, x.Wants)
	}
	return s
}

func numbered(s string) string {
	lines := strings.Split(s, "\n")
	for i := range lines {
		lines[i] = fmt.Sprintf("%3d %s", i+1, lines[i])
	}
	return strings.Join(lines, "\n")
}

// draftAtRandom asks for a form at 10 to 40 stitches to 10 cm, in one to nine sizes.
func draftAtRandom(r *rand.Rand, f sizing.Form) sizing.Request {
	sts := 10 + r.Float64()*30
	req := sizing.Request{Form: f.Name, Gauge: sizing.Gauge{Sts: sts, Rows: sts * (1.2 + r.Float64()*0.5)}}
	if s := draftStitches[r.IntN(len(draftStitches))]; s.flat.Name != "" {
		req.Stitch = &s.flat
		if f.Round {
			req.Stitch = &s.round
		}
	}
	n := 1 + r.IntN(9)
	from := f.Measures[0].Usual
	if from == 0 {
		from = sizing.Cm(50)
	}
	low := 0.6 + r.Float64()*0.3
	for i := range n {
		w := map[string]sizing.Length{f.Measures[0].Key: from * sizing.Length(low+float64(i)*0.09)}
		req.Sizes = append(req.Sizes, sizing.DraftSize{Label: fmt.Sprint(i + 1), Wants: w})
	}
	return req
}

// TestStitch: a stitch pattern is taken from a manuscript of its own, in the form
// that a piece wants, or it is said why it cannot be.
func TestStitch(t *testing.T) {
	const pebble = "Pebble\nMultiple of 4 sts + 2.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K1, *k2, p2; rep from * to last st, k1.\nRow 4: Purl.\n"
	flat, err := Stitch("", pebble, false)
	if err != nil || flat.Name != "Pebble" || flat.Of != 4 || flat.Plus != 2 || flat.Repeat != 4 {
		t.Errorf("flat: %+v, %v", flat, err)
	}
	round, err := Stitch("Shingle", pebble, true)
	if err != nil || round.Name != "Shingle" || round.Of != 4 || round.Plus != 0 || round.Repeat != 4 || !strings.Contains(strings.Join(round.Lines, "\n"), "Rnd 1") {
		t.Errorf("in the round: %+v, %v", round, err)
	}
	own, err := Stitch("", "Knots\nSpecial stitches\nMB: (k1, yo, k1) in next st, turn, p3, turn, sl1, k2tog, psso.\n\nMultiple of 4 sts + 1.\nRow 1 (RS): *K4; rep from * to last st, k1.\nRow 2: Purl.\nRow 3: K2, *MB, k3; rep from * to last 3 sts, MB, k2.\nRow 4: Purl.\n", false)
	if err != nil || len(own.Own) != 1 || !strings.HasPrefix(own.Own[0], "MB: ") {
		t.Errorf("with a stitch of its own: %+v, %v", own, err)
	}
	for name, text := range map[string]string{
		"errors of its own": strings.Replace(pebble, "k2, p2;", "k2, p1;", 1),
		"no rows":           "Pebble\n",
		"name no multiple":  "CO 9 sts.\nRow 1: Knit.\nRow 2: K2, p5, k2.\n",
		"gain or lose":      "CO 9 sts.\nRow 1 (RS): K1, yo, k to last st, yo, k1.\nRow 2: Purl.\nRep Rows 1 and 2.\n",
	} {
		if _, err := Stitch("", text, false); !errors.Is(err, ErrStitch) || !strings.Contains(err.Error(), name) && name != "gain or lose" {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// TestDraftWithStitch: a cowl in a dropped-stitch texture, from a stitch that was written flat.
func TestDraftWithStitch(t *testing.T) {
	s, err := Stitch("", "Thicket\nMultiple of 5 sts + 4.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: Purl.\nRow 5: K4, *k3b, k4; rep from * to end.\nRow 6: Purl.\n", true)
	if err != nil {
		t.Fatal(err)
	}
	d, err := Make(sizing.Request{Form: "cowl", Gauge: sizing.Gauge{Sts: 18, Rows: 26}, Stitch: s, Sizes: []sizing.DraftSize{{Label: "one size"}}})
	if err != nil {
		t.Fatal(err)
	}
	// 64 cm at 18 to 10 cm are 115.2 stitches: 115 = 23 x 5. 24 cm are 62.4 rounds; less 8 of the edges
	// 54.4 are nine repeats of 6.
	for _, want := range []string{"CO 115 sts", "Work Rnds 1–6 of Thicket 9 times."} {
		if !strings.Contains(d.Manuscript, want) {
			t.Errorf("%q is not in\n%s", want, d.Manuscript)
		}
	}
}

// BenchmarkDraftAndProve drafts a pullover in nine sizes and proves it: under 150 ms.
func BenchmarkDraftAndProve(b *testing.B) {
	f, err := sizing.FormNamed("set-in")
	if err != nil {
		b.Fatal(err)
	}
	sizes, err := sizing.SizesFrom(f, "women", "", "")
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := Make(sizing.Request{Form: "set-in", Gauge: sizing.Gauge{Sts: 20, Rows: 28}, Sizes: sizes}); err != nil {
			b.Fatal(err)
		}
	}
}
