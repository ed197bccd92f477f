package review

import (
	"fmt"
	"strings"
	"testing"

	"rowproof/domain/finding"
)

// Traditional stitch patterns: rows as they have been handed on for a century and
// more (public domain; worded here in our own way), with the multiple that the
// books print for them. Sources: V = Victorian manuals (The Lady's Assistant,
// Jane Gaugain, 1840; Beeton's Book of Needlework, 1870); W = Thérèse de
// Dillmont, Encyclopedia of Needlework, 1886; T = Mary Thomas's knitting books,
// 1938/1943, where the multiple is stated; common = in every stitch collection.
var traditional = []struct {
	name, source string
	of, plus     int
	rows         string
	counts       [][2]int // of·n + plus after each row, where it changes
}{
	{"garter stitch", "common", 1, 0, "Every row: Knit.", nil},
	{"stockinette", "common", 1, 0, "Row 1 (RS): Knit.\nRow 2: Purl.", nil},
	{"single rib", "common", 2, 0, "Every row: *K1, p1; rep from * to end.", nil},
	{"rib over an odd number", "common", 2, 1, "Row 1: K1, *p1, k1; rep from * to end.\nRow 2: P1, *k1, p1; rep from * to end.", nil},
	{"seed stitch", "common", 2, 1, "Every row: K1, *p1, k1; rep from * to end.", nil},
	{"double rib", "Interweave 2016 (W44)", 4, 0, "Every row: *K2, p2; rep from * to end.", nil},
	{"double rib, balanced", "Interweave 2016 (W45)", 4, 2, "Row 1: *K2, p2; rep from * to last 2 sts, k2.\nRow 2: P2, *k2, p2; rep from * to end.", nil},
	{"double moss", "common", 4, 2, "Row 1: K2, *p2, k2; rep from * to end.\nRow 2: P2, *k2, p2; rep from * to end.\nRow 3: P2, *k2, p2; rep from * to end.\nRow 4: K2, *p2, k2; rep from * to end.", nil},
	{"basketweave", "T", 8, 5, "Row 1 (RS): Knit.\nRow 2: K5, *p3, k5; rep from * to end.\nRow 3: P5, *k3, p5; rep from * to end.\nRow 4: K5, *p3, k5; rep from * to end.\nRow 5: Knit.\nRow 6: K1, *p3, k5; rep from * to last 4 sts, p3, k1.\nRow 7: P1, *k3, p5; rep from * to last 4 sts, k3, p1.\nRow 8: K1, *p3, k5; rep from * to last 4 sts, p3, k1.", nil},
	{"old shale", "Shetland, common", 18, 0, "Row 1 (RS): Knit.\nRow 2: Purl.\nRow 3: *[K2tog] 3 times, [yo, k1] 6 times, [k2tog] 3 times; rep from * to end.\nRow 4: Knit.", nil},
	{"feather and fan, with edges", "common", 18, 2, "Row 1: K1, *[k2tog] 3 times, [yo, k1] 6 times, [k2tog] 3 times; rep from * to last st, k1.\nRow 2: Purl.", nil},
	{"horseshoe", "Shetland, T", 10, 1, "Row 1 (RS): K1, *yo, k3, sl 1, k2tog, psso, k3, yo, k1; rep from * to end.\nRow 2: Purl.\nRow 3: P1, *k1, yo, k2, sl 1, k2tog, psso, k2, yo, k1, p1; rep from * to end.\nRow 4: K1, *p9, k1; rep from * to end.", nil},
	{"razor shell of six", "T", 6, 1, "Row 1: K1, *yo, k1, sl 1, k2tog, psso, k1, yo, k1; rep from * to end.\nRow 2: Purl.", nil},
	{"trinity (blackberry)", "T", 4, 0, "Row 1 (RS): Purl.\nRow 2: *(K1, p1, k1) in next st, p3tog; rep from * to end.\nRow 3: Purl.\nRow 4: *P3tog, (k1, p1, k1) in next st; rep from * to end.", nil},
	{"chevron of fourteen", "common", 14, 1, "Row 1 (RS): K1, *yo, k5, sl 1, k2tog, psso, k5, yo, k1; rep from * to end.\nRow 2: Purl.", nil},
	{"feather lace of six", "V", 6, 1, "Row 1: K1, *yo, k2tog tbl, k1, k2tog, yo, k1; rep from * to end.\nRow 2: Purl.", nil},
	{"faggot", "V", 2, 0, "Every row: *Yo, k2tog; rep from * to end.", nil},
	{"cat's paw net", "common", 7, 0, "Row 1: *K1, k2tog, yo, k1, yo, ssk, k1; rep from * to end.\nRow 2: Purl.\nRow 3: *K2tog, yo, k3, yo, ssk; rep from * to end.\nRow 4: Purl.\nRow 5: *K2, yo, sk2p, yo, k2; rep from * to end.\nRow 6: Purl.", nil},
	{"cable of six on purl", "common", 10, 4, "Row 1 (RS): P4, *k6, p4; rep from * to end.\nRow 2: K4, *p6, k4; rep from * to end.\nRow 3: P4, *c6f, p4; rep from * to end.\nRow 4: K4, *p6, k4; rep from * to end.", nil},
	{"linen stitch", "common", 2, 1, "Row 1 (RS): K1, *sl 1 wyif, k1; rep from * to end.\nRow 2: P2, *sl 1 wyib, p1; rep from * to last st, p1.", nil},
	{"bell frilling", "T", 8, 7, "Row 1: P7, *k1, p7; rep from * to end.\nRow 2: K7, *p1, k7; rep from * to end.\nRow 3: P7, *yo, k1, yo, p7; rep from * to end.\nRow 4: K7, *p3, k7; rep from * to end.", [][2]int{{8, 7}, {8, 7}, {10, 7}, {10, 7}}},
}

