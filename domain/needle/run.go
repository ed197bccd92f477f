package needle

import (
	"fmt"
	"regexp"
	"slices"
	"sort"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// run works one part on its lanes.
type run struct {
	ms           *notation.Manuscript
	shared       *shared
	res          *Result
	part         *Part
	lanes        []*lane
	w            *worker
	cols         bool                    // loop by loop, for what is worked below
	silent       bool                    // raises no findings, stops at the first failure
	fail         *failure                // the first failure, when silent
	failed       map[int]*failure        // that of each size that failed in the same row
	some         map[*notation.Row][]int // the sizes that work a row, where what repeats it leaves others out
	needlesTold  bool                    // told once: how the stitches lie on the needles is not said
	gapMissed    bool                    // told once: the rows behind miss theirs because of it
	visit        func(WorkedRow)         // told of every row worked, where asked for
	watch        *watcher                // told of all that is worked, in a Watch; watching is there in its trials, too
	watching     *watcher
	tracePasses  int
	eventRoom    []Event // of the row told last, used again
	numbers      map[int]*def
	above        map[int]*def // the numbers given before those
	words        map[string]*def
	worded       []*def // those that go by their words, in order
	history      []*def
	star         int                     // where a run of rows between asterisks began in history
	repeated     bool                    // rows were repeated already
	numberedFrom int                     // rows worked before row 1 of the numbers at hand
	scopes       map[string]map[int]*def // by section heading
	section      string
	heelTold     bool    // that the instep is taken to wait
	kept         bool    // the sentence before left so many to be worked, the others waiting
	divided      bool    // a sentence put stitches aside, so that the round may have become rows
	spare        []*lane // lanes whose room is used again
	blamed       int     // how often an earlier row was looked for
	only         []int
	yarn         string            // in use
	hangs        map[string]string // edge at which each yarn hangs
	sideKnown    bool
	minRow       *def
	minWas       int
	closed       bool
	window       int // > 0: lanes are n = 1..window
	all          map[string]*Part
	blocks       int
	rowsPer10    float64
	firstBlock   *int
	depth        int
	asideMul     bool
	dueNext      string // the side stated for what follows a repetition; "" where none is
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

// atSizes puts before a message which size its numbers are of, and that every
// size is concerned where that is so.
func (r *run) atSizes(bad []*lane, msg string) string {
	if len(r.lanes) < 2 || len(bad) == 0 {
		return msg
	}
	name := r.sizeName(bad[0])
	switch {
	case name == "":
		return msg
	case r.window > 0:
		return "with " + name + ": " + msg
	case len(bad) == len(r.lanes):
		return "at every size; size " + name + ": " + msg
	}
	return "size " + name + ": " + msg
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
	starred := -1 // where what stands between asterisks begins
	for i := 0; i < len(items); i++ {
		if r.silent && r.fail != nil {
			return
		}
		r.reach(items[i])
		switch it := items[i].(type) {
		case *notation.Heading:
			r.section = it.Text
			r.only = nil
			if reOneSide.MatchString(it.Text) && !slices.ContainsFunc(r.lanes, func(l *lane) bool { return !l.held.zero() }) && workedNext(items[i+1:]) {
				r.holdAll(&notation.HoldAll{Side: true, Words: it.Text, Span: it.Span})
			}
		case *notation.Blank:
			if r.only != nil && i+1 < len(items) && !it.Within {
				r.only = nil
			}
		case *notation.ForSizes:
			r.only = it.Only
		case *notation.Begin:
			r.begin(it)
		case *notation.JoinRound:
			r.joinRound()
		case *notation.Markers:
			for _, l := range r.lanes {
				r.hangMarkers(l, it)
			}
		case *notation.Prose:
			if it.Lay != nil {
				r.lay(it)
			}
		case *notation.RowStar:
			r.star, starred = len(r.history), i+1
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
				r.notByAll(block, next)
				r.block(block, next)
				i = j - 1
				continue
			}
			r.single(it)
		case *notation.RepRows:
			before := r.counts(it.Only)
			r.dueNext = sideDue(items[i+1:])
			if it.Ref.Star != "" && starred >= 0 && it.Times.N.Single() && it.Times.N.Given() && len(r.lanes) > 0 && r.lanes[0].total().C == 0 && shapedWithin(items[starred:i]) {
				r.again(it, items[starred:i])
				r.noteSentence(it, before, it.Only)
				break
			}
			lasts := it.Ref.Lasts
			if !lasts.Given() && it.Ref.Last > 1 && it.Ref.First == 0 { // "Work 5 rows. Inc 1 st at each end of next row. Rep these 6 rows 7 times more."
				lasts = notation.N(it.Ref.Last)
			}
			if k := sinceRows(items[:i], lasts, len(r.ms.Sizes)); k < i && (it.Ref.Lasts.Given() || shapedWithin(items[k:i])) && it.Times.N.Given() && len(r.lanes) > 0 && r.lanes[0].total().C == 0 {
				r.again(it, items[k:i])
				r.noteSentence(it, before, it.Only)
				break
			}
			r.repRows(it)
			r.noteSentence(it, before, it.Only)
		case *notation.Shape:
			before := r.counts(it.Only)
			r.shape(it)
			r.noteSentence(it, before, it.Only)
		case *notation.Straight:
			before := r.counts(it.Only)
			r.straight(it)
			r.noteSentence(it, before, it.Only)
		case *notation.BindOffAll:
			r.bindOffAll(it)
		case *notation.HoldAll:
			r.holdAll(it)
		case *notation.As:
			r.asPiece(it)
		}
	}
	r.reach(nil)
}

// reOneSide is a head under which one of the two sides is worked that a row has parted.
var reOneSide = regexp.MustCompile(`(?i)^(?:shape )?(?:left|right|first|second)(?: (?:back|front|neck))?(?: (?:shoulder|front|back|side|neck|half))$`)

// workedNext says that a row is worked next: no sentence tells which stitches wait, or come back.
func workedNext(items []notation.Item) bool {
	for _, it := range items {
		switch it.(type) {
		case *notation.Blank, *notation.Prose:
		case *notation.Row, *notation.Straight, *notation.Shape:
			return true
		default:
			return false
		}
	}
	return false
}

// counts gives what is on the needle at each size; not known where a size skips
// what comes, or an error stands before it. It is nil where nobody will ask.
func (r *run) counts(only []int) []Count {
	if r.silent || r.window > 0 || r.visit != nil || len(r.lanes) == 0 || r.lanes[0].total().C != 0 {
		return nil
	}
	out := make([]Count, len(r.lanes))
	for i, l := range r.lanes {
		skipped := only != nil && !contains(only, l.size) || r.only != nil && !contains(r.only, l.size)
		out[i] = Count{l.total().D, !skipped && !l.tainted}
	}
	return out
}

// noteSentence keeps the counts around a sentence.
func (r *run) noteSentence(it notation.Item, before []Count, only []int) {
	if before == nil {
		return
	}
	if r.part.Sentences == nil {
		r.part.Sentences = map[notation.Item]Span{}
	}
	r.part.Sentences[it] = Span{before, r.counts(only)}
}

// sideDue is the side that the row after a sentence must be worked on, by what
// is stated behind it; "" where nothing tells.
func sideDue(items []notation.Item) string {
	turns := 0
	for _, it := range items {
		switch it := it.(type) {
		case *notation.Row:
			side := it.Head.Side
			if side != "" && turns%2 == 1 {
				side = other(side)
			}
			return side
		case *notation.Straight:
			if !it.Rows.Given() || it.Ends != "" {
				return ""
			}
			turns += it.Rows.For(0)
		case *notation.Shape, *notation.RepRows, *notation.Begin, *notation.As:
			return ""
		}
	}
	return ""
}

// blockItem: numbered rows (and heads that run on) stand together, whatever
// prose is between them.
func blockItem(it notation.Item) bool {
	switch it := it.(type) {
	case *notation.Row:
		return (len(it.Head.Numbers) > 0 && it.Head.Letter == "" || it.Head.Every.On())
	case *notation.Prose:
		return it.Lay == nil
	case *notation.Blank, *notation.ForSizes, *notation.Define:
		return true
	}
	return false
}

// spareLane gives a lane to work a try on.
func (r *run) spareLane() *lane {
	if k := len(r.spare); k > 0 {
		l := r.spare[k-1]
		r.spare = r.spare[:k-1]
		return l
	}
	return &lane{}
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

func itoa(n int) string { return fmt.Sprint(n) }
