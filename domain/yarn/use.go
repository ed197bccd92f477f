package yarn

import (
	"math"
	"regexp"
	"strings"

	"rowproof/domain/fabric"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/sizing"
)

// Use is the yarn of one colour that a pattern takes, per size, in metres, without
// swatch and margin.
type Use struct {
	Yarn              string // as the rows name it; "" for the only one
	Metres, Low, High []float64
}

// Estimate is the yarn of a pattern, or why it cannot be told.
type Estimate struct {
	Uses  []Use
	Why   string // where Uses is empty
	Basis string // what the figures stand on
}

// Munden's constant ks, stitches to a unit of area times the square of the loop
// length. D. L. Munden, "The geometry and dimensional properties of plain-knit fabrics",
// J. Text. Inst. 50 (1959) T448-T471: dry relaxed 19.0, wet relaxed 21.6, from memory.
// Fully relaxed, washed and tumbled: 23.1 = 5.5 x 4.2 (GATE 2015, textile engineering, question 54).
const (
	DryRelaxed   = 19.0
	WetRelaxed   = 21.6
	FullyRelaxed = 23.1
)

// LoopLength is the yarn in one stitch of stockinette at its gauge: the square root of
// ks over stitches to the area. The gauge of a puckered texture gives a false one.
func LoopLength(g sizing.Gauge, ks float64) sizing.Length {
	if g.Sts <= 0 || g.Rows <= 0 {
		return 0
	}
	return sizing.Length(math.Sqrt(ks * float64(g.StitchWidth()) * float64(g.RowHeight())))
}

// How much yarn what is no plain stitch takes, in loop lengths or in widths of a
// stitch, and by how much either way that is uncertain. Common practice but for the
// cast-on and bind-off, which are measured (40 in took 246 in with two rows' tail, 12 cm
// took 56 cm: see loop_geometry.tsv G23 and G28).
const (
	castOnWidths  = 4.0
	bindOffWidths = 4.6
	overLoops     = 0.9 // a yarn over
	wrapLoops     = 0.8 // each further wrap
	crossLoops    = 1.06
	twistLoops    = 1.02
	clusterLoops  = 1.15
	bobbleLoops   = 6.0
	floatWidths   = 1.05 // for each stitch that a strand passes
	seamLengths   = 3.0  // yarn of a seam over its length
	tail          = 150  // mm left hanging wherever a yarn begins or ends
	plainDoubt    = 0.08
	otherDoubt    = 0.18
)

// maxLoops bounds the fabric that one part is looked at in; larger parts go by
// what their first rows show.
const maxLoops = 60_000

// Of works out the yarn of a proved pattern. Each part is laid out loop by loop in its
// first size; the other sizes go by how many stitches they work of it.
func Of(ms *notation.Manuscript, res *needle.Result) Estimate {
	b, why := basisOf(ms)
	if why != "" {
		return Estimate{Why: why}
	}
	sizes := max(1, len(ms.Sizes))
	sum := map[string]*Use{}
	var order []string
	add := func(yarn string, size int, mm, doubt float64) {
		u := sum[yarn]
		if u == nil {
			u = &Use{Yarn: yarn, Metres: make([]float64, sizes), Low: make([]float64, sizes), High: make([]float64, sizes)}
			sum[yarn] = u
			order = append(order, yarn)
		}
		u.Metres[size] += mm / 1000
		u.Low[size] += mm * (1 - doubt) / 1000
		u.High[size] += mm * (1 + doubt) / 1000
	}
	known := 0
	flats := 0
	for _, p := range res.Parts {
		if p.CastOn != nil && !p.Round && len(p.Rows) > 0 {
			flats++
		}
	}
	for i, p := range res.Parts {
		if p.CastOn == nil || len(p.Rows) == 0 {
			continue
		}
		parts, ok := b.part(ms, res, i)
		if !ok {
			return Estimate{Why: "A part has no count of stitches that the yarn could be worked out from: " + orElse(p.Name, "the pattern") + "."}
		}
		known++
		base := stitchesOf(p, 0)
		copies := float64(CopiesOf(p.Name))
		for size := range sizes {
			times := 1.0
			if base > 0 {
				times = stitchesOf(p, size) / base
			}
			for _, one := range parts {
				add(one.yarn, size, copies*(one.plain*times+one.edge*edgeTimes(p, size)), b.doubt)
				if one.other > 0 {
					add(one.yarn, size, copies*one.other*times, otherDoubt)
				}
				add(one.yarn, size, copies*2*tail, 0.5)
			}
			if !p.Round && flats > 1 {
				add(parts[0].yarn, size, copies*seamLengths*float64(b.gauge.Height(rowsOf(p, size))), 0.3)
			}
		}
	}
	if known == 0 {
		return Estimate{Why: "Only a multiple is stated: how much yarn it takes follows from how many stitches are cast on."}
	}
	out := Estimate{Basis: b.words}
	for _, y := range order {
		out.Uses = append(out.Uses, *sum[y])
	}
	return out
}

