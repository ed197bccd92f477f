package notation

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// row writes a row with its head.
func (w *writer) row(r *Row) string {
	s := w.only(r.Only) + w.head(r.Head)
	switch {
	case r.As != nil:
		if len(r.Body) > 0 {
			s += w.body(r.Body) + ", as " + rowRef(*r.As)
		} else {
			s += "As " + rowRef(*r.As) + pick(r.As.Section != "", " of "+r.As.Section, "")
		}
	default:
		s += w.body(r.Body)
	}
	s = strings.TrimRight(s, " ")
	if len(r.Body) > 0 || r.As != nil {
		s += stated(r.Stated) + "."
	}
	if r.Prose != "" {
		s += " " + strings.TrimRight(r.Prose, ". ") + "."
	}
	return s
}

// head writes "Row 1 (RS): ", "" for a row without one.
func (w *writer) head(h Head) string {
	side := pick(h.Side != "", " ("+h.Side+")", "")
	switch {
	case h.EveryRow:
		return pick(h.Round, "Every rnd", "Every row") + side + ": "
	case len(h.Numbers) > 0:
		noun := pick(h.Round, "Rnd", "Row")
		if len(h.Numbers) > 1 {
			noun += "s"
		}
		return noun + " " + ranges(h.Numbers) + h.Letter + pick(h.Yarn != "", " ("+h.Yarn+")", "") + side + every(h) + ": "
	case h.Words != "":
		yarn := pick(h.Yarn != "", " "+h.Yarn, "")
		for _, s := range []string{h.Words, h.Words + side, h.Words + yarn + side} {
			toks := dropPoints(scanLine(s+":", 1))
			if got, j, ok := w.parser(toks).head(0); ok && j == len(toks) && got.Side == h.Side && got.Yarn == h.Yarn && got.Every == h.Every {
				return s + ": "
			}
		}
		if isHeadText(h.Words) {
			return h.Words + side + ": "
		}
		return ""
	case h.Next > 0:
		return fmt.Sprintf("Next %d %s: ", h.Next, pick(h.Round, "rnds", "rows"))
	}
	return ""
}

func every(h Head) string {
	e := h.Every
	if !e.On() {
		return ""
	}
	noun := pick(h.Round, " rnd", " row")
	s := ""
	switch {
	case e.Side != "":
		s = " and all " + e.Side + noun + "s"
	case e.Odd:
		s = " and all odd" + noun + "s"
	case e.Even:
		s = " and all even" + noun + "s"
	case e.Step == 2:
		s = " and every foll alt" + noun
	default:
		s = " and every foll " + ordinal(e.Step) + noun
	}
	if e.Last > 0 {
		s += fmt.Sprintf(" to %s %d", pick(h.Round, "Rnd", "Row"), e.Last)
	}
	return s
}

func ordinal(n int) string {
	suf := "th"
	if n%100 < 11 || n%100 > 13 {
		switch n % 10 {
		case 1:
			suf = "st"
		case 2:
			suf = "nd"
		case 3:
			suf = "rd"
		}
	}
	return itoa(n) + suf
}

// ordinals writes 8th (6th, 6th).
func ordinals(n Num) string {
	s := num(n)
	return digits.ReplaceAllStringFunc(s, func(d string) string { v, _ := strconv.Atoi(d); return ordinal(v) })
}

var digits = regexp.MustCompile(`\d+`)

// ranges writes row numbers: 1, 3 and 5–8.
func ranges(ns []int) string {
	var parts []string
	for i := 0; i < len(ns); {
		j := i
		for j+1 < len(ns) && ns[j+1] == ns[j]+1 {
			j++
		}
		switch {
		case j > i+1, j == i+1 && len(ns) > 2:
			parts = append(parts, itoa(ns[i])+"–"+itoa(ns[j]))
		case j == i+1:
			parts = append(parts, itoa(ns[i]), itoa(ns[j]))
		default:
			parts = append(parts, itoa(ns[i]))
		}
		i = j + 1
	}
	return And(parts)
}

