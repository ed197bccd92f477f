package notation

import "strings"

// This file reads which yarn is used from here on, or for one stitch.

// colourWords name a yarn where the pattern lists none (common practice).
var colourWords = map[string]bool{"white": true, "black": true, "red": true, "blue": true, "green": true, "yellow": true, "cream": true, "grey": true, "gray": true, "brown": true, "pink": true, "navy": true, "dark": true, "light": true, "natural": true, "gold": true, "orange": true, "purple": true, "fawn": true, "beige": true, "maroon": true, "scarlet": true, "ivory": true, "teal": true, "rust": true, "mauve": true}

// yarnName reads the name of a yarn: A, MC, CC2, colour B.
func (p *parser) yarnName(i int) (string, int, bool) {
	start := i
	if k, ok := p.words(i, "yarn|colour|color|col|shade|c|wool|strand of", "a strand of", "a single? strand of"); ok && p.w(i) != "c" {
		i = k
	}
	t := p.at(i)
	if n := p.at(i + 1); hasWord(p, i, "colour", "color", "shade", "yarn") && i+1 < len(p.toks) && n.Kind == Number && n.Frac == "" && n.Val < 20 && n.Val > 0 {
		return t.Raw + " " + n.Raw, i + 2, true // "with colour 1"
	}
	if t.Kind != Word || i >= len(p.toks) {
		return "", start, false
	}
	up := t.Raw == strings.ToUpper(t.Raw)
	switch {
	case colourWords[t.Text] && p.yarns[t.Text] == "":
		if k, ok := p.words(i+1, "yarn|wool|colour"); ok {
			return t.Raw, k, true
		}
		return t.Raw, i + 1, true
	case up && len(t.Raw) == 1 && (p.yarns[t.Text] != "" || t.Text <= "h" || i > start || hasWord(p, i-1, "with", "using")):
		return t.Raw, i + 1, true
	case up && (t.Text == "lc" || t.Text == "dc" || t.Text == "bc" || t.Text == "fc") && i > 0 && (p.w(i-1) == "with" || p.w(i-1) == "using" || p.w(i-1) == "join" || p.w(i-1) == "in"):
		return strings.ToUpper(t.Raw), i + 1, true
	case up && (t.Text == "mc" || t.Text == "cc" || t.Text == "ms" || t.Text == "cs" || t.Text == "ac" || t.Text == "bc" || t.Text == "lc" || t.Text == "dc") && t.Text != "lc" || p.yarns[t.Text] != "" && (up || len(t.Raw) > 2):
		name := strings.ToUpper(t.Raw)
		if p.yarns[t.Text] != "" {
			name = p.yarns[t.Text]
		}
		if n := p.at(i + 1); n.Kind == Number && n.Glued && i+1 < len(p.toks) {
			return name + n.Text, i + 2, true
		}
		return name, i + 1, true
	case t.Text == "main" || t.Text == "contrast" || t.Text == "contrasting":
		if k, ok := p.words(i+1, "colour|color|shade|yarn"); ok {
			if t.Text == "main" {
				return "MC", k, true
			}
			return "CC", k, true
		}
	}
	return "", start, false
}

// stitchYarn reads the colour behind a stitch: k3 A, k3 in A, k3 with A, k3A.
func (p *parser) stitchYarn(i int) (string, int, bool) {
	j := i
	if k, ok := p.words(i, "in|with|using"); ok {
		j = k
	}
	y, k, ok := p.yarnName(j)
	if !ok {
		return "", i, false
	}
	if w := p.w(k); w != "," && w != ";" && w != "." && w != ")" && w != "]" && w != "*" && k < len(p.toks) && j == i && w != "and" && w != "–" {
		if _, _, ok := p.target(k); !ok {
			if _, _, ok := p.times(k); !ok {
				return "", i, false
			}
		}
	}
	return y, k, true
}

// useYarn reads a change of yarn standing by itself: With B, — B:
func (p *parser) useYarn(_ *bodyState, i int) (Op, int, bool) {
	if j, ok := p.words(i, "with|using|in same colour|color|yarn|shade as? for? prev|previous|last row|rnd", "with|using|in same colour|color|yarn|shade as in? row|rnd before|above|below", "with|using same colour|color|yarn|shade"); ok {
		if p.w(j) == "as" && (p.w(j+1) == "row" || p.w(j+1) == "rnd") && p.at(j+2).Kind == Number {
			j += 3
		}
		if p.w(j) == ":" {
			j++
		}
		return &Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j, true
	}
	if j, ok := p.words(i, "with|using larger|smaller|long|longer|short|main circular|cir|needle|dpns", "with|using larger|smaller circular needle"); ok && p.w(j) == "," { // "With larger circular, k48 sts of first sleeve, …"
		return &Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j, true
	}
	if j, ok := p.words(i, "with|using body|sleeve|back|front|working|attached|main|same|yoke yarn|wool", "with|using yarn|wool attached to? body|back|front", "with|using yarn|wool from body|back|front|sleeve"); ok && p.w(j) == "," { // "With the body yarn, place the next 8 sts …"
		return &Remark{Text: p.raw(i, j), Span: p.span(i, j)}, j, true
	}
	if j, ok := p.words(i, "with|using|in|join|attach|use", "change|changing to", "switch to", "join in", "cont|continue with|in", "rejoin", "pick up", "and? with", "drop", "break|cut", "break off"); ok {
		if y, k, ok := p.yarnName(j); ok {
			if w := p.w(i); w == "drop" || w == "break" || w == "cut" {
				return &Remark{Text: p.raw(i, k), Span: p.span(i, k)}, k, true
			}
			// "with A and B": the first is in use
			for p.w(k) == "and" || p.w(k) == "&" {
				if _, q, ok := p.yarnName(k + 1); ok {
					k = q
					continue
				}
				break
			}
			if p.w(k) == "only" || p.w(k) == "again" {
				k++
			}
			if p.w(k) == ":" { // "With L: k1, …"
				k++
			}
			return &UseYarn{Yarn: y, Span: p.span(i, k)}, k, true
		}
	}
	if y, k, ok := p.yarnName(i); ok && (p.w(k) == ":" || p.w(k) == "–" && p.w(k+1) != "") {
		return &UseYarn{Yarn: y, Span: p.span(i, k)}, k + 1, true
	}
	return nil, i, false
}
