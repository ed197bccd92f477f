package fabric

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// maxLoops bounds one fabric: 800 000 loops are some 180 MiB. A pullover has
// 40 000, a large blanket 200 000.
const maxLoops = 800_000

// Build works one size of a part of ms and lays the loops out. stitches is the
// number to begin with, 0 for the cast-on; passes is how often a repeat of rows
// without a number is worked (see needle.Trace for less than 0). It fails where a row does not come out.
func Build(ms *notation.Manuscript, res *needle.Result, part, size, stitches, passes int) (*Fabric, error) {
	f, whole, err := buildWithin(ms, res, part, size, stitches, passes, maxLoops)
	if err == nil && !whole {
		return nil, fmt.Errorf("fabric: more than %d loops", maxLoops)
	}
	return f, err
}

// buildWithin is Build with a bound of its own. Where a row would have more loops than
// that, it ends with the row before, and the fabric is not whole.
func buildWithin(ms *notation.Manuscript, res *needle.Result, part, size, stitches, passes, most int) (f *Fabric, whole bool, err error) {
	flip := 0 // so many rows at the start are worked on the other side
	for {
		b := &builder{ms: ms, f: &Fabric{Size: size}, entries: map[*needle.Entry]int{}, passes: map[*needle.Entry]int{}, flip: flip}
		b.begin(res, part, size, stitches, most)
		whole, err = true, nil
		terr := needle.TraceWhile(ms, res, part, size, stitches, passes, func(r needle.WorkedRow) bool {
			if len(b.f.Loops)+r.After > most {
				whole = false
				return false
			}
			err = b.row(r)
			return err == nil
		})
		if b.clash > 0 && flip == 0 && terr == nil {
			flip = b.clash
			continue
		}
		if terr != nil {
			return nil, false, terr
		}
		if err != nil {
			return nil, false, err
		}
		if len(b.f.Rows) == 0 {
			return nil, false, fmt.Errorf("fabric: no row is worked")
		}
		b.f.layOut()
		return b.f, whole, nil
	}
}

// builder holds the needles while rows are worked.
type builder struct {
	ms          *notation.Manuscript
	f           *Fabric
	left, right []ID    // the tip of each needle is last
	cn          []ID    // on the cable needle, in needle order
	held        []group // on holders, the last put there last
	run         int     // loops still to come from the group that is last, see pick
	freshRun    bool    // those of the run come from a piece that is not told of
	runs        []int   // loops that come from holders, for each run of the row
	joining     bool    // the row joins pieces
	works       []Work  // of the row at hand
	at          int32   // its index in Rows
	order       int32
	ws          bool
	yarn        uint8
	strand      byte // where the yarn lies for slipping: f, b as worked, 0 as it comes
	turned      bool // turned a moment ago
	started     bool
	roundWS     bool // in the round, after an odd number of turns
	next        bool // the side that lies ready for the next row
	flat        bool // the last row was worked flat
	divided     bool // a round was divided: what stayed on the needles goes on in rows
	moved       bool // the next row begins elsewhere, or with loops out of their order
	told        int  // rows told of
	stated      bool // a side was stated
	flip        int  // see Build
	clash       int  // rows before the first that calls for the other side
	cross       *crossing
	depth       int
	entries     map[*needle.Entry]int
	passes      map[*needle.Entry]int
	letters     []byte // see intoKey
	intoKeys    map[string]string
}

func (b *builder) begin(res *needle.Result, part, size, stitches, most int) {
	name := ""
	for _, it := range b.ms.Items {
		if c, ok := it.(*notation.Begin); ok && c.Yarn != "" && name == "" {
			name = c.Yarn
		}
	}
	for _, want := range []string{"A", "MC"} {
		if name == "" && slices.Contains(b.ms.Yarns, want) {
			name = want
		}
	}
	if name == "" && len(b.ms.Yarns) > 0 {
		name = b.ms.Yarns[0]
	}
	b.f.Yarns = []string{name}
	if part < 0 || part >= len(res.Parts) {
		return
	}
	p := res.Parts[part]
	b.f.Round = p.Round
	loops := 0
	for _, e := range p.Rows {
		if size < len(e.Times) && size < len(e.Last) && stitches == 0 {
			loops += e.Times[size] * max(e.First[size].N, e.Last[size].N)
		}
	}
	b.f.Loops = make([]Loop, 0, min(loops+256, most))
}

