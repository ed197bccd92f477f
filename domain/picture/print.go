package picture

import (
	"bytes"
	"fmt"
	"image/jpeg"

	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

// printScale is how many pixels a stitch has in print: a swatch of 30 stitches
// across half a page is then at some 200 pixels to the inch.
const printScale = 20

// Side is one side of a swatch as a JPEG.
type Side struct {
	JPEG          []byte
	Width, Height int // in pixels
}

// BothSides draws the swatch of a part from RS and WS for print, in the colours
// of the manuscript.
func BothSides(ms *notation.Manuscript, res *needle.Result, part, size int) (rs, ws Side, err error) {
	f, window, err := Swatch(ms, res, part, size)
	if err != nil {
		return rs, ws, err
	}
	opt := Options{Window: window, Gauge: GaugeOf(ms), Colours: ColourwaysOf(ms), Scale: printScale}
	for _, side := range []*Side{&rs, &ws} {
		opt.WS = side == &ws
		img, err := Draw(f, opt)
		if err != nil {
			return rs, ws, err
		}
		var b bytes.Buffer
		if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 86}); err != nil {
			return rs, ws, fmt.Errorf("picture: %w", err)
		}
		side.JPEG, side.Width, side.Height = b.Bytes(), img.Bounds().Dx(), img.Bounds().Dy()
	}
	return rs, ws, nil
}

// Repeats is the first part with a multiple of its own, the one whose fabric a
// print shows; -1 where there is none.
func Repeats(res *needle.Result) int {
	for i, p := range res.Parts {
		if p.Stated != nil && p.Stated.Of > 0 && len(p.Rows) > 1 {
			return i
		}
	}
	return -1
}
