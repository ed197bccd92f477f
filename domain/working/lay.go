package working

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"rowproof/domain/document"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// lay turns what was told into steps, in the order of the text; that is the order of
// the work, but for rows given together, whose order is their numbers'.
func (l *layer) lay() error {
	l.betweenWords()
	var only []int // sizes that a label above names
	part := -1
	for _, it := range l.ms.Items {
		if p, ok := l.part[it]; ok && p != part {
			part, l.known, l.since = p, false, len(l.plan.Steps)
		}
		switch it := it.(type) {
		case *notation.Heading:
			l.close(it)
			only = nil
			if text := strings.Trim(it.Text, " :.–—-*#_="); it.Kind == notation.HeadPiece {
				l.piece, l.section = text, ""
				if p, ok := l.part[it]; ok && l.pieces {
					if name := l.res.Needle.Parts[p].Name; name != "" && !strings.EqualFold(name, text) {
						l.piece, l.section = name, text
					}
				}
			} else if text != "" {
				l.section = text
			}
			continue
		case *notation.Blank:
			only = nil
		case *notation.ForSizes:
			only = it.Only
		}
		if told := l.told[it]; len(told) > 0 {
			l.steps(it, told)
		} else if i, ok := l.ordinal[it]; ok && !l.stepped[i] && l.all[i].For(l.size) && (only == nil || slices.Contains(only, l.size)) && !l.nothing(it) {
			l.plain(it)
		}
		l.after(it)
		if len(l.plan.Steps) > Most {
			return ErrTooLong
		}
	}
	l.close(nil)
	l.loopPatterns()
	if len(l.plan.Steps) > Most {
		return ErrTooLong
	}
	return nil
}

// betweenWords finds the words that stand between instructions: each goes with the
// instruction behind it, or stands by itself at the end of its section.
func (l *layer) betweenWords() {
	l.before, l.closing = map[notation.Item]string{}, map[notation.Item]string{}
	begun, worked := false, false
	pending := ""
	for _, it := range l.ms.Items {
		if _, ok := l.ordinal[it]; ok {
			if begun = true; pending != "" {
				l.before[it] = pending
			}
			pending, worked = "", true
			continue
		}
		switch it := it.(type) {
		case *notation.Heading:
			if worked && pending != "" {
				l.closing[it] = pending
			}
			pending = ""
			begun = worked || it.Kind == notation.HeadPiece
		case *notation.Prose, *notation.JoinRound, *notation.Markers, *notation.Field:
			if text := l.words.Of(it).Text; begun && strings.Trim(text, " .,;:–—-*!") != "" {
				pending = strings.TrimSpace(pending + " " + text)
			}
		}
	}
	if worked && pending != "" {
		l.closing[nil] = pending
	}
}

// close makes a step of the words that end a section.
func (l *layer) close(next notation.Item) {
	if next == nil {
		next = notation.Item(nil)
	}
	text := l.closing[next]
	if text == "" {
		return
	}
	l.plan.Lines = append(l.plan.Lines, Line{Row: -1, Piece: l.piece, Section: l.section, Text: text})
	l.plan.Steps = append(l.plan.Steps, Step{Line: len(l.plan.Lines) - 1, By: -1, Kind: Words, Count: Unknown})
}

// line gives the line of an instruction; number tells rows under one head apart.
func (l *layer) line(it notation.Item, number, side string, round bool) int {
	row, isRow := it.(*notation.Row)
	i := l.ordinalOf(it)
	key := [3]any{i, number, side}
	if n, ok := l.lines[key]; ok {
		return n
	}
	if i >= 0 && i < len(l.all) {
		it = l.all[i].Item // as it stands in the text
		row, isRow = it.(*notation.Row)
	}
	w := l.words.Of(it)
	line := Line{Row: i, Piece: l.piece, Section: l.section, Head: w.Head, Text: w.Text, Number: number, At: it.Place().Line, Terms: w.Terms}
	switch {
	case isRow && number != "" && (len(row.Head.Numbers) > 0 || row.Head.Every.On()):
		line.Head = l.rowWord(row, round) + " " + number
		if side == "" {
			side = row.Head.Side
		}
	case isRow && line.Head == "":
		line.Head = "Row"
	}
	if isRow && side != "" && !strings.Contains(line.Head, side) {
		line.Head += " (" + side + ")"
	}
	if isRow && row.As != nil && len(row.Body) == 0 {
		if like := l.likeOf(row); like != nil {
			line.Like = l.words.Of(like).Text
			line.Terms = append(slices.Clone(line.Terms), l.words.Of(like).Terms...)
		}
	}
	switch b := it.(type) {
	case *notation.Begin:
		line.Head = "Cast on"
		if b.How == "pick up" {
			line.Head = "Pick up"
		} else if b.How != "cast on" {
			line.Head = ""
		}
	case *notation.BindOffAll:
		line.Head = "Bind off"
	}
	if line.Text == "" {
		line.Text = strings.TrimSpace(notation.TextAt(l.ms.Source, it.Place()))
	}
	l.plan.Lines = append(l.plan.Lines, line)
	l.lines[key] = len(l.plan.Lines) - 1
	return len(l.plan.Lines) - 1
}