func TestTraditional(t *testing.T) {
	for _, c := range traditional {
		t.Run(c.name, func(t *testing.T) {
			// the rows alone tell the multiple
			r := Check(fmt.Sprintf("Swatch\nMultiple of %d sts + %d\n%s\n", c.of, c.plus, c.rows)).Report
			noErrors(t, r)
			if len(r.Parts) != 1 {
				t.Fatalf("%d parts", len(r.Parts))
			}
			p := r.Parts[0]
			n := p.NeedsMultiple
			if n == nil || n.Of != c.of || n.Plus != c.plus%c.of {
				t.Errorf("the rows need %s, the books print %d + %d (%s)", show(n), c.of, c.plus, c.source)
			}
			if p.Proved != "all" {
				t.Errorf("proved %q", p.Proved)
			}
			for i, want := range c.counts {
				if s := p.Rows[i].Stitches; s == nil || s.Of != want[0] || s.Plus != want[1] {
					t.Errorf("row %s: %s, want %v", p.Rows[i].Row, show(s), want)
				}
			}
			// on a stitch too many something is found, unless any number will do
			if c.of > 1 {
				wrong := Check(fmt.Sprintf("Swatch\nCO %d sts.\n%s\n", 3*c.of+c.plus+1, c.rows)).Report
				if !hasError(wrong) {
					t.Errorf("%d sts are accepted", 3*c.of+c.plus+1)
				}
			}
		})
	}
}

func noErrors(t *testing.T, r *Report) {
	t.Helper()
	for _, f := range r.Findings {
		if f.Severity == finding.Error {
			t.Errorf("line %d: %s: %s", f.Line, f.Code, f.Message)
		}
	}
}

func hasError(r *Report) bool {
	for _, f := range r.Findings {
		if f.Severity == finding.Error {
			return true
		}
	}
	return false
}

