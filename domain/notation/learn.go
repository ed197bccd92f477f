package notation

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// This file turns definitions into stitches.

// reStep is by how many a stitch increases or decreases, told behind how it is worked: "…, increasing 1 st".
var reStep = regexp.MustCompile(`(?i)[ (\[](inc|dec)(?:reas(?:es|ing|e))? (\d) ?(?:sts?|stitch(?:es)?)?[)\].]*$`)

// stepStated puts that as a count is stated: "(1 st increased)". What is no more than that stays.
func stepStated(s string) string {
	m := reStep.FindStringSubmatch(s)
	if m == nil {
		return s
	}
	return " (" + m[2] + " sts " + map[string]string{"i": "increased", "d": "decreased"}[strings.ToLower(m[1][:1])] + ")"
}

// learn adds a definition to the vocabulary.
func (r *reader) learn(d *Define) {
	toks := dropPoints(scanLine(reStep.ReplaceAllStringFunc(d.Text, stepStated), d.Line))
	p := r.parser(toks)
	p.quiet = true
	p.sizes = 1
	p.toks = p.toks[p.nameInFull():]
	names := []string{d.Name}
	if strings.Contains(d.Name, "/") && !strings.ContainsAny(d.Name, "0123456789") {
		names = strings.Split(d.Name, "/")
	}
	if long, short, ok := strings.Cut(d.Name, " ("); ok && strings.HasSuffix(short, ")") && !strings.ContainsAny(short, " /,") {
		names = []string{strings.TrimSuffix(short, ")"), long}
	}
	if strings.Contains(d.Name, " or ") {
		names = strings.Split(d.Name, " or ")
	}
	if strings.Contains(d.Name, ",") && !strings.Contains(d.Name, "(") {
		names = strings.Split(d.Name, ",")
	}
	for _, name := range names {
		name = strings.Trim(strings.TrimSpace(name), "\"“”'")
		if name == "" || strings.HasSuffix(strings.ToLower(name), "(s)") {
			continue
		}
		if r.learnAs(name, d, p) {
			break
		}
	}
}

// nameInFull is how many tokens say the name of a crossing in full before its steps are told: "Cable 4 Back. Slip
// next 2 sts on to a cable needle …".
func (p *parser) nameInFull() int {
	if k, ok := p.words(0, "make? bobble|knot|popcorn|cluster|nupp .", "make? bobble|knot|popcorn|cluster|nupp :"); ok {
		return k
	}
	m, e, ok := p.stitch(0)
	if !ok || e >= len(p.toks) || !hasWord(p, e, ".", ":", ",", "(", "–", "-", "=", ";") {
		return 0
	}
	s := p.vocab.Stitch(m.Key)
	if s == nil {
		return 0
	}
	if again, q, ok := p.stitch(e + 1); ok && s.In != "" && p.w(e) == "," && (q >= len(p.toks) || p.w(q) == "." && q+1 >= len(p.toks)) { // "narrow, knit two together": the same
		if t := p.vocab.Stitch(again.Key); t != nil && t.In != "" {
			in, out := s.Counts(m.Params)
			in2, out2 := t.Counts(again.Params)
			if in == in2 && out == out2 && in > out {
				return e + 1
			}
		}
	}
	if s.Class != Cable && s.Class != Twist {
		return 0
	}
	for k := e + 1; k <= e+2; k++ {
		if hasWord(p, k, "slip", "sl", "place", "put", "skip", "knit", "k", "hold", "with", "miss", "pass", "transfer") {
			return k
		}
	}
	return 0
}

