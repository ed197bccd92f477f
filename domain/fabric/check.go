package fabric

import (
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// maxChecked is the most loops that one check lays out of the first size, over
// all parts, and maxOthers of all other sizes together. They cost some 0.2 µs
// each, so that the check stays within a few milliseconds.
const (
	maxChecked = 20_000
	maxOthers  = 40_000
)

// Check looks at the fabric of every part that has something only the fabric
// shows: stitches worked below, slipped or crossed, several yarns, a head that
// names a plain stitch. It works every size that is worked otherwise than those
// before it, or of a multiple one repeat more than the smallest that fits, and no more
// than maxChecked and maxOthers loops; what comes after these is not looked at. Parts that
// do not come out are passed over, and so are the faults that the needle has told of
// already.
func Check(ms *notation.Manuscript, res *needle.Result) []finding.Finding {
	for _, x := range res.Findings.Findings {
		if x.Code == "too-much-work" {
			return nil // once more would be as much
		}
	}
	c := checker{ms: ms, res: res, gate: gate{ms: ms}, first: maxChecked, others: maxOthers}
	var out []finding.Finding
	for i := range res.Parts {
		out = append(out, c.part(i)...)
	}
	return slices.DeleteFunc(out, func(x finding.Finding) bool { return told(res, x) })
}

// checker goes through the parts of a pattern.
type checker struct {
	ms            *notation.Manuscript
	res           *needle.Result
	gate          gate
	say           *said // nil until something is looked at
	first, others int   // loops that may still be laid out
}

// part looks at one part in every size that differs. The same fault of a row in
// several sizes is one finding, in the words of the first.
func (c *checker) part(i int) []finding.Finding {
	p, end := c.res.Parts[i], 1<<30
	if i+1 < len(c.res.Parts) {
		end = c.res.Parts[i+1].Line
	}
	w := c.gate.wants(p, end)
	if w == (needs{}) {
		return nil
	}
	var found []Found
	var sizes [][]int // of each that is found
	for size := range max(1, len(p.CastOn)) {
		left := &c.others
		if size == 0 {
			left = &c.first
		}
		like := alike(p, size)
		if like < size {
			for k := range sizes {
				if slices.Contains(sizes[k], like) {
					sizes[k] = append(sizes[k], size)
				}
			}
			continue
		}
		for _, x := range c.size(i, size, end, w, left) {
			k := slices.IndexFunc(found, func(y Found) bool { return y.Code == x.Code && y.Line == x.Line && y.Name == x.Name })
			if k < 0 {
				found, sizes = append(found, x), append(sizes, nil)
				k = len(found) - 1
			}
			sizes[k] = append(sizes[k], size)
		}
	}
	var out []finding.Finding
	for k, x := range found {
		out = append(out, x.at(p, c.ms, sizes[k]))
	}
	return out
}

// size looks at one size of a part.
func (c *checker) size(part, size, end int, w needs, left *int) []Found {
	p := c.res.Parts[part]
	stitches, fewer := checkedOn(p, size)
	if stitches < 0 || *left <= 0 {
		return nil
	}
	f, whole, err := buildWithin(c.ms, c.res, part, size, stitches, 2, *left)
	if err != nil && fewer > 0 { // rows written out for one repeat
		f, whole, err = buildWithin(c.ms, c.res, part, size, fewer, 2, *left)
	}
	if err != nil {
		return nil
	}
	*left -= len(f.Loops)
	if c.say == nil {
		c.say = listen(c.ms)
	}
	return f.faults(w, c.say, p, end, whole)
}

// alike is the first size of a part that is worked as this one: as many stitches
// in every row, as often. It may be the size itself.
func alike(p *needle.Part, size int) int {
	same := func(other int) bool {
		if p.CastOn[other] != p.CastOn[size] {
			return false
		}
		for _, e := range p.Rows {
			if at(e.Times, other) != at(e.Times, size) || at(e.First, other) != at(e.First, size) || at(e.Last, other) != at(e.Last, size) {
				return false
			}
		}
		return true
	}
	for other := range size {
		if same(other) {
			return other
		}
	}
	return size
}

// at is the value of a size, or of all where there is but one.
func at[T any](list []T, size int) T {
	var none T
	switch {
	case size < len(list):
		return list[size]
	case len(list) == 1:
		return list[0]
	}
	return none
}

// checkedOn is the number of stitches a part is checked on, 0 for its cast-on and
// below 0 where none is known; and for a multiple the number of one repeat less.
func checkedOn(p *needle.Part, size int) (stitches, fewer int) {
	switch {
	case size < len(p.CastOn) && p.CastOn[size] > 0:
		return 0, 0
	case len(p.CastOn) == 0 && p.Stated != nil:
		of, plus, n := p.Stated.Of, p.Stated.Plus+2*p.Stated.Edge, 1
		if d := p.Needs; d != nil && d.Of > 0 && d.Of == of {
			n = max(1, (d.Min*d.Of+d.Plus-plus+of-1)/of)
		}
		if fewer = of*n + plus; fewer > 0 {
			return of + fewer, fewer
		}
	}
	return -1, 0
}

// needs is what of a part only the fabric shows.
type needs struct{ below, slips, yarns, cables, named bool }

// gate tells quickly what a part needs the fabric for.
type gate struct {
	ms      *notation.Manuscript
	classes map[string]notation.Class
	named   int // see namedFrom; 0 until looked for
}

func (g *gate) class(key string) notation.Class {
	c, ok := g.classes[key]
	if !ok {
		s := g.ms.Own[key]
		if s == nil {
			s = notation.Standard().Stitch(key)
		}
		if s != nil {
			c = s.Class
		}
		if g.classes == nil {
			g.classes = map[string]notation.Class{}
		}
		g.classes[key] = c
	}
	return c
}

// slipRun is how many rows one after another slip a stitch before any can have
// been slipped too often.
const slipRun = 5

func (g *gate) wants(p *needle.Part, end int) needs {
	var w needs
	yarn, run, longest, lead := "", 0, 0, 0
	see := func(y string) {
		if y != "" {
			w.yarns = w.yarns || yarn != "" && yarn != y
			yarn = y
		}
	}
	rows := 0
	for _, e := range p.Rows {
		if e.Row == nil || e.Row.As != nil {
			continue
		}
		rows++
		slips, first := false, true
		see(e.Row.Yarn)
		notation.Each(e.Row.Body, func(o notation.Op) {
			switch o := o.(type) {
			case *notation.UseYarn:
				see(o.Yarn)
				return
			case *notation.ToCable:
				w.cables = true
			case *notation.Do:
				if o.Key == "k" || o.Key == "p" {
					break
				}
				switch g.class(o.Key) {
				case notation.Below, notation.Drop:
					w.below = true
				case notation.Slip:
					slips = slips || !first // the first of a row is an edge's
				case notation.Cable, notation.Twist:
					w.cables = true
				}
			default:
				return
			}
			first = false
		})
		if run++; !slips {
			run = 0
		}
		if longest = max(longest, run); run == rows {
			lead = run
		}
	}
	w.slips = longest > 0 && (longest+lead >= slipRun || longest == rows) // repeated, the last rows lie under the first
	if !w.yarns && len(g.ms.Yarns) > 1 {
		for _, e := range p.Rows {
			if e.Row != nil && e.Row.Yarn == "" {
				see(headYarn(g.ms, e.Row))
			}
		}
	}
	w.named = g.namedFrom() < end
	return w
}

// namedFrom is the line of the first head that names a stitch whose faces are known;
// beyond all lines where none does.
func (g *gate) namedFrom() int {
	if g.named > 0 {
		return g.named
	}
	g.named = 1 << 30
	for _, it := range g.ms.Items {
		text := ""
		switch it := it.(type) {
		case *notation.Heading:
			text = it.Text
		case *notation.Title:
			text = it.Text
		}
		if text != "" && names(text) {
			g.named = it.Place().Line
			break
		}
	}
	return g.named
}

// names says that a head names a stitch whose faces are known.
func names(head string) bool {
	_, known := textureHead(head)
	return known
}

// said is what the text as a whole says of its yarns.
type said struct {
	ms      *notation.Manuscript
	caught  bool // floats are caught
	blocks  bool // colours are worked in blocks, each from its own ball
	cutting []clause
}

// clause says that a yarn is cut, or joined.
type clause struct {
	line int
	text string
}

var (
	catches = regexp.MustCompile(`(?i)(catch|trap|weav|twist)\w*[^.;]*\b(float|strand|yarn)|\b(float|strand)[^.;]*\b(catch|caught|trap|weav|wove|twist)`)
	blocks  = regexp.MustCompile(`(?i)intarsia|bobbin|separate (ball|length|strand)|own ball`)
	cuts    = regexp.MustCompile(`(?i)\b(cut|break|fasten off|join|re-?join|attach|tie|change to a new)(s|ing|ed)?\b[^.;]*`)
)

func listen(ms *notation.Manuscript) *said {
	s := &said{ms: ms}
	for i, line := range ms.Source {
		s.caught = s.caught || catches.MatchString(line)
		s.blocks = s.blocks || blocks.MatchString(line)
		if m := cuts.FindString(line); m != "" {
			s.cutting = append(s.cutting, clause{i + 1, m})
		}
	}
	return s
}

// cut says that the text between two lines, both included, cuts or joins a yarn.
// Rows may be repeated: then it goes on from the part's first line.
func (s *said) cut(p *needle.Part, end, from, to int, yarn string) bool {
	for _, c := range s.cutting {
		in := c.line >= from && c.line <= to
		if from > to {
			in = c.line >= from && c.line < end || c.line <= to && c.line >= p.Line
		}
		if !in {
			continue
		}
		other := false
		for _, y := range s.ms.Yarns {
			switch {
			case !mentions(c.text, y):
			case strings.EqualFold(y, yarn):
				return true
			default:
				other = true
			}
		}
		if !other {
			return true
		}
	}
	return false
}

// mentions says that a name stands in a text as a word.
func mentions(text, name string) bool {
	if name == "" {
		return false
	}
	letter := func(i int) bool {
		if i < 0 || i >= len(text) {
			return false
		}
		c := text[i] | 0x20
		return c >= 'a' && c <= 'z' || c >= 0x80
	}
	for at := 0; ; at++ {
		i := strings.Index(text[at:], name)
		if i < 0 {
			return false
		}
		at += i
		if !letter(at-1) && !letter(at+len(name)) {
			return true
		}
	}
}

// faults looks for those that a check reports, one for each row and code.
func (f *Fabric) faults(w needs, say *said, p *needle.Part, end int, whole bool) []Found {
	var out []Found
	add := func(list []Found) { out = append(out, Once(list)...) }
	if w.below {
		add(f.DropFaults())
		if whole && f.endsOnDrop() && bindsOffNext(say.ms, p, end) {
			add(f.BindOffFaults())
		}
	}
	if w.yarns && !say.blocks {
		add(f.YarnsAtWrongEdge(func(from, to int, yarn string) bool { return say.cut(p, end, from, to, yarn) }))
		if !say.caught {
			add(slices.DeleteFunc(f.LongFloats(Limits{}), f.inBlocks))
		}
	}
	if w.slips {
		add(f.LongSlips(0))
	}
	if w.cables {
		add(f.EarlyCrossings())
	}
	if w.named {
		add(f.AgainstStated(say.ms))
	}
	return out
}

// inBlocks says that a float lies in a row worked flat whose colours stand in
// blocks: what is no float when each block has its own ball.
func (f *Fabric) inBlocks(x Found) bool {
	r := &f.Rows[x.Row]
	if r.Round || len(r.Yarns) < 2 {
		return !r.Round
	}
	changes, last := 0, -1
	for i := range r.Works {
		if w := &r.Works[i]; w.Kind != Slip && int(w.Yarn) != last {
			changes, last = changes+1, int(w.Yarn)
		}
	}
	return changes < 5
}

// endsOnDrop says that the last row, a bind-off apart, works stitches below.
func (f *Fabric) endsOnDrop() bool {
	return len(f.Rows) > 0 && f.rowHas(len(f.Rows)-1, Below)
}

// bindsOffNext says that the last thing a part tells of is its rows, and then to
// bind off.
func bindsOffNext(ms *notation.Manuscript, p *needle.Part, end int) bool {
	binds := false
	for _, it := range ms.Items {
		line := it.Place().Line
		if line < p.Line {
			continue
		}
		if line >= end {
			break
		}
		switch it.(type) {
		case *notation.BindOffAll:
			binds = true
		case *notation.Row, *notation.RepRows, *notation.Shape, *notation.Straight, *notation.As, *notation.HoldAll:
			binds = false
		}
	}
	return binds
}

// at is the finding of some sizes with its place in the text.
func (x Found) at(p *needle.Part, ms *notation.Manuscript, sizes []int) finding.Finding {
	f := x.Finding(p.Name)
	f.Sizes = sizes
	if len(sizes) == max(1, len(ms.Sizes)) || len(p.CastOn) == 0 {
		f.Sizes = nil
	}
	for _, e := range p.Rows {
		if e.Line == x.Line && e.Name == x.Name {
			f.Span = e.Span
			break
		}
	}
	return f
}

// told says that the needle has told of the same fault in the same row.
func told(res *needle.Result, x finding.Finding) bool {
	same := func(codes ...finding.Code) bool {
		for _, y := range res.Findings.Findings {
			if y.Line == x.Line && slices.Contains(codes, y.Code) {
				return true
			}
		}
		return false
	}
	switch x.Code {
	case TooFewRows:
		return true // it looks at every size
	case ThroughShape:
		return same(TooFewRows)
	case YarnElsewhere:
		for _, y := range res.Findings.Findings {
			if y.Code == "wrong-side" { // which side it is, is not known then
				return true
			}
		}
		return same("yarn-not-at-hand", "rows-do-not-join")
	}
	return false
}
