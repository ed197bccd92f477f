package notation

import (
	"fmt"
	"strings"
	"unicode"
)

// body is a row's body with its first letter large, without the full stop.
func (w *writer) body(ops []Op) string {
	s := w.ops(ops)
	if len(ops) > 0 {
		switch ops[0].(type) {
		case *Remark, *Unknown, *PattOver:
		default:
			s = capital(s)
		}
	}
	return s
}

func capital(s string) string {
	if s == "" || s[0] >= 0x80 {
		return s
	}
	return string(unicode.ToUpper(rune(s[0]))) + s[1:]
}

// num writes a number for one size or for all: 83 (95, 107); "-" is a size left out.
func num(n Num) string {
	if len(n.Vals) == 0 {
		return "1"
	}
	one := func(v int) string {
		if v == Skip {
			return "-"
		}
		return fmt.Sprint(v)
	}
	s := one(n.Vals[0])
	for i, v := range n.Vals[1:] {
		s += pick(i == 0, " (", ", ") + one(v)
	}
	return s + pick(len(n.Vals) > 1, ")", "")
}

func pick(b bool, yes, no string) string {
	if b {
		return yes
	}
	return no
}

func isOne(n Num) bool { return !n.Given() || len(n.Vals) == 1 && n.Vals[0] == 1 }

// sts writes a number of stitches with its noun.
func sts(n Num) string { return num(n) + pick(isOne(n), " st", " sts") }

// ops writes ops in a row. A semicolon stands before what would else be read
// together with the list before it.
func (w *writer) ops(ops []Op) string {
	var b strings.Builder
	for i, o := range ops {
		s, apart := w.op(o)
		if m, ok := o.(*Mark); ok && m.Do == "needle" {
			b.WriteString(pick(i > 0, "; ", "") + s + pick(i < len(ops)-1, " ", ""))
			continue
		}
		if m, ok := last(ops, i).(*Mark); ok && m.Do == "needle" {
			b.WriteString(s)
			continue
		}
		if i > 0 {
			if r, ok := ops[i-1].(*Repeat); ok && (r.Last != nil || r.Instead != nil) {
				apart = true
			}
			sep := pick(apart, "; ", ", ")
			if r, ok := o.(*Remark); ok && strings.HasPrefix(r.Text, "(edge") {
				sep = " " // behind a comma it would be a stitch of its own: "k2, (edge st)"
			}
			b.WriteString(sep)
		}
		b.WriteString(s)
	}
	return b.String()
}

// last is the op before the one at i; nil for the first.
func last(ops []Op, i int) Op {
	if i == 0 {
		return nil
	}
	return ops[i-1]
}

// op writes one op; apart says that no list may stand before it unparted.
func (w *writer) op(o Op) (text string, apart bool) {
	switch o := o.(type) {
	case *Do:
		s, apart := w.do(o)
		return s, apart || o.Key == "dropyo"
	case *Group:
		return "[" + w.ops(o.Body) + "]" + pick(isOne(o.Times), "", " "+num(o.Times)+" times"), false
	case *Until:
		if o.To.Kind == ToRest && len(o.Body) == 1 {
			if d, ok := o.Body[0].(*Do); ok {
				if s, ok := w.bare(d); ok {
					return s + " all sts", false
				}
			}
		}
		if len(o.Body) == 1 {
			if d, ok := o.Body[0].(*Do); ok && isOne(d.Times) && d.From == "" && d.Wraps < 2 && d.Key != "drop" && d.Key != "dropyo" {
				if s, ok := w.bare(d); ok {
					return s + " " + target(o.To), false
				}
			}
			if po, ok := o.Body[0].(*PattOver); ok && isOne(po.N) && po.Row != "" {
				return "work Row " + po.Row + " of " + po.Name + " " + target(o.To), false
			}
			if in, ok := o.Body[0].(*Into); ok {
				s, _ := w.op(in)
				return s + " " + target(o.To), false
			}
		}
		return "[" + w.ops(o.Body) + "] " + target(o.To), false
	case *Repeat:
		return w.repeat(o), false
	case *Into:
		return w.into(o), false
	case *Again:
		return w.ops(o.Body) + " " + often(o.Times), true
	case *Turn:
		return pick(o.Wrap, "w&t", "turn"), false
	case *Mark:
		if o.Do == "needle" {
			switch o.Name {
			case "side 1":
				return "first side:", true
			case "side 2":
				return "second side:", true
			}
			return "N" + o.Name + ":", true
		}
		s := map[string]string{"place": "pm", "slip": "sm", "remove": "rm"}[o.Do]
		return s + pick(o.Name != "", " "+o.Name, ""), false
	case *BindOff:
		return pick(o.All, "BO all sts", "BO "+sts(o.N)), false
	case *CastOn:
		if o.Picked {
			return "pick up and knit " + sts(o.N), false
		}
		return "CO " + sts(o.N) + pick(o.EachGap, " over each gap", ""), false
	case *ToCable:
		return "sl " + sts(o.N) + " to cn" + pick(o.Side != "", " and hold in "+o.Side, ""), false
	case *Hold:
		switch {
		case o.All && o.N.Given():
			return "place all but the last " + sts(o.N) + " on a thread", false
		case o.ToMark:
			return "place sts to m on a holder", false
		case o.N.Given():
			return "place next " + sts(o.N) + " on a holder", false
		}
		return "place rem sts on a holder", false
	case *Unhold:
		return "return " + pick(o.N.Given(), sts(o.N), "sts") + " from holder to needle", false
	case *Return:
		return "return " + pick(o.N.Given(), sts(o.N), "sts") + " to left needle", false
	case *UseYarn:
		return "with " + o.Yarn, false
	case *DropAll:
		return "drop all yo's", true // else it belongs to the stitch before it
	case *Slide:
		return "slide", false
	case *Leave:
		return "leave rem sts unworked", false
	case *PattOver:
		what := o.Name
		if o.Row != "" {
			what = "Row " + o.Row + " of " + o.Name
		}
		if !o.N.Given() {
			return "work " + what, false
		}
		return "work " + what + " over next " + sts(o.N), false
	case *Spread:
		base, _ := w.bare(&Do{Key: o.Key, Times: N(1)})
		return base + pick(o.Down, ", dec", ", inc") + " evenly to " + sts(o.To), true
	case *Join:
		return "join", false
	case *Remark:
		return o.Text, false
	case *Unknown:
		return o.Text, false
	}
	panic(fmt.Sprintf("notation: cannot write op %T", o))
}

