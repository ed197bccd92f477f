package yarn

import (
	_ "embed"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"rowproof/domain/sizing"
)

// Compare needles by mm only: US and old UK numbers run in opposite directions,
// both have gaps, and they meet in 7 (4.5 mm) and nowhere else.

// Needle is one size by its names; a system that has no such size has "".
type Needle struct {
	MM           float64
	US, UK, JP   string // "10.5", "000", "13"; UK is the old numbering
	Mark, Source string
	Note         string
}

// NeedleFact is one row of the published tables as it stands: conversion tables,
// old numberings, and conflicts between sources.
type NeedleFact struct {
	Table          string
	MM, US, UK, JP string
	Mark, Source   string
	Note           string
}

//go:embed needles.tsv
var needlesText string

var needleFacts = sync.OnceValue(func() []NeedleFact {
	t, err := sizing.ReadTable(needlesText)
	if err != nil {
		panic("BUG: embedded table of needles: " + err.Error())
	}
	var out []NeedleFact
	for _, row := range t.Rows {
		out = append(out, NeedleFact{t.Cell(row, "table"), t.Cell(row, "mm"), t.Cell(row, "us"), t.Cell(row, "uk_old"), t.Cell(row, "japan"),
			t.Cell(row, "mark"), t.Source(t.Cell(row, "source")), t.Cell(row, "note")})
	}
	return out
})

// NeedleFacts are all rows of the published tables.
func NeedleFacts() []NeedleFact { return slices.Clone(needleFacts()) }

// Needles are the metric sizes from 1 to 25 mm with their US and old UK numbers,
// and the Japanese where it falls on the same size.
func Needles() []Needle { return needlesOf("main") }

// JapaneseNeedles are sizes 0 to 15, 0.3 mm apart, and the jumbo sizes that are
// named by their diameter.
func JapaneseNeedles() []Needle { return append(needlesOf("japan"), needlesOf("japan_jumbo")...) }

func needlesOf(table string) []Needle {
	var out []Needle
	for _, f := range needleFacts() {
		if mm, err := strconv.ParseFloat(f.MM, 64); err == nil && f.Table == table {
			out = append(out, Needle{mm, f.US, f.UK, f.JP, f.Mark, f.Source, f.Note})
		}
	}
	return out
}

// Text is "4 mm (US 6)", or with uk "4 mm (old UK 8)"; "7 mm" where the system has
// no such size.
func (n Needle) Text(uk bool) string {
	s := plainNumber(n.MM) + " mm"
	switch {
	case uk && n.UK != "":
		return s + " (old UK " + n.UK + ")"
	case !uk && n.US != "":
		return s + " (US " + strings.Replace(n.US, ".5", "½", 1) + ")"
	}
	return s
}

// NeedleOfMM is the metric size of that many mm; ok is false where there is none
// within a twentieth of a mm.
func NeedleOfMM(mm float64) (Needle, bool) {
	n := NearestNeedle(mm)
	return n, math.Abs(n.MM-mm) <= 0.05
}

// NearestNeedle is the metric size nearest to mm, the larger of two.
func NearestNeedle(mm float64) Needle {
	ns := Needles()
	best := ns[0]
	for _, n := range ns {
		if math.Abs(n.MM-mm) <= math.Abs(best.MM-mm) {
			best = n
		}
	}
	return best
}

// neighbourSize is the metric size next to mm on the way to r.
func neighbourSize(mm float64, r Range) float64 {
	ns := Needles()
	i := slices.IndexFunc(ns, func(n Needle) bool { return n.MM >= mm-0.05 })
	switch {
	case i < 0:
		i = len(ns) - 1
	case r.HasMin && mm < r.Min:
		i = min(i+1, len(ns)-1)
	case math.Abs(ns[i].MM-mm) <= 0.05:
		i = max(0, i-1)
	default: // between two sizes
		i = max(0, i-1)
	}
	return ns[i].MM
}

var needleForms = []struct {
	form *regexp.Regexp
	find func(num string) (Needle, bool)
}{
	{regexp.MustCompile(`(?i)(\d{1,2}(?:[.,]\d{1,3})?)\s*-?\s*mm\b`), func(s string) (Needle, bool) {
		mm, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
		if n, ok := NeedleOfMM(mm); ok {
			return n, true
		}
		for _, n := range JapaneseNeedles() {
			if math.Abs(n.MM-mm) < 0.01 {
				return n, true
			}
		}
		return Needle{MM: mm, Mark: "given"}, err == nil && mm >= 0.5 && mm <= 50
	}},
	{regexp.MustCompile(`(?i)\bu\.?s\.?\s*(?:size|no\.?|#)?\s*(\d{1,5}(?:[.,]5|½|\s?1/2)?)`), func(s string) (Needle, bool) {
		return numbered(Needles(), s, func(n Needle) string { return n.US })
	}},
	{regexp.MustCompile(`(?i)\bu\.?k\.?\s*(?:size|no\.?|#)?\s*(\d{1,3})`), func(s string) (Needle, bool) {
		return numbered(Needles(), s, func(n Needle) string { return n.UK })
	}},
	{regexp.MustCompile(`(?i)\b(?:jp|japan(?:ese)?)\.?\s*(?:size|no\.?|#)?\s*(\d{1,2})`), func(s string) (Needle, bool) {
		return numbered(JapaneseNeedles(), s, func(n Needle) string { return n.JP })
	}},
}

func numbered(ns []Needle, num string, of func(Needle) string) (Needle, bool) {
	num = strings.NewReplacer("½", ".5", " 1/2", ".5", "1/2", ".5", ",", ".").Replace(num)
	i := slices.IndexFunc(ns, func(n Needle) bool { return of(n) == num })
	if i < 0 {
		return Needle{}, false
	}
	return ns[i], true
}

// ParseNeedle reads the first needle of a line: "4 mm (US 6)", "US 10½", "old UK
// 8", "Japanese 6". mm go before numbers. A bare number is refused, for it means
// one needle in the US and another in the UK; the error says what to write.
func ParseNeedle(s string) (Needle, error) {
	for _, f := range needleForms {
		if m := f.form.FindStringSubmatch(s); m != nil {
			if n, ok := f.find(m[1]); ok {
				return n, nil
			}
		}
	}
	if len(s) > 60 {
		s = s[:60] + "…"
	}
	return Needle{}, fmt.Errorf("no needle size in %q: give it in mm, or say whose number it is, for example 4 mm or US 6", s)
}
