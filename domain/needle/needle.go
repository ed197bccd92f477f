package needle

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// workBudget bounds the steps of one check; it is far above any real pattern.
const workBudget = 2_000_000

// Window is how many repeats are tried where no argument holds for all of them.
const Window = 12

// Work works every part of a manuscript, for every size and every multiple.
func Work(ms *notation.Manuscript) *Result {
	res := &Result{Parts: split(ms)}
	budget := workBudget
	all := map[string]*Part{}
	scopes := map[string]map[int]*def{}
	rowsPer10 := rowGauge(ms)
	mk := func(p *Part, out *Result, lanes []*lane) *run {
		return &run{ms: ms, res: out, part: p, lanes: lanes, rowsPer10: rowsPer10,
			w:       &worker{ms: ms, budget: &budget, own: map[string]effect{}},
			numbers: map[int]*def{}, words: map[string]*def{}, scopes: scopes, all: all}
	}
	mk2 := mk
	mk = func(p *Part, out *Result, lanes []*lane) *run {
		r := mk2(p, out, lanes)
		r.w.patts = func(name, row string, n, size int) (int, bool) {
			t := r.scope(name)
			d := t[atoi(row)]
			if d == nil {
				return 0, false
			}
			w := *r.w
			w.reading = 0
			l := newLane(size, K(n))
			l.round = p.Round
			if f := w.ops(l, d.body); f != nil || !l.left.total().zero() {
				return 0, false
			}
			return l.right.total().D, true
		}
		return r
	}
	held := make([]int, len(ms.Sizes))
	for _, p := range res.Parts {
		workPart(ms, res, p, mk, held)
		if p.Name != "" {
			if k := strings.ToLower(p.Name); all[k] == nil {
				all[k] = p
			}
		}
	}
	if budget <= 0 {
		res.Findings.Addf("too-much-work", finding.Span{Line: 1, Col: 1, EndLine: 1, EndCol: 1}, "working this pattern takes too long; write fewer repeats")
	}
	return res
}

type maker func(p *Part, out *Result, lanes []*lane) *run

func workPart(ms *notation.Manuscript, res *Result, p *Part, mk maker, held []int) {
	sizes := len(ms.Sizes)
	var begin *notation.Begin
	for _, it := range p.items {
		switch it := it.(type) {
		case *notation.Multiple:
			if p.Stated == nil {
				p.Stated = it
			}
		case *notation.Begin:
			if begin == nil {
				begin = it
			}
		case *notation.Row:
			if begin == nil && p.Stated == nil {
				begin = &notation.Begin{} // rows without a beginning
			}
			if it.Head.Round {
				p.Round = true
			}
		case *notation.JoinRound:
			p.Round = true
		}
	}
	for _, it := range p.items {
		if b, ok := it.(*notation.Begin); ok && b.Round {
			p.Round = true
		}
	}
	if begin != nil && begin.How == "return" && !begin.N.Given() {
		some := false
		n := notation.Num{Span: begin.Span}
		for _, h := range held {
			n.Vals = append(n.Vals, h)
			some = some || h > 0
		}
		if some {
			b := *begin
			b.N = n
			begin = &b
			clear(held)
		}
	}
	p.Needs = needs(ms, p, mk)
	var lanes []*lane
	switch {
	case begin != nil && begin.N.Given():
		for i := 0; i < sizes; i++ {
			v := begin.N.For(i)
			p.CastOn = append(p.CastOn, max(0, v))
			l := newLane(i, K(max(0, v)))
			l.round = p.Round
			lanes = append(lanes, l)
		}
		if n := begin.N; n.Given() {
			for i, v := range n.Vals {
				if v > maxStitches {
					res.Findings.Add(finding.Finding{Code: "too-many-stitches", Span: n.Span, Part: p.Name, Row: "cast-on", Message: fmt.Sprintf("%d stitches; at most %d are worked", v, maxStitches)})
					for k := range lanes {
						if k == i || len(n.Vals) == 1 {
							lanes[k] = newLane(k, K(0))
						}
					}
				}
			}
		}
		r := mk(p, res, lanes)
		if !checkMultiple(r, p, begin) {
			checkCastOn(ms, r, p, begin, mk)
		}
		before := countErrors(res)
		r.items(p.items)
		r.finish()
		if r.repeated || p.Stated != nil {
			p.Change = r.firstBlock
		}
		if countErrors(res) == before {
			p.Proved = "all"
		}
		for i, l := range lanes {
			if l.held.C == 0 && i < len(held) {
				held[i] += max(0, l.held.D)
			}
		}
		if p.Stated != nil {
			asideMultiple(ms, p, mk)
		}
		proveColumns(ms, res, p, mk)
	case p.Stated != nil:
		byMultiple(ms, res, p, mk)
		proveColumns(ms, res, p, mk)
	default:
		// neither: as many stitches as the rows need
		if begin != nil && begin.How == "return" {
			for i := 0; i < sizes; i++ {
				l := newLane(i, K(0))
				l.dead = true
				lanes = append(lanes, l)
			}
			p.CastOn = nil
		}
		n := p.Needs
		if n == nil {
			n = fixedNeed(ms, p, mk)
		}
		if n == nil {
			guess := &notation.Multiple{Of: 1, Plus: 0}
			p.Stated = guess
			byMultiple(ms, res, p, mk)
			p.Stated = nil
			return
		}
		st := &notation.Multiple{Of: n.Of, Plus: n.Plus + (n.Min-1)*n.Of}
		p.Stated = st
		if n.Of == 0 {
			st.Of, st.Plus = 0, n.Plus
		}
		byMultiple(ms, res, p, mk)
		p.Stated = nil
	}
}

