package document

import (
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// place is a place in the manuscript, both from 1.
type place struct{ line, col int }

func (a place) before(b place) bool { return a.line < b.line || a.line == b.line && a.col < b.col }

// change puts text in the place of what the manuscript says there.
type change struct {
	finding.Span
	text string
}

// cut marks where a stated count stood; it never reaches a printer.
const cut = '\x00'

// source is the manuscript's lines, by character.
type source [][]rune

func newSource(lines []string) source {
	out := make(source, len(lines))
	for i, l := range lines {
		out[i] = []rune(l)
	}
	return out
}

// words gives the manuscript's own words from one place up to another, with
// changes applied; line ends become spaces.
func (s source) words(from, to place, changes []change) string {
	var b strings.Builder
	changes = inOrder(changes)
	said := false // the change at hand
	for n := max(from.line, 1); n <= to.line && n <= len(s); n++ {
		if n > from.line {
			b.WriteByte(' ')
		}
		first, last := 0, len(s[n-1])
		if n == from.line {
			first = max(0, from.col-1)
		}
		if n == to.line {
			last = min(last, to.col-1)
		}
		for col := first; col < last; col++ {
			r := s[n-1][col]
			at := place{n, col + 1}
			for len(changes) > 0 && !at.before(place{changes[0].EndLine, changes[0].EndCol}) {
				changes, said = changes[1:], false
			}
			if len(changes) > 0 && !at.before(place{changes[0].Line, changes[0].Col}) {
				if !said {
					b.WriteString(s.inKind(&changes[0]))
					said = true
				}
				continue
			}
			b.WriteRune(r)
		}
	}
	return b.String()
}

// inKind is the text of a change; an ordinal where one stood: 8th of "8th (6th, 6th)";
// and once of "1 (2, 2) times", whose last word the change then takes along.
func (s source) inKind(c *change) string {
	n, err := strconv.Atoi(c.text)
	if err != nil || c.Line != c.EndLine || c.EndCol-1 > len(s[c.Line-1]) {
		return c.text
	}
	const times = " times"
	if n == 1 && strings.HasPrefix(string(s[c.Line-1][c.EndCol-1:]), times) {
		c.EndCol += len(times)
		return "once"
	}
	if !ordinalWord.MatchString(string(s[c.Line-1][c.Col-1 : c.EndCol-1])) {
		return c.text
	}
	return ordinal(n)
}

var ordinalWord = regexp.MustCompile(`(?i)\d(st|nd|rd|th)\b|[)\]](st|nd|rd|th)$`)

// ordinal is 1st, 2nd, 3rd, 4th.
func ordinal(n int) string {
	switch {
	case n%100 >= 11 && n%100 <= 13:
	case n%10 == 1:
		return strconv.Itoa(n) + "st"
	case n%10 == 2:
		return strconv.Itoa(n) + "nd"
	case n%10 == 3:
		return strconv.Itoa(n) + "rd"
	}
	return strconv.Itoa(n) + "th"
}

// inOrder sorts changes by place and drops those within another: the first
// given of two that meet wins.
func inOrder(changes []change) []change {
	out := make([]change, 0, len(changes))
	for _, c := range changes {
		if c.Line > 0 {
			out = append(out, c)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		return place{out[i].Line, out[i].Col}.before(place{out[j].Line, out[j].Col})
	})
	keep := out[:0]
	for _, c := range out {
		if n := len(keep); n > 0 && (place{c.Line, c.Col}).before(place{keep[n-1].EndLine, keep[n-1].EndCol}) {
			if c.text == string(cut) { // a count that is cut takes its numbers along
				keep[n-1] = c
			}
			continue
		}
		keep = append(keep, c)
	}
	return keep
}

var (
	reCut       = regexp.MustCompile(`[\s,;]*[-–—=:]*\s*[(\[{]?\s*[-–—=]*\s*\x00+\s*\.?[)\]}]?\s*\.?`)
	reSpaces    = regexp.MustCompile(`[\s\x{a0}\x{202f}]+`)
	reRange     = regexp.MustCompile(`(\d)\s?-\s?(\d)`)
	reDashes    = regexp.MustCompile(`\s*-{2,3}\s*`)
	reSpaceDash = regexp.MustCompile(` - `)
	reTimes     = regexp.MustCompile(`([\d)\]}])(\s?)[xX](\s?)(\d)`)
	reTimesEnd  = regexp.MustCompile(`(\d)(\s?)x([\s,.;)\]]|$)`)
	reInch      = regexp.MustCompile(`(\d[)\]]?|[¼½¾⅓⅔⅛⅜⅝⅞][)\]]?)"`)
	reHalf      = regexp.MustCompile(`(\d)[ -](1/2|1/4|3/4|1/3|2/3|1/8|3/8|5/8|7/8)\b`)
	reUnitHalf  = regexp.MustCompile(`(^|[\s(])(1/2|1/4|3/4|1/3|2/3|1/8|3/8|5/8|7/8)(\s?(?:in\b|inch|"|cm\b|yd|yard))`)
	reBullet    = regexp.MustCompile(`^\s*(?:[•·▪◦~]|[-–—*](?:\s)|#{1,6}\s)\s*`)
)

var fractions = map[string]string{"1/2": "½", "1/4": "¼", "3/4": "¾", "1/3": "⅓", "2/3": "⅔", "1/8": "⅛", "3/8": "⅜", "5/8": "⅝", "7/8": "⅞"}

// maxDressed is how many bytes of one sentence are dressed; none that means
// anything is as long.
const maxDressed = 32 << 10

// fine dresses typewritten text for print: real dashes, ×, curly quotes,
// fractions. It changes no word and no number.
func fine(s string) string {
	if len(s) > maxDressed {
		return strings.TrimSpace(strings.ReplaceAll(s, string(cut), ""))
	}
	s = reCut.ReplaceAllString(s, " ")
	s = strings.ReplaceAll(s, "\u00ad", "")
	s = reSpaces.ReplaceAllString(s, " ")
	s = reHalf.ReplaceAllStringFunc(s, func(m string) string { return m[:1] + fractions[m[2:]] })
	s = reUnitHalf.ReplaceAllStringFunc(s, func(m string) string {
		p := reUnitHalf.FindStringSubmatch(m)
		return p[1] + fractions[p[2]] + p[3]
	})
	s = reDashes.ReplaceAllString(s, " – ")
	s = reSpaceDash.ReplaceAllString(s, " – ")
	s = reRange.ReplaceAllString(s, "$1–$2")
	s = reTimes.ReplaceAllString(s, "$1$2×$3$4")
	s = reTimesEnd.ReplaceAllString(s, "$1$2×$3")
	s = reInch.ReplaceAllString(s, "$1″")
	s = strings.ReplaceAll(s, "...", "…")
	return strings.TrimSpace(quotes(s))
}

// quotes curls straight quotation marks.
func quotes(s string) string {
	if !strings.ContainsAny(s, `"'`) {
		return s
	}
	var b strings.Builder
	prev := ' '
	for _, r := range s {
		opening := prev == ' ' || prev == '(' || prev == '[' || prev == '–' || prev == '—' || prev == '“'
		switch {
		case r == '"' && opening:
			r = '“'
		case r == '"':
			r = '”'
		case r == '\'' && opening:
			r = '‘'
		case r == '\'':
			r = '’'
		}
		b.WriteRune(r)
		prev = r
	}
	return b.String()
}

// vector is a number for each size as it stands in words: "92 (102, 112)".
type vector struct {
	from, to int // bytes
	vals     []string
}

const numberRE = `(?:\d+(?:\.\d+)?(?: ?[¼½¾⅓⅔⅛⅜⅝⅞])?|[¼½¾⅓⅔⅛⅜⅝⅞])`

var (
	reVector  = regexp.MustCompile(numberRE + `(?:\s*[(\[{]\s*(?:` + numberRE + `|[-–—])(?:\s*[,:;/|]\s*(?:` + numberRE + `|[-–—]))*\s*[)\]}])+`)
	reSlash   = regexp.MustCompile(numberRE + `(?:\s?[/:]\s?` + numberRE + `)+`)
	reBracket = regexp.MustCompile(`[(\[{][^)\]}]*[)\]}]`)
	reItem    = regexp.MustCompile(numberRE + `|[-–—]`)
)

// vectors finds the size vectors of n numbers in words that have been dressed.
func vectors(s string, n int) []vector {
	var out []vector
	if n < 2 || len(s) > maxDressed {
		return nil
	}
	take := func(re *regexp.Regexp) {
		for _, m := range re.FindAllStringIndex(s, -1) {
			vals := reItem.FindAllString(s[m[0]:m[1]], -1)
			// "X4(1;3)R" is a stitch's name
			if next, _ := utf8.DecodeRuneInString(s[m[1]:]); unicode.IsLetter(next) || unicode.IsDigit(next) {
				continue
			}
			if len(vals) == n {
				out = append(out, vector{m[0], m[1], vals})
			}
		}
	}
	take(reVector)
	if len(out) == 0 && n > 2 {
		take(reSlash)
	}
	return out
}

// bracketsOf tells how the manuscript writes its sizes, as Counts.Brackets has it: as most of its
// vectors do; nil where they stand in one round bracket with commas, or in none.
func bracketsOf(source []string, n int) []Bracket {
	seen, most := map[string]int{}, ""
	forms := map[string][]Bracket{}
	for _, line := range source {
		for _, v := range vectors(line, n) {
			var form []Bracket
			for _, words := range reBracket.FindAllString(line[v.from:v.to], -1) {
				b := Bracket{N: len(reItem.FindAllString(words, -1)), Open: words[:1], Close: words[len(words)-1:], Sep: ", "}
				if b.N > 1 && strings.Contains(words, ":") {
					b.Sep = ": "
				}
				form = append(form, b)
			}
			key := fmt.Sprint(form)
			forms[key] = form
			if seen[key]++; seen[key] > seen[most] {
				most = key
			}
		}
	}
	return forms[most]
}

// forSize puts one size's number in the place of every size vector in words.
func forSize(s string, n, size int) string {
	if size < 0 {
		return s
	}
	vs := vectors(s, n)
	for i := len(vs) - 1; i >= 0; i-- {
		s = s[:vs[i].from] + vs[i].vals[size] + s[vs[i].to:]
	}
	return s
}

// sizeChanges lists the numbers of a row's body that differ by size, to be
// replaced by those of one size. The reader has told vectors from repeats.
func sizeChanges(it notation.Item, size int) []change {
	if size < 0 {
		return nil
	}
	var out []change
	num := func(n notation.Num) {
		if len(n.Vals) > 1 && n.Line > 0 {
			v := n.For(size)
			out = append(out, change{n.Span, figure(max(v, None))})
		}
	}
	var target func(notation.Target)
	target = func(t notation.Target) { num(t.N) }
	stated := func(st []notation.Stated) {
		for _, s := range st {
			num(s.N)
		}
	}
	when := func(w *notation.When) {
		for ; w != nil; w = w.Then {
			num(w.Each)
			num(w.Times)
			num(w.Even)
		}
	}
	ops := func(body []notation.Op) {
		notation.Each(body, func(o notation.Op) {
			switch o := o.(type) {
			case *notation.Do:
				num(o.Times)
			case *notation.Group:
				num(o.Times)
			case *notation.Until:
				target(o.To)
			case *notation.Repeat:
				target(o.To)
			case *notation.Into:
				num(o.Sts)
				num(o.Times)
			case *notation.Again:
				num(o.Times)
			case *notation.BindOff:
				num(o.N)
			case *notation.CastOn:
				num(o.N)
			case *notation.ToCable:
				num(o.N)
			case *notation.Hold:
				num(o.N)
			case *notation.Unhold:
				num(o.N)
			case *notation.Return:
				num(o.N)
			case *notation.Spread:
				num(o.To)
			case *notation.PattOver:
				num(o.N)
			}
		})
	}
	switch it := it.(type) {
	case *notation.Row:
		ops(it.Body)
		stated(it.Stated)
	case *notation.Begin:
		num(it.N)
		stated(it.Stated)
	case *notation.RepRows:
		target(it.Times)
		num(it.Until.Sts)
		num(it.Until.Aside)
		when(&it.When)
		stated(it.Stated)
	case *notation.Shape:
		num(it.N)
		num(it.Until)
		when(&it.When)
		stated(it.Stated)
	case *notation.Straight:
		num(it.Rows)
		stated(it.Stated)
	case *notation.BindOffAll:
		num(it.N)
	case *notation.Markers:
		for _, n := range it.After {
			num(n)
		}
	case *notation.HoldAll:
		num(it.N)
	}
	return out
}