// rowWord is what the text calls the row.
func (l *layer) rowWord(row *notation.Row, round bool) string {
	first, _, _ := strings.Cut(row.Head.Words, " ")
	switch strings.ToLower(strings.TrimRight(first, "s.")) {
	case "row":
		return "Row"
	case "rnd":
		return "Rnd"
	case "round":
		return "Round"
	}
	if round {
		return l.rnd
	}
	return "Row"
}

// ordinalOf finds an item among the instructions, also where the needle works a copy of it.
func (l *layer) ordinalOf(it notation.Item) int {
	if i, ok := l.ordinal[it]; ok {
		return i
	}
	s := it.Place()
	if i, ok := l.at[[2]int{s.Line, s.Col}]; ok {
		return i
	}
	return -1
}

// likeOf is the row that another says it is worked as; nil where it is not one row.
func (l *layer) likeOf(row *notation.Row) notation.Item {
	if len(row.As.Numbers) != 1 {
		return nil
	}
	for i := l.ordinalOf(row) - 1; i >= 0; i-- {
		if r, ok := l.all[i].Item.(*notation.Row); ok && slices.Contains(r.Head.Numbers, row.As.Numbers[0]) {
			return r
		}
	}
	return nil
}

// add puts a step behind the others.
func (l *layer) add(s Step, after needle.Lin, known bool) {
	s.Count = Unknown
	if known && after.C == 0 {
		s.Count = after.D
		if l.known && l.last.C == 0 {
			s.Change = after.D - l.last.D
		}
	} else if known {
		s.Stitches = document.Counts{Of: after.C, Plus: after.D}.Figures()
	}
	l.last, l.known = after, known
	if i := l.plan.Lines[s.Line].Row; i >= 0 {
		if !l.stepped[i] {
			s.Before = l.before[l.all[i].Item]
		}
		l.stepped[i] = true
	}
	if s.By >= 0 {
		if i := l.plan.Lines[s.By].Row; i >= 0 {
			if !l.stepped[i] && s.Before == "" {
				s.Before = l.before[l.all[i].Item]
			}
			l.stepped[i] = true
		}
	}
	l.plan.Steps = append(l.plan.Steps, s)
}

// plain makes one step of an instruction that has no rows of its own.
func (l *layer) plain(it notation.Item) {
	s := Step{Line: l.line(it, "", "", false), By: -1, Kind: Other}
	t, ok := l.end[it]
	known := ok && t.Known
	switch it := it.(type) {
	case *notation.Begin:
		s.Kind = Begin
	case *notation.BindOffAll:
		s.Kind, known = End, false
	case *notation.HoldAll:
		s.Kind = End
	case *notation.Row:
		s.Kind, known = Row, false // it could not be worked, or is the head of others
	case *notation.Shape:
		if it.Same {
			s.Kind = Along
		}
	case *notation.Straight:
		if it.Same {
			s.Kind = Along
		}
	}
	l.add(s, t.After, known)
	if !known {
		s := &l.plan.Steps[len(l.plan.Steps)-1]
		s.Change = 0
	}
}

// after keeps what is on the needle when an item is done.
func (l *layer) after(it notation.Item) {
	if t, ok := l.end[it]; ok {
		l.last, l.known = t.After, t.Known
	}
}

// steps makes the steps of all rows that an item has worked.
func (l *layer) steps(it notation.Item, told []needle.Told) {
	for len(told) > 0 {
		n := 1
		for n < len(told) && told[n].Inner == told[0].Inner {
			n++
		}
		l.sentence(it, told[0].Inner, told[:n])
		told = told[n:]
	}
}

// sentence makes the steps of one item, or of one item that "work as for back" leads to.
func (l *layer) sentence(outer, inner notation.Item, told []needle.Told) {
	by := -1
	if outer != inner {
		by = l.line(outer, "", "", false)
	}
	switch it := inner.(type) {
	case *notation.RepRows:
		l.again(it, by, told)
	case *notation.Straight:
		l.straight(it, by, told)
	case *notation.Shape:
		l.shape(it, by, told)
	default:
		for _, t := range told {
			l.row(t, by)
		}
	}
}

