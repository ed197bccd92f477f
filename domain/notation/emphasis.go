package notation

import "strings"

// This file takes off the marks that set words of a plain-text page in bold or italics, where they are no marks of repeats:
// "Cast on **120 (144, 168)** sts", "*Inc rnd:* K1, m1, …".

// unemphasized leaves out pairs of such marks in a line.
func unemphasized(toks []Token) []Token {
	if !hasSign(toks, "**") && (len(toks) == 0 || toks[0].Text != "*") && !numberedStar(toks) {
		return toks
	}
	out := toks
	for k := 0; k < len(out); k++ {
		if out[k].Text != "**" && !(out[k].Text == "*" && leads(out, k)) || !opensEmphasis(out, k) {
			continue
		}
		m := closesEmphasis(out, k)
		if m < 0 || out[k].Text == "*" && !hasWordIn(out[m-1], ":", ".") || repeatsFrom(out, out[k].Text) && out[k].Text == "**" {
			continue
		}
		kept := append(make([]Token, 0, len(out)-2), out[:k]...)
		kept = append(kept, out[k+1:m]...)
		out = append(kept, out[m+1:]...)
		k = m - 2
	}
	return out
}

// leads says that nothing but the number of a list stands before the mark at k.
func leads(toks []Token, k int) bool { return k == 0 || k == 2 && numberedStar(toks) }

// numberedStar says that a line of a numbered list begins with a mark: "1. **Row 1:** …".
func numberedStar(toks []Token) bool {
	return len(toks) > 4 && toks[0].Kind == Number && (toks[1].Text == "." || toks[1].Text == ")") && toks[1].Glued && strings.Trim(toks[2].Text, "*") == ""
}

// opensEmphasis says that the mark at k stands right before a word, with a gap before it.
func opensEmphasis(toks []Token, k int) bool {
	return (k == 0 || !toks[k].Glued || openers[toks[k-1].Text] != "") && k+2 < len(toks) && toks[k+1].Glued && toks[k+1].Kind != Punct
}

// closesEmphasis is where the mark that opens at k closes: right behind a word or a sign, with a gap or a sign behind it. It is
// -1 where it does not within a few words.
func closesEmphasis(toks []Token, k int) int {
	most := 40
	if toks[k].Text == "*" {
		most = 10 // the head of a row
	}
	for m := k + 2; m < len(toks) && m < k+most; m++ {
		if toks[m].Text == toks[k].Text {
			if toks[m].Glued && (m+1 == len(toks) || !toks[m+1].Glued || toks[m+1].Kind == Punct) {
				return m
			}
			return -1
		}
		if strings.Trim(toks[m].Text, "*") == "" {
			return -1
		}
	}
	return -1
}

// repeatsFrom says that the line repeats from the mark, or to it.
func repeatsFrom(toks []Token, mark string) bool {
	for k := 1; k < len(toks); k++ {
		if toks[k].Text == mark && hasWordIn(toks[k-1], "from", "to", "between") {
			return true
		}
	}
	return false
}

// hasWordIn says that a token is one of these words.
func hasWordIn(t Token, words ...string) bool {
	for _, w := range words {
		if t.Text == w {
			return true
		}
	}
	return false
}
