package notation

import "slices"

// This file puts "until you have worked 22 increase rounds in total" as "a total of 22 times": rows of a kind that
// are counted tell how often they come.

// shapingKinds are the words that tell rows of a kind from the others.
var shapingKinds = map[string]bool{"inc": true, "dec": true, "increase": true, "decrease": true, "increasing": true, "decreasing": true, "inc.": true, "dec.": true, "raglan": true, "shaping": true, "yoke": true, "gusset": true}

// timesInRows rewrites such words in a line.
func timesInRows(toks []Token) []Token {
	for i := range toks {
		switch toks[i].fold {
		case "until", "till":
			if out, ok := untilSoManyRows(toks, i); ok {
				return timesInRows(out)
			}
		case "total":
			if out, ok := totalOfRows(toks, i); ok {
				return timesInRows(out)
			}
		}
	}
	return toks
}

// untilSoManyRows reads "until [you have] worked 22 increase rounds [have been worked] [in total]" at i.
func untilSoManyRows(toks []Token, i int) ([]Token, bool) {
	word := func(k int, ws ...string) bool {
		for _, w := range ws {
			if k < len(toks) && toks[k].fold == w {
				return true
			}
		}
		return false
	}
	skip := func(k int, ws ...string) int {
		for word(k, ws...) {
			k++
		}
		return k
	}
	k := skip(i+1, "you", "have", "you've", "a", "total", "of", "there")
	told := word(k, "worked", "completed", "done", "made", "finished", "had")
	if told {
		k++
	}
	if out, ok := kindSoOften(toks, i, skip(k, "the"), told); ok {
		return out, true
	}
	k = skip(k, "a", "total", "of", "all")
	first := k
	if k = numbersEnd(toks, k); k < 0 {
		return nil, false
	}
	last := k
	if last == first || k >= len(toks) || toks[first].Kind != Number {
		return nil, false
	}
	for k < len(toks) && shapingKinds[toks[k].fold] {
		k++
	}
	if k == last || !word(k, "row", "rnd") {
		return nil, false
	}
	k++
	if word(k, "have", "are") {
		q := skip(k, "have", "are", "been")
		if !word(q, "worked", "completed", "done", "made", "finished") {
			return nil, false
		}
		told, k = true, q+1
	}
	if !told {
		return nil, false
	}
	if word(k, "in") && word(k+1, "total", "all") {
		k += 2
	} else {
		k = skip(k, "total", "altogether")
	}
	return totalTimes(toks, i, first, last, k), true
}

// kindSoOften reads "[worked] the inc rnd 22 times", "the inc rnd has been worked 22 times" at k, behind the word at i.
func kindSoOften(toks []Token, i, k int, told bool) ([]Token, bool) {
	start := k
	for k < len(toks) && shapingKinds[toks[k].fold] {
		k++
	}
	if k == start || k >= len(toks) || toks[k].fold != "row" && toks[k].fold != "rnd" {
		return nil, false
	}
	k++
	if k+2 < len(toks) && (toks[k].fold == "has" || toks[k].fold == "have") && toks[k+1].fold == "been" {
		told, k = true, k+3
	}
	if k < len(toks) && isMark(toks[k].Text) || !told {
		return nil, false
	}
	last := numbersEnd(toks, k)
	if last <= k || last >= len(toks) || toks[last].fold != "times" {
		return nil, false
	}
	end := last + 1
	if end+1 < len(toks) && toks[end].fold == "in" && (toks[end+1].fold == "all" || toks[end+1].fold == "total") {
		end += 2
	} else if end < len(toks) && (toks[end].fold == "total" || toks[end].fold == "altogether") {
		end++
	}
	if end < len(toks) && toks[end].fold == "more" {
		return nil, false
	}
	return totalTimes(toks, i, k, last, end), true
}

// numbersEnd is where a number ends, or a list with one for each size; -1 where there is none.
func numbersEnd(toks []Token, k int) int {
	start := k
	if k >= len(toks) || toks[k].Kind != Number {
		return -1
	}
	for k < len(toks) && k < start+40 && (toks[k].Kind == Number || nesting(toks[k].Text) != 0 || toks[k].Text == "," || toks[k].Text == "/" || isDash(toks[k].Text) || toks[k].Text == ":") {
		k++
	}
	return k
}

