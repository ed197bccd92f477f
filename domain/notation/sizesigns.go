package notation

import (
	"slices"
	"strings"
)

// This file says what the signs in a line of sizes part, and what is no list of sizes but a measure.

// slashInNames says that a stroke joins two names into one size: where brackets or
// commas part the sizes already.
func slashInNames(toks []Token) bool {
	depth, outside, inside, comma, bracket := 0, false, false, false, false
	for _, t := range toks {
		switch t.Text {
		case "(", "[":
			depth++
			bracket = true
		case ")", "]":
			depth--
		case ",", ";":
			comma = comma || depth > 0
		case "/":
			outside = outside || depth == 0
			inside = inside || depth > 0
		}
	}
	if bracket && comma && outside && !inside && len(toks) > 2 { // "XS/S (M, L, 1X)"
		return sizeLetters[toks[0].Text] && toks[1].Text == "/" && sizeLetters[toks[2].Text] && (len(toks) == 3 || toks[3].Text != "/")
	}
	if bracket && !comma && outside && !inside && len(toks) > 3 && openers[toks[3].Text] != "" { // "S/M [L]"
		return sizeLetters[toks[0].Text] && toks[1].Text == "/" && sizeLetters[toks[2].Text]
	}
	return bracket && inside && (outside || comma)
}

// slashListed says that the last words are letters of sizes that strokes part: "S/M/L".
func slashListed(toks []Token) bool {
	n := 0
	for k := len(toks) - 1; k >= 0; k-- {
		switch {
		case toks[k].Text == "/":
		case sizeLetters[toks[k].Text]:
			n++
		default:
			return n > 1
		}
	}
	return n > 1
}

// hyphenedNames says that hyphens part names of sizes, "S - M - L", as on the continent:
// letters of sizes, or three numbers at least, and no other sign between them.
func hyphenedNames(toks []Token) bool {
	for len(toks) > 0 && toks[len(toks)-1].Text == "." {
		toks = toks[:len(toks)-1]
	}
	if hyphenedAges(toks) {
		return true
	}
	if n := len(toks); n > 1 && toks[n-1].Kind == Word && toks[n-2].Kind == Number { // 2-4-6 years
		toks = toks[:n-1]
	}
	n, letters, words, spaced := 0, 0, 0, true
	for k, t := range toks {
		if k%2 == 1 {
			if !isDash(t.Text) || toks[1].Text != t.Text {
				return false
			}
			spaced = spaced && !t.Glued
			continue
		}
		n++
		switch {
		case sizeLetters[t.Text]:
			letters++
		case t.Kind == Word:
			words++
		case t.Kind != Number || k > 0 && t.Val <= toks[k-2].Val:
			return false
		}
	}
	switch numbers := n - letters - words; {
	case len(toks)%2 == 0 || n < 2:
		return false
	case numbers > 0:
		return numbers == n && n > 2
	case spaced && letters > 0:
		return true
	}
	return letters*2 >= n && (n > 2 || letters == n)
}

// hyphenedAges says that a line is ages that rise, each with its unit: "1 month – 3 months – 6 months".
func hyphenedAges(toks []Token) bool {
	last, n := -1, 0
	for k := 0; k+1 < len(toks); k += 3 {
		if toks[k].Kind != Number || toks[k].Val <= last || !unitWords[toks[k+1].Text] || k+2 < len(toks) && !isDash(toks[k+2].Text) {
			return false
		}
		last, n = toks[k].Val, n+1
	}
	return n > 2 && len(toks)%3 == 2
}

