package document

import (
	"bytes"
	"os"
	"strings"
	"testing"
	"time"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
	"rowproof/domain/review"
)

// reported makes a report whose counts are those the manuscript states, each row
// without one keeping the count before it. It stands in for the proof where only
// the printing is tested.
func reported(ms *notation.Manuscript) *review.Report {
	rep := &review.Report{Title: ms.Title, Sizes: ms.Sizes}
	var part *review.Part
	var now []int
	each := func(n notation.Num) []int {
		out := make([]int, len(ms.Sizes))
		for i := range out {
			out[i] = n.For(i)
		}
		return out
	}
	row := func(name string, line int, st []notation.Stated, only []int) {
		for _, s := range st {
			if s.Kind == notation.CountAll {
				now = each(s.N)
			}
		}
		if part == nil || now == nil {
			return
		}
		c := make([]*int, len(now))
		for i, v := range now {
			in := only == nil
			for _, o := range only {
				in = in || o == i
			}
			if in {
				c[i] = &v
			}
		}
		part.Rows = append(part.Rows, review.Row{Row: name, Line: line, Counts: c, LastCounts: c})
	}
	piece := ""
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *notation.Heading:
			piece = it.Text
		case *notation.Begin:
			rep.Parts = append(rep.Parts, review.Part{Name: piece, Worked: "flat"})
			part = &rep.Parts[len(rep.Parts)-1]
			now = each(it.N)
			part.CastOn = now
		case *notation.Row:
			if len(it.Head.Numbers) == 0 {
				row(it.Name(), it.Line, it.Stated, it.Only)
			}
			for _, n := range it.Head.Numbers {
				row(figure(n), it.Line, it.Stated, it.Only)
			}
		case *notation.RepRows:
			row(it.Words, it.Line, it.Stated, it.Only)
		case *notation.Shape:
			row(it.Words, it.Line, it.Stated, it.Only)
		}
	}
	return rep
}

func readHat(t testing.TB) *notation.Manuscript {
	t.Helper()
	b, err := os.ReadFile("testdata/hat.txt")
	if err != nil {
		t.Fatal(err)
	}
	return notation.Read(string(b))
}

func hatInput(t testing.TB, size int) Input {
	ms := readHat(t)
	return Input{Manuscript: ms, Report: reported(ms), Revision: 2, Date: time.Date(2026, 11, 25, 0, 0, 0, 0, time.UTC), URL: "https://studio.example/skerry", Size: size}
}

func text(t testing.TB, d *Document) string {
	t.Helper()
	var b bytes.Buffer
	if err := d.Text(&b); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// flat undoes the wrapping of lines.
func flat(s string) string { return strings.Join(strings.Fields(s), " ") }

func TestBuildFull(t *testing.T) {
	got := flat(text(t, Build(hatInput(t, -1))))
	for _, want := range []string{
		"SKERRY CAP by Ada Holm", "Revision 2", "25 November 2026",
		"72 (84, 96, 104, 112) sts",
		"Rnd 1: *K7 (5, 6, 11, 12), k2tog; rep from * around. — 64 (72, 84, 96, 104)",
		"Rnds 2–3: Knit.",
		"Rnd 4: *K6 (4, 5, 10, 11), k2tog; rep from * around. — 56 (60, 72, 88, 96)",
		"28 (30, 36, 44, 48) sts",
		"Weigh the yarn before you start – the last ball is close.",
		"k2tog: knit 2 stitches together", "20½", "© 2026 Ada Holm. For private use.",
		"Sizes Baby and Child only", "button", "no substitute",
		"https://studio.example/skerry",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("full edition lacks %q", want)
		}
	}
	for _, not := range []string{"xyz", "Not proved", "around. - 64", "sts. —"} {
		if strings.Contains(got, not) {
			t.Errorf("full edition says %q", not)
		}
	}
	if n := strings.Count(got, "64 (72, 84, 96, 104)"); n != 1 {
		t.Errorf("the count of Rnd 1 is printed %d times in rows, want once", n)
	}
}

func TestBuildOneSize(t *testing.T) {
	got := flat(text(t, Build(hatInput(t, 1))))
	for _, want := range []string{"Size Child", "CO 84 sts", "Rep Rib rnd 9 times more.", "*K5, k2tog; rep from * around. — 72 sts", "— 60 sts", "1 balls in A", "16½"} {
		if !strings.Contains(got, want) {
			t.Errorf("edition for one size lacks %q", want)
		}
	}
	if strings.Contains(got, "(5, 6") || strings.Contains(got, "(84,") || strings.Contains(got, "104") {
		t.Error("edition for one size has numbers of others")
	}
	adult := text(t, Build(hatInput(t, 4)))
	if strings.Contains(adult, "Rnd 5") {
		t.Error("edition for Adult L has Rnd 5, which that size skips")
	}
}

func TestNotProved(t *testing.T) {
	in := hatInput(t, -1)
	in.Report.Findings = []review.ReportFinding{{Severity: finding.Error}, {Severity: finding.Warning}, {Severity: finding.Error}}
	d := Build(in)
	n, ok := d.Blocks[1].(*Notice)
	if !ok || n.Kind != NotProved || n.Head != "Not proved: 2 findings" {
		t.Errorf("second block is %#v, want the notice “Not proved: 2 findings”", d.Blocks[1])
	}
}

