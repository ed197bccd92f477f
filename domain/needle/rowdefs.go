package needle

import (
	"fmt"
	"strings"
	"unicode"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file finds a row again by its number, its name or its kind.

// def is a row of the text that can be worked, again and again.
type def struct {
	row    *notation.Row
	name   string
	number int
	body   []notation.Op
	entry  *Entry
	before []Lin // on each lane, first time worked
	after  []Lin
	facts  *facts
	done   bool  // worked at least once
	last   bool  // the last of several rows under one head, for which its count stands
	at     []int // rows that each lane had worked when this was worked last
	// what its words say: that the round's start moves, that pieces are joined
	said, shifts, joins bool
}

// single works a row that goes by its words, once (or as its head says).
func (r *run) single(row *notation.Row) {
	n := max(1, row.Head.Next)
	d := r.define(row, row.Name(), 0, nil)
	if d == nil {
		return
	}
	r.words[strings.ToLower(strings.TrimSpace(row.Head.Words))] = d
	r.worded = append(r.worded, d)
	if row.Head.Letter != "" || len(row.Head.Numbers) == 1 {
		r.words["row "+strings.ToLower(d.name)] = d
	}
	for i := 0; i < n; i++ { // a count behind "Next 2 rows: …" is that of the last
		d.last = n > 1 && i == n-1
		r.exec(d, i < n-1, nil)
	}
	d.last = false
}

// define makes a def of a row; idx counts within rows given together.
func (r *run) define(row *notation.Row, name string, number int, nth *int) *def {
	body := row.Body
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
		body = ref.body
		if len(row.Body) > 0 { // with B, as Row 1
			body = append([]notation.Op(nil), row.Body...)
			for _, o := range ref.body {
				if _, yarn := o.(*notation.UseYarn); !yarn {
					body = append(body, o)
				}
			}
		}
	}
	line := row.Head.Span.Line
	if line == 0 {
		line = row.Span.Line
	}
	d := r.enter(def{row: row, name: name, number: number, body: body},
		Entry{Name: name, Line: line, Row: row, Number: number, Span: row.Span, Words: row.Head.Words})
	if row.Head.Round && !r.part.Round {
		r.joinRound()
	}
	return d
}

// enter gives a def its entry in the part, with room for every lane. Each kind of number takes one allocation, since
// a pattern has hundreds of rows.
func (r *run) enter(d def, e Entry) *def {
	both := &struct {
		d def
		e Entry
	}{d, e}
	n := len(r.lanes)
	counts, ints, lins := make([]Count, 3*n), make([]int, 2*n), make([]Lin, 2*n)
	both.e.First, both.e.Last, both.e.Before = counts[:n:n], counts[n:2*n:2*n], counts[2*n:]
	both.e.Times, both.d.at = ints[:n:n], ints[n:]
	both.d.before, both.d.after = lins[:n:n], lins[n:]
	both.e.Side = make([]string, n)
	both.d.entry = &both.e
	r.part.Rows = append(r.part.Rows, &both.e)
	return &both.d
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
		if d := r.numbers[ref.Numbers[i]]; d != nil {
			return d
		}
		if ref.Section != "" { // "as Row 3 of the body", where the border has begun its own numbers
			return r.above[ref.Numbers[i]]
		}
	}
	return nil
}

func (r *run) wordDef(words string) *def {
	k := strings.ToLower(strings.TrimSpace(words))
	for _, try := range []string{k, strings.TrimPrefix(k, "the "), strings.NewReplacer(".", "", "rounds", "rnd", "round", "rnd", "rows", "row").Replace(k)} {
		if d := r.words[try]; d != nil {
			return d
		}
	}
	for i := len(r.worded) - 1; i >= 0; i-- {
		if w := strings.ToLower(strings.TrimSpace(r.worded[i].row.Head.Words)); strings.HasPrefix(w, k) || foldHead(w) == foldHead(k) {
			return r.worded[i]
		}
	}
	return r.byKind(k)
}

// byKind finds the last row whose head says that it is a row of a kind, beside its words: "Rep dec row" behind
// "Next row (dec row): …". A row that only decreases, or increases, will do where it was the last given by words.
func (r *run) byKind(words string) *def {
	kind, noun, ok := strings.Cut(foldHead(words), " ")
	if !ok || noun != "row" && noun != "rnd" {
		return nil
	}
	for i := len(r.history) - 1; i >= max(0, len(r.history)-200); i-- {
		d := r.history[i]
		for _, w := range strings.FieldsFunc(foldHead(strings.ToLower(r.headText(d.row))), func(c rune) bool { return !unicode.IsLetter(c) }) {
			if w == kind || w == kind+"reasing" {
				return d
			}
		}
	}
	if k := len(r.history) - 1; k >= 0 && (kind == "dec" || kind == "inc") {
		d := r.history[k]
		if d.number == 0 && len(d.entry.Times) > 0 && d.entry.Times[0] > 0 {
			if change := d.after[0].minus(d.before[0]); change.C == 0 && (change.D < 0) == (kind == "dec") && change.D != 0 {
				return d
			}
		}
	}
	return nil
}

// headText is a row's head as it is written, with its brackets.
func (r *run) headText(row *notation.Row) string {
	at := row.Head.Span
	if at.Line < 1 || at.Line > len(r.ms.Source) || at.EndLine != at.Line {
		return row.Head.Words
	}
	line := []rune(r.ms.Source[at.Line-1])
	from, to := min(max(at.Col-1, 0), len(line)), min(max(at.EndCol-1, 0), len(line))
	return string(line[from:max(from, to)])
}

func foldHead(s string) string {
	return strings.NewReplacer(".", "", "rounds", "rnd", "round", "rnd", "rnds", "rnd", "rows", "row", "decrease", "dec", "increase", "inc", "-", " ", "setup", "set up").Replace(s)
}
