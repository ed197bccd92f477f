package notation

import (
	"strings"

	"rowproof/domain/finding"
)

// valueList is one value per size as it stands in the text.
type valueList struct {
	elems [][2]int // tokens of each value: first, and behind the last
	lead  int      // the bracket that opens the whole list; -1 without one
	last  int      // behind the last token
	flat  string   // the sign between the values where there are no brackets
}

func (rz *resizer) w(k int) string {
	if k < 0 || k >= len(rz.toks) {
		return ""
	}
	return rz.toks[k].fold
}

// together says that token k continues the line of the one before, or the next.
func (rz *resizer) together(k int) bool {
	return k < len(rz.toks) && (k == 0 || rz.toks[k].Line <= rz.toks[k-1].Line+1)
}

// value reads one number, a range of numbers, an ordinal or a dash at k.
func (rz *resizer) value(k int) (int, bool) {
	if k >= len(rz.toks) {
		return k, false
	}
	t := rz.toks[k]
	switch {
	case isDash(t.Text) || t.Text == "none" || t.Text == "x":
		return k + 1, true
	case t.Kind != Number && t.Kind != Ordinal:
		return k, false
	}
	k = rz.fraction(k + 1)
	if k+1 < len(rz.toks) && isDash(rz.toks[k].Text) && rz.toks[k].Glued && rz.toks[k+1].Kind == Number && rz.toks[k+1].Glued {
		k += 2
	}
	return k, true
}

// measured reads a value and a unit behind it, before a sign of a list.
func (rz *resizer) measured(k int) (end int, unit string, ok bool) {
	end, ok = rz.value(k)
	if !ok {
		return k, "", false
	}
	if w := rz.w(end); end+1 < len(rz.toks) && (rz.toks[end].Kind == Word || w == "\"") && (listSign(rz.w(end+1)) || openers[rz.w(end+1)] != "" || closes(rz.w(end+1))) && w != "and" {
		return end + 1, w, true
	}
	return end, "", true
}

func listSign(w string) bool { return w == "," || w == ":" || w == ";" || w == "/" || w == "|" }

// group reads "(95, 107)" at k: its values, and the unit of all.
func (rz *resizer) group(k int) (elems [][2]int, units []string, end int, ok bool) {
	closer := openers[rz.w(k)]
	if closer == "" || !rz.together(k) {
		return nil, nil, k, false
	}
	for k++; ; k++ {
		e, unit, ok := rz.measured(k)
		if !ok || !rz.together(k) {
			return nil, nil, k, false
		}
		elems, units = append(elems, [2]int{k, e}), append(units, unit)
		k = e
		switch {
		case rz.w(k) == closer:
			return elems, units, k + 1, true
		case !listSign(rz.w(k)):
			return nil, nil, k, false
		}
	}
}

// listAt reads a list of one value per size at k.
func (rz *resizer) listAt(k int) (valueList, bool) {
	if openers[rz.w(k)] != "" {
		elems, units, end, ok := rz.group(k)
		if ok && len(elems) == rz.n && alike(units) {
			return valueList{elems: elems, lead: k, last: end}, true
		}
		return valueList{}, false
	}
	e, unit, ok := rz.measured(k)
	if !ok {
		return valueList{}, false
	}
	l := valueList{elems: [][2]int{{k, e}}, lead: -1}
	units := []string{unit}
	for j := e; len(l.elems) < rz.n; {
		elems, us, end, ok := rz.group(j)
		if !ok || len(elems) >= rz.n {
			break
		}
		l.elems, units, j = append(l.elems, elems...), append(units, us...), end
		e, u, ok := rz.measured(j)
		if unit == "" && ok {
			e, ok = rz.value(j)
			u = ""
		}
		if ok && len(elems) == 1 && len(l.elems) < rz.n && rz.together(j) && !rz.toks[j].Glued && (rz.toks[j].Kind == Number || isDash(rz.toks[j].Text) && len(l.elems) == rz.n-1 && rz.w(e) == "st") {
			l.elems, units, j = append(l.elems, [2]int{j, e}), append(units, u), e
		}
		l.last = j
	}
	if len(l.elems) == rz.n {
		return l, alike(units)
	}
	if l, ok := rz.dashed(k); ok {
		return l, true
	}
	// 83/95/107
	v, _ := rz.value(k)
	if isDash(rz.toks[k].Text) {
		return valueList{}, false
	}
	sep := rz.w(k + 1)
	if !listSign(sep) && sep != "-" {
		return valueList{}, false
	}
	if sep != "-" && rz.w(v) == sep {
		k1 := v
		l = valueList{elems: [][2]int{{k, v}}, lead: -1, flat: sep}
		for len(l.elems) < rz.n && rz.w(k1) == sep && k1+1 < len(rz.toks) {
			e := k1 + 2
			if _, ok := rz.value(k1 + 1); !ok {
				break
			}
			l.elems = append(l.elems, [2]int{k1 + 1, e})
			k1 = e
		}
		l.last = k1
	} else {
		k1 := k + 1
		l = valueList{elems: [][2]int{{k, k1}}, lead: -1, flat: sep}
		for len(l.elems) < rz.n && rz.w(k1) == sep && k1+1 < len(rz.toks) && rz.toks[k1+1].Kind == Number {
			l.elems = append(l.elems, [2]int{k1 + 1, k1 + 2})
			k1 += 2
		}
		l.last = k1
	}
	return l, len(l.elems) == rz.n && !(rz.w(l.last) == sep && l.last+1 < len(rz.toks) && rz.toks[l.last+1].Kind == Number)
}

