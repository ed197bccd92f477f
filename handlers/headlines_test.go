package handlers

import (
	"fmt"
	"strings"
	"testing"

	"rowproof/domain/notation"
)

const headed = `Fen Pullover
by Nobody

Sizes: S (M, L)
Finished chest:  92 (102, 112) cm
Yarn A: DK wool, 50 g = 110 m
Yarn B:  the same in white
Needles :  4 mm
Tension: 22 sts and 30 rows = 10 cm

Notes
Worked flat,
in pieces.

Abbreviations
BOB = make a bobble

Back
CO 83 (95, 107) sts.
Row 1 (RS):  Knit .
`

func TestHeadsAreRead(t *testing.T) {
	got := readHeads(notation.Read(headed))
	want := heads{
		Title: "Fen Pullover", Sizes: "S (M, L)", Gauge: "22 sts and 30 rows = 10 cm", Yarn: "DK wool, 50 g = 110 m\nthe same in white",
		Needles: "4 mm", Notes: "Worked flat,\nin pieces.", Abbreviations: "BOB = make a bobble",
	}
	if got != want {
		t.Errorf("readHeads gives\n%+v\nwant\n%+v", got, want)
	}
}

func TestHeadsUnchangedChangeNothing(t *testing.T) {
	for _, text := range []string{headed, rightScarf, "", "Hat", "Row 1: knit.\n", headed + "\n\n  \n"} {
		h := readHeads(notation.Read(text))
		if got := writeHeads(text, h, h); got != text {
			t.Errorf("writeHeads of unchanged heads makes %q of %q", got, text)
		}
	}
}

func TestHeadsChangeTheirLines(t *testing.T) {
	r := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(headed) }
	for _, test := range []struct {
		name   string
		change func(*heads)
		want   string
	}{
		{"title", func(h *heads) { h.Title = "Fen Jumper" }, r("Fen Pullover", "Fen Jumper")},
		{"sizes", func(h *heads) { h.Sizes = "1 (2, 3)" }, r("Sizes: S (M, L)", "Sizes: 1 (2, 3)")},
		{"one of two yarns", func(h *heads) { h.Yarn = "DK wool, 50 g = 110 m\nthe same in red" }, r("in white", "in red")},
		{"a yarn more", func(h *heads) { h.Yarn += "\na little green" }, r("in white\n", "in white\nYarn: a little green\n")},
		{"a yarn less", func(h *heads) { h.Yarn = "DK wool, 50 g = 110 m" }, r("Yarn B:  the same in white\n", "")},
		{"gauge keeps its label", func(h *heads) { h.Gauge = "20 sts = 10 cm" }, r("22 sts and 30 rows = 10 cm", "20 sts = 10 cm")},
		{"notes", func(h *heads) { h.Notes = "Worked flat." }, r("Worked flat,\nin pieces.", "Worked flat.")},
		{"abbreviations gone", func(h *heads) { h.Abbreviations = "" }, r("Abbreviations\nBOB = make a bobble\n", "")},
	} {
		was := readHeads(notation.Read(headed))
		now := was
		test.change(&now)
		got := writeHeads(headed, was, now)
		if got != test.want {
			t.Errorf("%s: got\n%s\nwant\n%s", test.name, got, test.want)
		}
		if back := readHeads(notation.Read(got)); back != now {
			t.Errorf("%s: read back as\n%+v\nwant\n%+v", test.name, back, now)
		}
	}
}

func TestHeadsInAnEmptyManuscript(t *testing.T) {
	now := heads{Title: "Hat", Sizes: "S, M", Gauge: "20 sts = 10 cm", Yarn: "wool", Needles: "4 mm"}
	got := writeHeads("", heads{}, now)
	if back := readHeads(notation.Read(got)); back != now {
		t.Errorf("of %q is read\n%+v\nwant\n%+v", got, back, now)
	}
}

const headedAbove = `Fen Pullover

SIZES
S (M, L)
To fit chest 90 (100, 110) cm

YARN
DK wool, 50 g = 110 m
the same in white

Needles:

4 mm

GAUGE
22 sts and 30 rows = 10 cm

Back
CO 83 (95, 107) sts.
Row 1 (RS): Knit.
`

func TestHeadsBelowTheirLabels(t *testing.T) {
	was := readHeads(notation.Read(headedAbove))
	want := heads{Title: "Fen Pullover", Sizes: "S (M, L)", Gauge: "22 sts and 30 rows = 10 cm", Yarn: "DK wool, 50 g = 110 m\nthe same in white", Needles: "4 mm"}
	if was != want {
		t.Fatalf("readHeads gives\n%+v\nwant\n%+v", was, want)
	}
	if got, want := fmt.Sprint(otherHeads(notation.Read(headedAbove))), "[{SIZES [To fit chest 90 (100, 110) cm]}]"; got != want {
		t.Errorf("the other lines of the head are %s, want %s", got, want)
	}
	r := func(pairs ...string) string { return strings.NewReplacer(pairs...).Replace(headedAbove) }
	for _, test := range []struct {
		name   string
		change func(*heads)
		want   string
	}{
		{"sizes keep whom they fit", func(h *heads) { h.Sizes = "1 (2, 3)" }, r("S (M, L)", "1 (2, 3)")},
		{"a yarn more", func(h *heads) { h.Yarn += "\na little green" }, r("in white\n", "in white\na little green\n")},
		{"no yarn", func(h *heads) { h.Yarn = "" }, r("YARN\nDK wool, 50 g = 110 m\nthe same in white\n", "")},
		{"no needles", func(h *heads) { h.Needles = "" }, r("Needles:\n\n4 mm\n", "")},
		{"gauge", func(h *heads) { h.Gauge = "20 sts = 10 cm" }, r("22 sts and 30 rows = 10 cm", "20 sts = 10 cm")},
	} {
		now := was
		test.change(&now)
		if got := writeHeads(headedAbove, was, now); got != test.want {
			t.Errorf("%s: got\n%s\nwant\n%s", test.name, got, test.want)
		}
	}
	if got := writeHeads(headedAbove, was, was); got != headedAbove {
		t.Errorf("unchanged heads make %q", got)
	}
}
