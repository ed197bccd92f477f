package sizing

import (
	_ "embed"
	"fmt"
	"regexp"
	"strings"
	"sync"
)

// Ease is what a garment is larger than the body at the same place, or smaller
// where it is negative: an amount, or a share. The zero value is no ease.
type Ease struct {
	System   string // whose classes these are: "CYC15", "OLD", "hats"
	Class    string // "classic (some positive ease)"
	Place    string // "chest/bust", "head", "hand", "foot"
	Inches   Extent // amount, from its source
	Metric   Extent // the table's own rounding, or converted
	Share    [2]float64
	IsShare  bool // Share counts, in parts of 1; else Inches
	Open     bool // "and up": Max is equal to Min
	Mark     string
	Source   string
	Note     string
	ofLength bool // a length below a place, no ease around it
}

//go:embed ease.tsv
var easeText string

var eases = sync.OnceValue(func() []Ease {
	t, err := ReadTable(easeText)
	if err != nil {
		panic("BUG: embedded table of ease: " + err.Error())
	}
	var out []Ease
	for _, row := range t.Rows {
		e := Ease{System: t.Cell(row, "system"), Class: t.Cell(row, "class"), Place: t.Cell(row, "applies_to"),
			Mark: t.Cell(row, "mark"), Source: t.Source(t.Cell(row, "source")), Note: t.Cell(row, "note")}
		e.ofLength = strings.HasPrefix(e.System, "length")
		if lo, ok := t.Number(row, "ease_pct_min"); ok {
			hi, _ := t.Number(row, "ease_pct_max")
			e.Share, e.IsShare = [2]float64{lo / 100, hi / 100}, true
		} else if lo, ok := t.Number(row, "ease_in_min"); ok {
			hi, closed := t.Number(row, "ease_in_max")
			if e.Open = !closed; e.Open {
				hi = lo
			}
			e.Inches = Extent{In(lo), In(hi), e.Mark}
			e.Metric = Extent{In(lo).Rounded(Metric), In(hi).Rounded(Metric), "converted"}
			if lo, ok := t.Number(row, "ease_cm_min"); ok {
				if hi, closed = t.Number(row, "ease_cm_max"); !closed {
					hi = lo
				}
				e.Metric = Extent{Cm(lo), Cm(hi), e.Mark}
			}
		}
		out = append(out, e)
	}
	return out
})

// Eases lists the classes for a place ("chest", "head", "hand", "foot"), the
// newest system first as the table has it; "" lists all.
func Eases(place string) []Ease {
	var first, rest []Ease
	for _, e := range eases() {
		switch {
		case place != "" && (e.ofLength || !easeFits(e.Place, place)):
		case e.System == "CYC15":
			first = append(first, e)
		default:
			rest = append(rest, e)
		}
	}
	return append(first, rest...)
}

func easeFits(have, want string) bool {
	if want == "bust" {
		want = "chest"
	}
	for _, h := range strings.Split(have, "/") {
		if h == want {
			return true
		}
	}
	return false
}

// UsualEase is what most garments have at a place: classic at the chest, a hat
// 10 to 15 % smaller than the head, a mitten none to half an inch, a sock 10 %
// smaller than the foot. No ease at another place.
func UsualEase(place string) Ease {
	class, ok := map[string]string{"chest": "classic", "bust": "classic", "head": "stockinette or rib", "hand": "usual", "foot": "fitted"}[place]
	if !ok {
		return Ease{Class: "none", Place: place}
	}
	e, err := EaseNamed(class, place)
	if err != nil {
		panic("BUG: usual ease: " + err.Error())
	}
	return e
}

// EaseNamed finds a class by name for a place. Words in the table's brackets
// need not be given. Where two systems have the same word, the newer counts:
// "close" has been 1–2 in and is now 0. The error lists the classes.
func EaseNamed(class, place string) (Ease, error) {
	want := strings.ToLower(strings.TrimSpace(class))
	var names []string
	for _, e := range Eases(place) {
		short, _, _ := strings.Cut(e.Class, " (")
		if want == short || want == e.Class {
			return e, nil
		}
		names = append(names, short)
	}
	if len(names) == 0 {
		return Ease{}, fmt.Errorf("there are no classes of ease at the %s: give an amount", place)
	}
	return Ease{}, fmt.Errorf("there is no ease %q at the %s: give an amount, or one of %s", class, place, strings.Join(names, ", "))
}

var easeAmount = regexp.MustCompile(`^([+\-−–]?)\s*(\d{1,4}(?:[.,]\d{1,4})?)\s*(cm|mm|in|inch|inches|"|″|”|%)$`)

// ParseEase reads a class, or an amount: "classic", "5 cm", "-2 in", "-10%".
// The error says what to write.
func ParseEase(s, place string) (Ease, error) {
	m := easeAmount.FindStringSubmatch(strings.ToLower(strings.TrimSpace(s)))
	if m == nil {
		return EaseNamed(s, place)
	}
	x := decimal(m[2])
	if m[1] != "" && m[1] != "+" {
		x = -x
	}
	e := Ease{Class: strings.TrimSpace(s), Place: place, Mark: "given"}
	var l Length
	switch m[3] {
	case "%":
		if x <= -100 {
			return Ease{}, fmt.Errorf("an ease of %s leaves nothing: give less", s)
		}
		e.Share, e.IsShare = [2]float64{x / 100, x / 100}, true
		return e, nil
	case "cm":
		l = Cm(x)
	case "mm":
		l = Length(x)
	default:
		l = In(x)
	}
	e.Inches, e.Metric = Extent{l, l, "given"}, Extent{l, l, "given"}
	return e, nil
}

// Range is the finished measurement that the class allows for a body, from least
// to most; an open class has its least twice.
func (e Ease) Range(body Length) (lo, hi Length) {
	if e.IsShare {
		return body * Length(1+e.Share[0]), body * Length(1+e.Share[1])
	}
	return body + e.Inches.Min, body + e.Inches.Max
}

// Apply is the finished measurement for a body: the middle of [Ease.Range].
func (e Ease) Apply(body Length) Length {
	lo, hi := e.Range(body)
	return (lo + hi) / 2
}