// dashed reads 46 (50-54), hyphens between the numbers within brackets, where they are as many as the sizes.
func (rz *resizer) dashed(k int) (valueList, bool) {
	e, ok := rz.single(k)
	closer := openers[rz.w(e)]
	if !ok || closer == "" || rz.n < 3 {
		return valueList{}, false
	}
	l := valueList{elems: [][2]int{{k, e}}, lead: -1}
	for k = e + 1; ; k++ {
		e, ok := rz.single(k)
		if !ok || !rz.together(k) {
			return valueList{}, false
		}
		l.elems = append(l.elems, [2]int{k, e})
		if k = e; rz.w(k) == closer {
			l.last = k + 1
			return l, len(l.elems) == rz.n
		}
		if !isDash(rz.w(k)) {
			return valueList{}, false
		}
	}
}

// single reads one number, with its fraction.
func (rz *resizer) single(k int) (int, bool) {
	if k >= len(rz.toks) || rz.toks[k].Kind != Number {
		return k, false
	}
	return rz.fraction(k + 1), true
}

// fraction reads over the fraction behind a number: 17½, 34 1/2.
func (rz *resizer) fraction(k int) int {
	switch {
	case k+2 < len(rz.toks) && rz.toks[k].Kind == Number && !rz.toks[k].Glued && rz.w(k+1) == "/" && rz.toks[k+1].Glued && rz.toks[k+2].Glued && rz.toks[k+2].Kind == Number:
		return k + 3
	case k < len(rz.toks) && rz.toks[k].Kind == Number && strings.ContainsRune("½¼¾⅓⅔⅛⅜⅝⅞", []rune(rz.toks[k].Raw)[0]):
		return k + 1
	}
	return k
}

func alike(units []string) bool {
	for _, u := range units[1:] {
		if u != units[0] {
			return false
		}
	}
	return true
}

var countWords = map[string]bool{"st": true, "cm": true, "in": true, "inch": true, "\"": true, "mm": true, "row": true, "rnd": true, "times": true, "more": true, "g": true, "m": true,
	"ball": true, "balls": true, "skein": true, "skeins": true, "hanks": true, "yd": true, "yds": true, "yards": true, "metres": true, "meters": true, "years": true, "yrs": true, "months": true, "repeats": true, "rep": true}

// lists writes every list of one value per size anew.
func (rz *resizer) lists() {
	var names [][]Token
	for _, n := range rz.ms.Sizes {
		names = append(names, scanLine(n, 1))
	}
	for k := 0; k < len(rz.toks); {
		if end, ok := rz.namedAt(k, names); ok {
			k = end
			continue
		}
		if l, ok := rz.triplesAt(k); ok {
			rz.writeList(l, nil)
			k = l.last
			continue
		}
		l, ok := rz.listAt(k)
		if rz.done[k] || !ok || !rz.isList(l, k) {
			k++
			continue
		}
		rz.writeList(l, nil)
		k = l.last
	}
}

