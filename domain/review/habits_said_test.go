package review

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// saidFrame is a manuscript with a gap, "…", for words that all come to the same.
type saidFrame struct {
	name, frame, said string
	ways              []string
}

// readFrames reads frames from a file of testdata/said: "# name", the lines of the frame, "= " before each
// thing that must come of it, and "- " before each way to say it, in which \n is a new line.
func readFrames(text string) []saidFrame {
	var out []saidFrame
	for _, block := range strings.Split("\n"+text, "\n# ")[1:] {
		lines := strings.Split(block, "\n")
		f := saidFrame{name: lines[0]}
		var frame, said []string
		for _, l := range lines[1:] {
			switch {
			case strings.HasPrefix(l, "= "):
				said = append(said, l[2:])
			case strings.HasPrefix(l, "- "):
				f.ways = append(f.ways, strings.ReplaceAll(l[2:], `\n`, "\n"))
			case len(said) == 0:
				frame = append(frame, l)
			}
		}
		f.frame, f.said = strings.Join(frame, "\n"), strings.Join(said, "\n")
		out = append(out, f)
	}
	return out
}

// These are sentences and rows in the many words the trade has for them, each set in one frame: "…" stands
// for the words. All of a frame come to the same. More stand in testdata/said.
var saidAlike = []saidFrame{
	{"the toe of a sock, needle by needle", "Sock\nCO 40 sts. Divide evenly over 2 needles and join in the round.\nRnd 1: Knit.\nRnd 2: ….\nRnd 3: Knit.\nRnd 4: Rep Rnd 2.", "final 32", toes},
	{"the toe of a sock, on needles that are not laid out", "Sock\nCO 40 sts. Join in the round.\nRnd 1: Knit.\nRnd 2: ….\nRnd 3: Knit.\nRnd 4: Rep Rnd 2.", "final 32", toes},
	{"a gusset by the needle", "Sock\nCO 60 sts. Join in the round.\nRnd 1: Knit.\nRnd 2: ….\nRnd 3: Knit.\nRepeat Rnds 2 and 3 until 48 sts remain.", "final 48", []string{
		"N1: k to last 3 sts, k2tog, k1; N2: knit; N3: k1, ssk, k to end",
		"On the first needle knit to the last 3 sts, k2tog, k1; knit the second needle plain; on the third needle k1, ssk, knit to the end",
		"First needle, knit to last 3 sts, k2tog, k1; second needle, plain; third needle, k1, ssk, knit to end",
		"N1 – k to last 3 sts, k2tog, k1; N2 and N3 – k; N4 – k1, ssk, k to end",
		"Knit to last 3 sts of first sole needle, k2tog, k1; knit across instep; on next needle k1, ssk, knit to end",
		"Needle 1: k to last 3 sts, k2tog, k1. Needles 2 and 3: knit. Needle 4: k1, ssk, k to end",
	}},
	{"both sides of a neck at once", "Neck\nCO 86 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nNext row (RS): K35, join a 2nd ball of yarn and bind off center 16 sts, knit to end.\nWorking both sides at once, purl 1 row.\nDec row (RS): ….\nRep dec row every other row 5 times more—29 sts each side.", "final 58", []string{
		"Knit to last 3 sts of first side, k2tog, k1; on second side, k1, ssk, knit to end",
		"Knit to 3 sts before neck edge, k2tog, k1; on second side, k1, ssk, knit to end",
		"Knit to last 3 sts on first side, k2tog, k1; on other side k1, ssk, k to end",
		"On first side, knit to last 3 sts, k2tog, k1; on second side, k1, ssk, knit to end",
		"First side: knit to last 3 sts, k2tog, k1. Second side: k1, ssk, knit to end",
		"Left side: knit to last 3 sts, k2tog, k1; right side: k1, ssk, knit to end",
		"Left front: knit to last 3 sts, k2tog, k1; right front: k1, ssk, knit to end",
		"With first ball, knit to last 3 sts, k2tog, k1; with 2nd ball, k1, ssk, knit to end",
		"Knit to within 3 sts of neck edge, k2tog, k1; on second side k1, ssk, knit to end",
		"K to 3 sts from neck edge, k2tog, k1; 2nd side: k1, skp, k to end",
	}},
	{"bound off at both edges by turns", "Neck\nCO 66 sts.\nRow 1 (RS): Knit.\nNext row (WS): P25, join a 2nd ball of yarn and bind off center 16 sts, p to end.\n…. 20 sts rem each side.\nDec 1 st at each neck edge every RS row 4 times. 16 sts rem each side.\nBind off from each shoulder edge 8 sts twice.", "final 0", []string{
		"Bind off 3 sts from each neck edge once, then 2 sts once",
		"Bind off from each neck edge 3 sts once and 2 sts once",
		"At each neck edge bind off 3 sts once, 2 sts once",
		"From each neck edge, bind off 3 sts once, then 2 sts once",
		"Bind off 3 sts once and 2 sts once at each neck edge",
		"Working both sides at once with separate balls, bind off 3 sts from each neck edge once, then 2 sts once",
		"Working both sides at the same time with separate balls of yarn, at each neck edge bind off 3 sts once, then 2 sts once",
		"Work each side separately, binding off 3 sts at each neck edge once, then 2 sts once",
	}},
	{"a decrease row by its kind", "Neck\nCO 40 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\n… to last 3 sts, k2tog, k1.\nRep dec row every other row 5 times more. 34 sts.", "final 34", []string{
		"Next (dec) row (RS) Knit", "Next (decrease) row (RS): Knit", "Next row (dec) Knit", "Next row (dec row): Knit", "Dec row (RS) Knit", "Next row: (dec row) Knit",
		"Next row (decrease row) Knit", "Next RS row (dec): Knit", "Next Row—Dec Row (RS): Knit", "Next row [dec row] – Knit", "Row 3 (dec row): Knit", "3rd row (decrease row): Knit", "Next row (RS): Knit",
	}},
	{"two rows repeated", "Wedge\nCO 7 sts.\nRow 1 (RS): K2, yo, k1, yo, k to last 3 sts, yo, k1, yo, k2.\nRow 2 (WS): Purl.\n….", "final 19", []string{
		"These two rows are repeated until there are 19 stitches on the needle", "Rows 1 and 2 are repeated 2 more times", "The last 2 rows are then repeated twice more", "Both rows are repeated until there are 19 sts",
		"Continue repeating these two rows until there are 19 sts", "Keep repeating Rows 1 and 2 until you have 19 sts", "Go on like this until you have 19 sts", "Work these two rows until there are 19 sts", "Repeat from Row 1 until there are 19 sts",
		"Do this 2 more times", "Work Rows 1-2 a total of three times", "Rep rows 1 & 2 x 2", "Rep the 2-row sequence 2 more times", "Continue increasing every other row until there are 19 stitches on the needle",
	}},
	{"rows kept by their parity", "Lace\nMultiple of 10 sts + 1\nRows 1, 3 and 5 (RS): K1, *yo, ssk, k5, k2tog, yo, k1; rep from * to end.\n…: Purl.\nRows 7, 9 and 11: K1, *k2, k2tog, yo, k1, yo, ssk, k3; rep from * to end.", "of 10+1\nneeds 10+1\nrow 12 stitches: 10n+1", []string{
		"Rows 2-12 even (WS)", "Rows 2–12 (even numbers) (WS)", "Even rows 2-12", "Rows 2-12 (even rows only)", "All even-numbered rows 2-12", "Even-numbered rows from 2 to 12", "Rows 2-12, even numbers only", "Rows 2 to 12 (even)",
		"Row 2 and every even row to 12", "Row 2 and all other even rows", "Rows 2-12 (WS rows only)", "Rows 2-12 (all WS rows)", "WS rows 2-12", "Wrong-side rows, 2 to 12", "All even rows, 2 through 12", "2nd row and every alternate row to 12th row",
	}},
	{"yarn overs passed over", "Bamboo\nMultiple of 2 sts\nRow 1 (RS): K1, *yo, k2, …; rep from * to last st, k1.\nRow 2: Purl.", "of 2+0\nneeds 2+0\nrow 2 stitches: 2n+0", []string{
		"pass yo over the 2 knit sts", "pass yo over 2 sts", "pass the yo over the k2", "pass yo over both sts", "slip the yarn over over the two knit stitches", "pass yfwd over the last 2 sts", "lift yo over 2 k sts and off needle",
	}},
	{"how many you should have", "Tab\nCast on 3 sts. Knit 6 rows. Don't turn after the last row! Instead rotate the work a quarter turn clockwise, pick up and knit 3 sts along the edge, then pick up and knit 3 sts from the cast-on edge. ….\nNext row (WS): K3, purl to last 3 sts, k3.", "part 2 final 9", []string{
		"9 sts", "You should have 9 sts on your needle", "You should now have 9 stitches ready for the set-up row", "There should be 9 sts on the needle!",
	}},
	{"cast on at an end of a row", "Sleeve\nCO 26 sts.\nRow 1: Knit.\n…. 30 sts.\nKnit 9 rows.\nBind off 30 sts.", "final 30", []string{
		"Join yarn and knit to end, then cast on 4 sts", "With RS facing, join yarn and knit to end, then cast on 4 sts", "Knit to end, cast on 4 sts", "Cast on 4 sts at end of row", "CO 4 sts, knit to end", "Using backward loop method, cast on 4 sts at the end of this row", "Knit, then turn work and cast on 4 sts",
	}},
	{"stitches that waited, among those picked up", "Body\nCO 20 sts.\nRow 1: Knit.\nBind off.\n\nSleeves\nBeginning at center of underarm, pick up and knit 6 sts along half of the underarm, …, pick up and knit 6 sts along other half. Pm for BOR and join. 68 sts.\nKnit 6 rnds.", "part 2 final 68", []string{
		"knit 56 held sts", "knit the 56 held sts", "k56 held sleeve sts", "knit across the held sleeve sts", "work across 56 sleeve sts", "k56 from waste yarn",
	}},
	{"bound off, in words around it", "Strip\nCO 20 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\n….", "final 20", []string{
		"Cast off loosely on the right side, using a needle two sizes larger", "Bind off all sts using a stretchy method", "BO all sts loosely kwise with a needle 2 sizes bigger", "With a needle one size larger, bind off loosely", "Cast off rem 20 sts and fasten off", "Graft the two sets of 10 sts together",
	}},
	{"a clause before a shaping", "Back\nCO 60 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\n…bind off 4 sts at beg of next 2 rows. 52 sts.\n…dec 1 st at each end of next 4 rows. 44 sts.\nBind off.", "final 44", leads},
	{"so many following rows", "Sleeve\nCO 44 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\n…. 72 sts.\nBind off.", "final 72", often},
	{"so many following rows, with a wrong count", "Sleeve\nCO 44 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\n…. 74 sts.\nBind off.", "error stated-count-differs", often},
	{"a count behind a round", "Hat\nCO 60 sts. Join in the round.\nRnd 1: Knit.\nRnd 2: *K8, k2tog; rep from * to end. ….\nRnd 3: Knit.", "final 54", []string{
		"54 sts", "(54 sts)", "[54 sts]", "– 54 sts", "= 54 sts", "54 stitches", "(54)", "{54 sts}", "54 sts total", "Total: 54 sts", "(6 sts decreased)", "6 sts decreased; 54 sts", "54 sts. 6 sts dec'd", "→ 54 sts", "fifty-four sts", "(54sts)", "sts: 54", "Stitch count: 54", "[54 sts remain]", "(dec 6 sts; 54 sts)"}},
	{"a wrong count behind a round", "Hat\nCO 60 sts. Join in the round.\nRnd 1: Knit.\nRnd 2: *K8, k2tog; rep from * to end. ….\nRnd 3: Knit.", "error stated-count-differs", []string{
		"55 sts", "(55 sts)", "– 55 sts", "(55)", "55 sts total", "Total: 55 sts", "6 sts decreased; 55 sts", "sts: 55", "Stitch count: 55", "St count: 55", "(dec 6 sts; 55 sts)", "you now have 55 sts", "There are 55 sts"}},
	{"a cast-on", "Scarf\n\n….\nRow 1: *K2, p2; rep from * to end.\nRow 2: K30, k2tog, k28. 59 sts.", "cast on 60\nfinal 59", []string{
		"Cast on 60", "Using 4 mm needles, cast on 60 sts", "With size 7 needles, CO 60", "Cast 60 sts on to No. 10 needles", "Cast on sixty stitches", "Cast-on: 60 sts", "Start by casting on 60 sts", "Holding yarn double, CO 60 sts", "CO 60 sts. Work back and forth in rows", "CO 60 sts, do not join"}},
}

