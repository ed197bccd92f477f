package sizing

import (
	_ "embed"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// Group is one list of bodies, in the order of its sizes.
type Group string

// The groups. Women to Babies and Head, Hand and Foot are what most drafts want;
// the others are customs that differ from them.
const (
	Women    Group = "woman"
	Men      Group = "man"
	Children Group = "child"
	Babies   Group = "baby"
	Head     Group = "head_cyc"
	Hand     Group = "hand"
	Foot     Group = "foot_cyc"

	Heads        Group = "head" // measured heads, by source
	Hats         Group = "hat"  // finished hats, not heads
	Feet         Group = "foot" // single figures from shoe sizes
	BabiesUKNZ   Group = "uk_nz_baby"
	ChildrenUKNZ Group = "uk_nz_child"
	BabiesUK     Group = "uk_baby"
	ByChest      Group = "by_chest"
)

// Extent is a measurement from its least to its most; both are equal where the
// table gives one number.
type Extent struct {
	Min, Max Length
	Mark     string // "read", "memory", or "converted" where the table has no figure in this unit
}

// BodyMeasure is one measurement of a body. Inches is the source; Metric is the
// table's own rounding, within a centimetre of it.
type BodyMeasure struct {
	Name   string // "bust", "cross_back", "head_circumference"
	Inches Extent
	Metric Extent
	Source string // spelt out
	Note   string
}

// Mid is the middle of the measurement, not rounded, from the source.
func (m BodyMeasure) Mid() Length { return (m.Inches.Min + m.Inches.Max) / 2 }

// Body is one size of a body: the body itself, no garment.
type Body struct {
	Group    Group
	Size     string // as the table names it: "X-Small", "6 months", "woman shoe 6-9"
	Measures []BodyMeasure
}

// Measure finds a measurement by name; "chest" and "bust" are the same.
func (b Body) Measure(name string) (BodyMeasure, bool) {
	for _, n := range []string{name, sameMeasure[name]} {
		if i := slices.IndexFunc(b.Measures, func(m BodyMeasure) bool { return m.Name == n }); i >= 0 {
			return b.Measures[i], true
		}
	}
	return BodyMeasure{}, false
}

var sameMeasure = map[string]string{"chest": "bust", "bust": "chest", "foot_length": "total_foot_length"}

// Chest is the middle of the chest or bust, 0 where the body has none.
func (b Body) Chest() Length {
	m, ok := b.Measure("chest")
	if !ok {
		m, _ = b.Measure("to_fit_chest")
	}
	return m.Mid()
}

//go:embed body_women.tsv
var womenText string

//go:embed body_men.tsv
var menText string

//go:embed body_children.tsv
var childrenText string

//go:embed body_head_hand_foot.tsv
var headHandFootText string

// bodies reads the embedded tables once; a test reads every row of them.
var bodies = sync.OnceValue(func() map[Group][]Body {
	out := map[Group][]Body{}
	for _, text := range []string{womenText, menText, childrenText, headHandFootText} {
		t, err := ReadTable(text)
		if err != nil {
			panic("BUG: embedded body table: " + err.Error())
		}
		for _, row := range t.Rows {
			g, size := Group(t.Cell(row, "group")), t.Cell(row, "size")
			m, ok := bodyMeasure(t, row)
			if !ok || strings.HasPrefix(m.Name, "to_fit_bust") || m.Name == "chest_vs_shoulder" {
				continue // what a yarn brand prints to fit, or one example: no body of this table
			}
			switch g {
			case Heads, Hats, Hand, Feet: // one size name, several sources: several bodies
				out[g] = addMeasure(out[g], g, size, m, true)
			default:
				out[g] = addMeasure(out[g], g, size, m, false)
			}
		}
	}
	return out
})

// bodyMeasure reads a row; a missing figure in one unit is made from the other.
func bodyMeasure(t Table, row []string) (BodyMeasure, bool) {
	m := BodyMeasure{Name: t.Cell(row, "measure"), Note: t.Cell(row, "note"), Source: t.Source(t.Cell(row, "source"))}
	lo, ok := t.Number(row, "in_min")
	hi, ok2 := t.Number(row, "in_max")
	if !ok || !ok2 {
		return m, false
	}
	m.Inches = Extent{In(lo), In(hi), t.Cell(row, "in_mark")}
	m.Metric = Extent{In(lo).Rounded(Metric), In(hi).Rounded(Metric), "converted"}
	if lo, ok := t.Number(row, "cm_min"); ok {
		hi, _ := t.Number(row, "cm_max")
		m.Metric = Extent{Cm(lo), Cm(hi), t.Cell(row, "cm_mark")}
	}
	return m, true
}

// addMeasure puts a measure to its body, in the order of the table.
func addMeasure(bs []Body, g Group, size string, m BodyMeasure, bySource bool) []Body {
	for i := range bs {
		if bs[i].Size == size && (!bySource || bs[i].Measures[0].Source == m.Source) {
			if _, ok := bs[i].Measure(m.Name); !ok {
				bs[i].Measures = append(bs[i].Measures, m)
				return bs
			}
		}
	}
	return append(bs, Body{g, size, []BodyMeasure{m}})
}

// Bodies are the sizes of a group in their order, smallest first; the caller may
// change them. An unknown group has none.
func Bodies(g Group) []Body {
	bs := bodies()[g]
	out := make([]Body, len(bs))
	for i, b := range bs {
		b.Measures = slices.Clone(b.Measures)
		out[i] = b
	}
	return out
}

// Find finds a size by its label, forgiving: XS is X-Small, XXL and 2XL are 2X or
// XX-Large, XL is 1X for women, "6m", "6 mos" and "6" are 6 months for a baby,
// "4 yrs", "age 4" and "4T" are 4 for a child, "2 years" of a baby is 24 months.
// The error lists the sizes there are.
func Find(g Group, label string) (Body, error) {
	bs := Bodies(g)
	want := sizeKey(label)
	if y, ok := strings.CutSuffix(want, "y"); ok && g == Babies {
		if n, err := strconv.Atoi(y); err == nil && n < 10 {
			want = strconv.Itoa(12*n) + "m"
		}
	}
	for _, loose := range []bool{false, true} {
		for _, b := range bs {
			have := sizeKey(b.Size)
			if want != "" && (have == want || loose && (have+"y" == want || have == want+"y" || have == want+"m")) {
				return b, nil
			}
		}
	}
	var names []string
	for _, b := range bs {
		if !slices.Contains(names, b.Size) {
			names = append(names, b.Size)
		}
	}
	if len(names) == 0 {
		return Body{}, fmt.Errorf("there is no group of bodies %q", g)
	}
	if len(label) > 40 {
		label = label[:40] + "…"
	}
	return Body{}, fmt.Errorf("there is no size %q among %s", label, strings.Join(names, ", "))
}

var sizeWords = strings.NewReplacer("extra", "x", "xlarge", "xl", "xsmall", "xs", "small", "s", "medium", "m", "med", "m", "large", "l",
	"months", "m", "month", "m", "mos", "m", "mths", "m", "mth", "m", "mo", "m", "years", "y", "year", "y", "yrs", "y", "yr", "y", "age", "", "size", "", "aged", "")

var sizeLetters = map[string]string{"xl": "1x", "1xl": "1x", "xxl": "2x", "2xl": "2x", "xx": "2x", "xxxl": "3x", "3xl": "3x", "xxx": "3x", "4xl": "4x", "xxxxl": "4x", "5xl": "5x", "xxxxxl": "5x"}

// sizeKey brings a label to what all its spellings have in common. A dash stays
// between digits only: 3-6 months is not 36.
func sizeKey(s string) string {
	rs := []rune(strings.ToLower(strings.TrimSpace(s)))
	digit := func(i int) bool { return i >= 0 && i < len(rs) && rs[i] >= '0' && rs[i] <= '9' }
	var b strings.Builder
	for i, r := range rs {
		switch r {
		case ' ', '_', '\u00a0':
			continue
		case '-', '–', '—':
			if !digit(i-1) || !digit(i+1) {
				continue
			}
			r = '-'
		case '.':
			if !digit(i + 1) {
				continue
			}
		}
		b.WriteRune(r)
	}
	k := sizeWords.Replace(b.String())
	if same, ok := sizeLetters[k]; ok {
		return same
	}
	if n, ok := strings.CutSuffix(k, "t"); ok { // 4T
		if _, err := strconv.Atoi(n); err == nil {
			return n + "y"
		}
	}
	return k
}