func (b *builder) useYarn(name string) {
	for i, y := range b.f.Yarns {
		if strings.EqualFold(y, name) {
			b.yarn = uint8(i)
			return
		}
	}
	if len(b.f.Yarns) < 255 {
		b.f.Yarns = append(b.f.Yarns, name)
		b.yarn = uint8(len(b.f.Yarns) - 1)
	}
}

// row works one row.
func (b *builder) row(r needle.WorkedRow) error {
	row := Row{Name: r.Name, Line: r.Line, Entry: -1, Round: r.Round, Before: r.Before, After: r.After}
	if e := r.Entry; e != nil {
		i, ok := b.entries[e]
		if !ok {
			i = len(b.entries)
			b.entries[e] = i
		}
		row.Entry, row.Number, row.Pass = i, e.Number, b.passes[e]
		b.passes[e]++
		if e.Row != nil {
			if y := headYarn(b.ms, e.Row); y != "" {
				b.useYarn(y)
			}
		}
	}
	row.WS, row.Round = b.side(r, row.Pass)
	b.ws = row.WS
	if !b.started {
		b.started = true
		b.f.CastOn = r.Before
		b.refit(r.Before, -1)
	} else if n := len(b.left) + len(b.right); n != r.Before {
		row.Untold = true
		if b.joins(r) { // other pieces come onto the needle; what hung there waits
			b.hold(append(slices.Clone(b.right), reversed(b.left)...))
			b.left, b.right = nil, nil
		}
		b.refit(r.Before, int32(len(b.f.Rows))-1)
	}
	if row.Round && len(b.right) > 0 && wanted(r.Events) > len(b.left) {
		// short rows ended within the round: the rounds begin at its start again
		b.left, b.right = append(b.left, reversed(b.right)...), nil
	}
	b.open(row)
	b.startRuns(r)
	closed := false
	for i := range r.Events {
		e := &r.Events[i]
		if e.Kind == needle.Turned && !closed {
			next := b.close()
			b.turn(row.Round)
			if closed = !workLeft(r.Events[i+1:]); !closed {
				next.WS, next.Turn = b.ws, next.Turn+1
				next.Before = next.After
				b.open(next)
			}
			b.turned = true
			continue
		}
		if err := b.event(e); err != nil {
			return fmt.Errorf("fabric: row %s: %w", r.Name, err)
		}
		b.turned = b.turned && (e.Kind == needle.CastOnLoop || e.Kind == needle.YarnChanged || e.Kind == needle.Held)
	}
	putAside := holds(r)
	if !closed {
		if putAside && row.Round {
			b.holdAcross(r.After)
		}
		b.rest(row.Round)
		b.close()
	}
	last := &b.f.Rows[len(b.f.Rows)-1]
	last.After = r.After
	if closed && len(b.left) == r.After && len(b.right) > 0 { // "turn, leaving the rest on a holder"
		b.hold(b.right)
		b.right = nil
	}
	if over := len(b.left) - r.After; closed && putAside && len(b.right) == 0 && over > 0 { // in the round they lie at the far end
		b.hold(reversed(b.left[:over]))
		b.left = b.left[over:]
	}
	b.divided = b.divided || closed && putAside && b.f.Round
	if closed && len(b.held) > 0 && len(last.Rest) > 0 { // left on a holder as the work was turned
		waits := map[ID]bool{}
		for _, g := range b.held {
			for _, id := range g.ids {
				waits[id] = true
			}
		}
		var rest, held []ID
		for _, id := range last.Rest {
			if waits[id] {
				held = append(held, id)
			} else {
				rest = append(rest, id)
			}
		}
		if last.Rest = rest; len(held) > 0 {
			last.Works = append(last.Works, Work{Kind: Held, Row: b.at, Yarn: b.yarn, In: held})
		}
	}
	if !closed {
		b.endRow(row.Round, r.Slid)
	}
	b.turned = false
	b.next = b.ws
	if !row.Round && !closed && !r.Slid {
		b.next = !b.ws
	}
	return nil
}