func countErrors(res *Result) int {
	n := 0
	for _, f := range res.Findings.Findings {
		if f.Severity() == finding.Error {
			n++
		}
	}
	return n
}

// checkMultiple compares a cast-on with the stated multiple. What follows from a
// wrong cast-on is not told again.
func checkMultiple(r *run, p *Part, b *notation.Begin) bool {
	m := p.Stated
	if m == nil || b.How != "cast on" {
		return false
	}
	var bad []*lane
	for _, l := range r.lanes {
		v := l.total().D - m.Plus - 2*m.Edge
		if m.Of > 0 && (mod(v, m.Of) != 0 || v < 0) {
			bad = append(bad, l)
		}
	}
	if len(bad) == 0 {
		return false
	}
	r.castOnWrong(b, bad, fmt.Sprintf("%s is not a multiple of %d plus %d", sts(bad[0].total()), m.Of, m.Plus+2*m.Edge))
	return true
}

func (r *run) castOnWrong(b *notation.Begin, bad []*lane, msg string) {
	if len(r.lanes) > 1 {
		msg = "size " + r.sizeName(bad[0]) + ": " + msg
	}
	r.add(finding.Finding{Code: "cast-on-not-multiple", Span: b.Span, Row: "cast-on", Sizes: r.sizesOf(bad), Message: msg})
	for _, l := range bad {
		l.tainted = true
	}
}

// checkCastOn finds sizes whose cast-on none of the rows can be worked on, while
// the rows agree with one another (and with the other sizes).
func checkCastOn(ms *notation.Manuscript, r *run, p *Part, b *notation.Begin, mk maker) {
	n := p.Needs
	if n == nil || n.Of < 2 {
		return
	}
	var bad []*lane
	for _, l := range r.lanes {
		v := l.total().D
		if mod(v-n.Plus, n.Of) == 0 {
			continue
		}
		if f, all := failing(ms, p, mk, K(v)); f == all && all > 1 {
			bad = append(bad, l)
		}
	}
	if len(bad) == 0 {
		return
	}
	r.castOnWrong(b, bad, fmt.Sprintf("%s cast on, but the rows need a multiple of %d plus %d", sts(bad[0].total()), n.Of, n.Plus))
}

// byMultiple works a part for every multiple at once; where that argument does
// not hold, for a window of multiples.
func byMultiple(ms *notation.Manuscript, res *Result, p *Part, mk maker) {
	start := Lin{p.Stated.Of, p.Stated.Plus + 2*p.Stated.Edge}
	trial := *p
	trial.Rows = nil
	quiet := mk(&trial, &Result{}, symbolic(ms, p, start))
	quiet.silent = true
	quiet.items(p.items)
	if f := quiet.fail; f != nil && f.code == "not-for-every-multiple" {
		var lanes []*lane
		for n := 1; n <= Window; n++ {
			l := newLane(0, K(max(0, start.At(n))))
			l.size = 0
			l.round = p.Round
			lanes = append(lanes, l)
		}
		windowed(ms, res, p, mk, lanes)
		return
	}
	if n := p.Needs; n != nil && n.Of > 0 && p.Stated.Line > 0 && (mod(start.C, n.Of) != 0 || mod(start.D-n.Plus, n.Of) != 0) {
		if bad, all := failing(ms, p, mk, start); bad == all && all > 1 {
			res.Findings.Add(finding.Finding{Code: "multiple-differs", Span: p.Stated.Span, Part: p.Name, Row: "cast-on",
				Message: fmt.Sprintf("a multiple of %d plus %d is stated, but the rows need a multiple of %d plus %d", start.C, start.D, n.Of, n.Plus)})
			start = Lin{n.Of, n.Plus + (n.Min-1)*n.Of}
		}
	}
	lanes := symbolic(ms, p, start)
	r := mk(p, res, lanes)
	before := countErrors(res)
	if start.C == 0 && len(lanes) == 1 {
		r.asideMul = true
	}
	r.items(p.items)
	if start.C == 0 {
		r.finish()
	}
	p.Change = r.firstBlock
	if countErrors(res) == before {
		p.Proved = "all"
		if l := lanes[0]; l.min > 1 && start.At(l.min) > 6 && r.minRow != nil && !r.silent {
			r.add(finding.Finding{Code: "needs-more-repeats", Span: r.minRow.row.Span, Row: r.minRow.name,
				Message: fmt.Sprintf("needs at least %d repeats: %s", l.min, sts(K(start.At(l.min))))})
		}
	}
}