func (r *reader) learnAs(name string, d *Define, p *parser) bool {
	nameToks := scanLine(name, d.Line)
	q := r.parser(nameToks)
	q.quiet, q.sizes = true, 1
	std, end, isStd := q.stitch(0)
	if isStd && end < len(nameToks) {
		if _, j, ok := q.times(end); ok && j == len(nameToks) {
			return false // "o twice, throw the thread twice over the needle": the stitch, so often
		}
	}
	isStd = isStd && end == len(nameToks)
	if isStd && std.Key == "yo" || strings.EqualFold(name, "yfwd") || strings.EqualFold(name, "yf") {
		if m, e, ok := p.stitch(0); ok && (m.Key == "yfront" || m.Key == "wyif") && p.skipWords(e, "of", "work", ".", "between", "needle") >= len(p.toks) { // "yfwd = yarn to front of work": it makes no stitch
			s := &Stitch{Key: "own:" + strings.ToLower(name), Name: name, In: "0", Out: "0", Class: None, Words: d.Text, Help: d.Text, Body: []Op{m}}
			r.add(s, name, isStd)
			return false
		}
	}
	switch strings.ReplaceAll(strings.ToLower(name), ".", "") {
	case "k", "p", "st", "sts", "rs", "ws", "rep", "tog", "beg", "rem", "cont", "foll", "m", "pm", "sm", "rm", "mc", "cc", "cn", "dpn", "rnd", "rnds", "alt", "patt", "inc", "dec", "co", "bo", "tbl", "bor", "w&t", "w & t", "w+t", "sl", "a", "b", "c", "st st", "rev st st", "g st", "approx", "est", "lh", "rh", "cm", "in", "mm", "g", "wyib", "wyif", "meas", "dk", "*", "psso", "row", "rows", "yb", "kwise", "pwise", "turn", "yfwd", "yrn", "m1", "yo", "k2tog", "p2tog", "ssk", "skpo", "skp", "m1l", "m1r",
		"kfb", "pfb", "kf&b", "k f&b":
		if isStd || std == nil {
			return false
		}
	}
	low := strings.ToLower(name)
	if low == "w&t" || low == "kN" {
		return false
	}
	s := &Stitch{Key: "own:" + low, Name: name, Class: Own, Words: d.Text, Help: d.Text}
	// the meaning is a stitch of the trade: "k1b = knit 1 in the row below"
	if m, e, ok := p.stitch(0); ok {
		rest := p.skipWords(e, "st", "stitch", ".", "next", "in", "this", "usual", "way")
		_, _, counted := p.usesMakes()
		if _, _, turned := p.find(rest, len(p.toks), "turn"); turned {
			counted, rest = true, len(p.toks)+1 // it is worked to and fro: no more than its beginning is that stitch
		}
		if rest > len(p.toks) {
			// below
		} else if rest >= len(p.toks) || p.lastBracket(rest) || p.w(rest) == "," && !p.opStarts(rest+1) || p.w(rest) == ";" || p.w(rest) == ":" || isDash(p.w(rest)) {
			if b := r.vocab.Stitch(m.Key); b != nil && !(counted && p.moreBehind(rest)) && m.Times.For(0) == 1 && b.Class != None && b.In != "" && b.Out != "" {
				if isStd && std.Key == m.Key && equalInts(std.Params, m.Params) {
					r.sure[low] = true
					return false
				}
				in, out := b.Counts(m.Params)
				s.In, s.Out, s.Class, s.Lean = itoa(in), itoa(out), b.Class, b.Lean
				s.Body = []Op{m}
				r.add(s, name, isStd)
				return false
			}
		}
	}
	if n, ok := p.rowsBelow(); ok && (!isStd || std.Key == "k-below" || std.Key == "p-below") {
		base := "k-below"
		if p.w(0) == "p" || p.w(0) == "purl" {
			base = "p-below"
		}
		s.In, s.Out, s.Class = "1", "1", Below
		s.Body = []Op{&Do{Key: base, Params: []int{n}}}
		r.add(s, name, isStd)
		return false
	}
	if wraps, ok := p.longStitch(); ok && !isStd {
		s.In, s.Out, s.Class = "1", "1", Own
		s.Body = []Op{&Do{Key: "k", Times: N(1), Wraps: wraps}}
		r.add(s, name, isStd)
		return false
	}
	if n, made, ok := p.knot(); ok && !isStd {
		s.In, s.Out, s.Class = itoa(n), itoa(made), Own
		r.add(s, name, isStd)
		return false
	}
	if n, ok := p.wrapped(); ok && !isStd {
		s.In, s.Out, s.Class = itoa(n), itoa(n), Own
		r.add(s, name, isStd)
		return false
	}
	s.Over = p.workedOver()
	in, out, byCounts := p.usesMakes()
	b, _ := p.body(0, "")
	unknown := false
	var ops []Op
	for _, o := range b.ops {
		switch o := o.(type) {
		case *Unknown:
			unknown = true
		case *Remark, *UseYarn:
		case *Until:
			_ = o
			unknown = true
		default:
			ops = append(ops, o)
		}
	}
	if isStd && !byCounts && briocheAgain(std.Key, ops) {
		r.sure[low] = true
		return false
	}
	if len(ops) > 0 && !unknown || len(ops) > 0 && !byCounts && !isStd {
		if unknown && !byCounts {
			// some of it was not understood: its own counts are not to be trusted
			if net, ok := p.netChange(); ok {
				s.netCounts(net)
				r.add(s, name, isStd)
				return false
			}
			s.unknown()
			if !isStd {
				r.add(s, name, isStd)
			}
			return false
		}
		s.Body = ops
	}
	if byCounts {
		s.In, s.Out = itoa(in), itoa(out)
		r.add(s, name, isStd)
		return false
	}
	if len(s.Body) > 0 {
		// counts come from working the body; the needle does that
		s.In, s.Out = "", ""
		r.add(s, name, isStd)
		return false
	}
	if net, ok := p.netChange(); ok && !isStd {
		s.netCounts(net)
		r.add(s, name, isStd)
		return false
	}
	if isStd || nameIsWord(low) {
		return false
	}
	s.unknown()
	r.add(s, name, isStd)
	return false
}