// totalOfRows reads "total of 22 inc rounds" at i.
func totalOfRows(toks []Token, i int) ([]Token, bool) {
	if i+3 >= len(toks) || toks[i+1].fold != "of" || toks[i+2].Kind != Number {
		return nil, false
	}
	k := numbersEnd(toks, i+2)
	if k < 0 {
		return nil, false
	}
	last := k
	for k < len(toks) && shapingKinds[toks[k].fold] {
		k++
	}
	if k == last || k >= len(toks) || toks[k].fold != "row" && toks[k].fold != "rnd" {
		return nil, false
	}
	return totalTimes(toks, i, i+2, last, k+1), true
}

// totalTimes puts "total of N times" for the tokens from i to end, N being those from first to last.
func totalTimes(toks []Token, i, first, last, end int) []Token {
	at := func(t Token, w string) Token {
		return Token{Kind: Word, Text: w, fold: w, Raw: w, Span: t.Span, Glued: false}
	}
	out := append([]Token(nil), toks[:i]...)
	out = append(out, at(toks[i], "total"), at(toks[i], "of"))
	out = append(out, toks[first:last]...)
	out = append(out, at(toks[end-1], "times"))
	return append(out, toks[end:]...)
}

// dropPlural leaves out the "(s)" of "3 (2, 1) more time(s)", "work 1 row(s)", and the "(pm)" of "place a
// contrasting marker (pm)".
func dropPlural(toks []Token) []Token {
	for i := 0; i+3 < len(toks); i++ {
		if toks[i+1].Text != "(" || toks[i+3].Text != ")" {
			continue
		}
		plural := hasFold(toks[i], "time", "row", "rnd") && toks[i+1].Glued && toks[i+2].Text == "s"
		if plural || len(toks[i].Raw) > 1 && hasFold(toks[i], "m") && hasFold(toks[i+2], "pm", "m") {
			toks = append(append([]Token(nil), toks[:i+1]...), toks[i+4:]...)
		}
	}
	return toks
}

// spelledOut makes one number of several words: "one hundred and twelve", "ninety six".
func spelledOut(toks []Token) []Token {
	word := func(k int) bool {
		return k < len(toks) && toks[k].Kind == Number && toks[k].Frac == "" && toks[k].Raw != "" && !isDigit(rune(toks[k].Raw[0]))
	}
	for k := 0; k+1 < len(toks); k++ {
		if !word(k) || !word(k+1) {
			continue
		}
		t := toks[k]
		end := k + 1
		switch {
		case toks[k+1].Text == "hundred" && t.Val < 100 && t.Val > 0:
			t.Val *= 100
			end = k + 2
			if end+1 < len(toks) && toks[end].Text == "and" && word(end+1) && toks[end+1].Val < 100 && toks[end+1].Text != "hundred" {
				t.Val += toks[end+1].Val
				end += 2
			} else if word(end) && toks[end].Val < 100 {
				t.Val += toks[end].Val
				end++
			}
		case t.Val >= 20 && t.Val < 100 && t.Val%10 == 0 && toks[k+1].Val > 0 && toks[k+1].Val < 10 && !toks[k+1].Glued:
			t.Val += toks[k+1].Val
			end = k + 2
		default:
			continue
		}
		t.Span = t.Span.Cover(toks[end-1].Span)
		t.Text, t.fold, t.Raw = itoa(t.Val), itoa(t.Val), rawOf(toks[k:end])
		toks = append(append(append([]Token(nil), toks[:k]...), t), toks[end:]...)
	}
	return toks
}

// hasFold says that a token is one of these words.
func hasFold(t Token, words ...string) bool { return slices.Contains(words, t.fold) }

// plainTog leaves out "the next" within "knit the next two stitches together".
func plainTog(toks []Token) []Token {
	for i := 0; i+5 < len(toks); i++ {
		if w := toks[i].fold; w != "k" && w != "knit" && w != "p" && w != "purl" {
			continue
		}
		k := i + 1
		if toks[k].fold == "the" {
			k++
		}
		if w := toks[k].fold; w != "next" && w != "following" && w != "first" && w != "last" {
			continue
		}
		if n := k + 1; n+2 < len(toks) && toks[n].Kind == Number && toks[n+1].fold == "st" && toks[n+2].fold == "tog" {
			toks = append(append([]Token(nil), toks[:i+1]...), toks[n:]...)
		}
	}
	return toks
}
