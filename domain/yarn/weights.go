package yarn

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"

	"rowproof/domain/sizing"
)

// Range is from Min to Max; an end that is not given is open. The zero value
// allows everything and is no range.
type Range struct {
	Min, Max       float64
	HasMin, HasMax bool
}

// Given says whether the range has an end at all.
func (r Range) Given() bool { return r.HasMin || r.HasMax }

// Has says whether x lies within, ends included.
func (r Range) Has(x float64) bool {
	return (!r.HasMin || x >= r.Min) && (!r.HasMax || x <= r.Max)
}

// Off is how far x lies outside, 0 within.
func (r Range) Off(x float64) float64 {
	switch {
	case r.HasMin && x < r.Min:
		return r.Min - x
	case r.HasMax && x > r.Max:
		return x - r.Max
	}
	return 0
}

// String is "16–20", "6 or fewer" is written "up to 6", "12.75 and up".
func (r Range) String() string {
	f := func(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
	switch {
	case r.HasMin && r.HasMax && r.Min == r.Max:
		return f(r.Min)
	case r.HasMin && r.HasMax:
		return f(r.Min) + "–" + f(r.Max)
	case r.HasMin:
		return f(r.Min) + " and up"
	case r.HasMax:
		return "up to " + f(r.Max)
	}
	return ""
}

// join is the least range that holds both; an open end stays open.
func (r Range) join(o Range) Range {
	return Range{min(r.Min, o.Min), max(r.Max, o.Max), r.HasMin && o.HasMin, r.HasMax && o.HasMax}
}

// WeightFact is one row of the published tables: what one source says of one
// category. What it does not say is empty.
type WeightFact struct {
	Table    string   // "cyc_gauge_needle", "spin_off_wpi_yardage", …
	Category int      // 0 to 7; -1 where the source names none
	Names    []string // US names
	UK, AUNZ string   // names there
	Sts      Range    // stockinette stitches per 10 cm
	Needle   Range    // mm
	USNeedle [2]string
	Metres   Range // per 100 g
	Wraps    Range // per inch
	Mark     string
	Source   string
	Note     string
}

//go:embed weights.tsv
var weightsText string

var weightFacts = sync.OnceValue(func() []WeightFact {
	t, err := sizing.ReadTable(weightsText)
	if err != nil {
		panic("BUG: embedded table of yarn weights: " + err.Error())
	}
	var out []WeightFact
	for _, row := range t.Rows {
		cell := func(head string) string { return t.Cell(row, head) }
		span := func(head string) (r Range) {
			r.Min, r.HasMin = bound(cell(head + "_min"))
			r.Max, r.HasMax = bound(cell(head + "_max"))
			if strings.HasSuffix(cell(head+"_max"), "+") {
				r.Max, r.HasMax = 0, false
			}
			return r
		}
		f := WeightFact{Table: cell("table"), Category: -1, UK: cell("uk_name"), AUNZ: cell("au_nz_name"), Sts: span("sts"), Needle: span("needle_mm"),
			USNeedle: [2]string{cell("needle_us_min"), cell("needle_us_max")}, Metres: span("m_per_100g"), Wraps: span("wpi"),
			Mark: cell("mark"), Source: t.Source(cell("source")), Note: cell("note")}
		if n, err := strconv.Atoi(cell("category")); err == nil {
			f.Category = n
		}
		for _, n := range strings.FieldsFunc(cell("names"), func(r rune) bool { return r == ';' || r == ',' }) {
			f.Names = append(f.Names, strings.TrimSpace(n))
		}
		out = append(out, f)
	}
	return out
})

func bound(s string) (float64, bool) {
	x, err := strconv.ParseFloat(s, 64)
	return x, err == nil
}

// WeightFacts are all rows of the published tables.
func WeightFacts() []WeightFact { return slices.Clone(weightFacts()) }

// Class is a category of the Standard Yarn Weight System (Craft Yarn Council),
// with metres from Spin Off magazine's chart of the same categories.
type Class struct {
	Number int      // 0 to 7
	Names  []string // the first is the category's own: "Medium"
	Sts    Range    // stockinette stitches per 10 cm
	Needle Range    // mm
	Metres Range    // per 100 g; none for 7
	Wraps  Range    // per inch
}

// String is "4 Medium (Worsted, Afghan, Aran)".
func (c Class) String() string {
	if len(c.Names) == 0 {
		return strconv.Itoa(c.Number)
	}
	s := strconv.Itoa(c.Number) + " " + c.Names[0]
	if len(c.Names) > 1 {
		s += " (" + strings.Join(c.Names[1:], ", ") + ")"
	}
	return s
}

// Classes are the eight categories, finest first.
func Classes() []Class {
	var out []Class
	for _, f := range weightFacts() {
		switch {
		case f.Table == "cyc_gauge_needle":
			out = append(out, Class{Number: f.Category, Names: f.Names, Sts: f.Sts, Needle: f.Needle})
		case f.Table == "spin_off_wpi_yardage" && f.Category < len(out):
			out[f.Category].Metres = f.Metres
		case f.Table == "cyc_wpi" && f.Category < len(out):
			out[f.Category].Wraps = f.Wraps
		}
	}
	return out
}

// ClassesNamed finds the categories that a name may mean: "worsted", "DK weight",
// "4 ply", "Aran", "#4", "4". Names are loose, so there may be several ("Fingering"
// is 0 and 1, "Roving" 6 and 7); nil where none has it. Names of the standard
// itself go before names of other charts.
func ClassesNamed(name string) []Class {
	want := weightKey(name)
	if want == "" {
		return nil
	}
	classes := Classes()
	var own, other []Class
	for _, c := range classes {
		has := want == strconv.Itoa(c.Number)
		for _, n := range c.Names {
			has = has || weightKey(n) == want
		}
		if has {
			own = append(own, c)
		}
	}
	if own != nil {
		return own
	}
	for _, c := range classes {
		if slices.ContainsFunc(weightFacts(), func(f WeightFact) bool { return f.Category == c.Number && f.has(want) }) {
			other = append(other, c)
		}
	}
	return other
}

func (f WeightFact) has(key string) bool {
	names := append(slices.Clone(f.Names), strings.Split(f.UK, ",")...)
	names = append(names, strings.Split(strings.ReplaceAll(f.AUNZ, " or ", " ply,"), ",")...) // "10 or 12 ply"
	return slices.ContainsFunc(names, func(n string) bool { return weightKey(n) == key })
}

// weightKey brings a name to what its spellings have in common.
func weightKey(s string) string {
	s = strings.ToLower(strings.TrimSpace(s))
	s = strings.NewReplacer("#", "", "-", " ", "weight", "", "yarn", "", "wool", "").Replace(s)
	s = strings.Join(strings.Fields(s), "")
	switch s {
	case "doubleknit", "doubleknitting":
		return "dk"
	case "laceweight":
		return "lace"
	}
	return s
}

// ClassByGauge gives the categories whose stockinette gauge holds sts stitches
// per 10 cm: two where they overlap, the nearest where it falls between two, none
// for a gauge of 0 or less.
func ClassByGauge(sts float64) []Class {
	return nearestClasses(sts, func(c Class) Range { return c.Sts })
}

// ClassByMetres gives the categories of a yarn of so many metres per 100 g, by
// Spin Off magazine's chart, which has nothing above category 6.
func ClassByMetres(m float64) []Class {
	return nearestClasses(m, func(c Class) Range { return c.Metres })
}

func nearestClasses(x float64, of func(Class) Range) []Class {
	if !(x > 0) {
		return nil
	}
	var within []Class
	var nearest Class
	off := -1.0
	for _, c := range Classes() {
		r := of(c)
		switch {
		case !r.Given():
		case r.Has(x):
			within = append(within, c)
		case off < 0 || r.Off(x) < off:
			nearest, off = c, r.Off(x)
		}
	}
	if within == nil && off >= 0 {
		within = []Class{nearest}
	}
	return within
}

// Disagreement is a stated thing that does not go with another, for a finding.
type Disagreement struct {
	Who    string // what was stated: "gauge", "needle", "metres"
	Stated string // "26 sts = 10 cm", "3 mm"
	With   string // what it does not go with: "4 Medium (Worsted, Afghan, Aran)", "a gauge of 26 sts"
	Range  Range  // what would
	Unit   string // of Range: "sts = 10 cm", "mm", "m per 100 g"
}

// String is a sentence without its stop.
func (d Disagreement) String() string {
	verb := "does"
	if d.Who == "metres" {
		verb = "do"
	}
	return fmt.Sprintf("the %s of %s %s not go with %s, which has %s %s", d.Who, d.Stated, verb, d.With, d.Range, d.Unit)
}

// The standard's ranges are the most common ones, no limits: a stitch, or one
// needle size, beyond them is no disagreement.
const gaugeSlack = 1.0

// Disagreements compares a gauge in stockinette, a needle in mm and a weight
// class by name with one another, by the published ranges. What is 0 or "" was
// not stated; a class that nobody knows is no disagreement. A needle is held to
// the stated class, and to the gauge only where no class is stated. Lace is not
// held to gauge or needle from above, for it is worked on larger needles.
func Disagreements(g sizing.Gauge, needle float64, class string) []Disagreement {
	var out []Disagreement
	classes := ClassesNamed(class)
	with := class
	if len(classes) == 1 {
		with = classes[0].String()
	}
	if len(classes) > 0 && g.Sts > 0 {
		r := spanOf(classes, func(c Class) Range { return c.Sts })
		if slices.ContainsFunc(classes, func(c Class) bool { return c.Number == 0 }) {
			r.HasMin = false
		}
		if r.Off(g.Sts) > gaugeSlack {
			out = append(out, Disagreement{"gauge", plainNumber(g.Sts) + " sts = 10 cm", with, r, "sts = 10 cm"})
		}
	}
	if len(classes) == 0 && g.Sts > 0 {
		classes, with = ClassByGauge(g.Sts), "a gauge of "+plainNumber(g.Sts)+" sts = 10 cm"
	}
	if needle > 0 && len(classes) > 0 {
		r := spanOf(classes, func(c Class) Range { return c.Needle })
		if slices.ContainsFunc(classes, func(c Class) bool { return c.Number == 0 }) {
			r.HasMax = false
		}
		if !r.Has(needle) && !r.Has(neighbourSize(needle, r)) {
			out = append(out, Disagreement{"needle", plainNumber(needle) + " mm", with, r, "mm"})
		}
	}
	return out
}

// MetresDisagree compares metres per 100 g with a class by name; ok is false
// where they go together, within a tenth, or nothing is known of the class.
func MetresDisagree(class string, metres float64) (d Disagreement, ok bool) {
	var known []Class
	for _, c := range ClassesNamed(class) {
		if c.Metres.Given() {
			known = append(known, c)
		}
	}
	if len(known) == 0 || !(metres > 0) {
		return d, false
	}
	r := spanOf(known, func(c Class) Range { return c.Metres })
	if r.Off(metres) <= metres/10 {
		return d, false
	}
	with := class
	if len(known) == 1 {
		with = known[0].String()
	}
	return Disagreement{"metres", plainNumber(metres) + " m per 100 g", with, r, "m per 100 g"}, true
}

func spanOf(cs []Class, of func(Class) Range) Range {
	r := of(cs[0])
	for _, c := range cs[1:] {
		r = r.join(of(c))
	}
	return r
}

func plainNumber(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
