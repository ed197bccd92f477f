package needle

import (
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/notation"
)

// This file finds how far a piece goes that is worked as another one "to" a place.

// cutTo is the place among the items of another piece to which "as for back to armhole", "as for back
// until piece measures 19 in" goes.
func (r *run) cutTo(items []notation.Item, it *notation.As) int {
	if to := strings.ToLower(it.To); strings.Contains(to, "meas") || to != "" && to[0] >= '0' && to[0] <= '9' || reIsLong.MatchString(to) {
		if cut, ok := r.cutAtLength(items, it); ok {
			return cut
		}
	}
	if m := rePlainRows.FindStringSubmatch(it.To); m != nil { // "until the 4 plain rounds after the ribbing are completed"
		for i, x := range items {
			if s, ok := x.(*notation.Straight); ok && s.Rows.Given() && itoa(s.Rows.For(0)) == m[1] {
				return i + 1
			}
		}
	}
	if mark := strings.TrimRight(it.To, ". "); strings.Trim(mark, "*") == "" && mark != "" {
		return r.cutAtMark(items, mark)
	}
	words := strings.Fields(strings.ToLower(it.To))
	for len(words) > 1 && (words[0] == "the" || words[0] == "where" || words[0] == "beg" || words[0] == "beginning" || words[0] == "start" || words[0] == "of") {
		words = words[1:]
	}
	to := placeAmong(words)
	short := reShort.MatchString(it.Words)                                                              // "until piece is 8 cm less than back to shoulders"
	if short && !slices.Contains(places, to) && strings.Contains(strings.ToLower(it.Words), "worked") { // "until 2 inches less have been worked in plain smooth fabric"
		for i, x := range items {
			if s, ok := x.(*notation.Straight); ok && s.Length != "" && i+1 < len(items) && !evenWork(items[i+1]) {
				return i
			}
		}
	}
	if whole := strings.ToLower(it.To); strings.Contains(whole, "complet") || strings.Contains(whole, "been worked") || strings.Contains(whole, "finished") {
		to = "shoulder" // the armhole shaping is behind
	}
	if short && strings.Contains(strings.ToLower(it.Words), "shoulder") {
		to = "shoulder"
	}
	cut := len(items)
	for i, x := range items {
		found := false
		switch x := x.(type) {
		case *notation.Heading:
			found = strings.Contains(strings.ToLower(x.Text), to) && i > 0
		case *notation.Shape:
			found = strings.Contains(strings.ToLower(x.Words), to)
		case *notation.Row: // "Shape neck - Next row: …"
			head := strings.ToLower(x.Head.Words)
			found = i > 0 && head == strings.Join(words, " ") || strings.Contains(head, to) && (strings.Contains(head, "shape") || strings.Contains(head, "shaping") || strings.Contains(head, "divide"))
		}
		if found {
			cut = i
			break
		}
	}
	if cut == len(items) && to == "armhole" { // not named there: where stitches are first bound off at the sides
		for i, x := range items {
			if s, ok := x.(*notation.Shape); ok && s.Do == "bind" || bindsFirst(x) {
				cut = i
				break
			}
		}
	}
	if cut == len(items) {
		return cut
	}
	for short && cut > 0 && evenWork(items[cut-1]) {
		cut--
	}
	return cut
}

// bindsFirst says that a row begins with binding off some of its stitches.
func bindsFirst(it notation.Item) bool {
	row, ok := it.(*notation.Row)
	if !ok || len(row.Body) < 2 {
		return false
	}
	b, ok := row.Body[0].(*notation.BindOff)
	return ok && b.N.Given()
}

// begunAs is the piece that a part is begun like, with how that one is begun: where "Work as Back to armhole" is the first
// thing it tells. Both are nil for any other.
func begunAs(p *Part, all map[string]*Part) (*Part, *notation.Begin) {
	for _, it := range p.items {
		switch it := it.(type) {
		case *notation.Begin, *notation.Row, *notation.Straight, *notation.Shape, *notation.RepRows:
			return nil, nil
		case *notation.As:
			src := all[strings.ToLower(cleanHeading(it.Piece))]
			if src == nil {
				return nil, nil
			}
			for _, x := range src.items {
				if b, ok := x.(*notation.Begin); ok && b.N.Given() && b.How == "cast on" {
					return src, b
				}
			}
			return nil, nil
		}
	}
	return nil, nil
}

