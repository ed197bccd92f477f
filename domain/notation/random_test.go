package notation

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// gen draws random trees: what a draft, a chart or a designer would build.
type gen struct {
	t     *rapid.T
	sizes int
	vocab *Vocabulary
}

func (g gen) n(lo, hi int) int        { return rapid.IntRange(lo, hi).Draw(g.t, "n") }
func (g gen) yes(of int) bool         { return g.n(1, of) == 1 }
func (g gen) pick(s ...string) string { return rapid.SampledFrom(s).Draw(g.t, "pick") }

// num is one number, or one for each size; leave allows sizes left out.
func (g gen) num(lo, hi int, leave bool) Num {
	if g.sizes == 1 || !g.yes(3) {
		return N(g.n(lo, hi))
	}
	n := Num{}
	for range g.sizes {
		v := g.n(lo, hi)
		if leave && g.yes(6) {
			v = Skip
		}
		n.Vals = append(n.Vals, v)
	}
	if n.Vals[0] == Skip && len(slices.Compact(slices.Clone(n.Vals))) == 1 {
		n.Vals[0] = hi // left out at every size, it would say nothing
	}
	return n
}

var allKeys = func() []string {
	var ks []string
	for _, line := range strings.Split(strings.TrimSpace(vocabularyTSV), "\n") {
		if k, _, ok := strings.Cut(line, "\t"); ok && !strings.HasPrefix(k, "#") && k != "key" && k != "as-set" && k != "patt" { // those that mean the whole row
			ks = append(ks, k)
		}
	}
	return ks
}()

// do is any stitch of the vocabulary, the common ones more often.
func (g gen) do() *Do {
	key := g.pick("k", "p", "k", "p", "k", "p", "ktog", "yo", "ssk", "sl", "kfb", "m1", "?", "?", "?")
	if key == "?" {
		key = rapid.SampledFrom(allKeys).Draw(g.t, "key")
	}
	d := &Do{Key: key}
	s := g.vocab.Stitch(key)
	for range max(strings.Count(s.Forms[0], "@"), 0) {
		d.Params = append(d.Params, g.n(2, 9))
	}
	if g.yes(2) {
		d.Times = g.num(1, 40, g.sizes > 1)
	}
	if g.yes(12) && (key == "k" || key == "p") {
		switch g.n(1, 3) {
		case 1:
			d.Wraps = g.n(2, 4)
		case 2:
			d.From = "cn"
		default:
			d.From = "holder"
		}
	}
	return d
}

// do1 is a stitch worked once.
func (g gen) do1(key string) *Do { return &Do{Key: key, Params: []int{g.n(2, 4)}} }

// worked is a list that begins with a stitch: brackets around nothing but a
// change of yarn fall away when read.
func (g gen) worked(lo, hi, depth int) []Op {
	return append([]Op{g.do()}, g.list(lo-1, hi-1, depth)...)
}

func (g gen) list(lo, hi, depth int) []Op {
	var ops []Op
	for range g.n(lo, hi) {
		ops = append(ops, g.op(depth))
	}
	return ops
}

func (g gen) dos(lo, hi int) []Op {
	var ops []Op
	for range g.n(lo, hi) {
		ops = append(ops, g.do())
	}
	return ops
}

func (g gen) rowTarget() Target {
	switch g.n(1, 7) {
	case 1, 2:
		return Target{Kind: ToEnd}
	case 7:
		return Target{Kind: ToWorked, N: g.num(2, 40, false), Name: g.pick("gap", "")}
	case 3:
		return Target{Kind: ToLast, N: g.num(1, 12, false)}
	case 4:
		return Target{Kind: ToMarker, N: N(g.n(0, 5))}
	case 5:
		return Target{Kind: ToGap, N: N(g.n(0, 3))}
	}
	return Target{Kind: TargetCentre, N: N(g.n(0, 3))}
}

func (g gen) repTarget() Target {
	switch g.n(1, 7) {
	case 1:
		return Target{Kind: ToRest}
	case 2:
		return Target{Kind: TimesInAll, N: g.num(2, 20, false)}
	case 3:
		return Target{Kind: TimesMore, N: g.num(1, 20, true)}
	case 4:
		return Target{Kind: TimesTotal, N: g.num(2, 20, false)}
	}
	return g.rowTarget()
}