// moreBehind says that further instructions stand behind the first of a definition:
// "p3tog, leave on needle, yo, p3tog again".
func (p *parser) moreBehind(i int) bool {
	for ; i < len(p.toks); i++ {
		if (p.w(i) == "," || p.w(i) == ";" || p.w(i) == "then") && p.opStarts(i+1) {
			return true
		}
	}
	return false
}

// briocheAgain says that the words of a definition, of which ops was read, only say
// what a brioche stitch of the trade is: one stitch and its yarn over as one.
func briocheAgain(key string, ops []Op) bool {
	plain := map[string]string{"slyo": "sl slp", "brk": "k", "brp": "p"}[key]
	n := 0
	for _, o := range ops {
		d, ok := o.(*Do)
		switch {
		case !ok || d.Times.Given() && d.Times.For(0) != 1:
			return false
		case d.Key == "yf" || d.Key == "yb":
		case slices.Contains(strings.Fields(plain), d.Key):
			n++
		default:
			return false
		}
	}
	return n == 1
}

// unknown counts a stitch whose words cannot be worked: as many as it is said to
// be worked over, else the needle asks.
func (s *Stitch) unknown() {
	s.In, s.Out = itoa(max(1, s.Over)), itoa(max(1, s.Over))
	s.NoBody = s.Over == 0
}

// workedOver reads "(3 sts)" at the end of a definition, or at its beginning.
func (p *parser) workedOver() int {
	for _, k := range []int{len(p.toks) - 4, len(p.toks) - 5, 0} {
		if k < 0 || openers[p.w(k)] == "" {
			continue
		}
		if n, j, ok := p.num(k + 1); ok && n.Single() && p.w(j) == "st" && p.w(j+1) == openers[p.w(k)] {
			return n.For(0)
		}
	}
	return 0
}

// longStitch reads "insert needle as if to knit, wrap yarn three times around the
// needle and draw the wraps through": a stitch of so many wraps.
func (p *parser) longStitch() (wraps int, ok bool) {
	if _, ok := p.words(0, "insert|put right? needle|tip", "insert|put tip of right? needle"); !ok {
		return 0, false
	}
	_, j, ok := p.find(0, len(p.toks), "wrap|wrapping|wind|winding yarn|wool", "wrap|wind working yarn")
	if !ok {
		return 0, false
	}
	q := p.skipWords(j, "around", "round", "rnd", "needle", "right", "rh", "tip", "of", "the")
	if p.w(q) == "twice" || p.w(q) == "thrice" || p.at(q).Kind == Number {
		j = q
	}
	switch {
	case p.w(j) == "twice":
		wraps = 2
	case p.w(j) == "thrice":
		wraps = 3
	case p.at(j).Kind == Number && p.w(j+1) == "times":
		wraps = max(1, min(p.at(j).Val, 20))
	default:
		return 0, false
	}
	if _, _, ok := p.find(j, len(p.toks), "draw", "pull", "knit", "k", "drawing", "through"); !ok {
		return 0, false
	}
	return wraps, true
}

// knot reads stitches that are worked as one group: "draw a loop through between the
// 6th and 7th sts …, knit it together with the first", as many after as before; and
// "purl the next 3 stitches together but leave them on the needle, knit the same 3
// together, purl them together once more and let them glide off", one for each time. It
// gives what is taken and made.
func (p *parser) knot() (in, out int, ok bool) {
	n := len(p.toks)
	if _, j, found := p.find(0, n, "between"); found {
		j = p.skipWords(j, "the")
		a := p.at(j)
		k := j + 1
		for p.w(k) == "st" || p.w(k) == "and" || p.w(k) == "the" || p.w(k) == "&" {
			k++
		}
		_, _, loop := p.find(0, n, "loop", "draw up", "draw|pull through")
		if b := p.at(k); loop && a.Kind == Ordinal && b.Kind == Ordinal && b.Val == a.Val+1 && a.Val > 1 && a.Val <= 30 {
			return a.Val, a.Val, true
		}
	}
	_, _, left := p.find(0, n, "leave|leaving them|it|these on", "leave|leaving on", "without slipping", "but do not slip|drop|let")
	_, _, off := p.find(0, n, "off", "slip|drop from needle")
	if !left || !off {
		return 0, 0, false
	}
	first := 0
	for i := range p.toks {
		if p.w(i) != "tog" && p.w(i) != "together" {
			continue
		}
		k := i
		for k > 0 && p.at(k).Kind != Number && k > i-5 {
			k--
		}
		if first == 0 {
			if p.at(k).Kind != Number {
				return 0, 0, false
			}
			first = p.at(k).Val
		}
		out++
	}
	return first, out, first > 1 && first <= 20 && out > 1
}

