package working

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"rowproof/domain/review"
)

const cuff = `Brackwater Cuff
Sizes: S (M, L)

Abbreviations
k = knit; p = purl

Cuff
CO 24 (28, 32) sts.
Row 1 (RS): *K2, p2; rep from * to end.
Row 2: *K2, p2; rep from * to end.
Rep Rows 1 and 2 2 (3, 3) more times.
Change to larger needles.
Next row: K2tog, k to last 2 sts, ssk. 22 (26, 30) sts.
Sizes M and L only:
Next row: P2tog, p to end.

All sizes:
Work even in st st until piece measures 12 (13, 14) cm.
Dec 1 st each end of every 2nd row 2 (3, 3) times.
BO all sts.
Sew the seam.
`

func lay(t *testing.T, text string, size int) *Plan {
	t.Helper()
	p, err := Steps(review.Check(text), size)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// say writes the steps one to a line, for comparing.
func (p *Plan) say() string {
	var b strings.Builder
	for i, s := range p.Steps {
		l := p.Lines[s.Line]
		for _, o := range p.Loops {
			if o.From == i {
				fmt.Fprintf(&b, "loop of %d %s\n", o.To-o.From+1, o.Until)
			}
		}
		fmt.Fprintf(&b, "%d %s%s: %s =%d", l.Row, l.Head, s.Head, l.Text, s.Count)
		if s.Passes > 0 {
			fmt.Fprintf(&b, " %d/%d", s.Pass, s.Passes)
		}
		if s.Before != "" {
			fmt.Fprintf(&b, " (%s)", s.Before)
		}
		b.WriteByte('\n')
	}
	return b.String()
}

// Each size has its own rows and no others, with its own numbers.
func TestOneSize(t *testing.T) {
	want := `0 Cast on: CO 24 sts. =24
1 Row 1 (RS): *K2, p2; rep from * to end. =24 1/3
2 Row 2 (WS): *K2, p2; rep from * to end. =24 1/3
1 Row 1 (RS): *K2, p2; rep from * to end. =24 2/3
2 Row 2 (WS): *K2, p2; rep from * to end. =24 2/3
1 Row 1 (RS): *K2, p2; rep from * to end. =24 3/3
2 Row 2 (WS): *K2, p2; rep from * to end. =24 3/3
4 Next row (RS): K2tog, k to last 2 sts, ssk. =22 (Change to larger needles.)
loop of 1 until piece measures 12 cm
6 : Work even in st st until piece measures 12 cm. =22
7 Row 1 of 4: Dec 1 st each end of every 2nd row 2 times. =22
7 Row 2 of 4: Dec 1 st each end of every 2nd row 2 times. =20
7 Row 3 of 4: Dec 1 st each end of every 2nd row 2 times. =20
7 Row 4 of 4: Dec 1 st each end of every 2nd row 2 times. =18
8 Bind off: BO all sts. =-1
-1 : Sew the seam. =-1
`
	if got := lay(t, cuff, 0).say(); got != want {
		t.Errorf("size S:\n%s", got)
	}
	m := lay(t, cuff, 1)
	if got := m.say(); !strings.Contains(got, "5 Next row (WS): P2tog, p to end. =25") || !strings.Contains(got, "4/4") {
		t.Errorf("size M:\n%s", got)
	}
	if r := m.Steps[1].Repeats; !slices.Equal(r, []Repeat{{"K2, p2", 7, 4}}) {
		t.Errorf("the repeat of row 1 in size M is %v", r)
	}
	if c := m.Steps[len(m.Steps)-3].Change; c != -2 {
		t.Errorf("the last decrease changes the count by %d", c)
	}
	var terms []string
	for _, d := range m.Lines[1].Terms {
		terms = append(terms, d.Term)
	}
	if !slices.Contains(terms, "k") || !slices.Contains(terms, "p") || !slices.Contains(terms, "rep") {
		t.Errorf("row 1 has the terms %v", terms)
	}
}

func TestThereIsNoSuchSize(t *testing.T) {
	res := review.Check(cuff)
	for _, size := range []int{-1, 3, 400} {
		if _, err := Steps(res, size); err == nil || !strings.Contains(err.Error(), "no size") {
			t.Errorf("size %d: error %v", size, err)
		}
	}
}

// A stitch pattern goes on as long as she likes, and tells its counts by repeats.
func TestStitchPattern(t *testing.T) {
	p := lay(t, "Fen Rib\nMultiple of 4 sts plus 2.\nRow 1 (RS): K2, *p2, k2; rep from * to end.\nRow 2: P2, *k2, p2; rep from * to end.\nRep Rows 1 and 2 for pattern.\n", 0)
	if len(p.Steps) != 2 || len(p.Loops) != 1 || p.Loops[0].From != 0 || p.Loops[0].To != 1 || p.Loops[0].By < 0 {
		t.Fatalf("steps and loops:\n%s%+v", p.say(), p.Loops)
	}
	if s := p.Steps[0].Stitches; s != "4n + 2" {
		t.Errorf("row 1 has %q stitches", s)
	}
}

// A row that cannot be worked keeps its place, and so do those behind it.
func TestRowThatIsWrong(t *testing.T) {
	p := lay(t, "Gate Scarf\nCO 20 sts.\nRow 1 (RS): *K3, p2; rep from * to end.\nRow 2: K7, p1, ssk to the last of the gate posts.\nRow 3: *K3, yo, p4; rep from * to end.\nRow 4: Knit.\nRep Rows 9 and 10 twice more.\nBO.\n", 0)
	got := p.say()
	for _, want := range []string{"Row 1 (RS)", "Row 2 (WS)", "Row 3 (RS)", "Row 4 (WS)", "Rep Rows 9 and 10", "Bind off"} {
		if !strings.Contains(got, want) {
			t.Errorf("%s is missing:\n%s", want, got)
		}
	}
}

// Rows without end are refused in words, and in no time.
func TestTooLong(t *testing.T) {
	for _, text := range []string{
		"Moor\nCO 20 sts.\nRow 1: Knit.\nRep Row 1 19999 more times.\nWork 500 rows even.\n",
		"Moor\nCO 20 sts.\n" + strings.Repeat("Work 15000 rows even.\n", 40),
		"Moor\nCO 20 sts.\n" + strings.Repeat("Dec 1 st at beg of every 2000th row 10 times.\nInc 1 st at beg of every 2000th row 10 times.\n", 40),
	} {
		if _, err := Steps(review.Check(text), 0); !errors.Is(err, ErrTooLong) {
			t.Errorf("%.60q: error %v", text, err)
		}
	}
}