// failing counts, of the rows that want a certain number of stitches, those
// that cannot be worked on start by themselves; rows behind the first change of
// count are not asked.
func failing(ms *notation.Manuscript, p *Part, mk maker, start Lin) (bad, all int) {
	r := mk(p, &Result{}, nil)
	for _, it := range p.items {
		row, ok := it.(*notation.Row)
		if !ok || row.As != nil || row.Only != nil {
			if ok {
				continue
			}
			switch it.(type) {
			case *notation.Shape, *notation.RepRows, *notation.As:
				return bad, all
			}
			continue
		}
		if !wantsNumber(r.w, row.Body) {
			continue
		}
		l := newLane(0, start)
		l.round = p.Round || row.Head.Round
		r.w.reading = 0
		f := r.w.ops(l, row.Body)
		if f == nil && !l.left.total().zero() {
			f = &failure{}
		}
		if f != nil && f.code == "" && !l.left.total().zero() && len(row.Body) > 0 {
			if _, unknown := row.Body[len(row.Body)-1].(*notation.Unknown); unknown {
				continue
			}
		}
		all++
		if f != nil {
			bad++
			continue
		}
		if l.right.total() != start {
			return bad, all
		}
	}
	return bad, all
}

// wantsNumber: the row fits some numbers of stitches and not others.
func wantsNumber(w *worker, body []notation.Op) bool {
	open := false
	wants := false
	for _, o := range body {
		switch o := o.(type) {
		case *notation.Repeat:
			if _, counted := w.passes(o.To, 0); !counted {
				open = true
				if e := w.fixed(o.Body, 0); e.in > 1 {
					wants = true
				}
			}
		case *notation.Until:
			open = true
			if e := w.fixed(o.Body, 0); e.in > 1 {
				wants = true
			}
		case *notation.Turn, *notation.Leave, *notation.Unknown:
			return false
		}
	}
	return wants || !open
}

func symbolic(ms *notation.Manuscript, p *Part, start Lin) []*lane {
	n := 1
	if vectors(p) {
		n = len(ms.Sizes)
	}
	var lanes []*lane
	for i := 0; i < n; i++ {
		l := newLane(i, start)
		l.round = p.Round
		lanes = append(lanes, l)
	}
	return lanes
}

// vectors says that rows of the part differ between sizes.
func vectors(p *Part) bool {
	found := false
	for _, it := range p.items {
		switch it := it.(type) {
		case *notation.Row:
			if it.Only != nil {
				found = true
			}
			notation.Each(it.Body, func(o notation.Op) {
				switch o := o.(type) {
				case *notation.Do:
					found = found || !o.Times.Single()
				case *notation.Group:
					found = found || !o.Times.Single()
				case *notation.Until:
					found = found || !o.To.N.Single()
				case *notation.Repeat:
					found = found || !o.To.N.Single()
				case *notation.BindOff:
					found = found || !o.N.Single()
				case *notation.CastOn:
					found = found || !o.N.Single()
				}
			})
		case *notation.ForSizes:
			found = true
		case *notation.RepRows:
			found = found || !it.Times.N.Single()
		}
	}
	return found
}

// windowed works n = 1 to Window one by one.
func windowed(ms *notation.Manuscript, res *Result, p *Part, mk maker, lanes []*lane) {
	out := &Result{}
	r := mk(p, out, lanes)
	r.window = len(lanes)
	r.items(p.items)
	for _, f := range out.Findings.Findings {
		res.Findings.Add(f)
	}
	if countErrors(out) == 0 {
		p.Proved = fmt.Sprintf("n=1..%d", len(lanes))
	}
	for _, e := range p.Rows {
		if len(e.First) > 2 && e.First[1].Known && e.First[2].Known {
			c := e.First[2].N - e.First[1].N
			e.Lin = &Lin{c, e.First[1].N - 2*c}
		}
	}
	p.Final = nil
}

