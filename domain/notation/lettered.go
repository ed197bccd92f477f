package notation

import "slices"

// This file reads the figures of French leaflets, which have a letter before each size.

// lettered puts the usual brackets round the figures of several sizes that go by letters: "Cast on a) 62 - b) 68 -
// c) 74 sts" as "Cast on 62 (68, 74) sts". The letters count from a, two at least, and few words stand behind each;
// what is behind the last letter is its figure, or all there is on a line of sizes.
func lettered(toks []Token) []Token {
	if at := slices.IndexFunc(toks, func(t Token) bool { return t.Text == ")" }); at < 1 || toks[at-1].Text != "a" {
		return toks
	}
	out, named := make([]Token, 0, len(toks)), namesSizes(toks)
	for i := 0; i < len(toks); {
		ends := letterRun(toks, i)
		if ends == nil {
			out = append(out, toks[i])
			i++
			continue
		}
		for n, at := range ends[:len(ends)-1] {
			from, to := at+2, ends[n+1]
			last := n == len(ends)-2
			for to > from && !last && hasWordIn(toks[to-1], "-", "–", "—", ",", ";", "/") {
				to--
			}
			switch n {
			case 0:
			case 1:
				out = append(out, sign(toks[at], "("))
			default:
				out = append(out, sign(toks[at], ","))
			}
			out = append(out, toks[from:to]...)
			if first := &out[len(out)-(to-from)]; n > 0 {
				first.Glued = n == 1
			} else if first.Kind == Number && !named {
				first.Col = toks[at].Col // so that a list written anew takes the place of all of it
			}
			if last {
				out = append(out, sign(toks[to-1], ")"))
			}
		}
		i = ends[len(ends)-1]
	}
	return out
}

// sign is a mark put in at a token, without a width of its own.
func sign(at Token, s string) Token {
	at.Kind, at.Text, at.fold, at.Raw = Punct, s, s, s
	if s == ")" {
		at.Col = at.EndCol
	}
	at.EndCol = at.Col
	at.Glued = s != "("
	return at
}

// letterRun finds where each letter of a run stands that begins at i with "a)", and where the last figure ends;
// nil where there is none.
func letterRun(toks []Token, i int) []int {
	isLetter := func(k int, l byte) bool {
		return k+2 < len(toks) && toks[k].Kind == Word && len(toks[k].Raw) == 1 && toks[k].Text[0] == l && toks[k+1].Text == ")" && toks[k+1].Glued
	}
	if !isLetter(i, 'a') {
		return nil
	}
	at := []int{i}
	for k := i + 2; k < len(toks) && k < at[len(at)-1]+8; k++ {
		if isLetter(k, 'a'+byte(len(at))) {
			at = append(at, k)
			k++
		}
	}
	if len(at) < 2 {
		return nil
	}
	last := at[len(at)-1] + 2
	end := last + 1
	if namesSizes(toks) {
		return append(at, len(toks))
	}
	if toks[last].Kind != Number {
		return nil
	}
	for end < len(toks) && toks[end].Kind == Number && !toks[end].Glued { // "7 ½"
		end++
	}
	return append(at, end)
}

// namesSizes says that a line begins as those do that name the sizes.
func namesSizes(toks []Token) bool {
	return len(toks) > 0 && hasWordIn(toks[0], "size", "sizes", "age", "ages")
}
