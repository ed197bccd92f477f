package main

import (
	"errors"
	"flag"
	"fmt"
	"io"
	"path/filepath"
	"strconv"
	"strings"

	"rowproof/domain/draft"
	"rowproof/domain/sizing"
)

const draftUsage = `rowproof draft FORM --gauge 20x28 [--sizes S,M,L] [--stitch FILE] [--ease CLASS] [--with key=cm,…]

Writes a manuscript, proved, to standard output. FORM is one of
  %s
--gauge is stitches x rows to 10 cm. --sizes are labels of the body tables (women's for
garments: S,M,L), or the main measurement of each in cm (92,102,112), or both
(S=92,M=102). --stitch is a manuscript with a stitch pattern (- reads standard input).
--with sets other finished measurements, the same for every size: length=60,neck=18.

`

// draftOptions are what the command line asks for.
type draftOptions struct {
	form, gauge, sizes, stitch, ease, with, title, group string
}

// draftPattern is rowproof draft FORM. It answers 0, or 2 where nothing can be drafted so.
func draftPattern(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	var names []string
	for _, f := range sizing.Forms() {
		names = append(names, f.Name)
	}
	use := fmt.Sprintf(draftUsage, strings.Join(names, " "))
	o, err := parseDraft(args, use, stderr)
	var d *draft.Proved
	switch {
	case errors.Is(err, flag.ErrHelp):
		return 0
	case err == nil:
		d, err = o.make(stdin)
	}
	if err != nil {
		fmt.Fprintf(stderr, "rowproof: %v\n", err)
		return 2
	}
	fmt.Fprint(stdout, d.Manuscript)
	for _, p := range d.Problems {
		fmt.Fprintf(stderr, "note: %s\n", o.problem(p, d))
	}
	return 0
}

func parseDraft(args []string, use string, stderr io.Writer) (draftOptions, error) {
	var o draftOptions
	flags := flag.NewFlagSet("draft", flag.ContinueOnError)
	flags.StringVar(&o.gauge, "gauge", "", "stitches x rows to 10 cm")
	flags.StringVar(&o.sizes, "sizes", "", "sizes, smallest first")
	flags.StringVar(&o.stitch, "stitch", "", "manuscript of a stitch pattern")
	flags.StringVar(&o.ease, "ease", "", "class of ease, or cm")
	flags.StringVar(&o.with, "with", "", "other measurements in cm")
	flags.StringVar(&o.title, "title", "", "title of the pattern")
	flags.StringVar(&o.group, "body", "", "whose body tables are taken: "+strings.Join(sizing.Wearers(), ", "))
	form, err := oneFile(flags, args, use, stderr)
	if err != nil {
		return o, err
	}
	o.form = form
	switch {
	case o.form == "":
		return o, errors.New("draft needs a form; rowproof draft --help lists them")
	case o.gauge == "":
		return o, errors.New("draft needs --gauge, stitches x rows to 10 cm, for example 20x28")
	}
	return o, nil
}

func (o draftOptions) make(stdin io.Reader) (*draft.Proved, error) {
	f, err := sizing.FormNamed(o.form)
	if err != nil {
		return nil, err
	}
	g, err := sizing.ParseGauge(o.gauge)
	if err != nil {
		return nil, err
	}
	r := sizing.Request{Form: o.form, Title: o.title, Gauge: g}
	with, err := measuresOf(o.with)
	if err != nil {
		return nil, err
	}
	if r.Sizes, err = sizing.SizesFrom(f, o.group, o.sizes, o.ease); err != nil {
		return nil, err
	}
	for i := range r.Sizes {
		for k, v := range with {
			r.Sizes[i].Wants[k] = v
		}
	}
	if o.stitch != "" {
		text, err := readManuscript(o.stitch, stdin)
		if err != nil {
			return nil, err
		}
		name := ""
		if base := filepath.Base(o.stitch); o.stitch != "-" {
			name = strings.TrimSuffix(base, filepath.Ext(base))
		}
		if r.Stitch, err = draft.Stitch("", text, f.Round); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
	}
	return draft.Make(r)
}

// measuresOf reads "length=60,neck=18".
func measuresOf(s string) (map[string]sizing.Length, error) {
	out := map[string]sizing.Length{}
	for _, part := range strings.FieldsFunc(s, func(r rune) bool { return r == ',' || r == ';' }) {
		key, value, ok := strings.Cut(part, "=")
		cm, err := strconv.ParseFloat(strings.TrimSpace(value), 64)
		if !ok || err != nil {
			return nil, fmt.Errorf("--with %q: write measurements as key=cm, for example length=60", part)
		}
		out[strings.TrimSpace(key)] = sizing.Cm(cm)
	}
	return out, nil
}

// problem says what does not come out as wanted, and what would mend it.
func (o draftOptions) problem(p sizing.DraftProblem, d *draft.Proved) string {
	var names []string
	for _, i := range p.Sizes {
		if i < len(d.Checked.Report.Sizes) && d.Checked.Report.Sizes[i] != "" {
			names = append(names, d.Checked.Report.Sizes[i])
		}
	}
	s := p.Problem
	if len(names) > 0 {
		s = "size " + strings.Join(names, ", ") + ": " + s
	}
	if len(p.Choices) > 0 {
		s += "; try " + strings.Join(p.Choices, ", or ")
	}
	return s
}