// Worked examples printed elsewhere; the numbers W.. are those of the project's
// table of worked examples, which names where each was read.
var examples = []struct {
	id, source, text string
	row              string // whose last counts are wanted
	last             int
	times            int    // how often it was worked in all; 0: not asked
	code             string // a finding that must come; "" wants no error
}{
	{"W33", "yoke decrease rounds: 120 sts, k2 k2tog, then k1 k2tog: 90, 60", "CO 120 sts, join to work in the round.\nRnd 1: *K2, k2tog; rep from * to end.\nRnd 2: *K1, k2tog; rep from * to end.", "2", 60, 0, ""},
	{"W33 first", "the first of the two rounds", "CO 120 sts, join to work in the round.\nRnd 1: *K2, k2tog; rep from * to end.\nRnd 2: *K1, k2tog; rep from * to end.", "1", 90, 0, ""},
	{"W36", "Summit Yarn Studio 2013: 88 sts, 8 wedges of 11", "CO 88 sts, join to work in the round.\nRnd 1: *K9, k2tog; rep from * to end. (80 sts)\nRnd 2: Knit.\nRnd 3: *K8, k2tog; rep from * to end.", "3", 72, 0, ""},
	{"W37", "knittinghelp thread 76143: 70 sts, 7 wedges", "CO 70 sts, join to work in the round.\nRnd 1: *K8, k2tog; rep from * to end.", "1", 63, 0, ""},
	{"W39", "Caron CAK0116: 98 sts, 8 fewer each RS row, 9 rows", "CO 98 sts.\nRow 1 (RS): K1, [k9, ssk, k2, k2tog, k9] 4 times, k1.\nRow 2: Purl.\nRow 3: K1, [k8, ssk, k2, k2tog, k8] 4 times, k1.\nRow 4: Purl.\nRow 5: K1, [k7, ssk, k2, k2tog, k7] 4 times, k1.", "5", 74, 0, ""},
	{"W43", "Stitch multiple: 2 plus 3, 41 sts", "Multiple of 2 sts plus 3.\nCO 41 sts.\nRow 1: K3, *p1, k1; rep from * to end.", "1", 41, 0, ""},
	{"W43 wrong", "40 sts are not 2 plus 3", "Multiple of 2 sts plus 3.\nCO 40 sts.\nRow 1: K3, *p1, k1; rep from * to end.", "", 0, 0, "cast-on-not-multiple"},
	{"W52", "triangle shawl: cast on 7, 7 + 4n", "CO 7 sts.\nRow 1 (RS): K2, yo, k1, yo, k1, yo, k1, yo, k2. (11 sts)\nRow 2: Purl.\nRow 3: K2, yo, k to 3 sts before the centre st, k3, yo, k1, yo, k to last 2 sts, yo, k2.", "1", 11, 0, ""},
	{"W53", "older triangle: cast on 5, 9 after the first row", "CO 5 sts.\nRow 1 (RS): [K1, yo] 4 times, k1.", "1", 9, 0, ""},
	{"W54", "pi shawl: 9, doubled six times: 576", "CO 9 sts, join to work in the round.\nInc rnd: *Yo, k1; rep from * to end.\nRep Inc rnd 5 times more.", "Inc rnd", 576, 6, ""},
	{"W55", "pi shawl, variant: 16, doubled three times: 128", "CO 16 sts, join to work in the round.\nInc rnd: *K1, yo; rep from * to end.\nRep Inc rnd 2 times more.", "Inc rnd", 128, 3, ""},
	{"W64", "J. Kush: rows 1 and 2 worked, repeated three more times: 8 rows", "CO 10 sts.\nRow 1: Knit.\nRow 2: Purl.\nRep Rows 1 and 2 three more times.", "1", 10, 4, ""},
	{"W65", "J. Kush: three times total: 6 rows", "CO 10 sts.\nRow 1: Knit.\nRow 2: Purl.\nRep Rows 1 and 2 three times in total.", "1", 10, 3, ""},
	{"W66", "J. Kush: three times, nothing else: must be flagged", "CO 10 sts.\nRow 1: K1, kfb, k to end.\nRow 2: Purl.\nRep Rows 1 and 2 three times.", "", 0, 0, "ambiguous-times"},
	{"W67", "J. Kush: written for 7 sts, fails on its second pass", "CO 7 sts.\nRow 1: K1, kfb, k3, kfb, k1.\nRow 2: Purl.\nRep Rows 1 and 2 3 times more.", "", 0, 0, "rows-do-not-join"},
	{"W67 mended", "with k to last 2 sts: 8 sts more in all", "CO 7 sts.\nRow 1: K1, kfb, k to last 2 sts, kfb, k1.\nRow 2: Purl.\nRep Rows 1 and 2 3 times more.", "1", 15, 4, ""},
	{"W69", "Bernat BRK0502: 88 sts, 20 repeats", "CO 88 sts.\nRow 1: K4, *[sl 1] twice, k2; rep from * to last 4 sts, k4.", "1", 88, 0, ""},
	{"W70", "Bernat BRK0502, next row: 78 sts are no whole number of repeats", "CO 88 sts.\nRow 1: K6, *[sl 1] twice, k2; rep from * to last 4 sts, k4.", "", 0, 0, "repeat-stops-midway"},
	{"W71", "Bernat mitred square: 33 sts, 16 decrease rows to 1", "CO 33 sts.\nRow 1 (RS): K15, s2kp, k15. (31 sts)\nRow 2: Knit.\nRow 3: K14, s2kp, k14. (29 sts)\nRow 4: Knit.\nRow 5: K13, s2kp, k13.", "5", 27, 0, ""},
	{"W72", "armhole by size: 12 (14, 16, 18), 2 at the beginning of 2 rows", "Sizes: S (M, L, XL)\nCO 12 (14, 16, 18) sts.\nRow 1: Knit.\nRow 2: Purl.\nRow 3: Cast off 2 sts, k to end.\nRow 4: Cast off 2 sts, p to end. 8 (10, 12, 14) sts.", "4", 8, 0, ""},
	{"W74", "neck split: 80 sts, 28 + 24 + 28", "CO 80 sts.\nRow 1 (RS): K28, BO 24 sts, k to end. (56 sts)", "1", 56, 0, ""},
}

func TestWorkedExamples(t *testing.T) {
	for _, c := range examples {
		t.Run(c.id, func(t *testing.T) {
			r := Check(c.text).Report
			if c.code != "" {
				for _, f := range r.Findings {
					if string(f.Code) == c.code {
						return
					}
				}
				t.Errorf("%s: %s is not found; found: %s", c.source, c.code, brief(r.Findings))
				return
			}
			noErrors(t, r)
			for _, p := range r.Parts {
				for _, row := range p.Rows {
					if !strings.EqualFold(row.Row, c.row) {
						continue
					}
					if row.LastCounts[0] == nil || *row.LastCounts[0] != c.last {
						t.Errorf("%s: row %s ends with %s, want %d", c.source, c.row, vals(row.LastCounts), c.last)
					}
					if c.times > 0 && row.Times[0] != c.times {
						t.Errorf("%s: row %s is worked %d times, want %d", c.source, c.row, row.Times[0], c.times)
					}
					return
				}
			}
			t.Errorf("%s: no row %s", c.source, c.row)
		})
	}
}