// row makes the step of a row of the text.
func (l *layer) row(t needle.Told, by int) {
	var it notation.Item = t.Inner
	number := ""
	if t.Entry != nil && t.Entry.Row != nil {
		it = t.Entry.Row
		if t.Entry.Number > 0 || t.Entry.Row.Head.Letter != "" {
			number = t.Entry.Name
		}
	}
	s := Step{Line: l.line(it, number, t.Side, t.Round), By: by, Kind: Row, Side: t.Side}
	for _, loop := range t.Loops {
		if r, ok := l.repeat(it, t, loop); ok {
			s.Repeats = append(s.Repeats, r)
		}
	}
	l.add(s, t.After, t.Known)
}

// repeat is a repeat in words, where it stands in the row itself and comes twice at least.
func (l *layer) repeat(it notation.Item, t needle.Told, loop needle.Loop) (Repeat, bool) {
	if loop.Times < 2 {
		return Repeat{}, false
	}
	body := []notation.Op(nil)
	switch o := loop.Op.(type) {
	case *notation.Repeat:
		body = o.Body
	case *notation.Group:
		body = o.Body
	case *notation.Until:
		body = o.Body
		if d, ok := body[0].(*notation.Do); ok && len(body) == 1 && !strings.Contains(d.Key, "own:") && loop.In == 1 {
			return Repeat{}, false // "k to end"
		}
	}
	if len(body) == 0 {
		return Repeat{}, false
	}
	i := l.ordinalOf(it)
	if i < 0 {
		return Repeat{}, false
	}
	if r, ok := l.all[i].Item.(*notation.Row); ok && len(r.Body) > 0 && !slices.Contains(r.Body, loop.Op) {
		return Repeat{}, false // within another
	}
	at := notation.SpanOf(body[0]).Cover(notation.SpanOf(body[len(body)-1]))
	for _, in := range l.all { // the row it is worked like may hold it
		if s := in.Span; s.Line <= at.Line && at.Line <= s.EndLine {
			it = in.Item
			break
		}
	}
	words := strings.Trim(l.words.Part(it, at), " ,;*")
	return Repeat{Words: words, Times: loop.Times, Stitches: max(0, loop.In)}, words != ""
}

// head names the k-th of n rows that a sentence has worked.
func (l *layer) head(k, n int, side string, round bool) string {
	s := "Row "
	if round {
		s = l.rnd + " "
	}
	if s += strconv.Itoa(k); n > 0 {
		s += fmt.Sprintf(" of %d", n)
	}
	if n == 1 {
		s = "One row"
		if round {
			s = "One " + strings.ToLower(l.rnd)
		}
	}
	if side != "" && !round {
		s += " (" + side + ")"
	}
	return s
}

func flip(side string) string {
	switch side {
	case "RS":
		return "WS"
	case "WS":
		return "RS"
	}
	return ""
}

// straight makes the steps of rows without shaping.
func (l *layer) straight(it *notation.Straight, by int, told []needle.Told) {
	t := told[0]
	line := l.line(it, "", "", false)
	end, ended := l.end[it]
	s := Step{Line: line, By: by, Kind: Row, Side: t.Side}
	switch {
	case it.Same:
		s.Kind, s.Side = Along, ""
		l.add(s, end.After, ended && end.Known)
	case t.Open:
		l.add(s, t.After, t.Known)
		n := len(l.plan.Steps) - 1
		l.plan.Loops = append(l.plan.Loops, Loop{From: n, To: n, By: line, Until: until(l.plan.Lines[line].Text)})
		if ended && it.Change.Given() {
			l.plan.Steps[n].Count, l.plan.Steps[n].Stitches, l.plan.Steps[n].Change = Unknown, "", 0
		}
	default:
		side := t.Side
		for k := 1; k <= t.Rows; k++ {
			s.Head, s.Side = l.head(k, t.Rows, side, t.Round), side
			after, known := t.After, t.Known
			if k == t.Rows && ended && it.Change.Given() {
				after, known = end.After, end.Known
			}
			l.add(s, after, known)
			if len(l.plan.Steps) > Most {
				return
			}
			side = flip(side)
		}
	}
}

// shape makes the steps of a shaping sentence.
func (l *layer) shape(it *notation.Shape, by int, told []needle.Told) {
	line := l.line(it, "", "", false)
	if openShape(it) {
		l.add(Step{Line: line, By: by, Kind: Row, Side: told[0].Side}, needle.Lin{}, false)
		n := len(l.plan.Steps) - 1
		l.plan.Loops = append(l.plan.Loops, Loop{From: n, To: n, By: line, Until: until(l.plan.Lines[line].Text), Changes: true})
		return
	}
	for k, t := range told {
		l.add(Step{Line: line, By: by, Kind: Row, Side: t.Side, Head: l.head(k+1, len(told), t.Side, t.Round)}, t.After, t.Known)
		if len(l.plan.Steps) > Most {
			return
		}
	}
}
