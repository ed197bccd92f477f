package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"

	"rowproof/domain/chart"
	"rowproof/domain/picture"
	"rowproof/domain/review"
)

const pictureUsage = `rowproof picture FILE -o OUT.png [--side rs|ws] [--part NAME] [--size M] [--colours TEXT]

Draws how the fabric of a manuscript looks (- reads standard input): of the first
part that repeats, or of the part named; .png or .svg by the ending of the file.
Colours are told by yarn: "A: #5b3a29; B: stripes #eeddcc 30 cm, #335577 40 cm".

`

// pictureOptions are what the command line asks for.
type pictureOptions struct {
	file, out, side, part, size, colours string
	computed                             bool
}

// drawPicture is rowproof picture FILE -o OUT.png. It answers 0, or 2 where the
// file cannot be read, drawn or written.
func drawPicture(args []string, stdin io.Reader, stderr io.Writer) int {
	o, err := parsePicture(args, stderr)
	switch {
	case errors.Is(err, flag.ErrHelp):
		return 0
	case err == nil:
		err = o.draw(stdin)
	}
	if err != nil {
		msg := strings.TrimPrefix(strings.TrimPrefix(err.Error(), "picture: "), "fabric: ")
		fmt.Fprintf(stderr, "rowproof: %s\n", msg)
		return 2
	}
	return 0
}

func parsePicture(args []string, stderr io.Writer) (pictureOptions, error) {
	var o pictureOptions
	flags := flag.NewFlagSet("picture", flag.ContinueOnError)
	flags.StringVar(&o.out, "o", "", "file to write")
	flags.StringVar(&o.side, "side", "rs", "rs or ws")
	flags.StringVar(&o.part, "part", "", "part to draw")
	flags.StringVar(&o.size, "size", "", "size to draw, where stitches are cast on")
	flags.StringVar(&o.colours, "colours", "", "colourways by yarn")
	flags.BoolVar(&o.computed, "computed", false, "relax the yarn instead of drawing it")
	file, err := oneFile(flags, args, pictureUsage, stderr)
	if err != nil {
		return o, err
	}
	o.file = file
	ending := strings.ToLower(filepath.Ext(o.out))
	switch {
	case o.file == "" || o.out == "":
		return o, errors.New("picture needs the file to read and, behind -o, the file to write")
	case o.side != "rs" && o.side != "ws":
		return o, fmt.Errorf("--side is rs or ws, not %q", o.side)
	case ending != ".png" && ending != ".svg":
		return o, fmt.Errorf("a picture is drawn as .png or .svg; %q ends otherwise", o.out)
	case o.computed:
		return o, errors.New("--computed, the picture of relaxed yarn, is not built yet; without it the fabric is drawn")
	}
	return o, nil
}

func (o pictureOptions) draw(stdin io.Reader) error {
	text, err := readManuscript(o.file, stdin)
	if err != nil {
		return err
	}
	res := review.Check(text)
	size := 0
	if o.size != "" {
		if size, err = sizeIndex(res.Manuscript.Sizes, o.size); err != nil {
			return err
		}
	}
	var sections chart.Options // a section's lines, which a picture does not need
	part, err := chartOptions{file: o.file, part: o.part}.pick(res, &sections)
	if err != nil {
		return err
	}
	colours, err := picture.ParseColourways(o.colours, res.Manuscript.Yarns)
	if err != nil {
		return err
	}
	if o.colours == "" {
		colours = picture.ColourwaysOf(res.Manuscript)
	}
	f, window, err := picture.Swatch(res.Manuscript, res.Needle, part, size)
	if err != nil {
		return err
	}
	opt := picture.Options{WS: o.side == "ws", Window: window, Gauge: picture.GaugeOf(res.Manuscript), Colours: colours}
	var b bytes.Buffer
	if strings.EqualFold(filepath.Ext(o.out), ".svg") {
		err = picture.SVG(&b, f, opt)
	} else {
		err = picture.PNG(&b, f, opt)
	}
	if err != nil {
		return err
	}
	return os.WriteFile(o.out, b.Bytes(), 0o644)
}
