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

	"rowproof/domain/document"
	"rowproof/domain/pdf"
	"rowproof/domain/picture"
	"rowproof/domain/review"
)

const printUsage = `rowproof print FILE -o OUT.pdf [--size M] [--edition full|one-size|large-print|chart] [--paper a4|letter] [--lang en-US] [--units metric|imperial|both]

Prints a manuscript (- reads standard input). What is printed is told by the ending
of the file: .pdf, .html or .txt. A pattern with errors says "not proved". The edition
of charts has a chart in the place of the rows it shows whole.

`

// printOptions are what the command line asks for.
type printOptions struct {
	file, out, size, edition, paper, lang, units string
}

// printPattern is `rowproof print FILE -o OUT`. It answers 0, or 2 where the file
// cannot be read, written or printed as asked.
func printPattern(args []string, stdin io.Reader, stderr io.Writer) int {
	o, err := parsePrint(args, stderr)
	switch {
	case errors.Is(err, flag.ErrHelp):
		return 0
	case err == nil:
		err = o.print(stdin, stderr)
	}
	if err != nil {
		fmt.Fprintf(stderr, "rowproof: %v\n", err)
		return 2
	}
	return 0
}

// parsePrint reads the command line; the file may stand before, between or behind
// the options.
func parsePrint(args []string, stderr io.Writer) (printOptions, error) {
	var o printOptions
	flags := flag.NewFlagSet("print", flag.ContinueOnError)
	flags.StringVar(&o.out, "o", "", "file to write")
	flags.StringVar(&o.size, "size", "", "print this size only")
	flags.StringVar(&o.edition, "edition", "full", "full, one-size, large-print or chart")
	flags.StringVar(&o.paper, "paper", "a4", "a4 or letter")
	flags.StringVar(&o.lang, "lang", "en-US", "language of the words around the rows")
	flags.StringVar(&o.units, "units", "", "metric, imperial or both; as written without it")
	file, err := oneFile(flags, args, printUsage, stderr)
	if err != nil {
		return o, err
	}
	o.file = file
	if o.file == "" || o.out == "" {
		return o, errors.New("print needs the file to read and, behind -o, the file to write")
	}
	for _, c := range []struct {
		name, value string
		allowed     []string
	}{
		{"--paper", o.paper, []string{"a4", "letter"}},
		{"--units", o.units, []string{"", "metric", "imperial", "both"}},
		{"--edition", o.edition, []string{"full", "one-size", "large-print", "chart"}},
	} {
		if !slices.Contains(c.allowed, c.value) {
			return o, fmt.Errorf("%s is %s, not %q", c.name, strings.TrimPrefix(strings.Join(c.allowed, " or "), " or "), c.value)
		}
	}
	if o.edition == "one-size" && o.size == "" {
		return o, errors.New("a one-size edition needs --size")
	}
	return o, nil
}

func (o printOptions) print(stdin io.Reader, stderr io.Writer) error {
	text, err := readManuscript(o.file, stdin)
	if err != nil {
		return err
	}
	res := review.Check(text)
	in := document.Input{Manuscript: res.Manuscript, Report: res.Report, Worked: res.Needle, Lang: o.lang, Size: -1, Charts: o.edition == "chart", Colours: picture.Solids(res.Manuscript)}
	if o.size != "" {
		if in.Size, err = sizeIndex(res.Manuscript.Sizes, o.size); err != nil {
			return err
		}
	}
	in.Pictures = pdf.FabricPictures(res.Manuscript, res.Needle, o.lang)
	doc := document.Build(in).InUnits(document.Units(o.units))
	var b bytes.Buffer
	switch ending := strings.ToLower(filepath.Ext(o.out)); ending {
	case ".pdf":
		opt := pdf.Options{Large: o.edition == "large-print"}
		if o.paper == "letter" {
			opt.Paper = pdf.Letter
		}
		err = pdf.Write(&b, doc, opt)
	case ".html":
		err = doc.HTML(&b)
	case ".txt":
		err = doc.Text(&b)
	default:
		err = fmt.Errorf("a file that ends in %q cannot be printed; .pdf, .html and .txt can", ending)
	}
	if err != nil {
		return err
	}
	if err := os.WriteFile(o.out, b.Bytes(), 0o644); err != nil {
		return err
	}
	if errs := res.Errors(); errs > 0 {
		fmt.Fprintf(stderr, "printed with %s in it, and says so; rowproof check %s tells more\n", errorsOf(errs), o.file)
	}
	return nil
}
