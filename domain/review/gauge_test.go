package review

import (
	"strings"
	"testing"
)

// TestGoTogether: heads whose gauge, needle and weight class do and do not go together
// by the published ranges (domain/yarn/weights.tsv: DK 21–24 sts and 3.75–4.5 mm,
// worsted 16–20 sts and 4.5–5.5 mm).
func TestGoTogether(t *testing.T) {
	const rows = "\nCO 20 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\n"
	for _, c := range []struct{ head, line, want string }{
		{"Yarn: DK wool, 50 g = 120 m\nNeedles: 4 mm\nGauge: 22 sts and 30 rows = 10 cm in St st", "", ""},
		{"Yarn: DK wool\nNeedles: 4 mm\nGauge: 28 sts and 30 rows = 10 cm in garter st", "", ""},
		{"Yarn: DK wool\nNeedles: 4 mm\nGauge: 28 sts and 30 rows = 10 cm in reverse stockinette", "", ""},
		{"Yarn: DK wool\nNeedles: 4 mm\nGauge: 28 sts and 30 rows = 10 cm", "", ""},
		{"Yarn: fingering wool, two strands held together\nNeedles: 4 mm\nGauge: 20 sts and 28 rows = 10 cm in St st", "", ""},
		{"Yarn: DK wool\nNeedles: 3.25 mm and 4 mm\nGauge: 22 sts and 30 rows = 10 cm in stockinette", "", ""},
		{"Yarn: DK wool\nNeedles: 8 mm for the cast-on\nGauge: 22 sts and 30 rows = 10 cm in stockinette on 4 mm needles", "", ""},
		{"Yarn A: DK wool\nYarn B: worsted wool\nNeedles: 4.5 mm\nGauge: 19 sts and 26 rows = 10 cm in stockinette", "", ""},
		{"Yarn: DK wool, 600 m, balls of 100 g\nNeedles: 4 mm\nGauge: 22 sts and 30 rows = 10 cm in St st", "", ""},
		{"Yarn: DK wool\nNeedles: 4 mm\nGauge: 28 sts and 36 rows = 10 cm in St st", "Gauge", "the gauge of 28 sts = 10 cm does not go with 3 Light (DK, Light Worsted), which has 21–24 sts = 10 cm"},
		{"Yarn: DK wool\nNeedles: 8 mm\nTension: 22 sts and 30 rows = 10 cm in stocking stitch", "Needles", "the needle of 8 mm does not go with 3 Light (DK, Light Worsted), which has 3.75–4.5 mm"},
		{"Yarn: wool\nNeedles: US 11\nGauge: 22 sts and 30 rows = 10 cm in St st", "Needles", "the needle of 8 mm does not go with a gauge of 22 sts = 10 cm"},
		{"Yarn: worsted wool, 100 g = 400 m\nNeedles: 5 mm\nGauge: 18 sts and 24 rows = 4 in in St st", "Yarn", "the metres of 400 m per 100 g do not go with 4 Medium (Worsted, Afghan, Aran), which has 121–181 m per 100 g"},
		{"Yarn: Aran wool\nNeedles: 3 mm\nGauge: 28 sts and 36 rows = 10 cm in St st", "Gauge", "; the needle of 3 mm does not go with"},
	} {
		text := "A Square\n" + c.head + rows
		r := Check(text)
		said, line := "", ""
		for _, f := range r.Findings {
			if f.Code == "gauge-needle-yarn" {
				if said != "" {
					t.Errorf("said twice:\n%s", text)
				}
				said, line = f.Message, r.Manuscript.Source[f.Line-1]
			}
		}
		if (c.want == "") != (said == "") || !strings.Contains(said, c.want) || !strings.HasPrefix(line, c.line) {
			t.Errorf("%s\nsaid %q at %q; want %q at %q", c.head, said, line, c.want, c.line)
		}
	}
}

// A gauge is told behind its label or below its head: the piece measures the same.
func TestGaugeBelowItsHead(t *testing.T) {
	const rows = "\nBACK\nCast on 90 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2 until piece measures 13\".\nBind off all sts.\n"
	for _, head := range []string{
		"Gauge: 20 sts and 28 rows = 4\" in St st\n",
		"GAUGE\n20 sts and 28 rows = 4\" in St st on larger needles.\n",
		"Tension\n\n20 sts and 28 rows = 4\" in St st.\n",
		"## Gauge\nMeasured after blocking.\n20 sts and 28 rows = 4\" in St st.\n",
	} {
		r := Check("A PULLOVER\n\n" + head + rows)
		if m := r.Measurements; len(m) != 2 || m[0].Name != "width" || m[0].Cm[0] != 45 {
			t.Errorf("%q: measures %+v, want a width of 45 cm and a height", head, m)
		}
	}
}