// Without a report the designer's own counts stay where she wrote them.
func TestNoReport(t *testing.T) {
	in := hatInput(t, -1)
	in.Report = nil
	got := flat(text(t, Build(in)))
	if !strings.Contains(got, "rep from * around. – 64 (72, 84, 96, 104) sts.") {
		t.Errorf("stated counts are lost without a report:\n%s", got)
	}
}

// A piece named below the title, before its sizes, gauge and terms, heads the
// instructions; what comes between is the front of the pattern.
func TestPieceNamedBeforeTheFront(t *testing.T) {
	ms := notation.Read("MOSS BANK CARDIGAN\nSLEEVES\n\nSIZES\nSmall (Large)\n\nABBREVIATIONS\nk = knit. p = purl.\n\nCast on 20 (24) sts.\n1st row: K1, *p1, k1; rep from * to last st, p1.\n")
	got := text(t, Build(Input{Manuscript: ms, Size: -1}))
	terms, piece := strings.Index(got, "Abbreviations"), strings.Index(got, "SLEEVES")
	if terms < 0 || piece < terms || strings.Contains(got, "Special stitches") {
		t.Errorf("the piece is not behind the terms:\n%s", got)
	}
}

// The points of a title, of initials and of "St." do not end a designer's name; a sentence does.
func TestByline(t *testing.T) {
	for _, c := range []struct{ text, name, more string }{
		{"Ottilie Brandreth", "Ottilie Brandreth", ""},
		{"Mrs. J. M. Holt", "Mrs. J. M. Holt", ""},
		{"Prof. Anna St. Clair", "Prof. Anna St. Clair", ""},
		{"E. M. Tolland. Leaflet 12", "E. M. Tolland", "Leaflet 12"},
		{"studio team. Leaflet 12. Second printing", "studio team", "Leaflet 12. Second printing"},
		{"", "", ""},
	} {
		if name, more := byline(c.text); name != c.name || more != c.more {
			t.Errorf("%q is parted into %q and %q, want %q and %q", c.text, name, more, c.name, c.more)
		}
	}
}

// A line that names the designer stands below the title whole, whatever points are in it.
func TestDesignerBelowTheTitle(t *testing.T) {
	const rest = "\n\nCast on 24 sts.\nRow 1 (RS): Knit.\nBind off.\n"
	for line, want := range map[string]string{
		"Designed by Anna St. Clair":                      "Anna St. Clair",
		"By E. M. Tolland.":                               "E. M. Tolland",
		"Design by Mrs. J. Holt and Dr. O'Hara-Webb":      "Mrs. J. Holt and Dr. O’Hara-Webb",
		"by Ines van der Waldorff. Leaflet 12":            "Ines van der Waldorff",
		"Designer: Prof. J. Holt":                         "Prof. J. Holt",
		"by Anna Holt. Cast on as loosely as you like it": "Anna Holt",
	} {
		if got := Build(Input{Manuscript: notation.Read("Marsh Cowl\n\n" + line + rest), Size: -1}).Designer; got != want {
			t.Errorf("%q: the designer is %q, want %q", line, got, want)
		}
	}
	if d := Build(Input{Manuscript: notation.Read("By The Sea\n\nby Anna Holt" + rest), Size: -1}); d.Title != "By The Sea" || d.Designer != "Anna Holt" {
		t.Errorf("a title that begins with “By”: %q by %q", d.Title, d.Designer)
	}
}

// Counts are bracketed as the designer brackets hers.
func TestCountsAreBracketedAsWritten(t *testing.T) {
	for _, c := range []struct{ castOn, want string }{
		{"CO 60 (66, 72, 78, 84) sts.", "62 (68, 74, 80, 86) sts"},
		{"CO 60 (66, 72) (78, 84) sts.", "62 (68, 74) (80, 86) sts"},
		{"CO 60 [66: 72: 78: 84] sts.", "62 [68: 74: 80: 86] sts"},
		{"CO 60 (66) [72, 78] {84} sts.", "62 (68) [74, 80] {86} sts"},
	} {
		sizes := strings.NewReplacer("60", "A", "66", "B", "72", "C", "78", "D", "84", "E").Replace(strings.TrimSuffix(strings.TrimPrefix(c.castOn, "CO "), " sts."))
		src := "Hem\n\nSizes: " + sizes + "\n\n" + c.castOn + "\nRow 1: K1, m1, k to last st, m1, k1.\nRow 2: Purl.\n"
		res := review.Check(src)
		if d := Build(Input{Manuscript: res.Manuscript, Report: res.Report, Size: -1}); !strings.Contains(text(t, d), c.want) {
			t.Errorf("%s: the print lacks %q:\n%s", c.castOn, c.want, text(t, d))
		}
	}
}

// The marks of a plain page around a row's head are not printed.
func TestHeadsInEmphasisMarksArePrintedPlain(t *testing.T) {
	res := review.Check("Front\n\nCO 20 sts.\n**Dec row (RS):** K1, ssk, k to end.\n**Next row:** Purl.\n**Row 3:** *k2, p2; rep from * to last 3 sts, k3.\n")
	got := text(t, Build(Input{Manuscript: res.Manuscript, Report: res.Report, Size: -1}))
	if strings.Contains(got, "**") || !strings.Contains(got, "Dec row (RS): K1, ssk") || !strings.Contains(got, "Row 3: *k2, p2") {
		t.Errorf("printed:\n%s", got)
	}
}
