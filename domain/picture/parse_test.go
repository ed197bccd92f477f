package picture

import (
	"strings"
	"testing"
)

func TestParseColourways(t *testing.T) {
	const all = "A: #334455; B: stripes #aabbcc 30 cm, #112233 45cm\nC: tweed #eee flecks #a33; D: variegated #aa3333 12 in, #eeeedd 0.2 m, from 10 cm"
	c, err := ParseColourways(all, []string{"A", "B", "C", "D"})
	if err != nil {
		t.Fatal(err)
	}
	if c["B"].Runs[1].CM != 45 || c["D"].Runs[0].CM != 30.48 || c["D"].Runs[1].CM != 20 || c["D"].Start != 10 || c["C"].Flecks[0].R != 0xaa {
		t.Errorf("%+v", c)
	}
	const want = "A: #334455; B: stripes #aabbcc 30 cm, #112233 45 cm; C: tweed #eeeeee flecks #aa3333; D: variegated #aa3333 30.48 cm, #eeeedd 20 cm, from 10 cm"
	if got := c.String(); got != want {
		t.Errorf("written as\n%s", got)
	}
	if again, err := ParseColourways(want, nil); err != nil || again.String() != want {
		t.Errorf("read again: %v, %s", err, again)
	}
	for _, test := range []struct{ text, want string }{
		{"A: red", `"red"`}, {"A: #12345", "#12345"}, {"Z: #334455", "no yarn Z: it has A, B"}, {"A: #334455; a: #112233", "twice"},
		{"B: stripes #aabbcc", "no length"}, {"B: stripes #aabbcc 30", "no unit"}, {"B: stripes #aabbcc 30 cm", "two runs"}, {"B: stripes #aabbcc 30 ells, #112233 3 cm", "no unit"},
		{"B: stripes #aabbcc 0 cm, #112233 3 cm", "0.5 cm is the least"}, {"B: stripes #aabbcc -3 cm, #112233 3 cm", "no length"},
		{"A: tweed #eee", "flecks are missing"}, {"A:", "missing"}, {"A: #aabbcc #112233", "stripes or variegated"}, {"#aabbcc", "names no yarn"},
		{"A: stripes #aabbcc 1e300 cm, #112233 3 cm", "no length"}, {strings.Repeat(" ", 5000), "characters"},
	} {
		_, err := ParseColourways(test.text, []string{"A", "B"})
		if err == nil || !strings.Contains(err.Error(), test.want) {
			t.Errorf("%q: %v, want %q", test.text, err, test.want)
		}
	}
	if c, err := ParseColourways("#aabbcc", []string{"MC"}); err != nil || c["MC"].Runs[0].Colour.G != 0xbb {
		t.Errorf("the one yarn: %v %v", c, err)
	}
}

// TestHouse: the colours of yarns that the usual names go by are told apart, also in grey.
func TestHouse(t *testing.T) {
	for _, pair := range [][2]string{{"A", "B"}, {"MC", "CC"}, {"B", "C"}, {"A", "C"}, {"CC", "CC2"}, {"A", "D"}, {"D", "E"}} {
		var l [2]float64
		for i, y := range pair {
			c := house(y, 0)
			l[i] = 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
		}
		a, b := max(l[0], l[1])+0.05, min(l[0], l[1])+0.05
		if a/b < 1.35 {
			t.Errorf("%v: their lightness is as %.2f to 1", pair, a/b)
		}
	}
}

func FuzzParseColourways(f *testing.F) {
	f.Add("A: #334455; B: stripes #aabbcc 30 cm, #112233 45cm")
	f.Add("C: tweed #eee flecks #a33; D: variegated #aa3333 12 in, #eeeedd 0.2 m, from 10 cm")
	f.Fuzz(func(t *testing.T, s string) {
		c, err := ParseColourways(s, nil)
		if err != nil {
			return
		}
		w := c.String()
		again, err := ParseColourways(w, nil)
		if err != nil || again.String() != w {
			t.Errorf("%q is written %q: %v", s, w, err)
		}
		for _, x := range c {
			for _, cm := range []float64{0, 1, -5, 1e9} {
				x.ColourAt(cm)
			}
		}
	})
}
