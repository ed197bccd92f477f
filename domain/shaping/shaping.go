// Package shaping answers the questions a designer works out at the edge of her
// page: how many stitches a width is, over which rows a sleeve grows, where a yoke
// is increased. Every answer in rows is proved before it is given.
package shaping

import (
	"errors"
	"fmt"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/review"
	"rowproof/domain/sizing"
)

// Task is one question. A new one is a new element of tasks.
type Task struct {
	Key, Title, Hint string
	Fields           []Field
	work             func(in *input) (Answer, error)
}

// Field is one thing that must be known. Usual is what it holds at first.
type Field struct {
	Key, Label, Hint, Usual string
	Choices                 []Choice // none: a number, or one for each size, "92 (102, 112)"
	List                    bool     // several numbers in it are not sizes
}

// Choice is one of several answers.
type Choice struct{ Value, Label string }

// Answer is what came out, in the words of a manuscript.
type Answer struct {
	Rows   []string // lines to put into a manuscript
	Counts []Line   // numbers of each size
	Notes  []string // what to know about them
	Wrong  []string // what is wrong with them, and what would mend it
	Proved bool     // Rows were worked loop by loop

	opening []string // lines before Rows that the proof begins with
	after   []int    // stitches of each size when Rows are worked
}

// Line is a row of numbers, one for each size.
type Line struct {
	Name  string
	Cells []string
}

// ErrUnproved is an answer whose rows do not prove: a mistake of the program.
var ErrUnproved = errors.New("the rows worked out do not prove; please report this with what you typed")

// Tasks are all questions, in the order of a garment's making.
func Tasks() []Task {
	return []Task{width, height, sides, evenly, crown, raglan, neck, shoulder}
}

// Named finds a question by its key.
func Named(key string) (Task, bool) {
	for _, t := range Tasks() {
		if t.Key == key {
			return t, true
		}
	}
	return Task{}, false
}

// Work answers a question from what was typed into its fields. Its errors are for
// the person: what cannot be read, or what cannot be worked, and what would do.
func (t Task) Work(values map[string]string) (Answer, error) {
	in := &input{task: t, values: values, n: 1}
	if err := in.read(); err != nil {
		return Answer{}, err
	}
	a, err := t.work(in)
	if err != nil {
		return Answer{}, err
	}
	if a.opening != nil {
		if err := a.prove(in.n); err != nil {
			return Answer{}, err
		}
		a.Proved = true
	}
	return a, nil
}

// prove works the rows in a manuscript of n sizes, called 1 (2, 3).
func (a *Answer) prove(n int) error {
	text := "Shaping\n\n"
	if n > 1 {
		text += "Sizes: " + sizing.Vector(numbered(n)) + "\n\n"
	}
	text += strings.Join(append(a.opening, a.Rows...), "\n") + "\n"
	res := review.Check(text)
	for _, f := range res.Findings {
		if f.Severity() == finding.Error || f.Code == "row-not-understood" {
			return fmt.Errorf("%w: %s\n%s", ErrUnproved, f.Message, text)
		}
	}
	parts := res.Report.Parts
	if len(parts) != 1 || len(parts[0].FinalCounts) != n {
		return fmt.Errorf("%w: %d parts\n%s", ErrUnproved, len(parts), text)
	}
	for i, c := range parts[0].FinalCounts {
		if c == nil || *c != a.after[i] {
			return fmt.Errorf("%w: size %d ends otherwise than with %d sts\n%s", ErrUnproved, i+1, a.after[i], text)
		}
	}
	return nil
}

func numbered(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i + 1
	}
	return out
}