// dashedInBracket says that dashes part the names within the one bracket of a list: "1 month
// (3 months – 6 months)". Each name is of the first one's kind, and numbers rise: it is no range.
func dashedInBracket(toks []Token) bool {
	var names [][]Token
	var name []Token
	depth, dashes := 0, 0
	for _, t := range toks {
		if isDash(t.Text) {
			dashes++
		}
	}
	for k, t := range toks {
		switch {
		case openers[t.Text] != "" && depth == 0 && k > 0 && names == nil, isDash(t.Text) && depth == 1 && (!t.Glued || dashes > 1 && k > 0 && (toks[k-1].Kind == Number || sizeLetters[toks[k-1].Text])):
			if openers[t.Text] != "" {
				depth = 1
			}
			names, name = append(names, name), nil
		case isDash(t.Text) && depth == 1 && k > 1 && k+1 < len(toks) && people[toks[k-1].Text] && people[toks[k+1].Text]: // "Child (Woman-Man)"
			names, name = append(names, name), nil
		case isDash(t.Text) && depth == 1 && k > 1 && toks[k-1].Kind == Word && toks[k-2].Kind == Number: // "(3 months-6 months)"
			names, name = append(names, name), nil
		case nesting(t.Text) < 0 && depth == 1 && (k == len(toks)-1 || k == len(toks)-2 || onlyUnits(toks[k+1:])):
			names, name, depth = append(names, name), nil, 2
		case depth == 2:
		case t.Kind == Word || t.Kind == Number:
			name = append(name, t)
		default:
			return false
		}
	}
	if depth != 2 || len(names) < 3 || len(names[0]) == 0 {
		return false
	}
	for k, n := range names[1:] {
		first := names[k]
		if len(n) == 2 && n[0].Kind == Number && n[1].Glued && (n[1].Text == "xl" || n[1].Text == "x") { // 2XL
			n = n[1:]
		}
		if len(first) == 2 && first[0].Kind == Number && first[1].Glued && (first[1].Text == "xl" || first[1].Text == "x") {
			first = first[1:]
		}
		if len(n) == 0 || n[0].Kind != first[0].Kind || n[0].Kind == Number && n[0].Val <= first[0].Val || n[0].Kind == Word && !sizeLetters[n[0].Text] && !people[n[0].Text] && n[0].Text != "x" && n[0].Text != "extra" {
			return false
		}
	}
	return true
}

// onlyUnits says that words say what the names before them measure: "inch bust".
func onlyUnits(toks []Token) bool {
	return !slices.ContainsFunc(toks, func(t Token) bool { return !unitWords[t.Text] && t.Text != "." })
}

// shoeSizes says that a slash parts one size as two countries call it: "UK 12 / EU 30".
func shoeSizes(toks []Token) bool {
	for k := 2; k+1 < len(toks); k++ {
		if toks[k].Text == "/" && toks[k-1].Kind == Number && country[toks[k-2].Text] && country[toks[k+1].Text] {
			return true
		}
	}
	return false
}

// mixedSigns says that commas and strokes part the words of a line, without brackets:
// "Size: women's medium, 8 in / 20 cm foot" names one size.
func mixedSigns(toks []Token) bool {
	comma, stroke := false, false
	for _, t := range toks {
		if openers[t.Text] != "" {
			return false
		}
		comma, stroke = comma || t.Text == ",", stroke || t.Text == "/"
	}
	return comma && stroke
}

// oneMeasure says that a line gives the measure of one piece in two units, "22 x 22 cm (8¾ x 8¾ in)",
// or a length with words behind it, and no list of sizes.
func oneMeasure(toks []Token) bool {
	metric, inches, numbers, listed, depth := false, false, 0, false, 0
	for _, t := range toks {
		switch {
		case t.Text == "cm" || t.Text == "mm" || t.Text == "cms" || t.Text == "m" && t.Glued:
			metric = true
		case t.Text == "in" || t.Text == "ins" || t.Text == "inch" || t.Text == "inches" || t.Text == "\"":
			inches = true
		case nesting(t.Text) != 0:
			depth += nesting(t.Text)
		case (t.Text == "," || t.Text == ":" || t.Text == ";") && depth > 0:
			listed = true
		}
		if t.Kind == Number {
			numbers++
		}
	}
	return metric && inches && !listed && numbers > 0 || !listed && bracketMeasure(toks)
}

// bracketMeasure says that the one bracket of a line tells a measure in words: "3 - 6 months (head
// circumference 40 - 42 cm)".
func bracketMeasure(toks []Token) bool {
	depth, brackets, unit, words := 0, 0, false, 0
	for _, t := range toks {
		switch {
		case openers[t.Text] != "":
			depth++
			brackets++
		case t.Text == ")" || t.Text == "]":
			depth--
		case depth == 0:
		case lengthUnit(t.Text):
			unit = true
		case t.Kind == Word && len(t.Text) > 3 && !sizeLetters[t.Text]:
			words++
		}
	}
	return brackets == 1 && unit && words > 0
}

