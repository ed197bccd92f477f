package document

import (
	"strings"
	"testing"
)

// Conversions by the exact inch, yard and ounce of 1959; the rounding (quarter
// inches, half centimetres) is common practice.
func TestUnits(t *testing.T) {
	for _, c := range []struct {
		units    Units
		in, want string
	}{
		{Imperial, "Until piece measures 38 cm from cast-on edge.", "Until piece measures 15 in from cast-on edge."},
		{Imperial, "until body measures 40 (42, 44) cm", "until body measures 15¾ (16½, 17¼) in"},
		{Imperial, "20 sts and 28 rows = 10 cm", "20 sts and 28 rows = 4 in"},
		{Imperial, "20 sts to 10 cm in rib", "20 sts to 4 inches in rib"},
		{Imperial, "50 g / 105 m balls", "1¾ oz / 115 yd balls"},
		{Imperial, "4 mm needles, 80 cm long", "4 mm needles, 31½ in long"},
		{Metric, "Knit for 4 in. Bind off.", "Knit for 10 cm. Bind off."},
		{Metric, "1½ in wide", "4 cm wide"},
		{Metric, "2 1/2\" from the edge", "6.5 cm from the edge"},
		{Metric, "work 12 in the round", "work 12 in the round"},
		{Metric, "210 yds of DK", "192 m of DK"},
		{Metric, "3.5 oz", "100 g"},
		{Both, "until it measures 5 cm", "until it measures 5 cm / 2 in"},
		{Both, "10 cm / 4 in", "10 cm / 4 in"},
		{Imperial, "10 cm (4 in)", "10 cm (4 in)"},
		{Imperial, "place 2 m, k1, m1", "place 2 m, k1, m1"},
		{Imperial, "k3, sl 10 m and k3tog; k2 (3, 4)", "k3, sl 10 m and k3tog; k2 (3, 4)"},
		{Imperial, "k10, m1, 12 g st rows", "k10, m1, 12 g st rows"},
	} {
		got := c.units.convert(c.in, strings.Contains(c.in, "k"))
		if want := c.want; spaces(got) != want {
			t.Errorf("%s: %q gives %q, want %q", c.units, c.in, got, want)
		}
	}
}

func spaces(s string) string {
	out := []rune(s)
	for i, r := range out {
		if r == '\u00a0' {
			out[i] = ' '
		}
	}
	return string(out)
}
