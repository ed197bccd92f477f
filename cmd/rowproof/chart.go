package main

import (
	"bytes"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"rowproof/domain/chart"
	"rowproof/domain/document"
	"rowproof/domain/picture"
	"rowproof/domain/review"
)

const chartUsage = `rowproof chart FILE -o OUT.svg [--symbols plain|jis] [--part NAME] [--size M]

Draws the symbol chart of a part of a manuscript (- reads standard input) with its
key: of the first part that repeats, or of the part or section named.

`

// chartOptions are what the command line asks for.
type chartOptions struct {
	file, out, symbols, part, size string
}

// drawChart is rowproof chart FILE -o OUT.svg. It answers 0, or 2 where the file
// cannot be read, charted or written.
func drawChart(args []string, stdin io.Reader, stderr io.Writer) int {
	o, err := parseChart(args, stderr)
	switch {
	case errors.Is(err, flag.ErrHelp):
		return 0
	case err == nil:
		err = o.draw(stdin, stderr)
	}
	if err != nil {
		fmt.Fprintf(stderr, "rowproof: %s\n", document.WhyNoChart(err))
		return 2
	}
	return 0
}

// parseChart reads the command line; the file may stand before, between or behind
// the options.
func parseChart(args []string, stderr io.Writer) (chartOptions, error) {
	var o chartOptions
	flags := flag.NewFlagSet("chart", flag.ContinueOnError)
	flags.StringVar(&o.out, "o", "", "file to write")
	flags.StringVar(&o.symbols, "symbols", chart.Sets[0], "symbol set")
	flags.StringVar(&o.part, "part", "", "part or section to chart")
	flags.StringVar(&o.size, "size", "", "size to chart, where stitches are cast on")
	file, err := oneFile(flags, args, chartUsage, stderr)
	if err != nil {
		return o, err
	}
	o.file = file
	switch {
	case o.file == "" || o.out == "":
		return o, errors.New("chart needs the file to read and, behind -o, the file to write")
	case !slices.Contains(chart.Sets, o.symbols):
		return o, fmt.Errorf("--symbols is %s, not %q", strings.Join(chart.Sets, " or "), o.symbols)
	case !strings.EqualFold(filepath.Ext(o.out), ".svg"):
		return o, fmt.Errorf("a chart is drawn as .svg; %q ends otherwise", o.out)
	}
	return o, nil
}

func (o chartOptions) draw(stdin io.Reader, stderr io.Writer) error {
	text, err := readManuscript(o.file, stdin)
	if err != nil {
		return err
	}
	res := review.Check(text)
	opt := chart.Options{Symbols: o.symbols, Colours: picture.Solids(res.Manuscript)}
	if o.size != "" {
		if opt.Size, err = sizeIndex(res.Manuscript.Sizes, o.size); err != nil {
			return err
		}
	}
	part, err := o.pick(res, &opt)
	if err != nil {
		return err
	}
	c, err := chart.Make(res.Manuscript, res.Needle, part, opt)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := c.SVG(&b, "", chart.Look{}); err != nil {
		return err
	}
	if err := os.WriteFile(o.out, b.Bytes(), 0o644); err != nil {
		return err
	}
	if errs := res.Errors(); errs > 0 {
		fmt.Fprintf(stderr, "drawn, but rowproof check %s finds %s in the pattern\n", o.file, errorsOf(errs))
	}
	return nil
}

// pick finds the part to chart, and in opt the lines of a section that was named.
// Without a name it is the first part that repeats, else the first with rows.
func (o chartOptions) pick(res *review.Result, opt *chart.Options) (int, error) {
	parts, first := res.Needle.Parts, -1
	for i, p := range parts {
		if len(p.Rows) == 0 {
			continue
		}
		if first < 0 {
			first = i
		}
		switch {
		case o.part != "" && strings.EqualFold(p.Name, o.part):
			return i, nil
		case o.part == "" && (p.Stated != nil && p.Stated.Of > 0 || p.Needs != nil && p.Needs.Of > 1):
			return i, nil
		}
	}
	if first < 0 {
		return 0, fmt.Errorf("%s has no rows to chart", o.file)
	}
	if o.part == "" {
		return first, nil
	}
	var names []string
	for _, s := range chart.Sections(res.Manuscript, res.Needle) {
		if strings.EqualFold(s.Name, o.part) {
			opt.From, opt.To = s.From, s.To
			return s.Part, nil
		}
		names = append(names, s.Name)
	}
	return 0, fmt.Errorf("there is no part %q; there are %s", o.part, strings.Join(names, ", "))
}

// errorsOf is a number of errors in words.
func errorsOf(n int) string {
	if n == 1 {
		return "1 error"
	}
	return fmt.Sprintf("%d errors", n)
}
