package document

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode"
)

// Units is the system in which an edition gives lengths and weights.
type Units string

const (
	AsWritten Units = ""
	Metric    Units = "metric"   // cm, m, g
	Imperial  Units = "imperial" // in, yd, oz
	Both      Units = "both"     // as written, the other behind a stroke
)

// unit is one unit of length or weight. The yard is 0.9144 m and the ounce
// 28.349523125 g exactly (international yard and pound agreement of 1959).
type unit struct {
	to     string  // the unit of the other system, as printed
	per    float64 // how many of those one of this is
	step   float64 // results are rounded to a multiple of it
	metric bool
}

var units = map[string]unit{
	"cm":     {"in", 1 / 2.54, 0.25, true},
	"cms":    {"in", 1 / 2.54, 0.25, true},
	"m":      {"yd", 1 / 0.9144, 1, true},
	"metres": {"yd", 1 / 0.9144, 1, true},
	"meters": {"yd", 1 / 0.9144, 1, true},
	"g":      {"oz", 1 / 28.349523125, 0.25, true},
	"in":     {"cm", 2.54, 0.5, false},
	"ins":    {"cm", 2.54, 0.5, false},
	"inch":   {"cm", 2.54, 0.5, false},
	"inches": {"cm", 2.54, 0.5, false},
	"\"":     {"cm", 2.54, 0.5, false},
	"″":      {"cm", 2.54, 0.5, false},
	"yd":     {"m", 0.9144, 1, false},
	"yds":    {"m", 0.9144, 1, false},
	"yards":  {"m", 0.9144, 1, false},
	"oz":     {"g", 28.349523125, 5, false},
}

const number = `\d+(?:[.,]\d+)?(?:\s?[¼½¾⅓⅔⅛⅜⅝⅞]|\s\d/\d)?|[¼½¾]`

var (
	reNumber  = regexp.MustCompile(number)
	reMeasure = regexp.MustCompile(`((?:` + number + `)(?:\s?[–-]\s?(?:` + number + `)|\s?[(\[](?:` + number + `)(?:[,;:]\s?(?:` + number + `))*[)\]])*)([\s\x{a0}\x{202f}]?)(cms?|metres|meters|m|g|inches|inch|ins|in|"|″|yards|yds|yd|oz)`)
	// what stands behind a measure that is given in the other system already
	reAlready = regexp.MustCompile(`^\.?\s?(?:/|\(|\[|=|or|,)\s?(?:` + number + `)[^a-z]*\s?(cms?|metres|meters|m|g|inches|inch|ins|in|"|″|yards|yds|yd|oz)\b`)
)

// InUnits gives the document with its lengths and weights in the system asked
// for: inches to a quarter, centimetres to a half, yards and metres whole,
// ounces to a quarter, grams to five. A measure written in both systems stays
// as written, and so do millimetres, which are needles.
func (d *Document) InUnits(u Units) *Document {
	if u == AsWritten {
		return d
	}
	out := *d
	out.Blocks = make([]Block, len(d.Blocks))
	runs := func(rs Runs, worked bool) Runs {
		cp := append(Runs(nil), rs...)
		for i := range cp {
			cp[i].Text = u.convert(cp[i].Text, worked)
		}
		return cp
	}
	for i, b := range d.Blocks {
		switch b := b.(type) {
		case *Paragraph:
			c := *b
			c.Text = runs(b.Text, false)
			out.Blocks[i] = &c
		case *Definitions:
			c := *b
			c.Items = append([]Definition(nil), b.Items...)
			for k := range c.Items {
				c.Items[k].Text = runs(c.Items[k].Text, false)
			}
			out.Blocks[i] = &c
		case *List:
			c := *b
			c.Items = append([]Runs(nil), b.Items...)
			for k := range c.Items {
				c.Items[k] = runs(c.Items[k], false)
			}
			out.Blocks[i] = &c
		case *Table:
			c := *b
			if !c.Counts {
				c.Caption = u.convert(c.Caption, false)
				c.Rows = make([][]string, len(b.Rows))
				for r := range b.Rows {
					c.Rows[r] = make([]string, len(b.Rows[r]))
					for k, cell := range b.Rows[r] {
						c.Rows[r][k] = u.convert(cell, false)
					}
				}
			}
			out.Blocks[i] = &c
		case *Instruction:
			c := *b
			c.Head, c.Text = u.convert(b.Head, true), runs(b.Text, true)
			out.Blocks[i] = &c
		case *Schematics:
			c := *b
			c.Items = append([]Schematic(nil), b.Items...)
			for k := range c.Items {
				c.Items[k].Units = u
			}
			out.Blocks[i] = &c
		case *Chart:
			c := *b
			c.Rows = make([]*Instruction, len(b.Rows))
			for k, r := range b.Rows {
				row := *r
				row.Head, row.Text = u.convert(r.Head, true), runs(r.Text, true)
				c.Rows[k] = &row
			}
			out.Blocks[i] = &c
		case *Notice:
			c := *b
			c.Text = make([]Runs, len(b.Text))
			for k := range b.Text {
				c.Text[k] = runs(b.Text[k], false)
			}
			out.Blocks[i] = &c
		default:
			out.Blocks[i] = b
		}
	}
	return &out
}

