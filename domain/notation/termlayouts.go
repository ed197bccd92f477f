package notation

import (
	"regexp"
	"strings"
)

// This file puts the signs into lists of terms that are laid out without any: in columns, with
// leaders of dots, with strokes, or one after another in a paragraph.

var (
	columnGap = regexp.MustCompile(`\t+| {2,}| *\| *| *(?:\.{3,}|…+) *`)
	stroke    = regexp.MustCompile(` / `)
	termShape = regexp.MustCompile(`^[A-Za-z*][A-Za-z0-9*()/&+ -]{0,9}$`)
)

// layTerms gives every line that lays a term and its meaning out in columns the signs that such a
// list has elsewhere: "k      knit      p      purl" becomes "k = knit; p = purl". Columns that only
// look so are left alone: two lines together are wanted, or two pairs in one.
func (r *reader) layTerms() {
	pairs := make([][]int, len(r.lines)) // columns, in characters from 1, where terms and meanings begin
	for i, toks := range r.lines {
		if len(toks) > 1 && len(toks) < 60 {
			pairs[i] = r.termColumns(r.ms.Source[i])
		}
	}
	for i, cols := range pairs {
		near := i > 0 && pairs[i-1] != nil || i+1 < len(pairs) && pairs[i+1] != nil
		if cols == nil || len(cols) < 4 && !near {
			continue
		}
		var out []Token
		next := 1
		for _, t := range r.lines[i] {
			if t.Text == "|" || next < len(cols) && strings.Trim(t.Raw, ".…") == "" && t.Col > cols[next-1] {
				continue
			}
			if next == 1 && t.Text == "/" && t.Col < cols[1] && t.Col >= cols[0] && strings.HasPrefix(string([]rune(r.ms.Source[i])[t.Col-1:]), "/ ") && cols[1] == t.Col+2 {
				continue // "k / knit"
			}
			if next < len(cols) && t.Col >= cols[next] {
				sign := Token{Kind: Punct, Text: "=", fold: "=", Raw: "=", Span: t.Span}
				if next%2 == 0 {
					sign.Text, sign.fold, sign.Raw = ";", ";", ";"
				}
				sign.EndCol = sign.Col
				out = append(out, sign)
				next++
			}
			out = append(out, t)
		}
		r.lines[i] = out
	}
}

// termColumns finds where the terms and meanings of a line begin; nil where it is no such line.
func (r *reader) termColumns(src string) []int {
	if strings.TrimSpace(src) == "" || len(src) > 300 {
		return nil
	}
	for _, gap := range []*regexp.Regexp{columnGap, stroke} {
		if gap == stroke && !strings.Contains(src, " / ") || gap == columnGap && !mayHoldGap(src) {
			continue
		}
		var cells []string
		var at []int
		start := 0
		add := func(end int) {
			cell := src[start:end]
			if body := strings.TrimSpace(cell); body != "" {
				lead := len(cell) - len(strings.TrimLeft(cell, " \t"))
				cells = append(cells, body)
				at = append(at, len([]rune(src[:start+lead]))+1)
			}
		}
		for _, m := range gap.FindAllStringIndex(src, -1) {
			add(m[0])
			start = m[1]
		}
		add(len(src))
		if gap == columnGap && len(cells)%2 == 1 && len(cells) > 1 || len(cells) < 2 {
			if cells, at = r.unevenColumns(cells, at, src); cells == nil {
				continue
			}
		}
		ok := len(cells)%2 == 0 && (gap == columnGap || len(cells) == 2)
		for k := 0; ok && k < len(cells); k += 2 {
			ok = r.termPair(cells[k], cells[k+1], gap == stroke)
		}
		if ok {
			return at
		}
	}
	return nil
}

// mayHoldGap says that columnGap can match: it saves asking it of every line.
func mayHoldGap(src string) bool {
	return strings.ContainsAny(src, "\t|…") || strings.Contains(src, "  ") || strings.Contains(src, "...")
}

// unevenColumns cuts cells that hold a longer term, one space and its meaning among columns:
// "k2tog knit 2 together | ssk    slip, slip, knit".
func (r *reader) unevenColumns(cells []string, at []int, src string) ([]string, []int) {
	var out []string
	var cols []int
	cut := false
	for k := 0; k < len(cells); k++ {
		if term, meaning, ok := strings.Cut(cells[k], " "); ok && r.termPair(term, meaning, true) && len(cells) > 1 {
			out = append(out, term, meaning)
			cols = append(cols, at[k], at[k]+len([]rune(term))+1)
			cut = true
			continue
		}
		out, cols = append(out, cells[k]), append(cols, at[k])
	}
	if !cut || len(out)%2 == 1 {
		return nil, nil
	}
	return out, cols
}

// termPair says that a short word is explained by longer ones: they begin with its letter, or
// it is a stitch of the trade. Spelled wants the letter.
func (r *reader) termPair(term, meaning string, spelled bool) bool {
	if !termShape.MatchString(term) || len(term) > 8 || len(meaning) < 4 || !isLetterByte(meaning[0]) {
		return false
	}
	t, m := strings.ToLower(term), strings.ToLower(meaning)
	if strings.HasPrefix(t, "row") || strings.HasPrefix(t, "rnd ") || strings.HasPrefix(t, "round") {
		return false
	}
	if t[0] == m[0] {
		first, _, _ := strings.Cut(m, " ")
		return len(first) > 2 && first != t
	}
	if spelled {
		return false
	}
	p := r.parser(scanLine(term, 1))
	p.quiet = true
	_, j, ok := p.stitch(0)
	return ok && j == len(p.toks) && strings.Contains(m, " ")
}

// splitSpelled cuts a paragraph of terms with nothing but commas or points between, "CO cast on, k
// knit, p purl" or "k, knit. p, purl. yo, yarn over."; nil where it is none.
func splitSpelled(toks []Token) [][]Token {
	for _, sep := range []string{",", ".", ";"} {
		var out [][]Token
		start, good := 0, 0
		depth := 0
		for k := 0; k <= len(toks); k++ {
			if k < len(toks) {
				depth += nesting(toks[k].Text)
				if toks[k].Text != sep || depth > 0 {
					continue
				}
			}
			piece := toks[start:k]
			start = k + 1
			if len(piece) == 0 {
				continue
			}
			at := spelledTerm(piece)
			skip := 0
			if at == 0 && sep == "." && len(piece) > 2 && piece[1].Text == "," && piece[0].Kind == Word && len(piece[0].Text) < 6 {
				at, skip = 1, 1
			} else if at == 0 && sep == "." && len(piece) > 4 && len(piece) < 14 {
				for q := 2; q < 5; q++ { // k2tog, knit two together
					if piece[q].Text == "," && piece[q-1].Glued {
						at, skip = q, 1
						break
					}
				}
			}
			if at == 0 {
				if sep == "," && len(out) > 0 { // "ssk slip, slip, knit"
					last := out[len(out)-1]
					out[len(out)-1] = append(append(last[:len(last):len(last)], toks[start-len(piece)-2]), piece...)
					continue
				}
				good -= 2
				continue
			}
			good++
			sign := Token{Kind: Punct, Text: "=", fold: "=", Raw: "=", Span: piece[at].Span}
			sign.EndCol = sign.Col
			out = append(out, append(append(append([]Token(nil), piece[:at]...), sign), piece[at+skip:]...))
		}
		if good >= 3 && len(out) >= 3 {
			return out
		}
	}
	return nil
}
