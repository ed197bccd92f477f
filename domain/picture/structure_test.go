package picture

import (
	"bytes"
	"errors"
	"fmt"
	"image/png"
	"slices"
	"strings"
	"testing"

	"rowproof/domain/fabric"
)

// seen is what is drawn on top at each subpixel: which loop, and how far along it.
type seen struct {
	fr *frame
	c  *canvas
}

func look(t testing.TB, f *fabric.Fabric, opt Options) *seen {
	t.Helper()
	fr, err := lay(f, opt)
	if err != nil {
		t.Fatal(err)
	}
	b := fr.brush()
	w, h := fr.size()
	list, shapes := fr.place(b, newVat(f, nil, 1, 1), w, h)
	sprites := make([]*sprite, len(shapes))
	for i := range shapes {
		sprites[i] = b.draw(&shapes[i])
	}
	for i := range list {
		list[i].s = sprites[list[i].key]
		for q := range list[i].ramps {
			list[i].ramps[q] = uint16(list[i].loop)
		}
	}
	c := newCanvas(w, h)
	c.band(list, 0, h)
	return &seen{fr, c}
}

// legs is the share of legs, against heads and feet, in what is seen about the
// stitches of some columns, edges left out: near 1 for the V of knit stitches, low for purl bumps.
func (s *seen) legs(columns func(c int) bool) float64 {
	f := s.fr.p.f
	legs, all := 0, 0
	b := s.fr.brush()
	for id := range f.Loops {
		l := &f.Loops[id]
		if l.Row < 2 || int(l.Row) > len(f.Rows)-4 || l.Column < 2 || int(l.Column) > f.Columns-3 || !columns(int(l.Column)) {
			continue
		}
		n := b.pixel(s.fr.p.at[id])
		for y := int(n.y - s.fr.p.h*b.scale); y < int(n.y); y++ {
			for x := int(n.x - b.scale*0.3); x < int(n.x+b.scale*0.3); x++ {
				i := y*s.c.w + x
				if s.c.z[i] == none {
					continue
				}
				all++
				if a := s.c.px[i] & 255; a > 34 && a < 106 || a > 149 && a < 221 {
					legs++
				}
			}
		}
	}
	return float64(legs) / float64(max(1, all))
}

func every(int) bool { return true }

// TestFaces: common practice, read from what is drawn on top. The right side of
// stockinette is all legs, its wrong side all bumps; garter looks the same from
// both sides; 2x2 rib has knit columns on both.
func TestFaces(t *testing.T) {
	st := build(t, "CO 12 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2.", 0, 6)
	rs, ws := look(t, st, Options{}).legs(every), look(t, st, Options{WS: true}).legs(every)
	t.Logf("stockinette: %.2f legs on RS, %.2f on WS", rs, ws)
	if rs < 0.85 || ws > 0.35 {
		t.Errorf("stockinette shows %.2f legs on RS, %.2f on WS", rs, ws)
	}
	garter := build(t, "CO 12 sts.\nRow 1 (RS): Knit.\nRow 2: Knit.\nRep Rows 1 and 2.", 0, 6)
	grs, gws := look(t, garter, Options{}).legs(every), look(t, garter, Options{WS: true}).legs(every)
	t.Logf("garter: %.2f legs on RS, %.2f on WS", grs, gws)
	if d := grs - gws; d > 0.08 || d < -0.08 || grs > 0.6 {
		t.Errorf("garter shows %.2f legs on RS, %.2f on WS", grs, gws)
	}
	rib := build(t, "CO 16 sts.\nRow 1 (RS): *K2, p2; rep from * to end.\nRow 2: *K2, p2; rep from * to end.\nRep Rows 1 and 2.", 0, 6)
	for _, side := range []bool{false, true} {
		s := look(t, rib, Options{WS: side})
		knit := s.legs(func(c int) bool { return (c%4 < 2) != side })
		purl := s.legs(func(c int) bool { return (c%4 < 2) == side })
		t.Logf("rib, WS %v: %.2f legs in knit columns, %.2f in purl columns", side, knit, purl)
		if knit < 0.8 || purl > 0.45 {
			t.Errorf("rib, WS %v: %.2f legs in knit columns, %.2f in purl columns", side, knit, purl)
		}
	}
}

// top is the loop on top at a place of the fabric, -1 where there is a hole.
func (s *seen) top(v vec) int {
	n := s.fr.brush().pixel(v)
	i := int(n.y)*s.c.w + int(n.x)
	if s.c.z[i] == none {
		return -1
	}
	return int(s.c.px[i] >> 16)
}