// rowRef writes "Rows 1–4", "last 2 rows", "Dec rnd".
func rowRef(r RowRef) string {
	switch {
	case r.Star != "":
		return "from " + r.Star + " to " + r.Star
	case r.Words != "":
		return r.Words
	case len(r.Numbers) > 0:
		return pick(r.From, "from ", "") + pick(len(r.Numbers) > 1, "Rows ", "Row ") + ranges(r.Numbers)
	case r.This:
		return "this"
	case r.Last < 0:
		return "these rows"
	case r.Lasts.Given():
		return "last " + num(r.Lasts) + " rows"
	case r.Last != 1:
		return pick(r.First > 0, fmt.Sprintf("first %d of ", r.First), "") + fmt.Sprintf("last %d rows", r.Last)
	}
	return "last row"
}

// stated writes the counts at a row's end.
func stated(ss []Stated) string {
	s := ""
	for _, st := range ss {
		n := num(st.N)
		noun := pick(isOne(st.N), " st", " sts")
		switch st.Kind {
		case CountInc:
			s += " (" + n + noun + " inc'd)"
		case CountDec:
			s += " (" + n + noun + " dec'd)"
		case CountSide:
			s += " – " + n + noun + " each side"
		case CountBetween:
			s += " – " + n + noun + " between markers"
		default:
			s += " – " + n + noun
		}
	}
	return s
}

// begin writes a cast-on, or stitches picked up or taken back from a holder.
func (w *writer) begin(b *Begin) string {
	var s string
	switch b.How {
	case "pick up":
		s = "Pick up and knit " + sts(b.N)
	case "return":
		// no comma: behind one the next instruction would begin
		s = "Return " + pick(b.N.Given(), sts(b.N), "sts") + " from holder to needle"
		return s + pick(b.Round, " for working in the round", "") + pick(b.Marked, " with pm at beg", "") + stated(b.Stated) + "."
	default:
		s = "CO " + sts(b.N)
	}
	for _, m := range b.Markers {
		s += ", pm after " + sts(m)
	}
	switch {
	case b.Round && b.Marked:
		s += ", pm and join to work in the round"
	case b.Round:
		s += ", join to work in the round"
	case b.Marked && len(b.Markers) == 0:
		s += ", pm"
	}
	return s + stated(b.Stated) + "."
}

// repRows writes "rep Rows 1–8 5 times more".
func repRows(r *RepRows) string {
	s := "rep " + rowRef(r.Ref)
	if r.Ref.Section != "" {
		s += " of " + r.Ref.Section
	}
	if r.Times.N.Given() {
		s += " " + target(r.Times)
	}
	for w := &r.When; w != nil && w.Every > 0; w = w.Then {
		s += pick(w == &r.When, " on ", ", then on ") + when(w) + pick(w.First && w.Times.Given() && !w.More && !w.Total, " in all", "")
	}
	if u := until(r.Until); u != "" {
		s += " " + u
	}
	if r.EndRow > 0 {
		s += fmt.Sprintf(", ending with Row %d", r.EndRow)
	}
	return s + ending(r.Until.Ends)
}

func ending(side string) string {
	return pick(side != "", ", ending with a "+side+" row", "")
}

func until(u Until_) string {
	switch {
	case u.AllWorked:
		return "until all sts have been worked"
	case u.Aside.Given():
		return "until " + sts(u.Aside) + " rem unworked at each side"
	case u.Sts.Given() && u.Between:
		return "until there are " + sts(u.Sts) + " between m"
	case u.Sts.Given():
		return "until " + sts(u.Sts) + " rem"
	case u.Rows.Given():
		return "until " + num(u.Rows) + " rows have been worked in all"
	case u.Length != "":
		return "until " + u.Length
	}
	return ""
}

