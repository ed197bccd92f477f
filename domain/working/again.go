package working

import (
	"regexp"
	"strings"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// This file lays out rows that a sentence has worked again.

// again makes the steps of rows repeated. Where the rows stand right before the
// sentence, they are the first pass.
func (l *layer) again(it *notation.RepRows, by int, told []needle.Told) {
	line := l.line(it, "", "", false)
	first := len(l.plan.Steps)
	pass, passes := 0, []int(nil) // of each step
	even, evens := 0, 0
	for i, t := range told {
		if t.Kind != needle.ToldRow {
			side := t.Side
			evens = t.Rows
			for even = 1; even <= evens; even++ {
				l.add(Step{Line: line, By: by, Kind: Row, Side: side, Head: l.head(even, evens, side, t.Round) + ", even"}, t.After, t.Known)
				of := pass + 1 // they come before the row that they lead to
				if t.Nth > 0 {
					of = max(1, pass) // or behind it, in the same pass
				}
				passes = append(passes, of)
				side = flip(side)
				if len(l.plan.Steps) > Most {
					return
				}
			}
			continue
		}
		if i == 0 || t.Nth <= told[i-1].Nth || told[i-1].Kind != needle.ToldRow || pass == 0 {
			pass++
		}
		l.row(t, line)
		passes = append(passes, pass)
		if len(l.plan.Steps) > Most {
			return
		}
	}
	steps := l.plan.Steps
	n := 0 // steps of the first pass
	for n < len(passes) && passes[n] == 1 {
		n++
	}
	before := l.firstPass(first, n)
	if l.open(it, l.partOf(told)) {
		from, to := first, len(steps)-1
		if before >= 0 { // no need to say it twice
			l.plan.Steps = steps[:first]
			from, to = before, first-1
		}
		change := told[len(told)-1].After.D != told[0].Before.D || told[len(told)-1].After.C != told[0].Before.C
		l.plan.Loops = append(l.plan.Loops, Loop{From: from, To: to, By: line, Until: until(l.plan.Lines[line].Text), Changes: change})
		return
	}
	shift, of := 0, pass
	if before >= 0 {
		shift, of = 1, pass+1
		for i := before; i < first; i++ {
			steps[i].Pass, steps[i].Passes = 1, of
		}
	}
	if of < 2 {
		return
	}
	for i := first; i < len(steps); i++ {
		steps[i].Pass, steps[i].Passes = passes[i-first]+shift, of
	}
}

func (l *layer) partOf(told []needle.Told) int { return told[0].Part }

// firstPass gives the first of the n steps before step first, where they are the same
// rows as the n steps from there on and belong to no repeat; -1 else.
func (l *layer) firstPass(first, n int) int {
	at := first - n
	if n == 0 || at < l.since {
		return -1
	}
	s := l.plan.Steps
	for i := range n {
		a, b := s[at+i], s[first+i]
		if b.Kind != Row || a.Kind != Row || a.Passes > 0 || l.looped(at+i) || !l.sameLine(a.Line, b.Line) {
			return -1
		}
	}
	return at
}

// sameLine compares lines but for the side they are worked on.
func (l *layer) sameLine(a, b int) bool {
	x, y := &l.plan.Lines[a], &l.plan.Lines[b]
	return a == b || x.Row == y.Row && x.Number == y.Number
}

func (l *layer) looped(step int) bool {
	for i := len(l.plan.Loops) - 1; i >= 0; i-- {
		if o := l.plan.Loops[i]; o.From <= step && step <= o.To {
			return true
		}
	}
	return false
}

// loopPatterns makes loops of the rows of stitch patterns that no sentence repeats.
func (l *layer) loopPatterns() {
	steps := l.plan.Steps
	for from := 0; from < len(steps); from++ {
		row := steps[from]
		if row.Stitches == "" || row.Kind != Row || row.Passes > 0 || l.looped(from) {
			continue
		}
		to := from
		for to+1 < len(steps) && steps[to+1].Kind == Row && steps[to+1].Stitches != "" && !l.looped(to+1) && l.samePlace(from, to+1) {
			to++
		}
		l.plan.Loops = append(l.plan.Loops, Loop{From: from, To: to, By: -1, Until: "as often as you like"})
		from = to
	}
	sortLoops(l.plan.Loops)
}

func (l *layer) samePlace(a, b int) bool {
	x, y := l.plan.Lines[l.plan.Steps[a].Line], l.plan.Lines[l.plan.Steps[b].Line]
	return x.Piece == y.Piece && x.Section == y.Section
}

func sortLoops(loops []Loop) {
	for i := 1; i < len(loops); i++ {
		for k := i; k > 0 && loops[k].From < loops[k-1].From; k-- {
			loops[k], loops[k-1] = loops[k-1], loops[k]
		}
	}
}

// untilWords finds what ends a sentence's work.
var untilWords = []*regexp.Regexp{
	regexp.MustCompile(`(?i)\b(?:until|till)\b.*`),
	regexp.MustCompile(`(?i)\b(?:to a length of|to measure|for)\b.*`),
}

// until is the part of a sentence that says how long it goes on; all of it where none does.
func until(sentence string) string {
	for _, re := range untilWords {
		if m := re.FindString(sentence); m != "" {
			return strings.TrimRight(m, " .,;")
		}
	}
	return strings.TrimRight(sentence, " .,;")
}