// TestHole: a yarn over opens the fabric, plain stockinette is closed.
func TestHole(t *testing.T) {
	holes := func(text string) int {
		f := build(t, text, 0, 1)
		s := look(t, f, Options{Scale: 24})
		n := 0
		b := s.fr.brush()
		for y := range s.c.h {
			for x := range s.c.w {
				// well inside
				if x > int(2.5*b.scale) && x < s.c.w-int(2.5*b.scale) && y > int(2*b.scale) && y < s.c.h-int(2*b.scale) && s.c.z[y*s.c.w+x] == none {
					n++
				}
			}
		}
		return n
	}
	plain := holes("CO 15 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2 4 times more.")
	lace := holes("CO 15 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: Purl.\nRow 5: K6, k2tog, yo, k7.\nRow 6: Purl.\nRow 7: Knit.\nRow 8: Purl.\nRow 9: Knit.\nRow 10: Purl.")
	t.Logf("%d subpixels open in stockinette, %d with one yarn over (a stitch is 48 wide)", plain, lace)
	if lace < plain+150 {
		t.Errorf("%d subpixels open in stockinette, %d with a yarn over", plain, lace)
	}
}

// TestCrossing: c6f lays its left-leaning strands over the others on RS, c6b under.
func TestCrossing(t *testing.T) {
	for _, op := range []string{"c6f", "c6b"} {
		f := build(t, "CO 16 sts.\nRow 1 (RS): P5, k6, p5.\nRow 2: K5, p6, k5.\nRow 3: P5, "+op+", p5.\nRow 4: K5, p6, k5.\nRow 5: P5, k6, p5.\nRow 6: K5, p6, k5.", 0, 1)
		for _, ws := range []bool{false, true} {
			s := look(t, f, Options{WS: ws})
			front, behind := 0, 0
			for id := range f.Loops {
				l := &f.Loops[id]
				if l.Cross == fabric.Straight {
					continue
				}
				for dx := -20; dx <= 20; dx++ {
					for dy := range 20 {
						v := s.fr.p.at[id].add(vec{float64(dx) / 40, float64(dy) / 40, 0})
						if s.top(v) == id {
							if l.Cross == fabric.InFront {
								front++
							} else {
								behind++
							}
						}
					}
				}
			}
			if (front > behind) == ws {
				t.Errorf("%s, WS %v: %d points seen of the loops in front, %d of those behind", op, ws, front, behind)
			}
		}
	}
}

// TestBelow: a stitch worked three below stands over the rows it dropped, the
// ladders behind its legs on RS.
func TestBelow(t *testing.T) {
	f := build(t, "CO 9 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: Purl.\nRow 5: Knit.\nRow 6: Purl.\nRow 7: K4, k3b, k4.\nRow 8: Purl.", 0, 1)
	s := look(t, f, Options{})
	c := f.Catches[0]
	p := s.fr.p
	if h := p.top[c.Loop].y - p.foot[c.Loop].y; h < 2.2*p.h {
		t.Errorf("it is %.2f rows high", h/p.h)
	}
	for _, x := range []float64{0.6, 0.8} {
		v := between(p.foot[c.Loop], p.top[c.Loop], x)
		for _, side := range []float64{-1, 1} {
			w := v
			w.x += side * (0.17 + 0.2*x)
			if got := s.top(w); got != int(c.Loop) {
				t.Errorf("at %.1f of its height loop %d lies on top", x, got)
			}
		}
	}
}

// TestSame: the same fabric is drawn the same, whatever else goes on.
func TestSame(t *testing.T) {
	l := looks[6]
	f := build(t, l.text, l.sts, l.passes)
	var a, b, c bytes.Buffer
	for _, w := range []*bytes.Buffer{&a, &b} {
		if err := PNG(w, f, Options{}); err != nil {
			t.Fatal(err)
		}
	}
	if !bytes.Equal(a.Bytes(), b.Bytes()) {
		t.Error("two pictures differ")
	}
	img, err := png.Decode(&a)
	if err != nil {
		t.Fatal(err)
	}
	want, err := Draw(f, Options{})
	if err != nil || img.Bounds() != want.Bounds() {
		t.Fatal(err, img.Bounds())
	}
	for y := range want.Bounds().Dy() {
		for x := range want.Bounds().Dx() {
			r, g, bl, _ := img.At(x, y).RGBA()
			if q := want.RGBAAt(x, y); uint8(r>>8) != q.R || uint8(g>>8) != q.G || uint8(bl>>8) != q.B {
				t.Fatalf("pixel %d, %d is not what was drawn", x, y)
			}
		}
	}
	if err := SVG(&c, f, Options{}); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"<title", "<desc", "<path", "stitches worked below", `role="img"`} {
		if !strings.Contains(c.String(), want) {
			t.Errorf("the SVG has no %s", want)
		}
	}
}

