package chart

import (
	"fmt"
	"slices"
	"sort"
	"strings"
	"testing"

	"rowproof/domain/fabric"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

func formOf(t *testing.T, text string, form Form) (string, bool, error) {
	t.Helper()
	ms := notation.Read(text)
	out, ok, err := InForm(ms, needle.Work(ms), 0, form)
	if err != nil || !ok {
		return "", ok, err
	}
	return strings.Join(out.Lines, "\n"), ok, nil
}

func TestForms(t *testing.T) {
	for _, test := range []struct {
		name, text string
		form       Form
		want       string // all lines, or "" with the words of the error in why
		why        string
	}{
		{"rib in the round loses its edge", "Multiple of 4 sts + 2\nRow 1 (RS): K2, *p2, k2; rep from * to end.\nRow 2: P2, *k2, p2; rep from * to end.", AsRound,
			"Multiple of 4 sts.\nRnd 1: *p2, k2; rep from * to end.\nRnd 2: *p2, k2; rep from * to end.", ""},
		{"seed on an odd number takes two passes", "Multiple of 2 sts + 1\nRow 1: *K1, p1; rep from * to last st, k1.", AsRound,
			"Multiple of 2 sts.\nRnd 1: *k1, p1; rep from * to end.\nRnd 2: *p1, k1; rep from * to end.", ""},
		{"seed mirrored is worked on both sides", "Multiple of 2 sts + 1\nEvery row: *K1, p1; rep from * to last st, k1.", Mirrored,
			"Multiple of 2 sts + 1.\nRow 1: K1, *p1, k1; rep from * to end.", ""},
		{"rows set up are worked once", "Multiple of 2 sts\nRow 1 (WS): Purl.\nRow 2: *K1, k1b; rep from * to end.\nRow 3: Purl.\nRep Rows 2 and 3.", AsRound,
			"Multiple of 2 sts.\nRnd 1: K to end.\nRnd 2: *k1, k1b; rep from * to end.\nRnd 3: K to end.\nRep Rnds 2 and 3.", ""},
		{"garter", "Multiple of 2 sts\nRow 1 (RS): Knit.\nRow 2: Knit.", AsRound, "", ""},
		{"a lace", "Multiple of 6 sts + 3\nRow 1 (RS): K2, *yo, ssk, k4; rep from * to last st, k1.\nRow 2: Purl.\nRow 3: K2, *k2, k2tog, yo, k2; rep from * to last st, k1.\nRow 4: Purl.", AsRound,
			"Multiple of 6 sts.\nRnd 1: *yo, ssk, k4; rep from * to end.\nRnd 2: K to end.\nRnd 3: *k2, k2tog, yo, k2; rep from * to end.\nRnd 4: K to end.", ""},
		{"a lace mirrored", "Multiple of 6 sts + 3\nRow 1 (RS): K2, *yo, ssk, k4; rep from * to last st, k1.\nRow 2: Purl.", Mirrored,
			"Multiple of 6 sts + 3.\nRow 1 (RS): K1, *k4, k2tog, yo; rep from * to last 2 sts, k2.\nRow 2: P to end.", ""},
		{"a cable mirrored", "Multiple of 8 sts + 2\nRow 1 (RS): P2, *k6, p2; rep from * to end.\nRow 2: K2, *p6, k2; rep from * to end.\nRow 3: P2, *3/3 LC, p2; rep from * to end.\nRow 4: K2, *p6, k2; rep from * to end.", Mirrored, "", ""},
		{"a cable in the round", "Multiple of 8 sts + 2\nRow 1 (RS): P2, *k6, p2; rep from * to end.\nRow 2: K2, *p6, k2; rep from * to end.\nRow 3: P2, *3/3 LC, p2; rep from * to end.\nRow 4: K2, *p6, k2; rep from * to end.", AsRound, "", ""},
		{"rounds flat", "Multiple of 4 sts\nRnd 1: *K2, p2; rep from * to end.\nRnd 2: *K1, p3; rep from * to end.", AsFlat,
			"Multiple of 4 sts.\nRow 1 (RS): *k2, p2; rep from * to end.\nRow 2: *k3, p1; rep from * to end.", ""},
		{"flat already", "Multiple of 4 sts\nRow 1 (RS): *K2, p2; rep from * to end.\nRow 2: *P2, k2; rep from * to end.", AsFlat, "", "is so"},
		{"own stitch on the wrong side", "Multiple of 4 sts\nTW: uses 2 sts, makes 2.\nRow 1 (RS): Knit.\nRow 2: *P2, tw; rep from * to end.", AsRound, "", "TW would be worked from the other side"},
		{"own stitch in a mirror", "Multiple of 4 sts\nTW: uses 2 sts, makes 2.\nRow 1 (RS): *K2, tw; rep from * to end.\nRow 2: Purl.", Mirrored, "", "the twin of TW is not known"},
		{"a panel cannot go round", "CO 6 sts.\nRow 1 (RS): K2, p2, k2.\nRow 2: P2, k2, p2.", AsRound, "", "nothing repeats across"},
		{"short rows", "CO 8 sts.\nRow 1 (RS): K4, turn.\nRow 2: P4.\nRow 3: Knit.\nRow 4: Purl.", Mirrored, "", "row"},
	} {
		t.Run(test.name, func(t *testing.T) {
			got, ok, err := formOf(t, test.text, test.form)
			switch {
			case test.why == "is so":
				if ok || err != nil {
					t.Errorf("ok %v, %v", ok, err)
				}
			case test.why != "":
				if err == nil || !strings.Contains(err.Error(), test.why) {
					t.Errorf("got %q, error %v; want one with %q", got, err, test.why)
				}
			case err != nil || !ok:
				t.Errorf("ok %v, error %v", ok, err)
			case test.want == "":
				t.Log(got)
			case got != test.want:
				t.Errorf("got\n%s\nwant\n%s", got, test.want)
			}
		})
	}
}

// Of every stitch pattern of the corpus that has a multiple: worked in the round
// (or flat) it shows the same faces on the right side, stitch upon stitch; the
// mirror of its mirror is itself.
func TestFormsOfTheCorpus(t *testing.T) {
	turned, mirrored, all := 0, 0, 0
	why := map[string][]string{}
	corpus(t, func(name string, ms *notation.Manuscript, res *needle.Result) {
		for i, p := range res.Parts {
			if p.CastOn != nil || p.Stated == nil || p.Stated.Of < 1 || len(p.Rows) == 0 {
				continue
			}
			c, err := Make(ms, res, i, Options{})
			if err != nil || c.Box == nil {
				continue
			}
			all++
			id := name + "/" + p.Name
			form := AsRound
			if c.Round {
				form = AsFlat
			}
			if out, _, err := InForm(ms, res, i, form); err != nil {
				why[string(form)+": "+reason(err)] = append(why[string(form)+": "+reason(err)], id)
			} else if text, err := sameFaces(ms, res, i, c, out.Text); err != nil {
				t.Errorf("%s %s: %v\n%s", id, form, err, text)
			} else {
				turned++
			}
			if out, _, err := InForm(ms, res, i, Mirrored); err != nil {
				why["mirrored: "+reason(err)] = append(why["mirrored: "+reason(err)], id)
			} else if text, err := backAgain(c, ms, res, i, out.Text); err != nil {
				t.Errorf("%s mirrored twice: %v\n%s", id, err, text)
			} else {
				mirrored++
			}
		}
	})
	var list []string
	for r, ids := range why {
		list = append(list, fmt.Sprintf("%4d %s: %s", len(ids), r, strings.Join(ids[:min(5, len(ids))], ", ")))
	}
	sort.Sort(sort.Reverse(sort.StringSlice(list)))
	t.Logf("%d stitch patterns with a multiple: %d turned, %d mirrored; not written:\n%s", all, turned, mirrored, strings.Join(list, "\n"))
	if turned < 130 || mirrored < 130 {
		t.Errorf("only %d turned and %d mirrored", turned, mirrored)
	}
}

// backAgain mirrors what was written mirrored and compares the fabric with the first.
func backAgain(c *Chart, ms *notation.Manuscript, res *needle.Result, part int, text string) (string, error) {
	ms2 := notation.Read(text)
	res2 := needle.Work(ms2)
	again, _, err := InForm(ms2, res2, len(res2.Parts)-1, Mirrored)
	if err != nil {
		return text, err
	}
	return samePart(ms, res, part, c, notation.Read(again.Text), c.Stitches, false, 0)
}

// sameFaces works the part as it is on four repeats, and as written otherwise on
// three, and looks for a repeat of the one that is the other's, from the first row
// to the last: the same workings as seen from the right side, upon the same stitches.
func sameFaces(ms *notation.Manuscript, res *needle.Result, part int, c *Chart, text string) (string, error) {
	ms2 := notation.Read(text)
	res2 := needle.Work(ms2)
	p2 := res2.Parts[len(res2.Parts)-1]
	if p2.Stated == nil {
		return text, fmt.Errorf("no multiple is read")
	}
	of := p2.Stated.Of
	a, err := fabric.Build(ms, res, part, 0, c.Stitches+3*c.Box.Of, -2)
	if err != nil {
		return text, err
	}
	b, err := fabric.Build(ms2, res2, len(res2.Parts)-1, 0, 3*of+p2.Stated.Plus, -1)
	if err != nil {
		return text, err
	}
	if a.Round == b.Round {
		return text, fmt.Errorf("round %v both", a.Round)
	}
	first := c.Rows[0].of // rows without a number may come before
	if len(a.Rows) < first+len(b.Rows) {
		return text, fmt.Errorf("%d rows and %d", len(a.Rows), len(b.Rows))
	}
	ltr := func(r *fabric.Row) []*fabric.Work { // from the right edge
		var ws []*fabric.Work
		for k := range r.Works {
			ws = append(ws, &r.Works[k])
		}
		if r.WS {
			slices.Reverse(ws)
		}
		return ws
	}
	loops := func(r *fabric.Row, ids []fabric.ID) []fabric.ID { // from the right edge
		ids = slices.Clone(ids)
		if r.WS {
			slices.Reverse(ids)
		}
		return ids
	}
	var fit func(k int, twin map[fabric.ID]fabric.ID) error
	fit = func(k int, twin map[fabric.ID]fabric.ID) error {
		if k == len(b.Rows) {
			return nil
		}
		r, s := &a.Rows[first+k], &b.Rows[k]
		x, y := ltr(r), ltr(s)
		n := len(y) / 3
		y = y[n : 2*n]
		last := fmt.Errorf("row %s: its repeat is not found", s.Name)
		for at := 0; at+n <= len(x); at++ {
			next := map[fabric.ID]fabric.ID{}
			ok := true
			for j := 0; j < n && ok; j++ {
				v, w := r.Seen(x[at+j]), s.Seen(y[j])
				if v.Kind == fabric.Plain {
					v.N, w.N = max(1, v.N), max(1, w.N)
				}
				v.Twist, w.Twist = false, false
				if v.Kind == w.Kind && v.Out > 1 && (v.Kind == fabric.Inc || v.Kind == fabric.Cluster) { // a kfb is said otherwise from the other side
					v.Kind, v.Lean, w.Kind, w.Lean, v.Purl, w.Purl = 0, 0, 0, 0, false, false
				}
				ok = v == w && len(x[at+j].In) == len(y[j].In) && len(x[at+j].Out) == len(y[j].Out)
				if !ok {
					break
				}
				p, q := loops(r, x[at+j].In), loops(s, y[j].In)
				for e := range q {
					z, known := twin[q[e]]
					ok = ok && (!known || z == p[e])
				}
				p, q = loops(r, x[at+j].Out), loops(s, y[j].Out)
				for e := range q {
					next[q[e]] = p[e]
					if a.Loops[p[e]].Row == int32(first+k) {
						ok = ok && a.Loops[p[e]].Face == b.Loops[q[e]].Face
					}
				}
			}
			if ok {
				if last = fit(k+1, next); last == nil {
					return nil
				}
			}
		}
		return last
	}
	return text, fit(0, map[fabric.ID]fabric.ID{})
}