// repeat writes "*…; rep from * …" with as many asterisks as it is deep.
func (w *writer) repeat(r *Repeat) string {
	w.stars++
	mark := strings.Repeat("*", w.stars)
	body := w.ops(r.Body)
	s := mark + pick(strings.HasPrefix(body, "*"), " ", "") + body + "; rep from " + mark
	w.stars--
	if t := target(r.To); t != "" {
		s += " " + t
	}
	switch {
	case len(r.Last) > 0:
		s += ", ending last rep " + w.ops(r.Last)
		if len(r.Instead) > 0 {
			s += " instead of " + w.ops(r.Instead)
		}
	case len(r.Instead) > 0:
		s += ", omitting " + w.ops(r.Instead) + " at end of last rep"
	}
	return s
}

func (w *writer) into(o *Into) string {
	s := "(" + w.ops(o.Body) + ") in "
	switch {
	case isOne(o.Sts) && isOne(o.Times):
		return s + "next st"
	case isOne(o.Sts):
		return s + "each of next " + num(o.Times) + " sts"
	case o.Sts.Single() && widest(o.Body) == o.Sts.For(0):
		s += "next " + num(o.Sts) + " sts"
	default:
		s += "next double yo"
	}
	return s + pick(isOne(o.Times), "", " "+num(o.Times)+" times")
}

// target writes how far or how often.
func target(t Target) string {
	before := func(what string) string {
		if t.N.Single() && t.N.For(0) == 0 {
			return "to " + what
		}
		return "to " + sts(t.N) + " before " + what
	}
	switch t.Kind {
	case ToRest:
		return ""
	case ToEnd:
		return "to end" + pick(t.Name == "heel", " of heel", "") + pick(t.Name == "needle", " of needle", "")
	case ToLast:
		if t.Name == "needle" && t.N.Given() && t.N.Single() && t.N.For(0) == 0 {
			return "to end of needle"
		}
		return "to last " + pick(isOne(t.N), "st", sts(t.N)) + pick(t.Name == "needle", " on needle", "")
	case ToMarker:
		switch t.Name {
		case "":
			return before("m")
		case "last":
			return "to last m"
		case "needle":
			return "to end of N1"
		}
		return before("m " + t.Name)
	case ToGap:
		return before("gap")
	case TargetCentre:
		if t.Name == "heel" {
			return "to centre of heel"
		}
		return before("centre st")
	case TimesInAll:
		return num(t.N) + " times"
	case TimesMore:
		return num(t.N) + " times more"
	case TimesTotal:
		return num(t.N) + " times in all"
	case ToWorked:
		return "until there are " + sts(t.N) + " on right needle" + pick(t.Name == "gap", " after the gap", "")
	}
	panic("notation: cannot write target " + string(t.Kind))
}