// side finds the side a row is worked on, and whether it is a round; it turns
// the work where that is not the side that lies ready. Sides that nothing
// states at the start follow from the first that is stated.
func (b *builder) side(r needle.WorkedRow, pass int) (ws, round bool) {
	defer func() { b.told++ }()
	round = r.Round
	stated := ""
	if r.Entry != nil && r.Entry.Row != nil {
		h := r.Entry.Row.Head
		if stated = h.Side; stated == "" {
			stated = h.Every.Side
		}
		if round && !h.Round && (stated != "" || b.flat && (h.Numbers != nil || saysRow(h.Words))) {
			round = false // a flap, a heel: flat rows of a round piece
		}
	}
	if round && b.divided && b.told > 0 {
		if saysRound(r) {
			b.divided = false
		} else {
			round = false
		}
	}
	switch {
	case round:
		ws = b.roundWS
	case stated != "":
		ws = stated == "WS"
	case r.Side == "" || b.f.Round:
		ws = b.next
	default:
		ws = r.Side == "WS"
	}
	switch {
	case b.told == 0:
		ws = ws != (b.flip > 0)
	case ws == b.next:
	case b.told < b.flip && !round, pass > 0 && !round:
		ws = b.next // an odd number of rows, repeated: what it calls RS is worked on the WS now
	default:
		if b.flip == 0 && !b.stated && !round && b.clash == 0 {
			b.clash = b.told
		}
		b.moved = true
		if len(b.right) == 0 { // the other end of the needle
			b.left = reversed(b.left)
		} else { // turned once more than is told
			b.left, b.right = b.right, b.left
		}
	}
	b.stated = b.stated || stated != "" || round
	b.flat = !round
	return ws, round
}

// rest works what a row has left over as it appears: the needle does not tell
// of every stitch ("work Row 1 of the panel over the next 24 sts").
func (b *builder) rest(round bool) {
	if round || b.f.Rows[b.at].Turn > 0 {
		return
	}
	for len(b.left) > 0 {
		in, _ := b.take(1)
		face := b.f.Loops[in[0]].Face
		id := b.loop(Loop{Face: face}, in)
		b.right = append(b.right, id)
		b.add(Work{Kind: Untold, Key: "patt", In: in, Out: b.list(id), Purl: face == Purl != b.ws})
		b.f.Rows[b.at].Untold = true
	}
}

// workLeft says that something is worked after a turn.
func workLeft(es []needle.Event) bool {
	for _, e := range es {
		switch e.Kind {
		case needle.Marker, needle.YarnChanged, needle.Held, needle.Turned:
		default:
			return true
		}
	}
	return false
}

// headYarn is the yarn a row's head names in brackets: "Row 3 [MC]:".
func headYarn(ms *notation.Manuscript, row *notation.Row) string {
	if row.Head.Yarn != "" && row.Yarn == "" {
		return row.Head.Yarn
	}
	if row.Yarn != "" {
		return row.Yarn
	}
	for _, y := range ms.Yarns {
		if strings.Contains(row.Head.Words, "["+y+"]") || strings.Contains(row.Head.Words, "("+y+")") || strings.Contains(row.Head.Words, ", "+y+")") {
			return y
		}
	}
	if m := bracketed.FindStringSubmatch(row.Head.Words); m != nil && m[1] != "RS" && m[1] != "WS" {
		return m[1]
	}
	return ""
}