// namedAt writes a list that names the size beside each number, "A 192, B 216, C 240".
func (rz *resizer) namedAt(k int, names [][]Token) (int, bool) {
	if rz.done[k] || rz.toks[k].Kind != Number && rz.toks[k].Kind != Word {
		return k, false
	}
	a, b := rz.tokenLine(rz.toks[k].Line)
	elems, unit, parts, end, ok := namedList(rz.toks[a:b], k-a, names)
	if !ok {
		return k, false
	}
	if len(rz.plan) == 1 {
		text := rz.toks[a+elems[rz.plan[0].From]].Raw
		if unit > 0 && rz.w(a+end) != "st" {
			text += " sts"
		}
		rz.edit(rz.start(k), rz.end(a+end-1), text)
		return a + end, true
	}
	text := ""
	for i, s := range rz.plan {
		if i > 0 {
			g := min(i, len(parts)-1)
			text += rz.cut(rz.end(a+parts[g-1][1]-1), rz.start(a+parts[g][0]))
		}
		p := parts[s.From]
		text += rz.cut(rz.start(a+p[0]), rz.start(a+p[2])) + rz.named[i] + rz.cut(rz.end(a+p[3]-1), rz.end(a+p[1]-1))
	}
	rz.edit(rz.start(k), rz.end(a+end-1), text)
	return a + end, true
}

// triplesAt reads a shaping in threes, one for each size: "8-1-5 (8-1-4, 8-1-3)".
func (rz *resizer) triplesAt(k int) (valueList, bool) {
	if _, shapes := rz.where[min(rz.toks[k].Line, len(rz.where)-1)].(*Shape); !shapes || rz.toks[k].Kind != Number {
		return valueList{}, false
	}
	a, b := rz.tokenLine(rz.toks[k].Line)
	p := &parser{toks: rz.toks[a:b], sizes: rz.n, vocab: Standard(), out: &finding.List{}, quiet: true}
	l := valueList{lead: -1}
	_, j, ok := p.triple(k - a)
	if !ok {
		return l, false
	}
	l.elems = append(l.elems, [2]int{k, a + j})
	closer, sep := openers[p.w(j)], p.w(j)
	if closer == "" && sep != "/" && sep != "|" {
		return l, false
	}
	if closer == "" {
		l.flat = sep
	}
	for j++; len(l.elems) < rz.n; j++ {
		_, e, ok := p.triple(j)
		if !ok {
			return l, false
		}
		l.elems, j = append(l.elems, [2]int{a + j, a + e}), e
		if len(l.elems) < rz.n && p.w(j) != "," && p.w(j) != ";" && p.w(j) != ":" && p.w(j) != "/" && p.w(j) != "|" {
			return l, false
		}
		if len(l.elems) == rz.n {
			break
		}
	}
	if closer != "" {
		if p.w(j) != closer {
			return l, false
		}
		j++
	}
	l.last = a + j
	return l, len(l.elems) == rz.n
}

// isList says that a list is one value per size: where the tree has it so, or where
// the line and what stands behind leave no other reading.
func (rz *resizer) isList(l valueList, k int) bool {
	from, to := rz.start(l.elems[0][0]), rz.end(l.last-1)
	if l.lead >= 0 {
		from = rz.start(l.lead)
	}
	if _, ok := rz.number(from, to); ok {
		return true
	}
	if l.lead >= 0 {
		if _, ok := rz.number(rz.start(l.elems[0][0]), rz.end(l.elems[len(l.elems)-1][1]-1)); ok {
			return true
		}
	}
	if rz.toks[k].Line != rz.toks[l.last-1].Line {
		return false
	}
	it := rz.where[min(rz.toks[k].Line, len(rz.where)-1)]
	field, isField := it.(*Field)
	counted := countWords[rz.w(l.last)] && rz.toks[min(l.last, len(rz.toks)-1)].Line == rz.toks[k].Line
	_, unit, _ := rz.measured(l.elems[0][0])
	counted = counted || countWords[unit]
	bracket := l.flat == "" && l.lead < 0
	work := instruction(it)
	switch {
	case bracket && rz.n > 2:
		return true
	case bracket && isField:
		low := strings.ToLower(field.Label)
		return counted || !strings.HasPrefix(low, "gauge") && !strings.HasPrefix(low, "tension") && !strings.HasPrefix(low, "needle")
	case bracket:
		return counted
	case l.lead >= 0:
		return rz.n > 2 && (counted || !work)
	default:
		return rz.n > 2 && counted || rz.n > 2 && isField && (l.flat == "/" || l.flat == "|")
	}
}

