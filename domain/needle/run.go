package needle

import (
	"fmt"
	"sort"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// def is a row of the text that can be worked, again and again.
type def struct {
	row    *notation.Row
	name   string
	number int
	body   []notation.Op
	entry  *Entry
	before []Lin // on each lane, first time worked
	after  []Lin
	done   bool // worked at least once
}

// run works one part on its lanes.
type run struct {
	ms          *notation.Manuscript
	res         *Result
	part        *Part
	lanes       []*lane
	w           *worker
	cols        bool            // loop by loop, for what is worked below
	silent      bool            // raises no findings, stops at the first failure
	fail        *failure        // the first failure, when silent
	visit       func(WorkedRow) // told of every row worked, where asked for
	tracePasses int
	numbers     map[int]*def
	words       map[string]*def
	history     []*def
	star        int                     // where a run of rows between asterisks began in history
	repeated    bool                    // rows were repeated already
	scopes      map[string]map[int]*def // by section heading
	section     string
	only        []int
	yarn        string            // in use
	hangs       map[string]string // edge at which each yarn hangs
	sideKnown   bool
	minRow      *def
	minWas      int
	closed      bool
	window      int // > 0: lanes are n = 1..window
	all         map[string]*Part
	blocks      int
	rowsPer10   float64
	firstBlock  *int
	depth       int
	asideMul    bool
}

func (r *run) add(f finding.Finding) {
	if r.silent {
		return
	}
	f.Part = r.part.Name
	r.res.Findings.Add(f)
}

// sizesOf gives the sizes of lanes for a finding: nil where all are concerned.
func (r *run) sizesOf(ls []*lane) []int {
	if r.window > 0 || len(ls) == len(r.lanes) && len(ls) >= 1 {
		return nil
	}
	var out []int
	for _, l := range ls {
		out = append(out, l.size)
	}
	sort.Ints(out)
	return out
}

func (r *run) sizeName(l *lane) string {
	if r.window > 0 {
		return fmt.Sprintf("n = %d", l.size+1)
	}
	if l.size < len(r.ms.Sizes) {
		return r.ms.Sizes[l.size]
	}
	return ""
}

// items works the part's items in order.
func (r *run) items(items []notation.Item) {
	for i := 0; i < len(items); i++ {
		if r.silent && r.fail != nil {
			return
		}
		switch it := items[i].(type) {
		case *notation.Heading:
			r.section = it.Text
			r.only = nil
		case *notation.Blank:
			if r.only != nil && i+1 < len(items) {
				r.only = nil
			}
		case *notation.ForSizes:
			r.only = it.Only
		case *notation.Begin:
			r.begin(it)
		case *notation.JoinRound:
			r.joinRound()
		case *notation.RowStar:
			r.star = len(r.history)
		case *notation.Row:
			j := i
			for j < len(items) && blockItem(items[j]) {
				j++
			}
			block := items[i:j]
			var next *notation.RepRows
			for k := j; k < len(items) && next == nil; k++ {
				switch n := items[k].(type) {
				case *notation.RepRows:
					next = n
				case *notation.Heading, *notation.Row:
					k = len(items)
				}
			}
			if len(it.Head.Numbers) > 0 && it.Head.Letter == "" || it.Head.Every.On() {
				r.block(block, next)
				i = j - 1
				continue
			}
			r.single(it)
		case *notation.RepRows:
			r.repRows(it)
		case *notation.Shape:
			r.shape(it)
		case *notation.Straight:
			r.straight(it)
		case *notation.BindOffAll:
			r.bindOffAll(it)
		case *notation.HoldAll:
			r.holdAll(it)
		case *notation.As:
			r.asPiece(it)
		}
	}
}

// blockItem: numbered rows (and heads that run on) stand together, whatever
// prose is between them.
func blockItem(it notation.Item) bool {
	switch it := it.(type) {
	case *notation.Row:
		return (len(it.Head.Numbers) > 0 && it.Head.Letter == "" || it.Head.Every.On())
	case *notation.Prose, *notation.Blank, *notation.ForSizes, *notation.Define:
		return true
	}
	return false
}

func (r *run) begin(b *notation.Begin) {
	if b.Round {
		r.joinRound()
	}
	for _, l := range r.lanes {
		l.marked = l.marked || b.Marked
		if len(b.Markers) > 0 && !l.started && len(l.left.group) == 1 {
			r.placeMarkers(l, b)
		}
		if !b.N.Given() {
			if b.How == "return" && !l.held.zero() {
				l.left = newStack(l.held)
				l.held = Lin{}
			}
			continue
		}
		if l.started && l.left.group[0].C == 0 && r.window == 0 {
			// more stitches join those on the needle: underarms, other pieces
			*l.left.top() = l.left.top().plus(K(max(0, b.N.For(l.size))))
			continue
		}
	}
}

// placeMarkers hangs markers after so many stitches of the cast-on.
func (r *run) placeMarkers(l *lane, b *notation.Begin) {
	var sizes []Lin
	rest := l.left.group[0]
	for _, m := range b.Markers {
		n := K(max(0, m.For(l.size)))
		if d := rest.minus(n); d.C == 0 && d.D < 0 {
			return
		}
		sizes = append(sizes, n)
		rest = rest.minus(n)
	}
	s := newStack(rest)
	for i := len(sizes) - 1; i >= 0; i-- {
		s.push(marker)
		*s.top() = sizes[i]
	}
	l.left = s
}

func (r *run) joinRound() {
	r.part.Round = true
	for _, l := range r.lanes {
		if !l.round {
			l.round = true
			if l.started {
				continue
			}
		}
	}
}

// single works a row that goes by its words, once (or as its head says).
func (r *run) single(row *notation.Row) {
	n := max(1, row.Head.Next)
	d := r.define(row, row.Name(), 0, nil)
	if d == nil {
		return
	}
	r.words[strings.ToLower(strings.TrimSpace(row.Head.Words))] = d
	if row.Head.Letter != "" || len(row.Head.Numbers) == 1 {
		r.words["row "+strings.ToLower(d.name)] = d
	}
	for i := 0; i < n; i++ {
		r.exec(d, false, nil)
	}
}

// define makes a def of a row; idx counts within rows given together.
func (r *run) define(row *notation.Row, name string, number int, nth *int) *def {
	d := &def{row: row, name: name, number: number, body: row.Body}
	if row.As != nil {
		ref := r.refRow(row, number, nth)
		if ref == nil {
			f := finding.Finding{Code: "rows-not-given", Span: row.Span, Row: name, Message: "refers to " + refWords(row.As) + ", which is not given"}
			r.add(f)
			if r.silent && r.fail == nil {
				r.fail = &failure{code: f.Code, at: row.Span}
			}
			return nil
		}
		d.body = ref.body
	}
	e := &Entry{Name: name, Line: row.Head.Span.Line, Row: row, Number: number, Span: row.Span, Words: row.Head.Words}
	if e.Line == 0 {
		e.Line = row.Span.Line
	}
	n := len(r.lanes)
	e.First, e.Last, e.Before = make([]Count, n), make([]Count, n), make([]Count, n)
	e.Times, e.Side = make([]int, n), make([]string, n)
	d.entry = e
	r.part.Rows = append(r.part.Rows, e)
	if row.Head.Round && !r.part.Round {
		r.joinRound()
	}
	return d
}

func refWords(ref *notation.RowRef) string {
	switch {
	case ref.Words != "":
		return "“" + ref.Words + "”"
	case len(ref.Numbers) == 1:
		return fmt.Sprintf("row %d", ref.Numbers[0])
	case len(ref.Numbers) > 1:
		return fmt.Sprintf("rows %d to %d", ref.Numbers[0], ref.Numbers[len(ref.Numbers)-1])
	}
	return fmt.Sprintf("the last %d rows", ref.Last)
}

func (r *run) refRow(row *notation.Row, number int, nth *int) *def {
	ref := row.As
	switch {
	case ref.Last > 0:
		if k := len(r.history); k >= ref.Last {
			at := k - ref.Last
			if nth != nil && ref.Last > 1 {
				at += *nth % ref.Last
			}
			return r.history[at]
		}
	case ref.Words != "":
		return r.wordDef(ref.Words)
	case len(ref.Numbers) > 0:
		i := 0
		if nth != nil {
			i = *nth % len(ref.Numbers)
		}
		return r.numbers[ref.Numbers[i]]
	}
	return nil
}

func (r *run) wordDef(words string) *def {
	k := strings.ToLower(strings.TrimSpace(words))
	for _, try := range []string{k, strings.TrimPrefix(k, "the "), strings.NewReplacer("rounds", "rnd", "round", "rnd", "rows", "row").Replace(k)} {
		if d := r.words[try]; d != nil {
			return d
		}
	}
	for w, d := range r.words {
		if strings.HasPrefix(w, k) || foldHead(w) == foldHead(k) {
			return d
		}
	}
	return nil
}

func foldHead(s string) string {
	return strings.NewReplacer("rounds", "rnd", "round", "rnd", "rnds", "rnd", "rows", "row", "decrease", "dec", "increase", "inc", "-", " ", "setup", "set up").Replace(s)
}

// block works numbered rows that stand together.
func (r *run) block(items []notation.Item, next *notation.RepRows) {
	type slot struct {
		row    *notation.Row
		number int
		nth    int
		only   []int
		order  int
	}
	var rows []*notation.Row
	only := map[*notation.Row][]int{}
	cur := r.only
	for _, it := range items {
		switch it := it.(type) {
		case *notation.Row:
			rows = append(rows, it)
			o := it.Only
			if o == nil {
				o = cur
			}
			only[it] = o
		case *notation.ForSizes:
			cur = it.Only
		case *notation.Blank:
			if cur != nil {
				cur = nil
			}
		}
	}
	r.only = nil
	defer func() { r.only = cur }()
	// pieces: numbering that starts again begins a new one
	for len(rows) > 0 {
		seen := map[int]bool{}
		n := 0
		maxN := 0
		for n < len(rows) {
			h := rows[n].Head
			if n > 0 && len(h.Numbers) > 0 && seen[h.Numbers[0]] && (h.Numbers[0] == 1 || h.Numbers[0] < maxN-1 && len(only[rows[n]]) == 0) && len(only[rows[n]]) == 0 {
				break
			}
			for _, v := range h.Numbers {
				seen[v] = true
				maxN = max(maxN, v)
			}
			n++
		}
		group := rows[:n]
		rows = rows[n:]
		last := maxN
		if len(rows) == 0 && next != nil {
			for _, v := range next.Ref.Numbers {
				if v <= maxN+2 {
					last = max(last, v)
				}
			}
			if k := next.Ref.Last; k > 0 && k > maxN && k <= maxN+2 {
				last = k
			}
		}
		// heads that run on
		given := map[int]bool{}
		for _, row := range group {
			for _, v := range row.Head.Numbers {
				given[v] = true
			}
		}
		var slots []slot
		for k, row := range group {
			h := row.Head
			ns := append([]int(nil), h.Numbers...)
			if h.Every.On() {
				ns = runOn(ns, h.Every, given, last, len(rows) == 0 && next != nil && len(next.Ref.Numbers) > 0)
			}
			if len(ns) == 0 && !h.Every.On() {
				continue
			}
			if len(ns) == 0 { // "Every row: …" of a one-row pattern
				ns = []int{1}
			}
			for q, v := range ns {
				slots = append(slots, slot{row, v, q, only[row], k})
			}
		}
		sort.SliceStable(slots, func(a, b int) bool { return slots[a].number < slots[b].number })
		if r.numbers == nil || len(slots) > 0 && (slots[0].number <= 1 || r.numbers[slots[0].number] != nil) {
			r.numbers = map[int]*def{}
		}
		prev := 0
		for v := range r.numbers {
			prev = max(prev, v)
		}
		had := map[int][]int{}
		defs := make([]*def, 0, len(slots))
		var start []Lin
		for _, l := range r.lanes {
			start = append(start, l.total())
		}
		for k := range slots {
			s := slots[k]
			if o, dup := had[s.number]; dup && overlap(o, s.only) {
				r.add(finding.Finding{Code: "row-given-twice", Span: s.row.Head.Span, Row: itoa(s.number), Message: fmt.Sprintf("row %d is given twice", s.number)})
				if r.silent {
					continue
				}
			}
			had[s.number] = s.only
			if len(r.lanes) > 0 && s.number == r.lanes[0].rows+1 {
				prev = s.number - 1 // rows worked in between bear the numbers left out
			}
			if prev > 0 && s.number > prev+1 && r.numbers[s.number-1] == nil || prev == 0 && k == 0 && s.number > 1 && len(r.part.Rows) == 0 && s.number != 2 {
				from := prev + 1
				if !r.silent {
					missing := itoa(from)
					msg := fmt.Sprintf("row %d is missing", from)
					if from < s.number-1 {
						msg = fmt.Sprintf("rows %d to %d are missing", from, s.number-1)
					}
					r.add(finding.Finding{Code: "row-missing", Span: s.row.Head.Span, Row: missing, Message: msg + ": here row " + itoa(s.number) + " follows row " + itoa(prev)})
				}
			}
			prev = max(prev, s.number)
			d := r.define(s.row, itoa(s.number), s.number, &slots[k].nth)
			if d == nil {
				continue
			}
			// a count at the end belongs to the last of rows given together
			counted := k+1 >= len(slots) || lastOf(slots[k].number, s.row, last)
			r.numbers[s.number] = d
			for _, sec := range []string{strings.ToLower(r.section), strings.ToLower(r.part.Name)} {
				if sec == "" {
					continue
				}
				if r.scopes[sec] == nil {
					r.scopes[sec] = map[int]*def{}
				}
				r.scopes[sec][s.number] = d
			}
			defs = append(defs, d)
			r.execOnly(d, s.only, !counted)
			if r.silent && r.fail != nil {
				return
			}
		}
		r.blocks++
		if r.firstBlock == nil && len(defs) > 0 && len(rows) == 0 {
			r.noteChange(start)
		}
	}
}

func lastOf(n int, row *notation.Row, last int) bool {
	h := row.Head
	if h.Every.On() {
		return true
	}
	return len(h.Numbers) == 0 || n == h.Numbers[len(h.Numbers)-1]
}

func overlap(a, b []int) bool {
	if a == nil || b == nil {
		return true
	}
	for _, x := range a {
		for _, y := range b {
			if x == y {
				return true
			}
		}
	}
	return false
}

// noteChange records what one pass of the rows has gained.
func (r *run) noteChange(start []Lin) {
	var change *int
	for i, l := range r.lanes {
		d := l.total().minus(start[i])
		if d.C != 0 || l.dead {
			return
		}
		v := d.D
		if change != nil && *change != v {
			return
		}
		change = &v
	}
	r.firstBlock = change
}

// runOn lists the rows a head stands for: "Row 2 and all WS rows".
func runOn(ns []int, e notation.Every, given map[int]bool, last int, exact bool) []int {
	step, first := e.Step, 1
	if len(ns) > 0 {
		first = ns[len(ns)-1]
	}
	switch {
	case e.Step > 0:
	case e.Even:
		step = 2
		if len(ns) == 0 {
			first = 2
		}
	case e.Odd:
		step = 2
		if len(ns) == 0 {
			first = 1
		}
	case e.Side != "":
		step = 2
		if len(ns) == 0 {
			first = 2
			if e.Side == "RS" {
				first = 1
			}
			if given[first] && !given[3-first] {
				first = 3 - first
			}
		}
	default:
		step = 1
	}
	// the pair of the last row belongs to the repeat
	if step == 2 && !exact && last%2 != first%2 && given[last] {
		last++
	}
	out := append([]int(nil), ns...)
	if len(out) == 0 {
		if !given[first] {
			out = append(out, first)
		}
	}
	for v := first + step; v <= last; v += step {
		if !given[v] {
			out = append(out, v)
		}
	}
	return out
}

func itoa(n int) string { return fmt.Sprint(n) }