// TestBounds: what would be too large says so, and how to draw it; what is out of range says so.
func TestBounds(t *testing.T) {
	f := build(t, "CO 3000 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2 29 times more.", 0, 1)
	var big *TooLarge
	if _, err := Draw(f, Options{Scale: 20, Window: Window{ToRow: 30}}); !errors.As(err, &big) || !strings.Contains(err.Error(), "part of it") {
		t.Errorf("3000 stitches: %v", err)
	}
	if err := SVG(&bytes.Buffer{}, f, Options{Scale: 20}); !errors.As(err, &big) {
		t.Errorf("3000 stitches as SVG: %v", err)
	}
	if err := SVG(&bytes.Buffer{}, f, Options{Scale: 4, Window: Window{ToRow: 20}}); !errors.As(err, &big) || big.Most != MaxPaths {
		t.Errorf("60000 stitches as SVG: %v", err)
	}
	if _, err := Draw(f, Options{Scale: 4}); !errors.As(err, &big) || !strings.Contains(err.Error(), "120000 stitches") {
		t.Errorf("180000 stitches: %v", err)
	}
	img, err := Draw(f, Options{Scale: 12, Window: Window{100, 130, 20, 50}})
	if err != nil {
		t.Fatal(err)
	}
	if x := img.Bounds().Dx(); x < 29*12 || x > 31*12 {
		t.Errorf("a window of 30 stitches at 12 pixels is %d wide", x)
	}
	small := build(t, "CO 300 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2 99 times more.", 0, 1)
	if _, err := Draw(small, Options{Scale: 24}); !errors.As(err, &big) || big.Fits < minScale {
		t.Errorf("300 by 200 at 24: %v", err)
	} else if _, err := Draw(small, Options{Scale: big.Fits}); err != nil {
		t.Errorf("at the scale advised: %v", err)
	}
	for _, o := range []Options{{Scale: 3}, {Scale: 65}, {Scale: -1}, {Window: Window{5, 5, 0, 0}}, {Window: Window{FromRow: 9999}}} {
		if _, err := Draw(small, o); err == nil {
			t.Errorf("%+v is drawn", o)
		}
	}
	if _, err := Draw(nil, Options{}); err == nil {
		t.Error("no fabric is drawn")
	}
}

// rowColours gives the colour of each column's loop in a row, as letters by the runs of its yarn.
func rowColours(f *fabric.Fabric, v *vat, row int) string {
	out := make([]byte, f.Columns)
	for id := range f.Loops {
		if l := &f.Loops[id]; int(l.Row) == row {
			c := v.colour(f, int32(id))
			i := slices.IndexFunc(v.ways[l.Yarn].Runs, func(r Run) bool { return r.Colour == c })
			out[l.Column] = byte('a' + i)
		}
	}
	return string(out)
}

// TestPooling: runs of two rounds' yarn make stripes of two rounds, whatever
// the number of stitches; runs of half a round's yarn stand over each other as
// two pools; in flat rows the same runs turn with the work.
func TestPooling(t *testing.T) {
	g := Gauge{22, 30}
	l := g.LoopLength()
	if l < 1.80 || l > 1.83 { // sqrt(21.7 / 6.6): see munden
		t.Fatalf("a loop of %.3f cm at 22 by 30", l)
	}
	const n = 24
	way := func(cm, start float64) Colourways {
		ws, err := ParseColourways(fmt.Sprintf("stripes #112233 %f cm, #aabbcc %f cm, from %f cm", cm, cm, start), nil)
		if err != nil {
			t.Fatal(err)
		}
		return ws
	}
	round := build(t, "CO 24 sts. Join to work in the round.\nRnd 1: Knit.\nRep Rnd 1.", 0, 12)
	// the cast-on takes a round's yarn first
	v := newVat(round, way(2*n*l, n*l), l, 10/g.Stitches)
	for r := range round.Rows {
		want := strings.Repeat(string("ab"[(r+2)/2%2]), n)
		if got := rowColours(round, v, r); got != want {
			t.Errorf("two rounds a run: round %d is %s", r+1, got)
		}
	}
	v = newVat(round, way(n*l/2, 0), l, 10/g.Stitches)
	for r := range round.Rows {
		if got := rowColours(round, v, r); got != strings.Repeat("a", n/2)+strings.Repeat("b", n/2) {
			t.Errorf("half a round a run: round %d is %s", r+1, got)
		}
	}
	flat := build(t, "CO 24 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2.", 0, 4)
	v = newVat(flat, way(n*l/2, 0), l, 10/g.Stitches)
	for r := range flat.Rows {
		a, b := strings.Repeat("a", n/2), strings.Repeat("b", n/2)
		want := a + b // counted from the right edge, where RS rows begin
		if flat.Rows[r].WS {
			want = b + a
		}
		if got := rowColours(flat, v, r); got != want {
			t.Errorf("half a row a run, flat: row %d is %s", r+1, got)
		}
	}
}