// strand is what a part takes of one yarn in its first size, in mm.
type strand struct {
	yarn               string
	plain, other, edge float64 // stockinette stitches; all else; cast-on and bind-off
}

// part lays a part out and sums its loops.
func (b *basis) part(ms *notation.Manuscript, res *needle.Result, part int) ([]strand, bool) {
	p := res.Parts[part]
	f, err := fabric.Build(ms, res, part, 0, 0, 1)
	if err != nil || len(f.Loops) > maxLoops {
		n := stitchesOf(p, 0)
		if n <= 0 || len(ms.Yarns) > 1 {
			return nil, false
		}
		return []strand{{yarn: first(ms.Yarns), plain: n * b.loop, edge: b.edges(p, 0)}}, true
	}
	out := make([]strand, len(f.Yarns))
	for i, y := range f.Yarns {
		out[i].yarn = y
	}
	w, c := float64(b.gauge.StitchWidth()), float64(b.gauge.RowHeight())
	for i := range f.Loops {
		l := &f.Loops[i]
		s := &out[l.Yarn]
		if l.Row < 0 {
			continue // the cast-on's
		}
		s.plain += b.loop
		if b.weighed {
			continue
		}
		if n := float64(l.Wraps); n > 1 {
			s.other += (n - 1) * wrapLoops * b.loop
		}
		if l.Cross != fabric.Straight {
			s.other += (crossLoops - 1) * b.loop
		}
		if l.Twist {
			s.other += (twistLoops - 1) * b.loop
		}
	}
	for i := range f.Catches {
		// the loop's legs reach over the ladders, which keep their yarn
		k := &f.Catches[i]
		if !b.weighed {
			out[f.Loops[k.Loop].Yarn].other += 2 * c * float64(len(k.Ladders))
		}
	}
	for r := range f.Rows {
		row := &f.Rows[r]
		if b.weighed {
			break
		}
		for k := range row.Works {
			wk := &row.Works[k]
			s := &out[wk.Yarn]
			switch wk.Kind {
			case fabric.YarnOver:
				s.other -= (1 - overLoops) * b.loop
			case fabric.Cluster:
				s.other += (clusterLoops - 1) * b.loop * float64(len(wk.Out))
			case fabric.Bobble:
				s.other += (bobbleLoops - 1) * b.loop
			}
		}
		for _, fl := range row.Floats {
			out[fl.Yarn].other += float64(fl.Over) * floatWidths * w
		}
	}
	out[0].edge = b.edges(p, 0)
	kept := out[:0]
	for _, s := range out {
		if s.other < 0 {
			s.plain, s.other = s.plain+s.other, 0
		}
		if s.plain+s.edge+s.other > 0 {
			kept = append(kept, s)
		}
	}
	return kept, len(kept) > 0
}

// edges is the yarn of the cast-on and of a bind-off of what is left.
func (b *basis) edges(p *needle.Part, size int) float64 {
	w := float64(b.gauge.StitchWidth())
	n := castOnWidths * float64(p.CastOn[size])
	if size < len(p.Final) && p.Final[size].Known {
		n += bindOffWidths * float64(p.Final[size].N)
	}
	return n * w
}

// edgeTimes is how much longer the edges of a size are than those of the first.
func edgeTimes(p *needle.Part, size int) float64 {
	sum := func(i int) float64 {
		n := castOnWidths * float64(p.CastOn[i])
		if i < len(p.Final) && p.Final[i].Known {
			n += bindOffWidths * float64(p.Final[i].N)
		}
		return n
	}
	if size >= len(p.CastOn) || sum(0) == 0 {
		return 1
	}
	return sum(size) / sum(0)
}

// stitchesOf is how many stitches a size works in all rows of a part. A row that is
// worked often is taken at the middle of its first and its last count.
func stitchesOf(p *needle.Part, size int) float64 {
	n := 0.0
	for _, e := range p.Rows {
		if size < len(e.Times) && size < len(e.First) && e.First[size].Known && e.Last[size].Known {
			n += float64(e.Times[size]) * float64(e.First[size].N+e.Last[size].N) / 2
		}
	}
	return n
}

func rowsOf(p *needle.Part, size int) int {
	n := 0
	for _, e := range p.Rows {
		if size < len(e.Times) {
			n += e.Times[size]
		}
	}
	return n
}

var (
	makeCopies = regexp.MustCompile(`(?i)\b(?:make|knit|work)\s+(\d|two|three|four|six)\b`)
	bothAlike  = regexp.MustCompile(`(?i)\bboth (?:alike|the same)\b|\bmake (?:a )?pair\b`)
)

// CopiesOf is how often a part is made, by its name: "Sleeves (make 2)".
func CopiesOf(name string) int {
	if m := makeCopies.FindStringSubmatch(name); m != nil {
		if n, ok := map[string]int{"two": 2, "three": 3, "four": 4, "six": 6}[strings.ToLower(m[1])]; ok {
			return n
		}
		return max(1, int(m[1][0]-'0'))
	}
	if bothAlike.MatchString(name) {
		return 2
	}
	return 1
}

func first(s []string) string {
	if len(s) == 0 {
		return ""
	}
	return s[0]
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}