func (g gen) op(depth int) Op {
	if depth <= 0 || g.yes(2) {
		return g.do()
	}
	switch g.n(1, 17) {
	case 1, 2:
		return &Group{Body: g.worked(1, 3, depth-1), Times: g.num(1, 12, true)}
	case 3:
		return &Until{Body: g.worked(1, 3, depth-1), To: g.rowTarget()}
	case 4, 5:
		r := &Repeat{Body: g.worked(1, 4, depth-1), To: g.repTarget()}
		if g.yes(5) {
			r.Last = []Op{&Do{Key: "k", Times: N(g.n(1, 9))}}
			if g.yes(2) {
				r.Instead = []Op{&Do{Key: "p", Times: N(g.n(1, 9))}, g.do1("ktog")}
			}
		}
		return r
	case 6:
		in := &Into{Body: g.dos(1, 5), Sts: N(1)}
		if g.yes(3) {
			in.Times = N(g.n(2, 9))
		}
		return in
	case 7:
		a := &Again{Body: []Op{&Do{Key: "p", Times: N(g.n(1, 5))}}, Times: N(g.n(2, 5))}
		last := g.do1(g.pick("ktog", "k", "yo", "ssk"))
		if last.Key != "ktog" {
			last.Params = nil
		}
		a.Body = append(a.Body, last)
		a.Idiom = last.Key != "k" && last.Key != "p"
		return a
	case 8:
		return &Turn{Wrap: g.yes(2)}
	case 9:
		return &Mark{Do: g.pick("place", "slip", "remove")}
	case 10:
		return &BindOff{N: g.num(1, 12, true)}
	case 11:
		return &CastOn{N: g.num(1, 12, true)}
	case 12:
		return &ToCable{N: N(g.n(1, 6)), Side: g.pick("front", "back", "")}
	case 13:
		return &Hold{N: g.num(2, 20, false)}
	case 14:
		return &Return{N: N(g.n(1, 4))}
	case 15:
		return &UseYarn{Yarn: g.pick("A", "B", "MC", "CC")}
	case 16:
		return &DropAll{}
	}
	return &Unhold{N: g.num(2, 20, false)}
}

func (g gen) stated() []Stated {
	if !g.yes(2) {
		return nil
	}
	kind := []CountKind{CountAll, CountAll, CountAll, CountInc, CountDec, CountSide, CountBetween}[g.n(0, 6)]
	return []Stated{{Kind: kind, N: g.num(2, 300, kind == CountAll)}}
}

func (g gen) onlySizes() []int {
	if g.sizes < 2 || !g.yes(5) {
		return nil
	}
	var only []int
	for k := range g.sizes {
		if g.yes(2) {
			only = append(only, k)
		}
	}
	return only
}

func (g gen) row(number int, round bool) *Row {
	h := Head{Round: round}
	switch g.n(1, 8) {
	case 1:
		h.Words = g.pick("Next ", "Set-up ", "Dec ", "Last ", "Buttonhole ") + pick(round, "rnd", "row")
	case 2:
		h.Numbers = []int{number, number + 2}
	case 3:
		h.Numbers = []int{number, number + 1, number + 2}
	case 4:
		h.Numbers = []int{number}
		h.Every = []Every{{Step: 2}, {Step: 4}, {Odd: true}, {Even: true}}[g.n(0, 3)]
	default:
		h.Numbers = []int{number}
		if g.yes(5) {
			h.Letter = g.pick("a", "b")
		}
	}
	if !round && !h.Every.On() {
		h.Side = g.pick("RS", "WS", "", "")
	}
	r := &Row{Head: h, Stated: g.stated(), Only: g.onlySizes()}
	if number > 2 && g.yes(6) {
		r.As = &RowRef{Numbers: []int{g.n(1, number-1)}}
		return r
	}
	switch {
	case g.yes(10):
		r.Body = g.byNeedle()
	case g.yes(10):
		r.Body = []Op{&Do{Key: "k", Times: N(g.n(1, 4))}, &Until{Body: []Op{&Do{Key: g.pick("p", "k")}}, To: Target{Kind: ToRest}}, &Do{Key: "k", Times: N(g.n(1, 4))}}
	default:
		r.Body = g.list(1, 6, 3)
		offCable(r.Body) // "sl 2 to cn, k1, k1 from cn": both are off it, as the reader takes it
	}
	return r
}

// byNeedle is a row told needle by needle.
func (g gen) byNeedle() []Op {
	var ops []Op
	n := g.n(2, 4)
	for k := 1; k <= n; k++ {
		ops = append(ops, &Mark{Do: "needle", Name: itoa(k)})
		to := Target{Kind: ToLast, N: N(0), Name: "needle"}
		switch {
		case g.yes(2):
			to.N = g.num(1, 6, true)
			ops = append(ops, &Do{Key: "k", Times: N(g.n(1, 3))}, &Until{Body: []Op{&Do{Key: "k"}}, To: to}, &Do{Key: "ktog", Params: []int{2}})
			continue
		case k == n:
			to = Target{Kind: ToEnd}
		}
		ops = append(ops, g.do1("ptog"), &Until{Body: []Op{&Do{Key: "p"}}, To: to})
	}
	return ops
}

// every is "every 8th (6th) row 3 (5) times", and then again.
func (g gen) every() When {
	w := When{Every: g.n(3, 12), Times: g.num(1, 9, true)}
	if g.yes(2) {
		if n := g.num(3, 12, false); !n.Single() {
			w.Every, w.Each = n.Vals[0], n
		}
	}
	if g.yes(2) {
		v := g.every()
		w.Then = &v
	}
	return w
}