// leads say how the fabric goes on while it is shaped.
var leads = []string{
	"Keeping patt correct, ", "Keeping pattern correct throughout, ", "Keeping the patt. correct throughout, ", "Maintaining established pattern, ", "Still working in patt, ", "Continuing in patt, ", "Cont in patt as set, ",
	"To shape armholes, ", "From here, ", "Remembering to keep patt correct, ", "While keeping pattern correct, ", "In pattern, ", "Continue in pattern, and ", "Keeping 3 edge sts in garter st, ",
}

// often are fourteen increases at both ends.
var often = []string{
	"Inc 1 st at each end of 5th and 13 foll 6th rows", "Inc 1 st at each end of 5th row, then 13 foll 6th rows", "Inc 1 st at each end of next and 13 foll 6th rows", "Inc 1 st at each end of 5th and every foll 6th row 13 times",
	"Inc 1 st each end of 7th and every foll 6th row, 14 times in all", "Inc 1 st at each end of 3rd and 6 foll alt rows, then on 7 foll 4th rows", "Inc 1 st each side every 4th row 7 times and then every 6th row 7 times",
	"At each end of every 6th row inc 1 st 14 times", "In every 6th row inc 1 st at each end 14 times", "Inc one stitch each side every 6th row fourteen times",
}

// toes are four decreases in a round that halves.
var toes = []string{
	"K1, ssk, knit to last 3 sts of needle, k2tog, k1; do the same on the other needle",
	"N1: k1, ssk, k to last 3 sts, k2tog, k1; N2: as N1",
	"*K1, ssk, k to last 3 sts on needle, k2tog, k1; rep from * on second needle",
	"K1, ssk, k to last 3 sts on needle, k2tog, k1. Repeat for other needle",
	"N1: k1, ssk, k to last 3 sts, k2tog, k1. N2: repeat N1",
	"N1 and N2: k1, ssk, k to last 3 sts, k2tog, k1",
	"On each needle: k1, ssk, k to last 3 sts, k2tog, k1",
	"On both needles, k1, ssk, k to last 3 sts, k2tog, k1",
	"*K1, ssk, k to last 3 sts of needle, k2tog, k1*, rep from * to * for second needle",
	"K1, ssk, k to last 3 sts on N1, k2tog, k1; k1, ssk, k to last 3 sts on N2, k2tog, k1",
	"Needle 1: k1, ssk, k to last 3 sts, k2tog, k1. Needle 2: work as needle 1",
	"*K1, ssk, k to 3 sts before end of needle, k2tog, k1; rep from * once",
	"[K1, ssk, k to last 3 sts of needle, k2tog, k1] twice",
	"[K1, ssk, k to last 3 sts, k2tog, k1] on each needle",
	"*K1, ssk, k to last 3 sts of instep, k2tog, k1; rep from * across sole",
	"Instep: k1, ssk, k to last 3 sts, k2tog, k1; sole: k1, ssk, k to last 3 sts, k2tog, k1",
	"Needle 1 – k1, ssk, k to last 3 sts, k2tog, k1; needle 2 – the same",
	"On needle 1, k1, ssk, k to last 3 sts, k2tog, k1; on needle 2, k1, ssk, k to last 3 sts, k2tog, k1",
	"Front needle: k1, ssk, k to last 3 sts, k2tog, k1. Back needle: k1, ssk, k to last 3 sts, k2tog, k1",
}

// TestSaidAlike: what is said in many words is read the same, without an error or a warning.
func TestSaidAlike(t *testing.T) {
	frames := saidAlike
	files, err := filepath.Glob("testdata/said/*.txt")
	if err != nil || len(files) == 0 {
		t.Fatal("no frames in testdata/said", err)
	}
	for _, name := range files {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		frames = append(frames, readFrames(string(b))...)
	}
	for _, frame := range frames {
		for _, words := range frame.ways {
			t.Run(frame.name+"/"+words, func(t *testing.T) { proveHabit(t, strings.ReplaceAll(frame.frame, "…", words), frame.said) })
		}
	}
}
