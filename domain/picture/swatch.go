package picture

import (
	"fmt"

	"rowproof/domain/fabric"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// A swatch is about this wide and high: large enough for the repeat to be seen
// among its neighbours, small enough for the eye to find the loops.
const (
	swatchStitches = 30
	swatchRows     = 36
	swatchMost     = 60 // of a piece with a cast-on of its own
)

// Swatch works as much of a part as makes a good picture of its stitch: some
// repeats of a multiple, or the beginning of a piece in one size. It returns the
// fabric with the window to draw. It fails where a row does not come out, with
// the reason.
func Swatch(ms *notation.Manuscript, res *needle.Result, part, size int) (*fabric.Fabric, Window, error) {
	if part < 0 || part >= len(res.Parts) {
		return nil, Window{}, fmt.Errorf("picture: there is no part %d", part+1)
	}
	p := res.Parts[part]
	stitches, rows := 0, 0
	if of, plus, min := multiple(p); of > 0 {
		n := max(min, 1)
		for (n+1)*of+plus <= swatchStitches {
			n++
		}
		stitches = n*of + plus
	}
	for _, e := range p.Rows {
		if e.Row != nil {
			rows++
		}
	}
	passes := 1
	if rows > 0 {
		passes = max(1, (swatchRows+rows-1)/rows)
	}
	if stitches > 0 {
		passes = -passes // a stitch pattern goes on, said or not
	}
	f, err := fabric.Build(ms, res, part, size, stitches, passes)
	if err != nil {
		return nil, Window{}, err
	}
	w := Window{ToColumn: f.Columns, ToRow: len(f.Rows)}
	if stitches == 0 {
		if f.Columns > swatchMost {
			w.FromColumn = (f.Columns - swatchMost) / 2
			w.ToColumn = w.FromColumn + swatchMost
		}
		w.ToRow = min(w.ToRow, swatchMost)
	} else {
		w.ToRow = min(w.ToRow, max(swatchRows, rows))
	}
	return f, w, nil
}

// multiple is the multiple to draw a part on: the stated one, else the one its
// rows need; of is 0 where the part is worked on its cast-on.
func multiple(p *needle.Part) (of, plus, min int) {
	if p.Needs != nil {
		min = p.Needs.Min
	}
	switch {
	case p.CastOn != nil:
		return 0, 0, 0
	case p.Stated != nil:
		return p.Stated.Of, p.Stated.Plus + 2*p.Stated.Edge, min
	case p.Needs != nil:
		return p.Needs.Of, p.Needs.Plus, min
	}
	return 0, 0, 0
}

// Best is the part that shows a pattern best: the first that repeats, else the
// first with rows; -1 where none has any.
func Best(res *needle.Result) int {
	first := -1
	for i, p := range res.Parts {
		if len(p.Rows) == 0 {
			continue
		}
		if first < 0 {
			first = i
		}
		if p.Stated != nil && p.Stated.Of > 0 || p.Needs != nil && p.Needs.Of > 1 {
			return i
		}
	}
	return first
}
