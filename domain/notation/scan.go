package notation

import (
	"strings"
	"unicode"

	"rowproof/domain/finding"
)

// Kind is the kind of a token.
type Kind uint8

const (
	Word    Kind = iota // letters, an apostrophe inside allowed
	Number              // digits or a number word; Val holds the value
	Ordinal             // 1st, 2nd, third; Val holds the value
	Punct               // anything else, one character (runs of * and . are one token)
)

// Token is one word, number or sign of the manuscript, with its place.
type Token struct {
	Kind    Kind
	Text    string // lower case, quotes and dashes made plain
	fold    string // Text with the spellings of one word brought together
	pointed bool   // the point of the abbreviation behind it was dropped
	Raw     string // as written
	Val     int    // of Number and Ordinal; saturates at MaxNumber
	Frac    string // decimals or fraction behind the number, e.g. ".5"; "" for a whole number
	Glued   bool   // nothing stands between it and the token before
	finding.Span
}

// MaxNumber bounds every number that is read; a larger one saturates and is a
// finding where it counts stitches.
const MaxNumber = 1_000_000_000

var numberWords = map[string]int{
	"zero": 0, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "seven": 7, "eight": 8, "nine": 9,
	"ten": 10, "eleven": 11, "twelve": 12, "thirteen": 13, "fourteen": 14, "fifteen": 15, "sixteen": 16,
	"seventeen": 17, "eighteen": 18, "nineteen": 19, "twenty": 20, "thirty": 30, "forty": 40, "fifty": 50,
	"sixty": 60, "seventy": 70, "eighty": 80, "ninety": 90, "hundred": 100,
}

var ordinalWords = map[string]int{
	"first": 1, "second": 2, "third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "eighth": 8, "ninth": 9,
	"tenth": 10, "eleventh": 11, "twelfth": 12, "thirteenth": 13, "fourteenth": 14, "fifteenth": 15, "sixteenth": 16,
	"seventeenth": 17, "eighteenth": 18, "nineteenth": 19, "twentieth": 20,
}

var fractions = map[rune]string{'½': ".5", '¼': ".25", '¾': ".75", '⅓': ".333", '⅔': ".667", '⅛': ".125", '⅜': ".375", '⅝': ".625", '⅞': ".875"}

// plain makes typographic characters plain. It returns 0 for characters that
// print nothing (soft hyphen, joiners, BOM).
func plain(r rune) rune {
	switch r {
	case '\u00ad', '\u200b', '\u200c', '\u200d', '\u2060', '\ufeff':
		return 0
	case '\u00a0', '\u2007', '\u202f', '\u2009', '\u200a', '\u2002', '\u2003', '\t', '\u000b', '\f':
		return ' '
	case '‘', '’', '′', '`', '´':
		return '\''
	case '“', '”', '″', '„':
		return '"'
	case '–', '—', '―', '−', '‒':
		return '–'
	case '‐', '‑':
		return '-'
	case '×', '✕', '✖', '⨯':
		return 'x'
	case '∗', '＊', '⁎', '✱', '✲', '✳', '✴', '✻', '✽', '✼', '٭', '﹡', '❋':
		return '*'
	case '…':
		return '…'
	case '•', '●', '▪', '‣', '◦', '·', '■', '›', '»', '▸', '►', '➤', '○', '□', '◆', '❖', '✦', '★':
		return '•'
	}
	return r
}

// Lines splits text at every kind of line end. The pieces are as written.
func Lines(text string) []string {
	text = strings.TrimPrefix(text, "\ufeff")
	if strings.ContainsAny(text, "\r\u2028\u2029") {
		text = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n").Replace(text)
	}
	return strings.Split(text, "\n")
}

// scanLine cuts one line into tokens. line counts from 1.
func scanLine(s string, line int) []Token { return scanLimit(s, line, maxToks+1) }

