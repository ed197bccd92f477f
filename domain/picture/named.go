package picture

import (
	"strings"

	"rowproof/domain/notation"
)

// Nameless stands in a colourway line for the yarn of a pattern that names none.
const Nameless = "yarn"

// ColourwaysOf reads the "Colourway:" lines of a manuscript's head, in the form
// that ParseColourways reads. What it cannot read it leaves out: the house's own
// colours stand in.
func ColourwaysOf(ms *notation.Manuscript) Colourways {
	out := Colourways{}
	for _, it := range ms.Items {
		f, ok := it.(*notation.Field)
		if !ok || !isColourway(f.Label) {
			continue
		}
		ways, err := ParseColourways(strings.TrimRight(f.Text, " ."), nil)
		if err != nil {
			continue
		}
		for yarn, way := range ways {
			out[yarnKey(yarn)] = way
		}
	}
	return out
}

// Solids are the colours, "#rrggbb", of the yarns whose colourway a manuscript
// states as one colour, flecked or not: what a chart can show of them.
func Solids(ms *notation.Manuscript) map[string]string {
	out := map[string]string{}
	for yarn, way := range ColourwaysOf(ms) {
		if way.Kind == Solid || way.Kind == Tweed {
			out[yarn] = hex(way.Runs[0].Colour)
		}
	}
	return out
}

func isColourway(label string) bool {
	l := strings.ToLower(strings.Trim(label, " *:"))
	return l == "colourway" || l == "colourways" || l == "colorway" || l == "colorways"
}

func yarnKey(yarn string) string {
	if strings.EqualFold(yarn, Nameless) {
		return ""
	}
	return strings.ToUpper(yarn)
}
