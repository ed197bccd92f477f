package handlers

import (
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
