package notation

// This file reads sentences that hang markers before a row or round.

// markersTold reads "Place a marker after the first 18 sts", "place one marker at the beginning of the round and another
// after 18 sts", "Place markers so that there are 18 sts on each side".
func (p *parser) markersTold(i, end int) (*Markers, int, bool) {
	k, ok := p.words(i, "place|put|hang|insert|pm|placing a|one|another|second|side? st? m", "place|put|hang|insert side|st? m", "place|put|hang a|one|another|second|the? st? m", "pm", "mark", "divide the? st")
	if !ok {
		return nil, i, false
	}
	m := &Markers{}
	for j := k; j < end; j++ {
		q, after := p.words(j, "after the? first? ")
		if !after {
			q, after = p.words(j, "after the? first", "after st", "after")
		}
		if after {
			n, e, ok := p.num(q)
			if t := p.at(q); !ok && t.Kind == Ordinal && (p.w(q+1) == "st") { // "after the 18th st"
				n, e, ok = N(t.Val), q+1, true
			}
			if !ok || p.w(e) != "st" && p.w(q-1) != "st" {
				return nil, i, false
			}
			m.After = append(m.After, n)
			j = e
			continue
		}
		if n, e, ok := p.num(j); ok && p.w(e) == "st" {
			if _, from := p.words(e+1, "from beg|start of? rnd|row", "on|at each side", "on|for each? front|palm|instep", "for the? front|back|palm|instep|sole"); from && len(m.After) == 0 {
				m.After = append(m.After, n)
			}
			j = e
			continue
		}
		if hasWord(p, j, "every", "between", "either", "rem") {
			return nil, i, false
		}
	}
	if len(m.After) == 0 {
		return nil, i, false
	}
	if p.w(end) == "." {
		end++
	}
	m.Span = p.span(i, end)
	return m, end, true
}