// shapeText writes a shaping sentence.
func shapeText(s *Shape) string {
	if s.Do == "towards" {
		if s.Rep != nil {
			return strings.TrimSuffix(repRows(s.Rep), ".") + ", working 1 st less between decs each time"
		}
		if s.N.Given() {
			return "keep on dec " + sts(s.N) + " in this way every rnd until " + sts(s.Until) + " rem"
		}
		return "cont in this way until " + sts(s.Until) + " rem"
	}
	t := pick(s.Same, "at the same time, ", "")
	t += map[string]string{"dec": "dec ", "inc": "inc ", "bind": "bind off ", "cast": "cast on "}[s.Do] + sts(s.N)
	switch s.At {
	case "":
	case "both":
		t += " at each end"
	case "marker":
		t += " each side of each m"
	case "beg", "end":
		t += " at " + s.At
	default:
		t += " at " + s.At + " edge"
	}
	if w := s.When; w.Side != "" && w.Every != 2 && w.Every > 0 && s.At != "" {
		t += " (" + w.Side + " rows)"
	}
	of := pick(s.At == "beg" || s.At == "end" || s.At == "both", " of ", " on ")
	for w := &s.When; w != nil; w = w.Then {
		if w.Next == 0 && w.Every == 0 {
			break
		}
		if w != &s.When {
			of = pick(s.When.Next == 1 && w == s.When.Then, ", and then of ", ", then on ") // "next row, then on every" is one
		}
		t += of + when(w)
	}
	if s.Until.Given() {
		t += " until " + sts(s.Until) + " rem"
	}
	return t
}

// when writes "next and every foll 6th row 5 times".
func when(w *When) string {
	s := ""
	side := pick(w.Side != "", w.Side+" ", "")
	switch {
	case w.First:
		s = "next and every foll "
		fallthrough
	case w.Every > 0:
		if s == "" {
			s = "every "
		}
		switch {
		case w.Length != "":
			s += w.Length
		case w.Side != "" && w.Every == 2 && !w.Each.Given():
			s += side + "row"
		case w.Every == 1 && !w.Each.Given():
			s += "row"
		case w.Every == 2 && !w.Each.Given():
			s += "alt row"
		case w.Each.Given():
			s += ordinals(w.Each) + " row"
		default:
			s += ordinal(w.Every) + " row" // the side stands in brackets: "4th RS row" is another
		}
	case w.Next == 1:
		s = "next " + side + "row"
	default:
		s = fmt.Sprintf("next %d %srows", w.Next, side)
	}
	if w.Times.Given() {
		s += " " + num(w.Times) + " times"
		switch {
		case w.More:
			s += " more"
		case w.Total:
			s += " in all"
		}
	}
	return s
}

// straightText writes "work even for 9 rows".
func (w *writer) straightText(s *Straight) string {
	head := pick(s.Same, "At the same time, ", "")
	if s.Words != "" && isHeadText(s.Words) {
		head += capital(s.Words) + ": "
	}
	over := "" // others wait
	if s.Over.Given() && !strings.Contains(strings.ToLower(s.Stitch), " these ") && !strings.Contains(strings.ToLower(s.Stitch), " last ") && !strings.Contains(strings.ToLower(s.Stitch), " all ") {
		over = " on these " + sts(s.Over)
	}
	return head + straightWords(s) + over
}

// straightWords is what stands in Straight.Stitch, made up where there is nothing.
func straightWords(s *Straight) string {
	change := ""
	if s.Change.Given() {
		change = pick(s.Down, ", dec ", ", inc ") + sts(s.Change) + " evenly"
	}
	switch {
	case s.Stitch != "":
		return s.Stitch
	case s.Rows.Given():
		return "Work even for " + num(s.Rows) + pick(isOne(s.Rows), " row", " rows") + ending(s.Ends) + change
	case s.Length != "":
		return "Work even until " + s.Length + ending(s.Ends) + change
	}
	return "Work even" + change
}

// closing writes the end of a piece: in the designer's words, where there are any.
func closing(b *BindOffAll) string {
	switch {
	case b.Words != "":
		return strings.TrimRight(b.Words, ". ") + "."
	case b.N.Given():
		return "Bind off rem " + sts(b.N) + "."
	}
	return "Bind off all sts."
}
