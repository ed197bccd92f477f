package review

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file holds the checks of what stands around the rows: sections a
// published pattern has, centimetres beside inches.

func init() {
	checks = append(checks,
		check{"missing-section", sections},
		check{"units-differ", units},
	)
}

// wanted are the head lines a published pattern has (reference: contents of a
// pattern, rows P016 to P030 of the project's table, “required”).
var wanted = []struct {
	name  string
	label []string
}{
	{"yarn", []string{"yarn", "wool", "materials", "you will need", "colours", "colors"}},
	{"needles", []string{"needle", "materials", "you will need"}},
	{"gauge", []string{"gauge", "tension"}},
}

// sections notes what is missing of a pattern's head, where it has one at all: a
// bare stitch pattern needs none.
func sections(in Input) {
	have := map[string]bool{}
	var at finding.Span
	for _, it := range in.Manuscript.Items {
		label := ""
		var span finding.Span
		switch it := it.(type) {
		case *notation.Field:
			label, span = it.Label, it.Span
		case *notation.Heading:
			label, span = it.Text, it.Span
		}
		label = strings.ToLower(label)
		for _, w := range wanted {
			for _, l := range w.label {
				if strings.HasPrefix(label, l) {
					have[w.name] = true
					if at.Line == 0 {
						at = span
					}
				}
			}
		}
	}
	if len(have) == 0 || len(in.Needle.Parts) == 0 {
		return
	}
	for _, w := range wanted {
		if !have[w.name] {
			in.Out.Addf("missing-section", at, "nothing is said of %s, as a published pattern would", w.name)
		}
	}
}

var (
	cmThenIn = regexp.MustCompile(`(\d+(?:\.\d+)?)\s*cm\s*[(/\[]\s*(\d+(?:\.\d+)?)([½¼¾]?)\s*(?:in\b|inches|ins\b|"|”)`)
	inThenCm = regexp.MustCompile(`(\d+(?:\.\d+)?)([½¼¾]?)\s*(?:in|inches|ins|"|”)\s*[(/\[]\s*(\d+(?:\.\d+)?)\s*cm`)
	quarters = map[string]float64{"½": 0.5, "¼": 0.25, "¾": 0.75}
)

// units compares centimetres with the inches beside them. Each may be rounded by
// itself: to the nearest quarter inch and half centimetre (common practice), and a
// gauge's 10 cm stands for 4 in.
func units(in Input) {
	for n, line := range in.Manuscript.Source {
		if !strings.Contains(line, "cm") {
			continue
		}
		report := func(cm, inch float64, at []int) {
			if math.Abs(cm-inch*2.54) <= math.Max(0.75, 0.03*cm) {
				return
			}
			col := len([]rune(line[:at[0]])) + 1
			end := len([]rune(line[:at[1]])) + 1
			in.Out.Add(finding.Finding{Code: "units-differ", Span: finding.Span{Line: n + 1, Col: col, EndLine: n + 1, EndCol: end},
				Message: fmt.Sprintf("%g cm are %.1f in, not %g", cm, cm/2.54, inch)})
		}
		for _, m := range cmThenIn.FindAllStringSubmatchIndex(line, 8) {
			cm, _ := strconv.ParseFloat(line[m[2]:m[3]], 64)
			inch, _ := strconv.ParseFloat(line[m[4]:m[5]], 64)
			report(cm, inch+quarters[line[m[6]:m[7]]], m)
		}
		for _, m := range inThenCm.FindAllStringSubmatchIndex(line, 8) {
			inch, _ := strconv.ParseFloat(line[m[2]:m[3]], 64)
			cm, _ := strconv.ParseFloat(line[m[6]:m[7]], 64)
			report(cm, inch+quarters[line[m[4]:m[5]]], m)
		}
	}
}
