package notation

import "strings"

// findYarns learns the letters and names of the yarns.
func (r *reader) findYarns() {
	for i := range r.lines {
		label, text, _, ok := r.label(i)
		toks := r.lines[i]
		if ok {
			l := strings.ToLower(label)
			if strings.HasPrefix(l, "yarn") || strings.HasPrefix(l, "colour") || strings.HasPrefix(l, "color") || strings.HasPrefix(l, "wool") || strings.HasPrefix(l, "shade") || strings.HasPrefix(l, "materials") {
				named := scanLine(text, i+1)
				for k, t := range named {
					apart := func(k int) bool { // nothing, or a mark between the yarns
						return k < 0 || k >= len(named) || named[k].Text == "," || named[k].Text == "and" || named[k].Text == "&" || named[k].Text == ";"
					}
					if len(t.Raw) == 1 && t.Kind == Word && t.Raw == strings.ToUpper(t.Raw) && (k+1 < len(named) && (named[k+1].Text == "(" || named[k+1].Text == "=" || named[k+1].Text == ":") || apart(k-1) && apart(k+1)) {
						r.yarn(t) // "L (light) and D (dark)", "L, D": any letter
						continue
					}
					r.yarnToken(t)
				}
				for _, t := range toks[:min(len(toks), 4)] {
					r.yarnToken(t)
				}
			}
		}
		for k := 0; k+1 < len(toks); k++ {
			w := toks[k].Text
			if w == "with" || w == "colour" || w == "color" || w == "yarn" || w == "using" || w == "col" || w == "in" || w == "join" || w == "and" && k > 1 {
				if w == "in" || w == "and" {
					if t := toks[k+1]; len(t.Raw) > 1 || k+2 < len(toks) && toks[k+2].Kind == Word && toks[k+2].Text != "and" {
						continue
					}
				}
				r.yarnToken(toks[k+1])
			}
		}
	}
}

func (r *reader) yarnToken(t Token) {
	if t.Kind != Word || t.Raw != strings.ToUpper(t.Raw) {
		return
	}
	if len(t.Raw) == 1 && t.Raw[0] >= 'A' && t.Raw[0] <= 'H' || t.Raw == "MC" || t.Raw == "CC" || t.Raw == "MS" || t.Raw == "CS" || t.Raw == "X" || t.Raw == "Y" || t.Raw == "Z" {
		r.yarn(t)
	}
}

// yarn takes a word for a yarn from here on.
func (r *reader) yarn(t Token) {
	if r.yarns[t.Text] == "" {
		r.yarns[t.Text] = t.Raw
		r.ms.Yarns = append(r.ms.Yarns, t.Raw)
	}
}
