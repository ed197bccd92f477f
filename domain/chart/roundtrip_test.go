package chart

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"

	"rowproof/domain/fabric"
	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// corpus tells every manuscript of the corpus that proves.
func corpus(t testing.TB, visit func(name string, ms *notation.Manuscript, res *needle.Result)) {
	t.Helper()
	files, err := filepath.Glob("../review/testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	for _, file := range files {
		a, err := txtar.ParseFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range a.Files {
			if pat := os.Getenv("ROWPROOF_CORPUS"); pat != "" {
				if ok, _ := filepath.Match(pat, filepath.Base(file)); !ok {
					continue
				}
			}
			if !strings.HasSuffix(f.Name, ".txt") {
				continue
			}
			ms := notation.Read(string(f.Data))
			res := needle.Work(ms)
			if !slices.ContainsFunc(res.Findings.Findings, func(f finding.Finding) bool { return f.Severity() == finding.Error }) {
				visit(strings.TrimSuffix(filepath.Base(file), ".txtar"), ms, res)
			}
		}
	}
}

// TestRowsChartRows: rows -> chart -> rows gives the same worked fabric, for
// every part of the corpus that can be charted; on one repeat more as well
// where there is a repeat; and as drawn by hand, without the names of the
// stitches the chart was made from.
func TestRowsChartRows(t *testing.T) {
	charted, wider, sized, drawn := 0, 0, 0, 0
	unsaid := map[string]int{}
	skipped := map[string][]string{}
	corpus(t, func(name string, ms *notation.Manuscript, res *needle.Result) {
		for i, p := range res.Parts {
			id := name + "/" + p.Name
			c, err := Make(ms, res, i, Options{})
			if err != nil {
				skipped["not charted: "+reason(err)] = append(skipped["not charted: "+reason(err)], id)
				continue
			}
			out, err := c.Manuscript(ms)
			if err != nil {
				skipped["not written: "+reason(err)] = append(skipped["not written: "+reason(err)], id)
				continue
			}
			if text, err := samePart(ms, res, i, c, out, c.Stitches, true, 0); err != nil {
				t.Errorf("%s: %v\n%s", id, err, text)
				continue
			}
			if c.Box != nil { // and on one repeat more
				if text, err := samePart(ms, res, i, c, out, c.Stitches+c.Box.Of, true, 0); err != nil {
					t.Errorf("%s, one repeat more: %v\n%s", id, err, text)
					continue
				}
				wider++
			}
			if n := len(p.CastOn); n > 1 { // and in the largest size
				if big, err := Make(ms, res, i, Options{Size: n - 1}); err == nil {
					if o, err := big.Manuscript(ms); err == nil {
						if text, err := samePart(ms, res, i, big, o, big.Stitches, true, n-1); err != nil {
							t.Errorf("%s, largest size: %v\n%s", id, err, text)
							continue
						}
						sized++
					}
				}
			}
			charted++
			hand := byHand(c)
			if out, err = hand.Manuscript(ms); err != nil {
				unsaid[reason(err)]++
			} else if text, err := samePart(ms, res, i, hand, out, c.Stitches, false, 0); err != nil {
				t.Errorf("%s, drawn by hand: %v\n%s", id, err, text)
			} else {
				drawn++
			}
		}
	})
	var why []string
	n := 0
	for r, ids := range skipped {
		n += len(ids)
		why = append(why, fmt.Sprintf("%4d %s: %s", len(ids), r, strings.Join(ids[:min(4, len(ids))], ", ")))
	}
	sort.Sort(sort.Reverse(sort.StringSlice(why)))
	t.Logf("%d parts charted and written again (%d of them on one repeat more as well, %d in the largest size; %d as drawn by hand, others are not said by their symbols: %v), %d skipped:\n%s",
		charted, wider, sized, drawn, unsaid, n, strings.Join(why, "\n"))
	if charted < 315 && os.Getenv("ROWPROOF_CORPUS") == "" {
		t.Errorf("only %d parts charted and written again", charted)
	}
}

// samePart works out both manuscripts and compares the rows charted.
func samePart(ms *notation.Manuscript, res *needle.Result, part int, c *Chart, out *notation.Manuscript, stitches int, exact bool, size int) (string, error) {
	text := notation.Write(out)
	ms2 := notation.Read(text)
	res2 := needle.Work(ms2)
	if len(res2.Parts) == 0 {
		return text, fmt.Errorf("nothing is read")
	}
	a, err := fabric.Build(ms, res, part, size, stitches, 2)
	if err != nil {
		return text, err
	}
	b, err := fabric.Build(ms2, res2, len(res2.Parts)-1, 0, stitches, 1)
	if err != nil {
		return text, err
	}
	return text, sameFabric(c, a, b, exact)
}

// byHand is the chart as someone would draw it: symbols and numbers only.
func byHand(c *Chart) *Chart {
	d := *c
	d.Rows = slices.Clone(c.Rows)
	for i := range d.Rows {
		d.Rows[i].Cells = slices.Clone(c.Rows[i].Cells)
		for k := range d.Rows[i].Cells {
			cell := &d.Rows[i].Cells[k]
			cell.Takes = 0
			if cell.Key != dropAll && !strings.HasPrefix(cell.Key, "own:") {
				cell.Key = ""
			}
			if cell.Symbol == "own" || cell.Symbol == "bobble" {
				cell.Takes = c.takes(&c.Rows[i].Cells[k])
			}
		}
	}
	return &d
}

