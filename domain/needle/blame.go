package needle

import (
	"fmt"
	"regexp"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// blameEarlier looks, when a row does not come out, for an earlier row of the
// pattern that has gained or lost stitches in every repeat: if the row at hand
// comes out on the count there would be without that change, the earlier row is
// the one at fault (a yarn over or a decrease is missing there), and it is told
// there. The lanes go on as if it had been right.
func (r *run) blameEarlier(d *def, bad []*lane, ag *again) bool {
	if r.silent || len(bad) == 0 || r.blamed > 50 {
		return false
	}
	for _, l := range bad {
		if len(l.left.group) > 1 { // markers' places are not known any more
			return false
		}
	}
	if ag == nil && unevenRepeat(r.w, d.body, bad[0].size) {
		return false // it changes the count itself
	}
	r.blamed++ // bounded: a pattern has few culprits, a hostile text thousands
	if !r.w.spend(len(r.history)) {
		return false
	}
	uneven := map[*def]bool{}
	for _, e := range r.history {
		if e.before != nil && unevenRepeat(r.w, e.body, bad[0].size) {
			uneven[e] = true
		}
	}
	if len(uneven) > 2 {
		return false // where many rows change the count, none stands out
	}
	seen := map[*def]bool{d: ag == nil}
	for i, asked := len(r.history)-2, 0; i >= 0 && asked < 12; i-- {
		e := r.history[i]
		if seen[e] || e.before == nil {
			continue
		}
		seen[e] = true
		asked++
		if !unevenRepeat(r.w, e.body, bad[0].size) || agreesWithStated(e) {
			continue
		}
		fixed := make([]*lane, 0, len(bad))
		for _, l := range bad {
			k := indexOf(r.lanes, l)
			delta := e.before[k].minus(e.after[k])
			if delta.zero() {
				break
			}
			c := l.clone()
			c.left, c.right = newStack(l.total().plus(delta)), newStack(Lin{})
			c.tainted = false
			fixed = append(fixed, c)
		}
		if len(fixed) != len(bad) {
			continue
		}
		out, ok := r.try(d, fixed, 0, false)
		if !ok {
			continue
		}
		k := indexOf(r.lanes, bad[0])
		msg := fmt.Sprintf("this row goes from %s to %s, and row %s does not come out then; it does if the count is kept", sts(e.before[k]), sts(e.after[k]), d.name)
		msg = r.atSizes(bad, msg)
		r.add(finding.Finding{Code: "count-not-kept", Span: bodySpan(e), Row: e.name, Sizes: r.sizesOf(bad), Message: msg})
		for n, l := range bad {
			b := out[n].before
			side, rows := l.side, l.rows
			*l = *out[n].l
			l.side, l.rows = side, rows
			kk := indexOf(r.lanes, l)
			d.entry.First[kk] = Count{l.total().D, l.total().C == 0}
			d.entry.Last[kk] = d.entry.First[kk]
			d.entry.Before[kk] = Count{b.D, b.C == 0}
			l.endRow()
		}
		return true
	}
	return false
}

func bodySpan(d *def) finding.Span {
	if len(d.body) == 0 {
		return d.row.Span
	}
	at := notation.SpanOf(d.body[0]).Cover(notation.SpanOf(d.body[len(d.body)-1]))
	if at.Line < d.row.Span.Line || at.Line > d.row.Span.EndLine {
		return d.row.Span
	}
	return at
}

// unevenRepeat: the row has an open repeat that makes more, or fewer, than it takes.
func unevenRepeat(w *worker, body []notation.Op, size int) bool {
	for _, o := range body {
		var in []notation.Op
		switch o := o.(type) {
		case *notation.Repeat:
			in = o.Body
		case *notation.Until:
			in = o.Body
		default:
			continue
		}
		if e := w.fixed(in, size); e.ok && e.in != e.out {
			return true
		}
	}
	return false
}

// agreesWithStated: a count written behind the row says that the change is meant.
func agreesWithStated(d *def) bool {
	for _, s := range d.row.Stated {
		for k := range d.after {
			if d.entry.Times[k] == 0 {
				continue
			}
			if s.Kind == notation.CountAll && d.after[k].C == 0 && s.N.For(k) == d.after[k].D || s.Kind == notation.CountInc || s.Kind == notation.CountDec {
				return true
			}
		}
	}
	return false
}

// yarns follows, in flat knitting, at which edge each yarn hangs, and tells when
// one is asked for at the other edge. A yarn that was cut, or is joined anew, may
// be anywhere.
func (r *run) yarns(d *def, l *lane, ag *again) {
	if r.part.Round || l.side == "" || l.short {
		return
	}
	var used []string
	first := true
	mixed := false
	notation.Each(d.body, func(o notation.Op) {
		switch o := o.(type) {
		case *notation.UseYarn:
			if first {
				used = used[:0]
			}
			used = append(used, o.Yarn)
		case *notation.Do:
			if first && len(used) == 0 && r.yarn != "" {
				used = append(used, r.yarn)
			}
			first = false
		}
	})
	if len(used) == 0 {
		if r.yarn == "" {
			return
		}
		used = []string{r.yarn}
	}
	for _, y := range used[1:] {
		mixed = mixed || y != used[0]
	}
	start, end := "right", "left"
	if l.side == "WS" {
		start, end = end, start
	}
	if r.hangs == nil {
		r.hangs = map[string]string{}
	}
	if y := used[0]; !mixed && y != r.yarn && r.hangs[y] == end && !r.rejoined(d, y) && !r.cutSince(y, d) {
		f := finding.Finding{Code: "yarn-not-at-hand", Span: d.row.Span, Row: d.name,
			Message: fmt.Sprintf("yarn %s is asked for at the %s edge, but it hangs at the %s edge", y, start, end)}
		for _, o := range d.body {
			if u, ok := o.(*notation.UseYarn); ok {
				f.Span = u.Span
				break
			}
		}
		if f.Span.Line < d.row.Span.Line || f.Span.Line > d.row.Span.EndLine {
			f.Span = d.row.Span
		}
		if ag != nil && d.done {
			f.Code, f.Span, f.Row = "rows-do-not-join", ag.at, ag.words
			f.Message = "row " + d.name + ", worked again: " + f.Message
		}
		r.add(f)
	}
	for _, y := range used {
		r.hangs[y] = end
	}
	r.yarn = used[len(used)-1]
}

// rejoined: the row itself joins the yarn.
func (r *run) rejoined(d *def, y string) bool {
	return r.sourceSays(d.row.Span.Line, d.row.Span.EndLine)
}

// cutSince: any line up to this one tells of cutting or joining yarn.
func (r *run) cutSince(y string, d *def) bool { return r.sourceSays(r.part.Line+1, d.row.Span.Line) }

func (r *run) sourceSays(from, to int) bool {
	for n := max(1, from); n <= to && n <= len(r.ms.Source); n++ {
		if saysCut(r.ms.Source[n-1]) {
			return true
		}
	}
	return false
}

// reUncut is yarn that stays whole: "do not break the yarns".
var reUncut = regexp.MustCompile(`(?i)(?:do not|don.t|without|never|not|no need to) (?:cut|break|join)\w*`)

// saysCut: words of cutting, breaking or joining yarn.
func saysCut(s string) bool {
	s = reUncut.ReplaceAllString(s, "")
	for _, w := range [...]string{"cut", "Cut", "break", "Break", "join", "Join", "attach", "Attach", "slide", "Slide", "strand"} {
		if strings.Contains(s, w) {
			return true
		}
	}
	return false
}
