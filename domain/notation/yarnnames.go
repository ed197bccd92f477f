package notation

import (
	"slices"
	"strings"
)

// findYarns learns the letters and names of the yarns.
func (r *reader) findYarns() {
	r.findShades()
	r.findColoured()
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
					if len(t.Raw) == 1 && t.Kind == Word && t.Raw == strings.ToUpper(t.Raw) && (k+1 < len(named) && (named[k+1].Text == "(" || named[k+1].Text == "=" || named[k+1].Text == ":") || apart(k-1) && apart(k+1) || k > 0 && named[k-1].Text == "(" && k+1 < len(named) && (named[k+1].Text == ")" || named[k+1].Text == "." && k+2 < len(named) && named[k+2].Text == ")")) {
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
			if t := toks[k]; t.Kind == Word && len(t.Raw) == 1 && t.Raw >= "A" && t.Raw <= "Z" && t.Raw != "K" && t.Raw != "P" {
				p := r.parser(toks)
				if q, ok := p.words(k+1, "stands|stand for", "is|means|for|denotes", "="); ok { // "D stands for the dark wool, L for the light"
					if _, e, ok := p.find(q, min(q+4, len(toks)), "wool|yarn|shade|colour|color|dark|light|main|contrast|ground|natural|white"); ok && e > q && (w != "a" || hasWord(p, k+1, "=", "stands")) {
						r.yarn(t)
					}
				}
			}
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

// findColoured learns the letters of colours that stand glued to counts, "*K2A, K3B, K3A; rep from *
// to end": two at least, so that a K1B alone stays the stitch below.
func (r *reader) findColoured() {
	var found []Token
	for _, toks := range r.lines {
		for k := range toks {
			if coloured(toks, k) && !slices.ContainsFunc(found, func(t Token) bool { return t.Raw == toks[k+2].Raw }) {
				found = append(found, toks[k+2])
			}
		}
	}
	if r.colours = len(found) > 1; r.colours {
		slices.SortFunc(found, func(a, b Token) int { return strings.Compare(a.Raw, b.Raw) })
		for _, t := range found {
			r.yarn(t)
		}
	}
}

// coloured says that a count of plain stitches with the letter of a colour stands at i: "K3A".
func coloured(toks []Token, i int) bool {
	if i+2 >= len(toks) || toks[i].Text != "k" && toks[i].Text != "p" {
		return false
	}
	n, c := toks[i+1], toks[i+2]
	return n.Kind == Number && n.Glued && n.Frac == "" && c.Kind == Word && c.Glued && len(c.Raw) == 1 && c.Raw[0] >= 'A' && c.Raw[0] <= 'H' && (i+3 >= len(toks) || !toks[i+3].Glued || toks[i+3].Kind == Punct)
}

// findShades learns the names of yarns that stand in lists, "two shades: Dark and Light",
// that a letter is explained by, "M = main, C = contrast", or that stand in the heads of
// two rows at least, "Rnds 3 + 4, Light: …".
func (r *reader) findShades() {
	heads := map[string][]Token{}
	for _, toks := range r.lines {
		p := r.parser(toks)
		for k := 0; k+2 < len(toks); k++ {
			switch w := p.w(k); {
			case (w == "shades" || w == "colours" || w == "colors" || w == "yarns" || w == "wools" || w == "tones") && toks[k+1].Text == ":":
				var names []Token
				q := k + 2
				for ; q < len(toks) && yarnLike(toks[q]); q++ {
					names = append(names, toks[q])
					if s := p.w(q + 1); s != "," && s != "and" && s != "&" && s != "+" && s != "/" {
						q++
						break
					}
					q++
				}
				if s := p.w(q); len(names) > 1 && (q >= len(toks) || s == ")" || s == "." || s == ";") {
					for _, t := range names {
						r.yarn(t)
					}
				}
			case len(toks[k].Raw) == 1 && toks[k].Kind == Word && toks[k].Raw == strings.ToUpper(toks[k].Raw) && (toks[k+1].Text == "=" || toks[k+1].Text == "–" || toks[k+1].Text == ":" || toks[k+1].Text == "," && k+3 < len(toks) && toks[k+3].Kind == Punct) && (k == 0 || toks[k-1].Kind == Punct):
				switch p.w(k + 2) {
				case "main", "contrast", "contrasting", "colour", "color", "yarn", "shade", "dark", "light", "background", "ground", "pale", "medium":
					r.yarn(toks[k])
				}
			}
		}
		for k := 0; k+3 < len(toks) && k < 14; k++ { // Row 1: With Dark, k to end.
			if p.w(k) == ":" && (p.w(k+1) == "with" || p.w(k+1) == "using") && yarnLike(toks[k+2]) && p.w(k+3) == "," {
				heads[toks[k+2].Text] = append(heads[toks[k+2].Text], toks[k+2])
			}
		}
		if w := p.w(0); (w == "yarn" || w == "yarns" || w == "colours" || w == "colors" || w == "shades") && p.w(1) == ":" { // Yarn: Dark, Light
			k := 2
			for k < len(toks) && yarnLike(toks[k]) && (p.w(k+1) == "," || p.w(k+1) == "and" || p.w(k+1) == "&") {
				k += 2
			}
			if k > 2 && k == len(toks)-1 && yarnLike(toks[k]) {
				for q := 2; q <= k; q += 2 {
					r.yarn(toks[q])
				}
			}
		}
		if _, _, j, ok := p.rowOrOrdinal(0); ok {
			for _, q := range [...]int{j + 1, j + 4} { // behind the comma, or behind the side as well
				if q+1 < len(toks) && yarnLike(toks[q]) && (p.w(q-1) == "," || isDash(p.w(q-1)) || p.w(q-1) == "(") && (p.w(q+1) == ":" || p.w(q+1) == ")") {
					heads[toks[q].Text] = append(heads[toks[q].Text], toks[q])
				}
			}
		}
	}
	if len(heads) < 2 { // one word in all the heads names no yarn
		return
	}
	n := 0
	for _, at := range heads {
		n += len(at)
	}
	if n < 3 {
		return
	}
	var names []Token
	for _, at := range heads {
		names = append(names, at[0])
	}
	slices.SortFunc(names, func(a, b Token) int { return a.Line - b.Line })
	for _, t := range names {
		r.yarn(t)
	}
}

// yarnLike says that a word may be the name of a yarn: a capital, and nothing of the trade.
func yarnLike(t Token) bool {
	if t.Kind != Word || len(t.Raw) < 3 || t.Raw[:1] != strings.ToUpper(t.Raw[:1]) || lowerWord(t) {
		return false
	}
	switch t.fold {
	case "row", "rnd", "side", "right", "wrong", "front", "back", "inc", "dec", "increase", "decrease", "eyelet", "cable", "bobble", "purl", "knit", "rib", "lace", "set", "turning", "buttonhole", "pattern", "patt", "plain", "ridge", "all", "only", "sizes", "size", "next", "and", "short", "chart", "dec'd", "beg", "end", "rs", "ws", "first", "last", "twist", "crossing", "cross", "decreases", "increases", "setup", "foundation", "base", "repeat", "rep", "optional", "every", "each", "needle", "together":
		return false
	}
	return true
}