// scanLimit is scanLine that stops after so many tokens.
func scanLimit(s string, line, limit int) []Token {
	rs := []rune(s)
	toks := make([]Token, 0, min(len(rs)/3+2, limit))
	glued := false
	i := 0
	for i < len(rs) && len(toks) < limit {
		r := plain(rs[i])
		if r == 0 {
			i++
			continue
		}
		if unicode.IsSpace(r) {
			glued = false
			i++
			continue
		}
		if r == '\\' && i+1 < len(rs) && strings.ContainsRune(`*_#[]().-+!|`, rs[i+1]) {
			i++ // "\*K1, p1; repeat from \* to end", as a plain-text page escapes its signs
			continue
		}
		start := i
		t := Token{Glued: glued}
		switch {
		case isDigit(r):
			i = scanNumber(rs, i, &t)
		case unicode.IsLetter(r) || unicode.Is(unicode.Mn, r):
			i = scanWord(rs, i, &t)
		case fractions[r] != "":
			t.Kind, t.Frac = Number, fractions[r]
			i++
		default:
			t.Kind = Punct
			i++
			if r == '*' || r == '.' || r == '†' || r == '‡' || r == '+' || r == '#' {
				for i < len(rs) && plain(rs[i]) == r {
					i++
				}
				t.Text = strings.Repeat(string(r), i-start)
				if r == '.' && i-start > 1 {
					t.Text = "…"
				}
			} else {
				t.Text = string(r)
			}
		}
		t.Raw = string(rs[start:i])
		if t.Text == "" {
			t.Text = strings.ToLower(t.Raw)
		}
		t.fold = folded(t.Text)
		t.Span = finding.Span{Line: line, Col: start + 1, EndLine: line, EndCol: i + 1}
		toks = append(toks, t)
		glued = true
	}
	return toks
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

func scanNumber(rs []rune, i int, t *Token) int {
	start := i
	t.Kind = Number
	for i < len(rs) && isDigit(rs[i]) {
		if t.Val < MaxNumber {
			t.Val = t.Val*10 + int(rs[i]-'0')
		}
		i++
	}
	t.Val = min(t.Val, MaxNumber)
	t.Text = string(rs[start:i])
	if i+1 < len(rs) && rs[i] == '.' && isDigit(rs[i+1]) {
		j := i + 1
		for j < len(rs) && isDigit(rs[j]) {
			j++
		}
		t.Frac = string(rs[i:j])
		t.Text = string(rs[start:j])
		return j
	}
	if i < len(rs) && fractions[rs[i]] != "" {
		t.Frac = fractions[rs[i]]
		return i + 1
	}
	// 1st 2nd 3rd 4th
	if i+1 < len(rs) {
		suf := strings.ToLower(string(rs[i : i+2]))
		if (suf == "st" || suf == "nd" || suf == "rd" || suf == "th") && (i+2 >= len(rs) || !unicode.IsLetter(rs[i+2])) {
			t.Kind, t.Text = Ordinal, string(rs[start:i])+suf
			return i + 2
		}
		if d := rs[i-1]; rs[i] == 'd' && (d == '2' || d == '3') && rowBehind(rs[i+1:]) { // 2d row, 3d row
			t.Kind, t.Text = Ordinal, string(rs[start:i])+map[rune]string{'2': "nd", '3': "rd"}[d]
			return i + 1
		}
	}
	return i
}

// rowBehind says that " row" or its kin stands next, so that 2d and 3d are ordinals.
func rowBehind(rs []rune) bool {
	s := strings.ToLower(string(rs[:min(len(rs), 7)]))
	for _, w := range []string{" row", " rnd", " round", " and "} {
		if strings.HasPrefix(s, w) {
			return true
		}
	}
	return false
}

func scanWord(rs []rune, i int, t *Token) int {
	t.Kind = Word
	var b strings.Builder
	for i < len(rs) {
		r := plain(rs[i])
		if r == 0 {
			i++
			continue
		}
		// The cross between a number and a number, or before a number, is "times": 3x, x3.
		if r == '\'' && i+1 < len(rs) && unicode.IsLetter(plain(rs[i+1])) && b.Len() > 0 {
			b.WriteRune(r)
			i++
			continue
		}
		if !unicode.IsLetter(r) && !unicode.Is(unicode.Mn, r) {
			break
		}
		b.WriteRune(unicode.ToLower(r))
		i++
	}
	t.Text = b.String()
	if v, ok := numberWords[t.Text]; ok {
		t.Kind, t.Val = Number, v
		// twenty-one and the like
		if v >= 20 && v < 100 && i+1 < len(rs) && plain(rs[i]) == '-' {
			var u Token
			if j := i + 1; unicode.IsLetter(rs[j]) {
				end := scanWord(rs, j, &u)
				if u.Kind == Number && u.Val > 0 && u.Val < 10 {
					t.Val += u.Val
					return end
				}
			}
		}
	} else if v, ok := ordinalWords[t.Text]; ok {
		t.Kind, t.Val = Ordinal, v
	} else if s, ok := strings.CutSuffix(t.Text, "'s"); ok {
		t.Text = s // yo's, st's
	}
	return i
}

// Numbers gives the numbers of one line with their places; line counts from 1.
func Numbers(s string, line int) []Token {
	var out []Token
	for _, t := range scanLine(s, line) {
		if t.Kind == Number && t.Frac == "" && isDigit([]rune(t.Raw)[0]) {
			out = append(out, t)
		}
	}
	return out
}
