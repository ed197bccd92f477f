package needle

import (
	"strings"

	"rowproof/domain/notation"
)

// split cuts a manuscript into parts. A part begins where stitches are cast on,
// picked up or returned from a holder, where a multiple is stated, or with the
// first row; but a new one only once rows were worked since.
func split(ms *notation.Manuscript) []*Part {
	var parts []*Part
	var cur *Part
	worked := false
	heading, headings := "", 0
	lastHeading := 0
	as := false // it is told as another piece
	begun := -1 // headings above what began the part, where no row was worked since
	start := func(line int) {
		cur = &Part{Name: heading, Line: line}
		lastHeading = headings
		parts = append(parts, cur)
		worked, begun, as = false, -1, false
	}
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *notation.Heading:
			if it.Kind == notation.HeadPiece {
				heading = cleanHeading(it.Text)
				headings++
			}
			if instructions[strings.ToLower(cleanHeading(it.Text))] {
				heading = "" // what stood above it has a name of its own
			}
		case *notation.Begin:
			if cur == nil || worked {
				start(it.Line)
			} else if begun >= 0 && headings > begun { // another piece: of the one before no row is told
				if as {
					start(it.Line)
				} else {
					cur.items, cur.Line = nil, it.Line
				}
			}
			begun = headings
		case *notation.Multiple:
			if worked && openSized(cur.items) {
				continue // of a pattern within the piece: "Frost pattern (multiple of 4 sts)" on the way up a yoke
			}
			if cur == nil || worked {
				start(it.Line)
			}
		case *notation.As:
			if cur == nil || worked && headings > lastHeading {
				start(it.Line)
			}
			if !worked {
				begun, as = headings, true
			}
		case *notation.Row:
			if cur == nil {
				start(it.Line)
			}
			worked = true
		case *notation.Straight:
			if cur == nil {
				continue
			}
			worked = true
		case *notation.Shape, *notation.RepRows:
			if cur == nil {
				continue
			}
			worked = true
		}
		if cur != nil {
			if !worked && (!as || cur.Name == "") && headings > lastHeading && heading != "" {
				cur.Name, lastHeading = heading, headings // a head above the first row names it
			}
			cur.items = append(cur.items, it)
		}
	}
	return parts
}

// openSized says that a piece which is cast on by sizes has its stitches on the needle still.
func openSized(items []notation.Item) bool {
	open := false
	for _, it := range items {
		switch it := it.(type) {
		case *notation.Begin:
			open = len(it.N.Vals) > 1
		case *notation.BindOffAll:
			open = false
		case *notation.HoldAll:
			open = open && (it.N.Given() || it.Keep.Given() || it.Side)
		}
	}
	return open
}

// instructions are heads below which the pieces are told, behind stitch patterns with names of their own.
var instructions = map[string]bool{"pattern": true, "instructions": true, "directions": true, "method": true, "the pattern": true, "working instructions": true, "pattern instructions": true, "to make": true}

func cleanHeading(s string) string {
	s = strings.TrimSpace(strings.Trim(s, ":–—-* "))
	if i := strings.Index(strings.ToLower(s), "(make"); i > 0 {
		s = strings.TrimSpace(s[:i])
	}
	return s
}