// bracketed finds the letters of a yarn that a head names, as in "Row 3 [MC]".
var bracketed = regexp.MustCompile(`\[([A-Z]{1,2}\d?)\]`)

// refit makes the needles hold n loops: those that come are of untold origin
// (or the cast-on, in row -1), those that go are forgotten. Half of each is
// taken at either end, as shaping in sentences mostly is.
func (b *builder) refit(n int, row int32) {
	all := append(slices.Clone(b.right), reversed(b.left)...) // end to end
	if len(b.right) > 0 && len(b.left) == 0 {
		all = b.right
	}
	for k := 0; len(all) > n; k++ {
		at := len(all) - 1
		if k%2 == 1 {
			at = 0
		}
		b.f.Loops[all[at]].End, b.f.Loops[all[at]].EndRow = Forgotten, row
		all = slices.Delete(all, at, at+1)
	}
	fresh := func() ID {
		return b.fresh(Loop{Row: row, Order: b.order, Yarn: b.yarn, work: -1})
	}
	var head []ID
	if more := n - len(all); more > 0 {
		if row < 0 || len(all) == 0 {
			for ; more > 0; more-- {
				all = append(all, fresh())
			}
		}
		for k := 0; k < more; k++ {
			if k%2 == 0 {
				all = append(all, fresh())
			} else {
				head = append(head, fresh())
			}
		}
	}
	all = append(reversed(head), all...)
	// the tip of the left needle is last
	b.right = nil
	b.left = reversed(all)
}

func reversed(s []ID) []ID {
	out := make([]ID, len(s))
	for i, v := range s {
		out[len(s)-1-i] = v
	}
	return out
}

func (b *builder) fresh(l Loop) ID {
	l.Child, l.EndRow = None, -1
	b.f.Loops = append(b.f.Loops, l)
	return ID(len(b.f.Loops) - 1)
}

// open begins a row.
func (b *builder) open(row Row) {
	row.Works, row.Rest, row.RestAt, row.passed, row.Floats, row.Yarns, row.Dropped, row.DropAt = nil, nil, nil, 0, nil, nil, nil, nil
	row.moved, b.moved = b.moved, false
	b.at, b.order = int32(len(b.f.Rows)), 0
	b.works = make([]Work, 0, len(b.left)+4)
	b.strand = 0
	b.f.Rows = append(b.f.Rows, row)
}

// close ends it and returns it, as a start for what follows a turn.
func (b *builder) close() Row {
	row := &b.f.Rows[b.at]
	b.closeCrossing()
	row.Works = b.settle(b.works)
	row.After = len(b.left) + len(b.right)
	n := 0
	for i := range row.Works {
		n += len(row.Works[i].Out)
	}
	if n != row.After {
		worked := map[ID]bool{}
		for i := range row.Works {
			for _, id := range row.Works[i].Out {
				worked[id] = true
			}
		}
		for i, list := range [][]ID{b.right, reversed(b.left)} {
			for _, id := range list {
				if !worked[id] {
					row.Rest = append(row.Rest, id)
				}
			}
			if i == 0 {
				row.passed = len(row.Rest)
			}
		}
	}
	row.Floats, row.Yarns = b.f.floats(row)
	return *row
}

// turn turns the work in mid row, as the needle does.
func (b *builder) turn(round bool) {
	b.ws = !b.ws
	if round {
		b.roundWS = !b.roundWS
		b.left = append(reversed(b.left), b.right...)
		b.right = nil
		return
	}
	b.left, b.right = b.right, b.left
}

// endRow turns, or joins on, for the row that follows.
func (b *builder) endRow(round, slid bool) {
	switch {
	case slid && !round:
		if len(b.left) == 0 {
			b.left, b.right = reversed(b.right), nil
		}
	case round:
		b.moved = b.moved || len(b.left) > 0 && len(b.right) > 0 // the round's start
		b.left = append(reversed(b.right), b.left...)
		b.right = nil
	default:
		b.left, b.right = b.right, b.left
	}
}
