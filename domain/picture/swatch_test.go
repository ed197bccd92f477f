package picture

import (
	"testing"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

func TestSwatch(t *testing.T) {
	for _, c := range []struct {
		name, text    string
		columns, rows int
	}{
		{"a stitch pattern, some repeats", "Multiple of 6 sts + 5\n\nRow 1 (RS): K5, *p1, k5; rep from * to end.\nRow 2: P5, *k1, p5; rep from * to end.", 29, 36},
		{"a cowl in its cast-on", "CO 72 sts, join in the round, pm.\nRnd 1: *K2, p2; rep from * to end.\nRep Rnd 1 39 times more.", 60, 40},
		{"a tiny piece", "CO 9 sts.\nRow 1: Knit.\nRow 2: Purl.", 9, 2},
	} {
		ms := notation.Read(c.text)
		res := needle.Work(ms)
		f, w, err := Swatch(ms, res, Best(res), 0)
		if err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		if got := w.ToColumn - w.FromColumn; got != c.columns || w.ToRow-w.FromRow != c.rows {
			t.Errorf("%s: %d stitches by %d rows, want %d by %d", c.name, got, w.ToRow-w.FromRow, c.columns, c.rows)
		}
		if _, err := Draw(f, Options{Window: w}); err != nil {
			t.Errorf("%s: %v", c.name, err)
		}
	}
	if res := needle.Work(notation.Read("A title\n")); Best(res) != -1 {
		t.Error("a text without rows has a part to draw")
	}
}

func TestGaugeOf(t *testing.T) {
	for _, c := range []struct {
		text string
		want Gauge
	}{
		{"Gauge: 22 sts and 30 rows = 10 cm in stockinette", Gauge{22, 30}},
		{"Tension: 11 sts and 15 rows to 5 cm", Gauge{22, 30}},
		{"Gauge: 20 sts = 4 in", Gauge{20, 0}},
		{"Yarn: 50 g", Gauge{}},
	} {
		if got := GaugeOf(notation.Read("A\n\n" + c.text + "\n")); got != c.want {
			t.Errorf("%s: %v, want %v", c.text, got, c.want)
		}
	}
}
