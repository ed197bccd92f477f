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
	flags.SetOutput(io.Discard)
	flags.StringVar(&o.out, "o", "", "file to write")
	flags.StringVar(&o.side, "side", "rs", "rs or ws")
	flags.StringVar(&o.part, "part", "", "part to draw")
	flags.StringVar(&o.size, "size", "", "size to draw, where stitches are cast on")
	flags.StringVar(&o.colours, "colours", "", "colourways by yarn")
	flags.BoolVar(&o.computed, "computed", false, "relax the yarn instead of drawing it")
	for rest := args; ; {
		if err := flags.Parse(rest); err != nil {
			if errors.Is(err, flag.ErrHelp) {
				fmt.Fprint(stderr, pictureUsage)
			}
			return o, err
		}
		if flags.NArg() == 0 {
			break
		}
		if o.file != "" {
			return o, fmt.Errorf("picture takes one file; %q is a second", flags.Arg(0))
		}
		o.file, rest = flags.Arg(0), flags.Args()[1:]
	}
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
	size, err := sizeIndex(res.Manuscript.Sizes, o.size)
	if err != nil {
		return err
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

// sizeIndex finds a size by its name; "" is the first.
func sizeIndex(sizes []string, name string) (int, error) {
	if name == "" {
		return 0, nil
	}
	for i, s := range sizes {
		if strings.EqualFold(s, name) {
			return i, nil
		}
	}
	return 0, fmt.Errorf("there is no size %q; there are %s", name, strings.Join(sizes, ", "))
}