// wrapped reads a cluster of stitches that the yarn is wound around, and which keeps their number: "slip
// next 3 sts to cable needle, wrap yarn twice around these sts, then k3 from cable needle". Each number of stitches
// in it must be the same.
func (p *parser) wrapped() (n int, ok bool) {
	end := len(p.toks)
	_, _, winds := p.find(0, end, "wrap|wrapping|wind|winding|wound yarn|wool|strand|thread", "bring|bringing|take|with yarn to? front|forward", "yarn to? front|forward", "wrap 2|3|4|5 st")
	_, _, back := p.find(0, end, "cable needle", "cn", "back to left|lh|right|rh", "return", "same 2|3|4|5 st", "back to|onto left|lh", "replace", "st back to|onto")
	_, _, other := p.find(0, end, "tog", "yo", "yrn", "psso", "inc", "dec", "m1", "over", "kfb", "turn", "loop")
	if !winds || !back || other {
		return 0, false
	}
	seen := 0
	for k := 0; k < end; k++ {
		t := p.at(k)
		if t.Kind != Number || t.Frac != "" || hasWord(p, k+1, "times", "time", "x", "mm", "wraps") {
			continue
		}
		if n != 0 && t.Val != n {
			return 0, false
		}
		n = t.Val
		seen++
	}
	_, _, them := p.find(0, end, "them", "these|those|same st")
	return n, (seen > 1 || them && seen > 0) && n > 1 && n < 20
}

// netCounts counts a stitch of which only the change is told: more out of one,
// or one out of more.
func (s *Stitch) netCounts(net int) {
	s.In, s.Out = itoa(max(1, 1-net)), itoa(max(1, 1+net))
	if net < 0 && strings.HasPrefix(strings.ToLower(s.Words), "drop") {
		s.In, s.Out = itoa(-net), "0" // let down, not worked
	}
}

// lastBracket says that a bracket opens at i and nothing but a stop follows it.
func (p *parser) lastBracket(i int) bool {
	closer := openers[p.w(i)]
	if closer == "" {
		return false
	}
	for k := i + 1; k < len(p.toks); k++ {
		if p.w(k) == closer {
			return k+1 >= len(p.toks) || p.w(k+1) == "." && k+2 >= len(p.toks)
		}
	}
	return false
}

// nameIsWord says that an entry of an abbreviation list is no stitch at all.
func nameIsWord(s string) bool {
	switch s {
	case "st(s)", "rnd(s)", "dpn(s)", "yarn", "needle", "needles", "gauge", "tension", "rep from *", "[ ]", "( )", "**", "sk", "main", "contrast", "dec'd", "inc'd", "foll", "opp", "cont", "approx", "bet", "btw", "circ", "ch", "eor", "eon", "fwd", "ss", "no", "oz", "yd", "yds", "m/c", "pat", "prev", "rev", "sl st", "tfl", "wl", "est", "ms", "col", "n", "r", "l", "lh", "rh", "stst", "garter", "cdd", "kwise", "pwise":
		return true
	}
	return strings.Contains(s, "(s)") || strings.Contains(s, "st st")
}

func equalInts(a, b []int) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

func (r *reader) add(s *Stitch, name string, isStd bool) {
	r.ms.Own[s.Key] = s
	r.vocab.addOwn(s, ownForm(name))
}

// ownForm writes a designer's name the way forms of the vocabulary are written.
func ownForm(name string) string {
	var b strings.Builder
	for i, t := range dropPoints(scanLine(name, 1)) {
		if i > 0 && !t.Glued {
			b.WriteByte(' ')
		}
		switch {
		case t.Kind == Number:
			b.WriteString(strconv.Itoa(t.Val))
		case t.Text == "#" || t.Text == "@" || t.Text == "~":
		default:
			b.WriteString(t.Text)
		}
	}
	return b.String()
}
