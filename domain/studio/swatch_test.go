package studio_test

import (
	"errors"
	"testing"

	"rowproof/domain/notation"
	"rowproof/domain/studio"
)

// harbour is a swatch worked by hand: before washing 33 sts over 15 cm and 44 rows over
// 15.2 cm; after 33 sts over 14.4 cm, 44 rows over 16 cm. 22 and 28.9 to 10 cm become
// 22.9 and 27.5; each stitch is 14.4/15 as wide (−4 %), each row 16/15.2 as high (+5.3 %).
// 12.5 g of 50 g = 112 m are 28 m.
var harbour = studio.Swatch{
	Stitch: "stockinette", Yarn: "Harbour DK", Needle: "4 mm",
	Before: studio.Counted{Sts: 33, Width: 15, Rows: 44, Height: 15.2}, After: studio.Counted{Sts: 33, Width: 14.4, Rows: 44, Height: 16},
	Grams: 12.5, Width: 18, Height: 17, BallMetres: 112, BallGrams: 50,
}

func TestSwatchFigures(t *testing.T) {
	if sts, rows := harbour.Before.Per10(); sts != 22 || rows != 28.9 {
		t.Errorf("before: %g, %g", sts, rows)
	}
	if sts, rows := harbour.After.Per10(); sts != 22.9 || rows != 27.5 {
		t.Errorf("after: %g, %g", sts, rows)
	}
	if w, h, okW, okH := harbour.Washing(); w != -4 || h != 5.3 || !okW || !okH {
		t.Errorf("washing: %g, %g", w, h)
	}
	if m := harbour.Metres(); m != 28 {
		t.Errorf("metres: %g", m)
	}
	if l := harbour.GaugeLine(); l != "Gauge: 22.9 sts and 27.5 rows = 10 cm in stockinette on 4 mm needles, washed" {
		t.Error(l)
	}
	if l := harbour.WeightLine(); l != "Swatch: 18 x 17 cm weighs 12.5 g" {
		t.Error(l)
	}
	ms := notation.Read("A Hat\n" + harbour.GaugeLine() + "\n" + harbour.WeightLine() + "\nCO 80 sts.\nRow 1: Knit.\n")
	if g := ms.Gauges(); len(g) != 1 || g[0].Stitches != 22.9 || g[0].Rows != 27.5 || len(ms.Findings.Findings) > 0 {
		t.Errorf("the line reads as %+v; %v", g, ms.Findings.Findings)
	}
	raw := harbour
	raw.After, raw.BallMetres, raw.BallGrams, raw.Width = studio.Counted{}, 0, 0, 0
	if _, _, okW, okH := raw.Washing(); okW || okH || raw.Metres() != 0 || raw.WeightLine() != "" || raw.GaugeLine() != "Gauge: 22 sts and 28.9 rows = 10 cm in stockinette on 4 mm needles" {
		t.Errorf("not washed yet: %q %q", raw.GaugeLine(), raw.WeightLine())
	}
}

func TestSwatchValidate(t *testing.T) {
	if err := harbour.Validate(); err != nil {
		t.Error(err)
	}
	if err := (studio.Swatch{StitchID: 1}).Validate(); err != nil {
		t.Errorf("a stitch alone: %v", err)
	}
	for name, change := range map[string]func(*studio.Swatch){
		"no stitch":          func(s *studio.Swatch) { s.Stitch = "" },
		"a count over none":  func(s *studio.Swatch) { s.Before.Width = 0 },
		"no number":          func(s *studio.Swatch) { s.After.Rows = -1 },
		"no weight":          func(s *studio.Swatch) { s.Grams = -1 },
		"half a band":        func(s *studio.Swatch) { s.BallGrams = 0 },
		"two lines":          func(s *studio.Swatch) { s.Yarn = "A\nB" },
		"a width of furlong": func(s *studio.Swatch) { s.Before.Width = 20000 },
	} {
		s := harbour
		change(&s)
		if err := s.Validate(); !errors.Is(err, studio.ErrInvalid) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
