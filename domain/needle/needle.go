package needle

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// workBudget bounds the steps of one check; it is far above any real pattern.
const workBudget = 2_000_000

// maxPatts bounds how deep patterns may be worked within patterns.
const maxPatts = 4

// Window is how many repeats are tried where no argument holds for all of them.
const Window = 12

// Work works every part of a manuscript, for every size and every multiple.
func Work(ms *notation.Manuscript) *Result { return work(ms, nil) }

// work works every part; watch, where given, is told.
func work(ms *notation.Manuscript, watch *watcher) *Result {
	res := &Result{Parts: split(ms)}
	budget := workBudget
	all := map[string]*Part{}
	scopes := map[string]map[int]*def{}
	rowsPer10 := rowGauge(ms)
	common := newShared()
	mk := func(p *Part, out *Result, lanes []*lane) *run {
		return &run{shared: common, ms: ms, res: out, part: p, lanes: lanes, rowsPer10: rowsPer10,
			w:       &worker{ms: ms, budget: &budget, own: map[string]effect{}},
			numbers: map[int]*def{}, words: map[string]*def{}, scopes: scopes, all: all}
	}
	mk2 := mk
	mk = func(p *Part, out *Result, lanes []*lane) *run {
		r := mk2(p, out, lanes)
		if r.watching = watch; out == res && watch != nil {
			r.watch, r.w.loops = watch, true
		}
		within := 0
		r.w.patts = func(name, row string, n, size int) (int, bool) {
			if within++; within > maxPatts {
				within--
				return 0, false // a pattern that is worked within itself
			}
			defer func() { within-- }()
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
		r.w.pattWidth = func(name, row string, size int) (int, bool) {
			d := r.scope(name)[atoi(row)]
			if d == nil {
				return 0, false
			}
			e := r.w.fixed(d.body, size)
			return e.in, e.ok && e.in > 0
		}
		return r
	}
	held := newWaits(len(ms.Sizes))
	for i, p := range res.Parts {
		if watch != nil {
			watch.part, watch.item = i, nil
		}
		workPart(ms, res, p, mk, held, all)
		if p.Name != "" {
			if k := strings.ToLower(p.Name); all[k] == nil {
				all[k] = p
			}
		}
	}
	res.Steps = workBudget - budget
	if budget <= 0 {
		res.Findings.Addf("too-much-work", finding.Span{Line: 1, Col: 1, EndLine: 1, EndCol: 1}, "working this pattern takes too long; write fewer repeats")
	}
	return res
}

// reRounds is how many rounds are worked: "Work 6 rounds in k2, p2 rib".
var reRounds = regexp.MustCompile(`(?i)\b(?:rounds?|rnds?)\b`)

// reAround are words of work in the round: "Work ribbing around for 5 cm".
var reAround = regexp.MustCompile(`(?i)\baround\b|\bin (?:the )?(?:rounds?|rnds?)\b|\bevery (?:rounds?|rnds?)\b`)

// reRoundStart is where a round begins: "Place a marker at the beginning of the round."
var reRoundStart = regexp.MustCompile(`(?i)\b(?:beginning|beg|start) of (?:the )?(?:round|rnd)\b`)

// saysAround says that a piece is worked in the round by what its first sentences say, none of its rows having a side or
// being called a row.
func saysAround(p *Part) bool {
	around, marked := false, false
	for _, it := range p.items {
		switch it := it.(type) {
		case *notation.Straight:
			around = around || reAround.MatchString(it.Words)
		case *notation.Prose:
			marked = marked || reRoundStart.MatchString(it.Text)
		case *notation.Begin:
			marked = marked || reRoundStart.MatchString(it.Text)
		case *notation.Row:
			if h := it.Head; h.Side != "" || h.Every.Side != "" || strings.Contains(strings.ToLower(h.Words), "row") {
				return false
			}
		}
	}
	return around && marked
}

// tellsRounds says that a sentence asks for so many rounds.
func tellsRounds(s *notation.Straight) bool { return s.Rows.Given() && reRounds.MatchString(s.Words) }

// titledRound says that a stitch pattern is called one of rounds, "Twin Ropes (in the round)", and
// none of its rows has a side.
func titledRound(ms *notation.Manuscript, p *Part) bool {
	name := strings.ToLower(ms.Title + " " + p.Name)
	if !strings.Contains(name, "in the round") && !strings.Contains(name, "in rounds") && !strings.Contains(name, "worked circular") {
		return false
	}
	for _, it := range p.items {
		if row, ok := it.(*notation.Row); ok && (row.Head.Side != "" || row.Head.Every.Side != "") {
			return false
		}
	}
	return true
}

type maker func(p *Part, out *Result, lanes []*lane) *run

func workPart(ms *notation.Manuscript, res *Result, p *Part, mk maker, held *waits, all map[string]*Part) {
	sizes := len(ms.Sizes)
	var begin, picked *notation.Begin
	rows := false
	for _, it := range p.items {
		switch it := it.(type) {
		case *notation.Multiple:
			if p.Stated == nil {
				p.Stated = it
			}
		case *notation.Begin:
			switch {
			case begin == nil, !rows && begin.How == "return" && !begin.N.Given() && it.How == "return" && it.N.Given():
				begin = it
			case !rows && it.How == "pick up" && begin.How == "return" && begin.N.Given() && it.N.Given():
				begin = joined(begin, it)
			case !rows && it.How == "pick up" && begin.How == "return" && it.N.Given() && picked == nil:
				picked = it
			}
		case *notation.Row:
			if begin == nil && p.Stated == nil {
				begin = &notation.Begin{} // rows without a beginning
			}
			rows = true
			if it.Head.Round {
				p.Round = true
			}
		case *notation.JoinRound:
			p.Round = true
		case *notation.Straight:
			if !rows && begin != nil && (begin.How == "pick up" || begin.How == "return") && tellsRounds(it) {
				p.Round = true
			}
		}
	}
	for _, it := range p.items {
		if b, ok := it.(*notation.Begin); ok && b.Round {
			p.Round = true
		}
	}
	p.Round = p.Round || begin != nil && begin.How == "cast on" && saysAround(p)
	if begin != nil && begin.How == "return" && !begin.N.Given() {
		some := false
		n := notation.Num{Span: begin.Span}
		sure := agreesSomewhere(p, begin, held.all)
		lot := held.lotMeant(begin.Text)
		for i, h := range held.all {
			h -= heldBefore(p, begin, i)
			if lot {
				h = held.last[i]
			}
			if v, ok := beforeFirst(p, begin, i); ok && !sure {
				h = v // the row behind tells how many there were
			}
			n.Vals = append(n.Vals, h)
			some = some || h > 0
		}
		if some {
			b := *begin
			b.N = n
			begin = &b
			if picked != nil {
				begin = joined(begin, picked)
			}
			held.take(n, lot)
		}
	}
	if begin == nil && !p.Round && titledRound(ms, p) {
		p.Round = true
	}
	if src, b := begunAs(p, all); b != nil && p.Stated == nil && (begin == nil || !begin.N.Given() && begin.How == "") {
		begin, p.Round = b, p.Round || src.Round // worked as another piece, in all its sizes
	}
	p.Needs = needs(ms, p, mk)
	var lanes []*lane
	if begin != nil && checkSum(ms, res, p, begin) || leavesOut(p.items) {
		defer func() { p.Proved = "" }()
	}
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
			if l.held.C == 0 && i < len(held.all) {
				held.add(i, l)
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
			if f, ok := firstFelt(ms, p, mk, start); ok {
				res.Findings.Add(f)
			}
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
			f := finding.Finding{Code: "needs-more-repeats", Span: r.minRow.row.Span, Row: r.minRow.name,
				Message: fmt.Sprintf("needs at least %d repeats: %s", l.min, sts(K(start.At(l.min))))}
			if l.enough <= 1 {
				f.Code = "repeat-not-reached"
				f.Message = fmt.Sprintf("with fewer than %d repeats (%s) what is to be repeated is not worked once", l.min, sts(K(start.At(l.min))))
			}
			r.add(f)
		}
	}
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

// windowed works n = 1 to Window one by one.
func windowed(ms *notation.Manuscript, res *Result, p *Part, mk maker, lanes []*lane) {
	out := &Result{}
	r := mk(p, out, lanes)
	r.watch = r.watching
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

// leavesOut says that a sentence about stitches is among the items that nobody has worked.
func leavesOut(items []notation.Item) bool {
	return slices.ContainsFunc(items, func(it notation.Item) bool {
		switch it := it.(type) {
		case *notation.Prose:
			return it.Unworked
		case *notation.Shape:
			return it.Unworked
		}
		return false
	})
}

// rowGauge is the first row gauge that is stated, in rows per 10 cm; 0 where
// there is none.
func rowGauge(ms *notation.Manuscript) float64 {
	for _, g := range ms.Gauges() {
		if g.Rows > 0 {
			return g.Rows
		}
	}
	return 0
}
