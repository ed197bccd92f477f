package fabric

import "testing"

// kinds writes the workings of a row as they lie, from the right edge, one
// character a column.
func kinds(f *Fabric, row int) string {
	out := make([]byte, f.Columns)
	for i := range out {
		out[i] = '.'
	}
	r := &f.Rows[row]
	for i := range r.Works {
		w := &r.Works[i]
		s := r.Seen(w)
		c := "koMLIDSBXbcOfCd?"[w.Kind]
		if s.Purl && w.Kind == Plain {
			c = 'p'
		}
		for _, x := range w.Columns {
			out[x] = c
		}
	}
	for i, c := range r.RestAt {
		_ = i
		out[c] = '-'
	}
	return string(out)
}

func TestColumns(t *testing.T) {
	for _, test := range []struct {
		name, text string
		sts        int
		want       []string // from the first row up
	}{
		{"lace", `Multiple of 10 sts + 1.
Row 1 (RS): K1, *yo, k3, sk2p, k3, yo, k1; rep from * to end.
Row 2: Purl.
Row 3: K1, *k1, yo, k2, sl 1, k2tog, psso, k2, yo, k2; rep from * to end.`, 21, []string{
			"kokkkDkkkokokkkDkkkok", "kkkkkkkkkkkkkkkkkkkkk", "kkokkDkkokkkokkDkkokk"}},
		{"leaf", `Multiple of 6 sts + 1.
Row 1 (RS): P3, *k1, p5; rep from * to last 4 sts, k1, p3.
Row 2: K3, *p1, k5; rep from * to last 4 sts, p1, k3.
Row 3: P3, *yo, k1, yo, p5; rep from * to last 4 sts, yo, k1, yo, p3.
Row 4: K3, *p3, k5; rep from * to last 6 sts, p3, k3.
Row 5: P3, *k1, yo, k1, yo, k1, p5; rep from * to last 6 sts, k1, yo, k1, yo, k1, p3.
Row 6: K3, *p5, k5; rep from * to last 8 sts, p5, k3.
Row 7: P3, *ssk, k1, k2tog, p5; rep from * to last 8 sts, ssk, k1, k2tog, p3.
Row 8: K3, *p3, k5; rep from * to last 6 sts, p3, k3.
Row 9: P3, *sk2p, p5; rep from * to last 6 sts, sk2p, p3.
Row 10: K3, *p1, k5; rep from * to last 4 sts, p1, k3.
Row 11: P3, *yo, k1, yo, p5; rep from * to last 4 sts, yo, k1, yo, p3.`, 7, []string{
			"ppp..k..ppp", "ppp..k..ppp", "ppp.oko.ppp", "ppp.kkk.ppp", "pppkokokppp", "pppkkkkkppp",
			"ppp.DkD.ppp", "ppp.kkk.ppp", "ppp..D..ppp", "ppp..k..ppp", "ppp.oko.ppp"}},
		{"shaped", `CO 16 sts.
Row 1 (RS): K2, ssk, k to last 4 sts, k2tog, k2.
Row 2: Purl.
Row 3: K2, ssk, k to last 4 sts, k2tog, k2.
Row 4: BO 2, p to end.
Row 5: BO 2, k to end.`, 0, []string{
			".kkDkkkkkkkkDkk.", ".kkkkkkkkkkkkkk.", "..kkDkkkkkkDkk..", "..kkkkkkkkkkff..", "..ffkkkkkkkk...."}},
		{"grown", `CO 3 sts.
Row 1 (RS): K1, yo, k1, yo, k1.
Row 2: Knit.
Row 3: K1, yo, k to last st, yo, k1.`, 0, []string{".kokok.", ".ppppp.", "kokkkok"}},
		{"cluster and bobble stitch", `Multiple of 4 sts.
Row 1 (RS): Purl.
Row 2: *(K1, p1, k1) in next st, p3tog; rep from * to end.
Row 3: Purl.`, 8, []string{"pppppppp", "DIIIDIII", "pppppppp"}},
		{"short row", `CO 6 sts.
Row 1 (RS): K4, turn.
Row 2: Sl 1, p to end.
Row 3: Knit.`, 0, []string{"kkkk--", "kkkS--", "kkkkkk"}},
		{"slipped and over", `CO 4 sts.
Row 1 (RS): K1, sl 1 wyif, k2.
Row 2: P2, sl 1, p1.`, 0, []string{"kSkk", "kSkk"}},
	} {
		f := build(t, test.text, test.sts, 1)
		for i, want := range test.want {
			if i >= len(f.Rows) {
				t.Errorf("%s: row %d is missing", test.name, i+1)
			} else if got := kinds(f, i); got != want {
				t.Errorf("%s: row %s lies\n%s, want\n%s", test.name, f.Rows[i].Name, got, want)
			}
		}
	}
}

func TestCrossings(t *testing.T) {
	for _, test := range []struct{ op, from string }{
		{"sl 2 sts to cn and hold in front, k2, k2 from cn", "2301"},
		{"c4f", "2301"}, {"c4b", "2301"}, {"2/2 RC", "2301"},
		{"sl 1 st to cn and hold in back, k3, k1 from cn", "1230"}, {"3/1 RC", "1230"}, {"1/3 LC", "1230"},
		{"1/2/1 LC", "3120"},
		{"sl 2 to cn, hold in front, p2, k2 from cn", "2301"}, {"2/2 LPC", "2301"},
	} {
		f := build(t, "CO 4 sts.\nRow 1 (RS): "+test.op+".\n", 0, 1)
		w := f.Rows[0].Works
		if len(w) != 1 || w[0].Kind != Cross {
			t.Errorf("%s: %d workings", test.op, len(w))
			continue
		}
		got := ""
		purl := 0
		for _, id := range w[0].Out {
			got += string(rune('0' + f.Parents(id)[0]))
			if f.Loops[id].Face == Purl {
				purl++
				if f.Loops[id].Cross != Behind {
					t.Errorf("%s: a purl lies at %d", test.op, f.Loops[id].Cross)
				}
			}
		}
		if got != test.from {
			t.Errorf("%s: loops %s, want %s", test.op, got, test.from)
		}
	}
}

// pullover is a text of 400 rows on about 100 stitches in nine sizes.
const pullover = `Sizes: 1 (2, 3, 4, 5, 6, 7, 8, 9)
CO 84 (88, 92, 96, 100, 104, 108, 112, 116) sts.
Row 1 (RS): *K2, p2; rep from * to end.
Row 2: *K2, p2; rep from * to end.
Rep Rows 1 and 2 19 times more.
Row 3: K2, *c4f, k4; rep from * to last 2 (6, 2, 6, 2, 6, 2, 6, 2) sts, k to end.
Row 4: Purl.
Rep Rows 3 and 4 179 times more.
`

func BenchmarkPullover(b *testing.B) {
	ms, res := read(pullover)
	b.ReportAllocs()
	for b.Loop() {
		for size := range 9 {
			if _, err := Build(ms, res, 0, size, 0, 1); err != nil {
				b.Fatal(err)
			}
		}
	}
}