// writeList writes a list in its own manner; names, where given, are the new values.
func (rz *resizer) writeList(l valueList, names []string) {
	var elems []string
	for k, s := range rz.plan {
		e := l.elems[s.From]
		if names != nil && names[k] != rz.ms.Sizes[s.From] {
			elems = append(elems, names[k])
			continue
		}
		elems = append(elems, rz.cut(rz.start(e[0]), rz.end(e[1]-1)))
	}
	from, to := rz.start(l.elems[0][0]), rz.end(l.last-1)
	if l.lead >= 0 {
		from = rz.start(l.lead)
	}
	switch {
	case len(elems) == len(l.elems):
		for k, e := range l.elems {
			rz.edit(rz.start(e[0]), rz.end(e[1]-1), elems[k])
		}
	case len(elems) == 1 && names != nil && !rz.fits(l):
		rz.edit(from, to, "One size ("+elems[0]+")")
	case len(elems) == 1:
		rz.plain(l, from, to, elems[0])
	default:
		rz.edit(from, to, rz.inManner(l, elems))
	}
}

// fits says that a list stands in a line that says whom the sizes fit: what is left of it says so still.
func (rz *resizer) fits(l valueList) bool {
	first, end := rz.tokenLine(rz.toks[l.elems[0][0]].Line)
	return rz.ms.Fit && fitLabel(unmeasured(stripBullet(rz.toks[first:end])))
}

// plain writes the number of the one size that is left.
func (rz *resizer) plain(l valueList, from, to int, elem string) {
	p, inTree := rz.number(rz.start(l.elems[0][0]), rz.end(l.elems[len(l.elems)-1][1]-1))
	if !isDash(elem) && elem != "–" && elem != "none" && elem != "x" {
		if l.lead >= 0 && (!inTree || p.stated) {
			elem = rz.cut(from, rz.end(l.lead)) + elem + rz.cut(rz.end(l.elems[len(l.elems)-1][1]-1), to)
		}
		rz.edit(from, to, elem)
		return
	}
	switch {
	case !inTree:
		rz.edit(from, to, elem)
	case p.stated:
		if countWords[rz.w(l.last)] {
			to = rz.end(l.last)
		}
		rz.edit(from, to, "")
	case p.repeat:
		rz.edit(from, to, "0")
	default:
		a, b := rz.itemPlace(p.item)
		rz.remove(a, b)
	}
}

// inManner joins values with the brackets and signs of a list: the values of its first
// brackets stay as many as they were, and the last brackets hold the rest.
func (rz *resizer) inManner(l valueList, elems []string) string {
	glue := func(k int) string { return rz.cut(rz.end(l.elems[k][1]-1), rz.start(l.elems[k+1][0])) }
	n := len(l.elems)
	tail := rz.cut(rz.end(l.elems[n-1][1]-1), rz.end(l.last-1))
	lead := ""
	if l.lead >= 0 {
		lead = rz.cut(rz.start(l.lead), rz.start(l.elems[0][0]))
	}
	if l.flat != "" || l.lead >= 0 {
		sep := glue(0)
		return lead + strings.Join(elems, sep) + tail
	}
	opens := func(s string) int { return strings.IndexAny(s, "([{") }
	if n > 2 && opens(glue(0)) >= 0 && opens(glue(1)) < 0 && strings.ContainsAny(glue(1), ")]}") { // 8 (9) 10 (11)
		var b strings.Builder
		for k, e := range elems {
			switch {
			case k == 0:
			case k%2 == 1:
				b.WriteString(glue(0))
			case k == len(elems)-1: // an odd one goes into the last bracket
				b.WriteString(", ")
			default:
				b.WriteString(glue(1))
			}
			b.WriteString(e)
		}
		return b.String() + strings.TrimRight(glue(1), " ")
	}
	var b strings.Builder
	closer, inner := "", ""
	for k := 1; k < n-1 && inner == ""; k++ {
		if g := glue(k); opens(g) < 0 {
			inner = g
		}
	}
	if inner == "" || isDash(inner) && len(elems) < n { // 38 (40-42) would read as a range
		inner = ", "
	}
	for k, e := range elems {
		if k > 0 {
			g := inner
			if k < n {
				g = glue(k - 1)
			}
			if i := opens(g); i >= 0 {
				closer = openers[string(g[i])]
			}
			b.WriteString(g)
		}
		b.WriteString(e)
	}
	return b.String() + closer
}