// do writes a stitch and how often.
func (w *writer) do(d *Do) (text string, apart bool) {
	tail := ""
	if d.Wraps > 1 {
		tail = fmt.Sprintf(" wrapping yarn %d times", d.Wraps)
	}
	switch d.From {
	case "cn":
		tail += " from cn"
	case "held":
		tail += " held sts"
	case "holder":
		tail += " from holder"
	}
	if s, ok := w.form(d, true); ok {
		return s + tail, false
	}
	once := *d
	once.Times = Num{}
	if isOne(d.Times) {
		return w.anyForm(d) + tail, false
	}
	for _, f := range w.allForms(d.Key) {
		s := fill(f, &once)
		p := w.parser(scanLine(s+tail+" "+often(d.Times), 1))
		got, end, ok := p.stitch(0)
		if ok && !strings.Contains(f, "#") && end == len(scanLine(s, 1)) && got.Key == d.Key && equalInts(got.Params, d.Params) {
			return s + tail + " " + often(d.Times), true
		}
	}
	return w.anyForm(d) + tail + " " + often(d.Times), true
}

// often writes "twice", "3 (4, 5) times".
func often(n Num) string {
	if n.Single() && n.For(0) == 2 {
		return "twice"
	}
	return num(n) + " times"
}

// bare writes a stitch by a form without a number, as "k" in "k to end".
func (w *writer) bare(d *Do) (string, bool) { return w.form(d, false) }

// form finds the first form that reads back as d. numbered prefers forms with
// their number where the bare word would mean the whole row.
func (w *writer) form(d *Do, numbered bool) (string, bool) {
	s := w.vocab.Stitch(d.Key)
	if s == nil {
		return "", false
	}
	forms := w.allForms(d.Key)
	id := fmt.Sprint(d.Key, d.Params, d.Times.Vals, numbered)
	if t, ok := w.forms[id]; ok {
		return t, t != ""
	}
	for _, f := range forms {
		has := strings.Contains(f, "#") && s.Name == ""
		if !isOne(d.Times) && !has || !numbered && has || numbered && !has && bareAll[d.Key] && hasNumbered(forms) {
			continue
		}
		text := f
		if s.Name == "" {
			text = fill(f, d)
		}
		if w.readsAs(text, d, numbered) {
			w.forms[id] = text
			return text, true
		}
	}
	w.forms[id] = ""
	return "", false
}

// allForms lists the forms of a stitch, the one to be written first; a
// designer's own goes by its name.
func (w *writer) allForms(key string) []string {
	s := w.vocab.Stitch(key)
	switch {
	case s == nil:
		return nil
	case s.Name != "" || len(s.Forms) == 0:
		return []string{s.Name}
	}
	return s.Forms
}

func hasNumbered(forms []string) bool {
	for _, f := range forms {
		if strings.Contains(f, "#") {
			return true
		}
	}
	return false
}

func (w *writer) anyForm(d *Do) string {
	s := w.vocab.Stitch(d.Key)
	switch {
	case s == nil:
		return strings.TrimPrefix(d.Key, "own:")
	case s.Name != "":
		return s.Name
	}
	one := *d
	one.Times = Num{}
	return fill(s.Forms[0], &one)
}

// fill puts the numbers into a form of the vocabulary.
func fill(form string, d *Do) string {
	var b strings.Builder
	for i := 0; i < len(form); i++ {
		switch c := form[i]; c {
		case '~':
		case '#':
			b.WriteString(num(d.Times))
		case '@':
			k := 0
			if i+1 < len(form) && (form[i+1] == '2' || form[i+1] == '3') {
				k = int(form[i+1] - '1')
				i++
			}
			if k < len(d.Params) {
				fmt.Fprint(&b, d.Params[k])
			} else {
				b.WriteString("1")
			}
		default:
			b.WriteByte(c)
		}
	}
	s := b.String()
	if strings.HasSuffix(form, "# st") && !isOne(d.Times) {
		s += "s"
	}
	return s
}

// readsAs says that text is read as the stitch d and as nothing else.
func (w *writer) readsAs(text string, d *Do, numbered bool) bool {
	toks := scanLine(text, 1)
	p := w.parser(toks)
	got, end, ok := p.stitch(0)
	if !ok || end != len(toks) || got.Key != d.Key || !equalInts(got.Params, d.Params) {
		return false
	}
	if !numbered {
		return !got.Times.Given()
	}
	return isOne(got.Times) && isOne(d.Times) || equalInts(got.Times.Vals, d.Times.Vals)
}