// reason is an error without its numbers.
func reason(err error) string {
	f := strings.FieldsFunc(err.Error(), func(r rune) bool { return r >= '0' && r <= '9' })
	s := strings.Join(f, "#")
	if len(s) > 110 {
		s = s[:110]
	}
	return s
}

// sameFabric compares the rows that the chart shows of a with those of b.
func sameFabric(c *Chart, a, b *fabric.Fabric, exact bool) error {
	if len(b.Rows) < len(c.Rows) {
		return fmt.Errorf("%d rows worked, %d charted", len(b.Rows), len(c.Rows))
	}
	twin := map[fabric.ID]fabric.ID{}
	for k := range c.Rows {
		if err := sameRow(c, a, b, c.Rows[k].of, k, twin, exact); err != nil {
			return fmt.Errorf("row %s: %w", c.Rows[k].Number, err)
		}
	}
	return nil
}

// left says that a row of the fabric is left out of the chart.
func left(c *Chart, row int32) bool {
	return row >= 0 && !slices.ContainsFunc(c.Rows, func(r Row) bool { return r.of == int(row) })
}

func sameRow(c *Chart, a, b *fabric.Fabric, i, k int, twin map[fabric.ID]fabric.ID, exact bool) error {
	r, s := &a.Rows[i], &b.Rows[k]
	if r.WS != s.WS || r.Round != s.Round {
		return fmt.Errorf("WS %v and %v, round %v and %v", r.WS, s.WS, r.Round, s.Round)
	}
	if n, m := heldTogether(r.Works), heldTogether(s.Works); n != nil && m != nil {
		ra, sb := *r, *s
		ra.Works, sb.Works = n, m
		r, s = &ra, &sb
	}
	if len(r.Works) != len(s.Works) {
		return fmt.Errorf("%d workings and %d", len(r.Works), len(s.Works))
	}
	yarn := func(f *fabric.Fabric, y uint8) string { return f.Yarns[y] }
	for j := range r.Works {
		v, w := &r.Works[j], &s.Works[j]
		x, y := r.Seen(v), s.Seen(w)
		if x.Kind == fabric.Plain {
			x.N, y.N = max(1, x.N), max(1, y.N)
		}
		if !exact {
			x.Twist, y.Twist = false, false
			if x.Kind == fabric.Inc || x.Kind == fabric.Bobble || x.Kind == fabric.Own {
				x.Kind, y.Kind, x.Purl, y.Purl, x.Lean, y.Lean = 0, 0, false, false, 0, 0
			}
		}
		if x != y {
			return fmt.Errorf("working %d is %+v (%s) and %+v (%s)", j+1, x, v.Key, y, w.Key)
		}
		if !exact { // of two stitches with one symbol, either
			continue
		}
		for n := range v.In {
			p, q := v.In[n], w.In[n]
			if z, ok := twin[p]; ok && z != q {
				return fmt.Errorf("working %d takes another loop", j+1)
			}
			twin[p] = q
			// A loop of a row left out of the chart stands for that of the row shown
			// below, which an increase may have twisted when it made it.
			born := left(c, a.Loops[p].Row) && b.BornTwisted(q)
			if (a.Loops[p].Twist || born) != b.Loops[q].Twist {
				return fmt.Errorf("working %d: twist %v and %v", j+1, a.Loops[p].Twist, b.Loops[q].Twist)
			}
		}
		for n := range v.Out {
			p, q := v.Out[n], w.Out[n]
			if z, ok := twin[p]; ok && z != q {
				return fmt.Errorf("working %d makes another loop", j+1)
			}
			twin[p] = q
			l, m := a.Loops[p], b.Loops[q]
			if l.Row == int32(i) && (l.Face != m.Face || l.Cross != m.Cross || max(1, l.Wraps) != max(1, m.Wraps)) {
				return fmt.Errorf("working %d: loop %+v and %+v", j+1, l, m)
			}
			if len(a.Yarns) > 1 && len(b.Yarns) > 1 && l.Row == int32(i) && !strings.EqualFold(yarn(a, l.Yarn), yarn(b, m.Yarn)) && yarn(a, l.Yarn) != "" {
				return fmt.Errorf("working %d in yarn %q and %q", j+1, yarn(a, l.Yarn), yarn(b, m.Yarn))
			}
			g, h := a.Parents(p), b.Parents(q)
			if l.Row != int32(i) {
				continue
			}
			if len(h) == 0 && k == 0 && left(c, int32(i)-1) {
				continue // it reaches down to a row that is not shown
			}
			if len(g) != len(h) {
				return fmt.Errorf("working %d: %d parents and %d", j+1, len(g), len(h))
			}
			for e := range g {
				if z, ok := twin[g[e]]; ok && z != h[e] {
					return fmt.Errorf("working %d is drawn through another loop", j+1)
				}
			}
		}
	}
	if len(r.Rest) != len(s.Rest) || len(r.Dropped) != len(s.Dropped) {
		return fmt.Errorf("%d left and %d dropped, %d and %d", len(r.Rest), len(r.Dropped), len(s.Rest), len(s.Dropped))
	}
	return nil
}

// heldTogether takes stitches that go to two holders, one beside the other, for one working: a chart
// shows where they go, not to which.
func heldTogether(works []fabric.Work) []fabric.Work {
	var out []fabric.Work
	for _, w := range works {
		if n := len(out); n > 0 && w.Kind == fabric.Held && out[n-1].Kind == fabric.Held {
			out[n-1].In = append(slices.Clone(out[n-1].In), w.In...)
			continue
		}
		out = append(out, w)
	}
	return out
}