// sizeColumns reads the names of sizes that stand in columns: "SIZE     S     M     L     XL".
func sizeColumns(src string) []string {
	cells := columnGap.Split(strings.TrimSpace(src), -1)
	if len(cells) < 3 || len(cells) > MaxSizes {
		return nil
	}
	for _, c := range cells[1:] {
		if !sizeLetters[strings.ToLower(c)] {
			return nil
		}
	}
	return cells[1:]
}

// measured says that a line tells how big one piece is: "Approx 28cm wide by 30cm deep, excluding strap".
func measured(toks []Token) bool {
	unit, way := false, false
	for _, t := range toks {
		unit = unit || lengthUnit(t.Text) || t.Text == "\""
		switch t.Text {
		case "wide", "deep", "long", "tall", "high", "around", "across", "square", "approx", "approximately", "circumference", "length", "diameter", "wingspan", "span", "depth", "width", "height", "blocking", "blocked":
			way = true
		}
	}
	return unit && way
}

// behindLabel passes what is measured before the numbers that name the sizes: "To fit chest: 76 [86, 96] cm".
func behindLabel(toks []Token, j int) int {
	for k := j; k < len(toks) && k < j+4 && toks[k].Kind == Word && !sizeLetters[toks[k].Text]; k++ {
		if k+2 < len(toks) && toks[k+1].Text == ":" && toks[k+2].Kind == Number && k > j {
			return k + 2
		}
	}
	return j
}

// outvoted is how many sizes the rows are written for where their vectors agree and none of them has
// the number of the names that were read, which were no names then; 0 where they do not say so.
func outvoted(votes map[int]int, named int) int {
	if named < 2 || votes[named] > 0 {
		return 0
	}
	all, best := 0, 0
	for n, v := range votes {
		all += v
		if v > votes[best] {
			best = n
		}
	}
	if best > 1 && votes[best] > 3 && votes[best]*4 >= all*3 {
		return best
	}
	return 0
}

// namesFor is n of the names: the first ones or the last ones, as far as they look like sizes; else
// their numbers.
func namesFor(names []string, n int) []string {
	if len(names) > n {
		for _, some := range [][]string{names[:n], names[len(names)-n:]} {
			if !slices.ContainsFunc(some, func(s string) bool { return strings.Contains(s, " ") }) {
				return some
			}
		}
	}
	var out []string
	for i := range n {
		out = append(out, itoa(i+1))
	}
	return out
}

// isPhrase says that words are more than a size goes by: "to fit foot circumference 20".
func isPhrase(name string) bool { return len(strings.Fields(name)) > 2 }

// people are words that name sizes by those they fit.
var people = map[string]bool{"newborn": true, "baby": true, "toddler": true, "child": true, "children": true, "kid": true, "kids": true, "teen": true, "youth": true, "adult": true, "woman": true, "women": true, "man": true, "men": true, "lady": true, "ladies": true, "small": true, "medium": true, "large": true}

// peopleOnly says that a line is a list of sizes by those they fit, and no more: three at least, parted by strokes.
func peopleOnly(toks []Token) bool {
	parts, fits, words := 1, false, 0
	for _, t := range toks {
		switch {
		case t.Text == "/":
			if !fits || words > 3 {
				return false
			}
			parts, fits, words = parts+1, false, 0
		case people[t.Text] || sizeLetters[t.Text]:
			fits = true
			words++
		case t.Kind == Word || t.Text == "'" || t.Text == "’":
			words++
		default:
			return false
		}
	}
	return parts > 2 && fits && words <= 3
}

// lettersOnly says that a line is a list of the letters of sizes: "S/M/L", "XS (S, M, L)".
func lettersOnly(toks []Token) bool {
	letters := 0
	for _, t := range toks {
		switch {
		case sizeLetters[t.Text]:
			letters++
		case t.Kind == Number && t.Val < 8, t.Kind == Word && t.Text == "x", t.Kind == Word && strings.Trim(t.Text, "0123456789xl") == "": // 2X, 3XL
		case t.Kind != Punct || t.Text == "=" || t.Text == "*":
			return false
		}
	}
	return letters > 1
}
