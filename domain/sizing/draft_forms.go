package sizing

import "fmt"

// The register of forms. A new form is one entry here and one function in a form_ file.
//
// What a measure is taken from where neither a body nor the designer tells it
// are proportions of common practice, from memory.
var forms []Form

func init() {
	part := func(of string, by float64, plus Length) func(map[string]Length) Length {
		return func(w map[string]Length) Length {
			if w[of] == 0 {
				return 0
			}
			return w[of]*Length(by) + plus
		}
	}
	chest := Measure{Key: "chest", Name: "Chest", Usual: Cm(102)}
	hem := Measure{Key: "hem", Name: "Rib at hem and cuffs", Usual: Cm(5)}
	armhole := Measure{Key: "armhole", Name: "Armhole depth", From: part("chest", 0.15, Cm(5.5))}
	length := Measure{Key: "length", Name: "Length from shoulder", From: part("chest", 0.22, Cm(36))}
	neck := Measure{Key: "neck", Name: "Neck width", From: part("chest", 0.09, Cm(9))}
	drop := Measure{Key: "drop", Name: "Front neck depth", Usual: Cm(8)}
	cuff := Measure{Key: "cuff", Name: "Cuff", From: part("chest", 0.1, Cm(11))}
	upper := Measure{Key: "upper", Name: "Upper arm", From: part("chest", 0.26, Cm(8))}
	across := Measure{Key: "across", Name: "Width between the armholes", From: part("chest", 0.24, Cm(12.5))}
	sleeve := func(cm float64) Measure {
		return Measure{Key: "sleeve", Name: "Sleeve length to underarm", Usual: Cm(cm)}
	}
	forms = []Form{
		{Name: "swatch", Title: "Swatch", Measures: []Measure{{Key: "width", Name: "Width", Usual: Cm(15)}, {Key: "height", Name: "Height", Usual: Cm(15)}}, draft: rectangle("Swatch", "height", 4)},
		{Name: "scarf", Title: "Scarf", Measures: []Measure{{Key: "width", Name: "Width", Usual: Cm(25)}, {Key: "length", Name: "Length", Usual: Cm(170)}}, draft: rectangle("Scarf", "length", 4)},
		{Name: "blanket", Title: "Blanket", Measures: []Measure{{Key: "width", Name: "Width", Usual: Cm(90)}, {Key: "length", Name: "Length", Usual: Cm(110)}}, draft: rectangle("Blanket", "length", 8)},
		{Name: "cowl", Title: "Cowl", Round: true, Measures: []Measure{{Key: "around", Name: "Circumference", Usual: Cm(64)}, {Key: "depth", Name: "Depth", Usual: Cm(24)}}, draft: cowl},
		{Name: "cushion", Title: "Cushion cover", Measures: []Measure{{Key: "width", Name: "Width", Usual: Cm(40)}, {Key: "length", Name: "Length, both faces", From: part("width", 2, Cm(2))}}, draft: rectangle("Cover", "length", 0)},
		{Name: "hat", Title: "Hat", Round: true, Group: "head", Measures: []Measure{{Key: "around", Name: "Circumference", Usual: Cm(50)}, {Key: "depth", Name: "Depth", From: part("around", 0.36, Cm(3))}, {Key: "brim", Name: "Brim", Usual: Cm(4)}}, draft: hat},
		{Name: "mitten", Title: "Mittens", Round: true, Group: "hand", Measures: []Measure{{Key: "around", Name: "Hand circumference", Usual: Cm(20)}, {Key: "length", Name: "Length with cuff", From: part("around", 0.9, Cm(8))}, {Key: "cuff", Name: "Cuff", Usual: Cm(7)}, {Key: "gusset", Name: "Gusset", From: part("around", 0.28, 0)}, {Key: "thumb", Name: "Thumb", From: part("around", 0.26, 0)}}, draft: mitten},
		{Name: "triangle", Title: "Triangular shawl", Measures: []Measure{{Key: "depth", Name: "Depth along the spine", Usual: Cm(70)}}, draft: triangle},
		{Name: "crescent", Title: "Crescent shawl", Measures: []Measure{{Key: "depth", Name: "Depth", Usual: Cm(40)}, {Key: "edge", Name: "Lower edge", From: part("depth", 3.2, 0)}}, draft: crescent},
		{Name: "pullover", Title: "Drop-shoulder pullover", Group: "body", Measures: []Measure{chest, hem, armhole, length, neck, drop, cuff, sleeve(42)}, draft: pullover},
		{Name: "cardigan", Title: "Drop-shoulder cardigan", Group: "body", Measures: []Measure{chest, hem, armhole, length, neck, drop, cuff, sleeve(42)}, draft: cardigan},
		{Name: "raglan", Title: "Raglan pullover from the top", Round: true, Group: "body", Measures: []Measure{chest, hem, {Key: "yoke", Name: "Yoke depth", From: part("chest", 0.16, Cm(6))}, length, {Key: "neck", Name: "Neck circumference", From: part("chest", 0.16, Cm(28))}, upper, cuff, sleeve(44)}, draft: raglan},
		{Name: "set-in", Title: "Pullover with set-in sleeves", Group: "body", Measures: []Measure{chest, hem, armhole, across, length, neck, drop, upper, cuff, sleeve(45)}, draft: setIn},
	}
}

// impossible says that a size leaves nothing to knit.
func (d *drafting) impossible(measure string, size int, why string) error {
	return fmt.Errorf("%w: size %s: %s (%s %s cm)", ErrDraft, d.req.Sizes[size].Label, why, measure, centimetres(d.want[measure][size]))
}

// tell looks at the first measured value of a measure: whether it stays within half a
// repeat of what is wanted, and whether the sizes stay apart and in order.
func (d *drafting) tell(measure string, repeat int) {
	var m *Finished
	for i := range d.out.Finished {
		if d.out.Finished[i].Want[0] == d.want[measure][0] && d.out.Finished[i].Part == "" {
			m = &d.out.Finished[i]
			break
		}
	}
	if m == nil {
		return
	}
	half := d.req.Gauge.Width(repeat)/2 + d.req.Gauge.StitchWidth()/2
	var off, same, less []int
	for i := range m.Got {
		if diff := m.Got[i] - m.Want[i]; diff > half || diff < -half {
			off = append(off, i)
		}
		if i == 0 || m.Want[i] <= m.Want[i-1] {
			continue
		}
		switch {
		case m.Got[i] == m.Got[i-1]:
			same = append(same, i-1, i)
		case m.Got[i] < m.Got[i-1]:
			less = append(less, i)
		}
	}
	choices := []string{"a stitch with a smaller repeat", "sizes further apart"}
	if len(off) > 0 {
		d.problem(measure, off, fmt.Sprintf("%s comes out more than half a repeat (%s cm) from what is wanted", m.Name, number(half.Cm())), choices[0], "another width")
	}
	if len(same) > 0 {
		d.problem(measure, same, "neighbouring sizes come out equal", choices...)
	}
	if len(less) > 0 {
		d.problem(measure, less, "a larger size comes out smaller than the one before", choices...)
	}
}

// compare puts the problems in the order they were found, one of each kind.
func (d *drafting) compare() {
	seen := map[string]bool{}
	kept := d.out.Problems[:0]
	for _, p := range d.out.Problems {
		if k := p.Measure + p.Problem; !seen[k] {
			seen[k] = true
			kept = append(kept, p)
		}
	}
	d.out.Problems = kept
}