func (g gen) sentence() Item {
	switch g.n(1, 4) {
	case 1:
		r := &RepRows{Stated: g.stated(), Only: g.onlySizes()}
		switch g.n(1, 3) {
		case 1:
			r.Ref.Numbers = []int{1, 2, 3, 4}[:g.n(1, 4)]
		case 2:
			r.Ref.Last = g.n(1, 8)
		default:
			r.Ref.Words = "Dec row"
		}
		switch g.n(1, 4) {
		case 1:
			r.Until.Sts = g.num(4, 90, false)
		case 2:
			r.Stated = nil // "2 cm (2 sts inc'd)": the bracket may be more of the length
			r.Until.Length = "piece measures " + fmt.Sprint(g.n(2, 60)) + " cm"
			r.Until.Ends = g.pick("RS", "WS", "")
		default:
			r.Times = Target{Kind: []TargetKind{TimesInAll, TimesMore, TimesTotal}[g.n(0, 2)], N: g.num(1, 30, true)}
		}
		if r.Ref.Words != "" && g.yes(3) {
			r.Times, r.Until = Target{}, Until_{}
			r.When = g.every()
		}
		return r
	case 2:
		s := &Shape{Do: g.pick("dec", "inc"), N: N(1), At: "both", Places: 2, Stated: g.stated(), Only: g.onlySizes()}
		switch g.n(1, 4) {
		case 1:
			s.When = When{Next: 1, First: true, Every: g.n(2, 12), Times: g.num(1, 20, true)}
		case 2:
			s.When = When{Every: g.n(1, 12), Times: g.num(1, 20, true)}
			s.When.More = g.yes(3)
		case 3:
			s.When = When{Every: 2, Side: g.pick("RS", "WS")}
			s.Until = g.num(3, 60, false)
		default:
			s.When = When{Every: g.n(3, 12), Times: g.num(1, 9, false), Then: &When{Every: g.n(3, 12), Times: g.num(1, 9, false)}}
		}
		s.Same = g.yes(6)
		return s
	case 3:
		return &Shape{Do: "bind", N: g.num(2, 12, true), At: "beg", Places: 1, When: When{Next: g.n(1, 6)}, Stated: g.stated(), Only: g.onlySizes()}
	}
	if g.yes(2) {
		return &Straight{Rows: g.num(2, 60, true), Stated: g.stated(), Only: g.onlySizes()}
	}
	return &Straight{Length: fmt.Sprintf("piece measures %d cm", g.n(3, 60)), Ends: g.pick("RS", "WS", ""), Only: g.onlySizes()}
}

// laid is a sentence that lays the stitches out.
func (g gen) laid() *Prose {
	n := []Num{g.num(5, 30, false), g.num(5, 30, false), g.num(5, 30, false)}
	if g.yes(2) {
		return &Prose{Text: fmt.Sprintf("Arrange the sts N1: %s, N2: %s, N3: %s", num(n[0]), num(n[1]), num(n[2])), Lay: &Lay{Needles: true, On: n, Count: 3}}
	}
	return &Prose{Text: fmt.Sprintf("Hang 5 markers with %s sts between them", num(n[0])), Lay: &Lay{Each: n[0], Count: 5}}
}

func (g gen) manuscript() *Manuscript {
	ms := &Manuscript{Title: "Pebble Path", Own: map[string]*Stitch{}}
	ms.Items = append(ms.Items, &Title{Text: ms.Title})
	switch g.sizes {
	case 1:
		ms.Sizes = []string{""}
	default:
		ms.Sizes = []string{"XS", "S", "M", "L", "XL", "2XL"}[:g.sizes]
		ms.Items = append(ms.Items, &Sizes{Names: ms.Sizes})
	}
	for part := range g.n(1, 2) {
		ms.Items = append(ms.Items, &Heading{Text: []string{"Back", "Left Sleeve"}[part], Kind: HeadPiece})
		if g.yes(3) {
			m := &Multiple{Of: g.n(1, 24), Plus: g.n(0, 12)}
			if g.yes(3) {
				m.Edge = g.n(1, 3)
			}
			ms.Items = append(ms.Items, m)
		}
		round := g.yes(3)
		b := &Begin{N: g.num(3, 300, false), How: "cast on", Round: round, Stated: nil}
		b.Marked = round && g.yes(2)
		ms.Items = append(ms.Items, b)
		for i := range g.n(1, 6) {
			ms.Items = append(ms.Items, g.row(i*3+1, round))
			if g.yes(3) {
				ms.Items = append(ms.Items, g.sentence())
			}
			if g.yes(12) {
				ms.Items = append(ms.Items, g.laid())
			}
		}
		switch g.n(1, 6) {
		case 1, 2, 3:
			ms.Items = append(ms.Items, &BindOffAll{})
		case 4:
			ms.Items = append(ms.Items, &HoldAll{N: g.num(2, 60, true), Rem: g.yes(2)})
		}
	}
	return ms
}

// TestWriteRandom holds read(write(tree)) == tree, and that a second writing is
// the first, over random trees.
func TestWriteRandom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := gen{t, rapid.IntRange(1, 6).Draw(t, "sizes"), Standard()}
		ms := g.manuscript()
		once := Write(ms)
		back := Read(once)
		if d := Difference(ms, back); d != "" {
			t.Fatalf("read again: %s\n--- written:\n%s", d, once)
		}
		if twice := Write(back); twice != once {
			t.Fatalf("the second writing differs:\n%s\n--- from\n%s", twice, once)
		}
	})
}
