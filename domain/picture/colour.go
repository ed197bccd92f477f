package picture

import (
	"fmt"
	"image/color"
	"strings"
)

// Kind of a colourway.
type Kind uint8

const (
	Solid     Kind = iota // one colour
	Tweed                 // one colour with flecks
	Stripes               // colours that change at once, in runs of a length
	Variegate             // colours that run into each other, in runs of a length
)

// Run is a length of yarn in one colour.
type Run struct {
	Colour color.RGBA
	CM     float64 // in centimetres, above 0; no matter for Solid and Tweed
}

// Colourway is how one yarn is dyed.
type Colourway struct {
	Kind   Kind
	Runs   []Run        // one for Solid and Tweed
	Flecks []color.RGBA // of Tweed
	Start  float64      // how far into its runs the yarn begins, in centimetres
}

// Colourways are those of a picture, by the yarn's name as the pattern writes it, in capitals.
type Colourways map[string]Colourway

// Of gives the colourway of a yarn, the n-th of those the pattern names; yarns
// that have none take one of the house's own.
func (c Colourways) Of(yarn string, n int) Colourway {
	if w, ok := c[strings.ToUpper(yarn)]; ok && len(w.Runs) > 0 {
		return w
	}
	return Colourway{Kind: Solid, Runs: []Run{{Colour: house(yarn, n)}}}
}

// The house's own colours, like wool: neighbours in the list are well apart in lightness.
var houseColours = []color.RGBA{
	{0xe6, 0xdc, 0xc6, 255}, // undyed
	{0x2f, 0x45, 0x6e, 255}, // indigo
	{0xb4, 0x52, 0x3b, 255}, // madder
	{0xd9, 0xb1, 0x4a, 255}, // weld
	{0x55, 0x6b, 0x3c, 255}, // moss
	{0x9f, 0xb6, 0xbe, 255}, // mist
	{0x6b, 0x3a, 0x55, 255}, // bramble
	{0xc9, 0x8f, 0x86, 255}, // clay
	{0x4b, 0x3a, 0x30, 255}, // peat
	{0x4f, 0x8a, 0x86, 255}, // lichen
}

func house(yarn string, n int) color.RGBA {
	y := strings.ToUpper(yarn)
	switch {
	case len(y) == 1 && y[0] >= 'A' && y[0] <= 'Z':
		n = int(y[0] - 'A')
	case y == "MC" || y == "":
		n = 0
	case y == "CC":
		n = 1
	case strings.HasPrefix(y, "CC") && len(y) == 3 && y[2] >= '1' && y[2] <= '9':
		n = int(y[2] - '0')
	}
	return houseColours[((n%len(houseColours))+len(houseColours))%len(houseColours)]
}

func hex(c color.RGBA) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }
