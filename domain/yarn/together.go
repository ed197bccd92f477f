package yarn

import (
	"regexp"
	"strings"

	"rowproof/domain/notation"
	"rowproof/domain/sizing"
)

// Clash is what the head of a manuscript states that does not go together.
type Clash struct {
	Disagreement
	Line int // where the thing stands that does not go, from 1
}

var (
	doubled    = regexp.MustCompile(`(?i)\b(?:held|two strands|2 strands|doubled?|strands held)\b`)
	needleList = regexp.MustCompile(`(?i)((?:\d{1,2}(?:[.,]\d{1,2})?\s*(?:mm)?\s*(?:,|/|&|and|or|to|[-–])\s*)*\d{1,2}(?:[.,]\d{1,3})?)\s*-?mm\b`)
	anyFigure  = regexp.MustCompile(`\d{1,2}(?:[.,]\d{1,3})?`)
	// a ball told whole: "50 g = 110 m", "110 m per 50 g", "(110 m/50 g)"
	toldBall = regexp.MustCompile(`(?i)\d\s*(?:g|gm|grams?)\s*(?:=|/|\(|per|:|,)\s*(?:approx\.?|about|c\.)?\s*[\d.]+\s*(?:m|metres|meters|yds?|yards)\b|\d\s*(?:m|metres|meters|yds?|yards)\s*(?:=|/|\(|per|:|,|each)\s*[\d.]+\s*(?:g|gm|grams?)\b`)
)

// Clashes holds the gauge that a manuscript states in stockinette, its needles and its
// yarns against one another by the published ranges (see Disagreements). Without a
// gauge of stockinette it gives none: other stitches have no published range. What
// several yarns or needles are stated for is a clash only where all of them disagree,
// and yarn held double is held to nothing.
func Clashes(ms *notation.Manuscript) []Clash {
	line, clause, g := stockinette(ms)
	if line == 0 || g.Sts <= 0 {
		return nil
	}
	balls, named := Balls(ms), []Ball(nil)
	for _, b := range balls {
		if doubled.MatchString(b.Words) {
			return nil
		}
		if len(ClassesNamed(b.Class)) > 0 {
			named = append(named, b)
		}
	}
	if doubled.MatchString(clause) || len(named) > 0 && len(named) < len(balls) {
		return nil // a yarn of no class may be the one that the gauge is of
	}
	needles, at := millimetres(clause), line
	if needles == nil {
		needles, at = needleLines(ms)
	}
	if needles == nil {
		needles = []float64{0}
	}
	if named == nil {
		named = []Ball{{}}
	}
	var out []Clash
	if d, all := everyOne("gauge", g, needles, named); all {
		out = append(out, Clash{d, line})
	}
	if d, all := everyOne("needle", g, needles, named); all {
		out = append(out, Clash{d, at})
	}
	for _, b := range named {
		if b.Grams <= 0 || b.Metres <= 0 || !toldBall.MatchString(b.Words) {
			continue
		}
		if d, ok := MetresDisagree(b.Class, float64(int(b.Metres*100/b.Grams+0.5))); ok {
			out = append(out, Clash{d, b.Line})
		}
	}
	return out
}

// everyOne gives the disagreement of gauge or needle where each needle with each yarn has it.
func everyOne(who string, g sizing.Gauge, needles []float64, balls []Ball) (first Disagreement, all bool) {
	for _, mm := range needles {
		for _, b := range balls {
			has := false
			for _, d := range Disagreements(g, mm, b.Class) {
				if d.Who == who {
					has = true
					if !all {
						first, all = d, true
					}
				}
			}
			if !has {
				return Disagreement{}, false
			}
		}
	}
	return first, all
}

// stockinette is the first gauge in stockinette, its line and its words; line is 0
// where there is none.
func stockinette(ms *notation.Manuscript) (line int, clause string, g sizing.Gauge) {
	for _, it := range ms.Items {
		f, ok := it.(*notation.Field)
		if !ok {
			continue
		}
		one := notation.Manuscript{Items: []notation.Item{f}}
		if _, plain := gauges(&one); plain.Sts > 0 {
			for _, c := range strings.FieldsFunc(f.Text, func(r rune) bool { return r == ';' || r == '/' }) {
				if plainStitch.MatchString(c) && !notPlain.MatchString(c) {
					clause = c
					break
				}
			}
			return f.Line, clause, plain
		}
	}
	return 0, "", g
}

// needleLines gives the needles of the needle lines in mm, and the first such line; nil
// without one.
func needleLines(ms *notation.Manuscript) (mm []float64, line int) {
	for _, it := range ms.Items {
		f, ok := it.(*notation.Field)
		if !ok || !strings.HasPrefix(strings.ToLower(f.Label), "needle") {
			continue
		}
		got := millimetres(f.Text)
		if n, err := ParseNeedle(f.Text); got == nil && err == nil {
			got = []float64{n.MM}
		}
		if got != nil && line == 0 {
			line = f.Line
		}
		mm = append(mm, got...)
	}
	return mm, line
}

func millimetres(s string) []float64 {
	var out []float64
	for _, m := range needleList.FindAllStringSubmatch(s, -1) {
		for _, n := range anyFigure.FindAllString(m[1], -1) {
			if x := figure(n); x >= 0.5 && x <= 50 {
				out = append(out, x)
			}
		}
	}
	return out
}