// convert puts the measures of one stretch of text into the system; where rows
// are worked, m is a marker and g garter stitch.
func (u Units) convert(s string, worked bool) string {
	var b strings.Builder
	last, skipTo := 0, 0
	for _, m := range reMeasure.FindAllStringSubmatchIndex(s, -1) {
		name := s[m[6]:m[7]]
		from, figures, end := units[name], s[m[2]:m[3]], m[7]
		if m[0] < skipTo || !isMeasure(s, m[0], end, name, figures, worked) {
			continue
		}
		if a := reAlready.FindStringSubmatchIndex(s[end:]); a != nil && units[s[end+a[2]:end+a[3]]].metric != from.metric {
			skipTo = end + a[1]
			continue
		}
		if from.metric == (u == Metric) && u != Both {
			continue
		}
		to := from.to
		if to == "in" && strings.HasPrefix(s[end:], " in ") {
			to = "inches" // "4 inches in stockinette"
		}
		there := convertFigures(figures, from) + "\u00a0" + to
		b.WriteString(s[last:m[0]])
		if u == Both {
			b.WriteString(s[m[0]:end] + " / ")
		}
		b.WriteString(there)
		last = end
		if u != Both && name == "in" && strings.HasPrefix(s[end:], ".") && !endsSentence(s[end+1:]) {
			last++ // the point of "in."
		}
	}
	b.WriteString(s[last:])
	return b.String()
}

// isMeasure says that a number with what follows is a length or a weight, not a
// word that begins alike: "2 m" are markers, "12 in the round" are stitches.
func isMeasure(s string, at, end int, name, figures string, worked bool) bool {
	if at > 0 && (isWordByte(s[at-1]) || s[at-1] == '.') {
		return false
	}
	rest := s[end:]
	if name != "\"" && name != "″" && rest != "" {
		if r := []rune(rest)[0]; unicode.IsLetter(r) || unicode.IsDigit(r) {
			return false
		}
	}
	first, _ := strconv.Atoi(strings.TrimLeft(reNumber.FindString(figures), "0"))
	switch name {
	case "m", "g":
		return !worked && first >= 10
	case "in":
		word := strings.TrimLeft(rest, " ")
		for _, w := range []string{"from", "long", "wide", "deep", "high", "tall", "square", "above", "below", "in ", "or", "at", "before", "after", "less", "circular"} {
			if strings.HasPrefix(word, w) {
				return true
			}
		}
		return word == "" || !isWordByte(word[0])
	}
	return true
}

func isWordByte(c byte) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c >= 0x80
}

// endsSentence says that nothing, or a new sentence, follows.
func endsSentence(rest string) bool {
	rest = strings.TrimLeft(rest, " \u00a0")
	return rest == "" || unicode.IsUpper([]rune(rest)[0])
}

var fractionSigns = map[string]float64{"¼": 0.25, "½": 0.5, "¾": 0.75, "⅓": 1.0 / 3, "⅔": 2.0 / 3, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875}

// convertFigures converts each number of "40 (42, 44)".
func convertFigures(figures string, from unit) string {
	return reNumber.ReplaceAllStringFunc(figures, func(n string) string {
		v := math.Round(figureValue(n)*from.per/from.step) * from.step
		if v == 0 && figureValue(n) > 0 {
			v = from.step
		}
		if from.metric && from.step == 0.25 {
			return quarters(v)
		}
		return strconv.FormatFloat(v, 'f', -1, 64)
	})
}

// figureValue reads "5½", "5 1/2", "5.5" and "5,5".
func figureValue(n string) float64 {
	for sign, v := range fractionSigns {
		if strings.HasSuffix(n, sign) {
			whole, _ := strconv.ParseFloat(strings.TrimSpace(strings.TrimSuffix(n, sign)), 64)
			return whole + v
		}
	}
	if whole, frac, ok := strings.Cut(n, " "); ok {
		a, b, _ := strings.Cut(frac, "/")
		w, _ := strconv.ParseFloat(whole, 64)
		x, _ := strconv.ParseFloat(a, 64)
		y, _ := strconv.ParseFloat(b, 64)
		if y > 0 {
			return w + x/y
		}
		return w
	}
	v, _ := strconv.ParseFloat(strings.ReplaceAll(n, ",", "."), 64)
	return v
}

// quarters prints inches and ounces the trade's way: 15¾.
func quarters(v float64) string {
	whole, frac := math.Modf(v)
	sign := map[float64]string{0.25: "¼", 0.5: "½", 0.75: "¾"}[frac]
	if whole == 0 && sign != "" {
		return sign
	}
	return strconv.Itoa(int(whole)) + sign
}