// asideMultiple adds, to a part worked by its cast-on, the counts in repeats.
func asideMultiple(ms *notation.Manuscript, p *Part, mk maker) {
	trial := *p
	trial.Rows, trial.Final = nil, nil
	r := mk(&trial, &Result{}, symbolic(ms, p, Lin{p.Stated.Of, p.Stated.Plus + 2*p.Stated.Edge}))
	r.silent = true
	r.items(p.items)
	for i, e := range trial.Rows {
		if i < len(p.Rows) && p.Rows[i].Line == e.Line && p.Rows[i].Name == e.Name && e.Lin != nil {
			p.Rows[i].Lin = e.Lin
		}
	}
}

// needs works out from the rows alone which numbers of stitches they can be
// worked on: it starts from any number n and narrows n down wherever a repeat
// wants it, until every row goes through.
func needs(ms *notation.Manuscript, p *Part, mk maker) *Need {
	n := 1
	if vectors(p) {
		n = len(ms.Sizes)
	}
	var first *Need
	for size := 0; size < n; size++ {
		got := needsFor(ms, p, mk, size)
		if got == nil {
			return nil
		}
		if first == nil {
			first = got
		} else if first.Of != got.Of || first.Plus != got.Plus {
			return nil
		} else {
			first.Min = max(first.Min, got.Min)
		}
	}
	return first
}

func needsFor(ms *notation.Manuscript, p *Part, mk maker, size int) *Need {
	m, rest := 1, 0
	for try := 0; try < 64; try++ {
		l := newLane(size, Lin{m, rest})
		l.round = p.Round
		l.min = ceilDiv(1-rest, m)
		trial := *p
		trial.Rows, trial.Final = nil, nil
		r := mk(&trial, &Result{}, []*lane{l})
		r.silent = true
		r.items(p.items)
		if r.fail == nil {
			of, plus := m, mod(rest, m)
			q := (rest - plus) / m // n counted from plus
			return &Need{of, plus, max(1, l.min+q)}
		}
		f := r.fail.refine
		if f == nil || f.mod <= 1 || m > 1<<20/f.mod {
			return nil
		}
		rest += m * f.rest
		m *= f.mod
	}
	return nil
}

// fixedNeed finds the one number of stitches that rows without repeats want.
func fixedNeed(ms *notation.Manuscript, p *Part, mk maker) *Need {
	for _, it := range p.items {
		row, ok := it.(*notation.Row)
		if !ok {
			continue
		}
		budget := 10000
		w := &worker{ms: ms, budget: &budget, own: map[string]effect{}}
		if e := w.fixed(row.Body, 0); e.ok && e.in > 0 {
			return &Need{0, e.in, 1}
		}
		return nil
	}
	return nil
}

var rowsRe = regexp.MustCompile(`(?i)(\d+(?:\.\d+)?)\s*(?:rows|rnds|rounds|r\b)`)
var overCm = regexp.MustCompile(`(?i)(\d+(?:\.\d+)?)\s*cm`)
var overIn = regexp.MustCompile(`(?i)(\d+(?:\.\d+)?)\s*(?:in\b|inches|")`)

// rowGauge reads the row gauge, in rows per 10 cm, off the Gauge field; 0 where
// there is none.
func rowGauge(ms *notation.Manuscript) float64 {
	for _, it := range ms.Items {
		f, ok := it.(*notation.Field)
		if !ok {
			continue
		}
		l := strings.ToLower(f.Label)
		if !strings.HasPrefix(l, "gauge") && !strings.HasPrefix(l, "tension") {
			continue
		}
		m := rowsRe.FindStringSubmatch(f.Text)
		if m == nil {
			continue
		}
		rows, _ := strconv.ParseFloat(m[1], 64)
		over := 10.0
		if c := overCm.FindStringSubmatch(f.Text); c != nil {
			over, _ = strconv.ParseFloat(c[1], 64)
		} else if c := overIn.FindStringSubmatch(f.Text); c != nil {
			over, _ = strconv.ParseFloat(c[1], 64)
			over *= 2.54
			if over > 10 && over < 10.3 {
				over = 10
			}
		}
		if over > 0 && rows > 0 {
			return rows * 10 / over
		}
	}
	return 0
}
