// Package draft makes drafts that are proved: it brings a stitch pattern into the form
// that a piece is worked in, has sizing write the manuscript, and review prove it.
//
// It stands between sizing, which knows no needle, and review, which knows no
// drafts. Make is the call most people need.
package draft

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"rowproof/domain/chart"
	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/review"
	"rowproof/domain/sizing"
	"rowproof/domain/studio"
)

// Proved is a draft with its proof.
type Proved struct {
	*sizing.Draft
	Checked *review.Result
}

// Make drafts and proves. A draft that has an error is not given out: that is a
// fault of ours, or of a stitch that does not bear what the form asks of it, and
// the error names the first.
func Make(r sizing.Request) (*Proved, error) {
	d, err := sizing.Make(r)
	if err != nil {
		return nil, err
	}
	res := review.Check(d.Manuscript)
	for _, f := range res.Findings {
		if f.Severity() == finding.Error {
			what := ""
			if r.Stitch != nil {
				what = " in " + r.Stitch.Name
			}
			return nil, fmt.Errorf("%w%s: line %d: %s", sizing.ErrDraft, what, f.Line, f.Message)
		}
	}
	return &Proved{d, res}, nil
}

// ErrStitch is wrapped by what keeps a stitch pattern from being drafted with.
var ErrStitch = errors.New("this stitch cannot be drafted with")

// Stitch reads a stitch pattern from a manuscript of its own, for a piece worked
// flat or in the round. The name is its title where none is given.
func Stitch(name, text string, round bool) (*sizing.DraftStitch, error) {
	res := review.Check(text)
	if n := res.Errors(); n > 0 {
		return nil, fmt.Errorf("%w: it has errors of its own (%d); mend them first", ErrStitch, n)
	}
	part := slices.IndexFunc(res.Needle.Parts, func(p *needle.Part) bool { return len(p.Rows) > 0 })
	if part < 0 {
		return nil, fmt.Errorf("%w: it has no rows", ErrStitch)
	}
	p := res.Needle.Parts[part]
	if name == "" {
		name = strings.TrimSpace(p.Name)
	}
	if name == "" {
		name = res.Manuscript.Title
	}
	if name == "" {
		name = "Stitch"
	}
	words := studio.ReadStitch(text)
	s := &sizing.DraftStitch{Name: name, Lines: words.Lines, Yarns: words.Yarns}
	for _, d := range words.Defines {
		s.Own = append(s.Own, d.Name+": "+d.Words)
	}
	if p.Round != round {
		form := chart.AsFlat
		if round {
			form = chart.AsRound
		}
		w, ok, err := chart.InForm(res.Manuscript, res.Needle, part, form)
		if err != nil {
			return nil, fmt.Errorf("%w: it cannot be written for this form: %s", ErrStitch, strings.TrimPrefix(err.Error(), "chart: "))
		}
		if ok {
			s.Lines = w.Lines
			p = needle.Work(notation.Read(w.Text)).Parts[0]
		}
	}
	if err := measure(s, p); err != nil {
		return nil, err
	}
	return s, nil
}

// measure fills in the multiple and the rows of the repeat.
func measure(s *sizing.DraftStitch, p *needle.Part) error {
	switch {
	case p.Stated != nil && p.Stated.Of > 0:
		s.Of, s.Plus = p.Stated.Of, p.Stated.Plus+2*p.Stated.Edge
	case p.Needs != nil && p.Needs.Of > 0:
		s.Of, s.Plus = p.Needs.Of, p.Needs.Plus
		s.Lines = append([]string{fmt.Sprintf("Multiple of %d sts + %d.", s.Of, s.Plus)}, s.Lines...)
	default:
		return fmt.Errorf("%w: its rows name no multiple; a piece of one width cannot be repeated", ErrStitch)
	}
	if p.Change != nil && *p.Change != 0 {
		return fmt.Errorf("%w: its rows gain or lose stitches", ErrStitch)
	}
	seen := map[string]bool{}
	for _, e := range p.Rows {
		seen[e.Name] = true
	}
	for seen[fmt.Sprint(s.Repeat+1)] {
		s.Repeat++
	}
	if s.Repeat == 0 || len(seen) > s.Repeat {
		return fmt.Errorf("%w: its rows are not numbered from 1 without a gap", ErrStitch)
	}
	for _, l := range s.Lines {
		if w := strings.Fields(strings.ToLower(l)); len(w) > 2 && strings.HasPrefix(w[0], "rep") && !strings.HasPrefix(w[2], "1") && w[1] != "these" {
			return fmt.Errorf("%w: it has rows before those that repeat", ErrStitch)
		}
	}
	return nil
}