// places are the parts of a garment to which another piece is said to be followed.
var places = []string{"armhole", "shoulder", "raglan", "neck", "yoke", "cap", "crown", "thumb", "heel", "toe"}

// placeAmong is the part that such words name: "there are 4 rows less than back to armholes"; the first word where
// they name none.
func placeAmong(words []string) string {
	for _, w := range words {
		for _, place := range places {
			switch {
			case strings.HasPrefix(w, "underarm"):
				return "armhole"
			case strings.HasPrefix(w, place):
				return place
			}
		}
	}
	return words[0]
}

// reShort are words by which a piece ends before the place that is named.
var reShort = regexp.MustCompile(`(?i)\b(?:less|fewer|shorter|before)\b`)

// evenWork says that an item is work without shaping, or none.
func evenWork(it notation.Item) bool {
	switch it.(type) {
	case *notation.Straight, *notation.Heading, *notation.Blank, *notation.Prose:
		return true
	}
	return false
}

// rePlainRows are rows worked even, with which a piece ends that is worked as another.
var rePlainRows = regexp.MustCompile(`(?i)\b(\d+) (?:plain|even|straight) (?:rows?|rnds?|rounds?)\b`)

// reIsLong is a length that a piece comes to: "until the front is 11 (12½) inches long".
var reIsLong = regexp.MustCompile(`\bis \d.*\b(?:long|deep|tall|high)\b`)

// reToLength is a length that a piece is worked to: "St st to 13\"".
var reToLength = regexp.MustCompile(`\bto \d`)

// cutAtLength: what is worked even up to a greater length, measured from the same place, is left where the length
// is reached.
func (r *run) cutAtLength(items []notation.Item, it *notation.As) (int, bool) {
	words := strings.ToLower(it.Words)
	cm := centimetresFor(words, 0, len(r.ms.Sizes))
	armhole := strings.Contains(words, "armhole")
	for i, x := range items {
		if row, ok := x.(*notation.Row); ok && cm > 0 { // "When the piece measures 58 cm, knit the next row thus: …"
			if head := strings.ToLower(row.Head.Words); strings.Contains(head, "meas") && strings.Contains(head, "armhole") == armhole && centimetresFor(head, 0, len(r.ms.Sizes)) >= cm {
				return i, true
			}
		}
		if rr, ok := x.(*notation.RepRows); ok && cm > 0 && rr.Until.Length != "" { // "Rep these 2 rows until piece measures 30 cm": that far they are worked
			if w := strings.ToLower(rr.Until.Length); strings.Contains(w, "armhole") == armhole && centimetresFor(w, 0, len(r.ms.Sizes)) >= cm {
				return i + 1, true
			}
		}
		if said, ok := x.(*notation.Prose); ok && cm > 0 { // told in a sentence that works nothing else
			if t := strings.ToLower(said.Text); strings.Contains(t, "until") && strings.Contains(t, "meas") && strings.Contains(t, "armhole") == armhole && centimetresFor(t[strings.Index(t, "meas"):], 0, len(r.ms.Sizes)) >= cm {
				return i, true
			}
		}
		s, ok := x.(*notation.Straight)
		if !ok || cm <= 0 {
			continue
		}
		w := strings.ToLower(s.Words)
		if (strings.Contains(w, "meas") || reToLength.MatchString(w)) && strings.Contains(w, "armhole") == armhole && centimetresFor(strings.ToLower(s.Length), 0, len(r.ms.Sizes)) >= cm {
			return i, true
		}
	}
	return 0, false
}

// cutAtMark is the place behind the line of a piece in which the mark stands: "as given for back to **".
func (r *run) cutAtMark(items []notation.Item, mark string) int {
	line := 0
	for i, x := range items {
		n := x.Place().Line
		if line > 0 && n > line {
			return i
		}
		if n >= 1 && n <= len(r.ms.Source) && i > 0 && strings.Contains(r.ms.Source[n-1], mark) && !strings.Contains(r.ms.Source[n-1], mark+"*") {
			line = n
		}
	}
	return len(items)
}
