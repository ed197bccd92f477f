package review

import (
	"fmt"
	"strings"
	"testing"

	"rowproof/domain/finding"
)

// habits are ways of writing that one manuscript of the corpus has, said with other
// words and other numbers. said lists what must come of it, a line each:
//
//	final 9 9 9            stitches on the needle at the end of the first part
//	cast on 84 96 108      of the first part
//	row 3: 24 24           stitches behind a row; "row 3 times: 2 2" how often it is worked
//	needs 8+5              the multiple that the rows need; "of 8+5" the one that is stated
//	error CODE             an error with that code, and none with another
//	part 2 final 20        the same of another part
//
// Where no error is listed, none may be; warnings are listed as errors are, all of them.
var habits = []struct{ name, text, said string }{
	// colours in the heads
	{"colours behind the number", "Windows\nTwo shades: Rust and Bone\nMultiple of 6 sts.\nRnds 1 & 2, Rust: k.\nRnds 3 & 4, Bone: *sl1, k5* around.\nRnd 5, Rust: *k2, sl1, k3; rep from * around.", "of 6+0\nneeds 6+0"},
	{"colours in brackets", "Windows\nColours: Rust, Bone\nCO 12 sts in Rust. Join in the round.\nRnd 1 (Rust): K.\nRnd 2 (Bone): *Sl 1, k5; rep from * to end.\nRnd 3 (Rust): *K3, sl1, k2; rep from * to end.", "row 2: 12\nfinal 12"},
	{"colours of no list", "Windows\nMultiple of 4 sts + 3.\nRow 1 (RS), Moss: Knit.\nRow 2, Moss: Purl.\nRow 3, Sand: K3, *sl 1, k3; rep from * to end.\nRow 4, Sand: P3, *sl 1, p3; rep from * to end.", "needs 4+3"},
	{"letters explained", "Palings\nMult of 6 plus 5. L = light, D = dark.\nRow 1: Using D, knit.\nRow 2: Using D, purl.\nRow 3: Using L, k5, *sl 1, k5; rep from * to end.\nRow 4: Using L, p5, *sl 1, p5; rep from * to end.", "of 6+5\nneeds 6+5"},

	// fabrics named in a row
	{"stocking stitch for rows", "Sheet\nCO 15 sts.\nRows 1-6: Stocking stitch, beginning with a purl (WS) row.\nRow 7: K15.", "row 6: 15\nrow 7: 15"},
	{"garter for rows", "Sheet\nCO 15 sts.\nRows 1 to 4: Work in garter stitch.\nRow 5: K15.", "row 4: 15\nfinal 15"},
	{"reverse stocking stitch", "Sheet\nCO 15 sts.\nRows 1-4: Rev st st, starting with a WS row.\nRow 5: K15.", "row 4: 15"},
	{"fourth below too soon", "Gather\nk3b = drop the next stitch three rows down and knit it with the loose strands\nMultiple of 4 + 3\nRows 1-4: St st, beg with a k row.\nRow 5 (RS): K3, *k3b, k3; rep from * to end.\nRow 6: Purl.\nRow 7: Knit.\nRow 8: Purl.\nRow 9: K3, *k3b, k3; rep from * to end.", "needs 4+3"},

	// numbers before the stitch, edge stitches
	{"numbers before stitches", "Arch\nNumber of stitches divisible by 8 + 1 + 2 edge sts\nDouble decrease (DD): sl 1, k2tog, psso\n1st row: edge st, *1 k, 1 yo, 2 k, 1 sk2p, 2 k, 1 yo*, repeat from * to *, 1 k, edge st.\n2nd row and all other back rows: edge st, purl all sts, edge st.\n3rd row: edge st, *8 k; repeat from *, 1 k, edge st.", "of 8+3"},
	{"all stitches and yarn overs", "Arch\nCO 11 sts.\nRow 1: K1, yo, k2tog, k5, ssk, yo, k1.\nRow 2: K1, purl all stitches and yos, k1.\nRow 3: Knit every st, turn.", "row 2: 11\nrow 3: 11"},
	{"further back rows", "Arch\nCO 12 sts.\nRow 1 (RS): Knit.\nRow 2 and all further WS rows: Purl.\nRow 3: Knit.\nRow 5: Knit.\nWork Rows 1-6 once more.", "row 4: 12\nrow 6 times: 2\nfinal 12"},
	{"number first without comma", "Ribs\nCO 20 sts.\nRow 1: 2 k, 2 p, 16 k.\nRow 2: 16 p, 2 k, 2 p.", "row 2: 20\nfinal 20"},
	{"purl over the slipped", "Dec\nCO 15 sts.\nRow 1: K3, sl 1, k2tog, pull the slipped st over, k9.\nRow 2: P.\nRow 3: K3, slip 2 together as if to knit, k1, lift both slipped sts over, k7.", "row 1: 13\nrow 3: 11"},

	// boxes to tick
	{"boxes in brackets", "Tick\nCO 10 sts.\n[ ] Row 1: Knit.\n[x] Row 2: Purl.\n- [ ] Row 3: K2, k2tog, k6.\n_____ Row 4: Purl.\n✓ Row 5: Knit.", "row 3: 9\nrow 5: 9"},

	// no commas, multiples in short
	{"multiple in short", "sea\n6s + 2\nrow 1 k1 *k3 p3* rep to last st k1\nrow 2 p", "of 6+2\nneeds 6+2"},
	{"multiple with n", "sea\nWork over 6n + 2 sts.\nRow 1: K1, *k3, p3; rep from * to last st, k1.\nRow 2: Purl.", "of 6+2\nneeds 6+2"},
	{"winds let fall", "sea\nCO 12 sts.\nRow 1: *K1, k1 winding yarn 3 times round needle; rep from * to end.\nRow 2: Knit, letting all extra loops fall.\nRow 3: K, dropping the winds.", "row 2: 12\nrow 3: 12"},

	// as read out
	{"star as a word", "Bramble\nA number of stitches that divides by six, plus one.\nRow one: star, knit one, yarn over, knit one and slip one, knit two together, pass the slipped stitch over, knit one, yarn over; repeat from star to last stitch, knit one.\nRow two: purl.", "row 1 stitches: 6n+1\nof 6+1"},
	{"list into one stitch", "Bramble\nCO 14 sts.\nRow 1: K1, *p1, k1 and p1 all in next st, k3tog; rep from * to last st, k1.\nRow 2: K1, *p3tog, (k1, p1, k1) in next st; rep from * to last st, k1.\nRow 3: K5, yo, then k1, yo and k1 all into the same stitch, k8.", "row 1: 14\nrow 2: 14\nrow 3: 17"},
	{"asterisk as a word", "Bramble\nCO 13 sts.\nRow 1: K1; asterisk, k2, p2; repeat from asterisk to end.\nRow 2: Purl.", "row 1: 13"},
	{"star as a stitch", "Stars\nstar = p3tog, leave on needle, yo, p the same 3 sts tog again (3 sts made from 3)\nCO 9 sts.\nRow 1: P1, star, p1, star, p1.", "row 1: 9"},

	// a beginning for each size
	{"cast on size by size", "Hat\nSizes: S (M)\nSize S only: CO 60 sts.\nSize M only: CO 66 sts.\nJoin in the round.\nRnd 1: *K1, p1; rep from * to end.", "cast on 60 66\nfinal 60 66"},
	{"two sizes alike", "Hat\nSizes: S (M, L)\nSize S only: CO 60 sts.\nSizes M and L only: Cast on 66 sts.\nRow 1: *K1, p1; rep from * to end. 60 (66, 66) sts.", "cast on 60 66 66"},
	{"sizes named by their beginnings", "Hat\nSize S: CO 60.\nSize M: CO 66.\nJoin in the round.\nRnd 1: *K1, p1; rep from * to end.\nSize M only: Knit 1 rnd.", "cast on 60 66\nfinal 60 66"},
	{"beginnings in brackets", "Hat\nSize S (CO 60)\nSize M (CO 66)\nRnd 1: *K1, p1; rep from * to end.", "cast on 60 66\nfinal 60 66"},

	// sizes by hyphens
	{"sizes by hyphens", "Hat\nSize: XS-S-M-L\nCast on 80-88-96-104 sts and join in the round.\nK 1 round, dec 8 sts evenly = 72-80-88-96 sts.\nInsert 8 markers with 9-10-11-12 sts between each.\nDEC ROUND: *Knit until 2 sts remain before marker, k2tog, slip marker*, repeat *-* around.\nDecrease like this on every 4th round a total of 3-4-5-6 times = 48-48-48-48 sts.", "cast on 80 88 96 104\nfinal 48 48 48 48\nrow DEC ROUND times: 3 4 5 6"},
	{"two sizes by hyphens", "Hat\nSizes: S - L\nCast on 72-80 sts. Join in the round.\nKnit 4 rounds.\nK2tog over all sts = 36-40 sts.", "cast on 72 80\nfinal 36 40"},
	{"increase in this way", "Sleeve\nSizes: S (M)\nCO 40 (44) sts.\nWork 6 rows in garter stitch.\nINC ROW: K2, m1, k to last 2 sts, m1, k2.\nIncrease in this way on every 6th row 5 (7) times more. 52 (60) sts.", "final 52 60"},
	{"like this, said wrongly", "Sleeve\nCO 40 sts.\nINC ROW: K2, m1, k to last 2 sts, m1, k2.\nInc like this every 6th row a total of 5 times. (52 sts)", "error stated-count-differs"},
	{"markers every so many", "Crown\nCO 60 sts. Join in the round.\nKnit 1 round.\nPlace a marker every 10 sts.\nDec rnd: *K to 2 sts before m, k2tog, sm; rep from * around.\nRep Dec rnd once more.", "final 48"},
	{"markers spread evenly", "Crown\nCO 60 sts. Join in the round.\nKnit 1 round.\nPlace 5 markers evenly around.\nDec rnd: *K to 2 sts before m, k2tog, sm; rep from * around. (5 sts dec'd)", "final 55"},
	{"markers that do not fit", "Crown\nCO 60 sts. Join in the round.\nKnit 1 round.\nHang 7 markers, with 9 sts between them.\nKnit 1 round.", "error stated-count-differs"},

	// counts between markers
	{"of which between markers", "Thumb\nSizes: S (M, L)\nCO 40 (44, 48) sts. Join in the round, pm.\nSet-up rnd: K20 (22, 24), pm, m1, pm, k to end. (41 (45, 49) sts, of which 1 is between the markers)\nInc rnd: K to m, sm, m1r, k to m, m1l, sm, k to end.\nRep Inc rnd 4 (4, 5) times more – 51 (55, 61) sts, including 11 (11, 13) sts between markers.", "final 51 55 61"},
	{"between markers, wrong", "Thumb\nCO 40 sts. Join in the round, pm.\nSet-up rnd: K20, pm, m1, pm, k to end.\nInc rnd: K to m, sm, m1r, k to m, m1l, sm, k to end. [43 sts: 4 sts between markers]", "error marker-count-differs"},

	// needle by needle
	{"toe by the needle", "Toe\nSizes: S (L)\nCO 48 (56) sts. Divide over 3 needles: N1 12 (14), N2 24 (28), N3 12 (14). Join.\nRnd 1: Needle 1: K to last 3 sts, k2tog, k1; Needle 2: k1, ssk, k to last 3 sts, k2tog, k1; Needle 3: k1, ssk, k to end. (4 sts dec'd)\nRnd 2: Knit.\nRep Rnds 1 and 2 until 16 (16) sts rem.", "final 16 16\nrow 1 times: 8 10"},
	{"a line for each needle", "Toe\nCO 40 sts, 10 on each of 4 needles. Join.\nKnit 1 rnd.\nRnd 1:\n1st needle: K to last 2 sts, k2tog.\n2nd needle: Knit.\n3rd needle: K to last 2 sts, k2tog.\n4th needle: Knit.\nRnd 2: Knit.", "row 1: 38\nfinal 38"},
	{"evenly on four needles", "Toe\nCO 40 sts. Join.\nKnit 1 rnd.\nDivide sts evenly over 4 needles.\nRnd 1: N1: k2tog, k to end; N2: k2tog, k to end; N3: k2tog, k to end; N4: k2tog, k to end.", "row 1: 36"},
	{"needles that do not add up", "Toe\nCO 40 sts. Join.\nKnit 1 rnd.\nArrange the sts on 3 needles: 10, 20, 12.\nKnit 1 rnd.", "error stated-count-differs"},
	{"needles not told", "Toe\nCO 40 sts. Join.\nRnd 1: N1: k to last 3 sts, k2tog, k1. N2: knit.", "row 1: 39\nfinal 39"},
	{"too many left on a needle", "Toe\nCO 40 sts. Join.\nKnit 1 rnd.\nArrange N1: 10, N2: 20, N3: 10.\nRnd 1: N1: k8. N2: k20. N3: k10.", "error stitches-left-over"},

	// lists of jobs
	{"a list of jobs", "Bag\n1) Cast on 24 sts.\n2) Work 40 rows in garter stitch.\n3) Cast off.\n4) Pick up and knit 24 sts along each of the four sides (96 sts). Work in rounds.\n5) Rounds 1-10: Knit.\n6) Cast off.", "cast on 24\nfinal 24\npart 2 final 96\nrow 2 absent"},
	{"sides without a sum", "Bag\n1. Cast on 24 sts.\n2. Knit 48 rows.\n3. Cast off.\n4. Pick up and knit 24 sts along each of the 4 sides. Join in the round.\n5. Round 1: *K2, p2; rep from * to end.\n6. Cast off.", "final 24\npart 2 final 96"},
	{"a list of rows", "Lace\nCast on 12 sts.\n1. K2, yo, k2tog, k8.\n2. Purl.\n3. K2, ssk, yo, k8.\n4. Purl.", "row 3: 12\nfinal 12"},
	{"handles", "Bag\nCO 60 sts. Join in the round.\nRnd 1: K10, bind off 10, k until there are 20 sts on right needle after the bound-off sts, bind off 10, k to end. (40 sts)\nRnd 2: K10, CO 10, k20, CO 10, k10. (60 sts)", "row 1: 40\nfinal 60"},

	// arrows
	{"arrows that are told", "Shawl\n← = RS row; → = WS row\nCO 5 sts.\nRow 1 ←: K2, yo, k1, yo, k2. (7 sts)\nRow 2 →: Purl.\n← Row 3: K2, yo, k3, yo, k2. (9 sts)", "row 3: 9\nfinal 9"},
	{"arrows for decoration", "Shawl\nCO 5 sts.\nRow 1 →: K2, yo, k1, yo, k2. (7 sts)\nRow 2 ←: Purl.", "final 7"},
	{"arrows against the row", "Shawl\n→ = RS, ← = WS\nCO 5 sts.\nRow 1 →: Knit.\nRow 2 →: Purl.", "error wrong-side"},

	// sums
	{"sums with brackets", "Band\nCO 20 sts.\nRow 1 = k2 + (p2 + k2) x 4 + p2\nRow 2 = Row 1\nRow 3 = 4 k + 12 p + 4 k", "row 1: 20\nfinal 20"},
	{"a plus for the asterisk", "Band\nCO 20 sts.\nRow 1: +K2, p2; rep from + to end.\nRow 2: K1, +p2, k2+ to last 3 sts, p2, k1.", "final 20"},

	// how often, first
	{"times first", "Toy\nCO 6 and join.\nRnd 1: 6 x kfb {12}\nRnd 2: 4 times (k2, kfb) {16}\nRnd 3: 4× [k3, kfb], {20}\nRnd 4: K — now put in the eyes!\nRnd 5: 10× k2tog {10}", "row 3: 20\nfinal 10"},
	{"times first with sizes", "Toy\nSizes: S (L)\nCO 20 (30) sts.\nRow 1: 2 (3) times [k8, k2tog]. – 18 (27) sts\nRow 2: 2 (3) × (p7, p2tog)", "final 16 24"},
	{"times behind still", "Toy\nCO 20 sts.\nRow 1: [K8, k2tog] 2 times.\nRow 2: K2, k2tog 3 times, k10.", "row 1: 18\nfinal 15"},

	// threes
	{"threes of an armhole", "Sleeve\nGauge: 20 sts, 28 rows = 10 cm\nRead as rows-sts-times, at both ends.\nCO 60 sts.\nKnit 2 rows.\nDecrease 2-2-3, then 2-1-4, 4-1-2. 36 sts.\nBind off.", "final 36"},
	{"threes by stroke", "Sleeve\nSizes: S / M / L\nNumbers are rows-stitches-times, each side.\nCO 40/44/48 sts.\nKnit 4 rows.\nIncrease 6-1-5/6-1-6/6-1-7. 50/56/62 sts.", "final 50 56 62"},
	{"threes, wrong", "Sleeve\nRead as rows-sts-times, at both ends.\nCO 40 sts.\nKnit 2 rows.\nIncrease 6-1-5. 52 sts.", "error stated-count-differs"},

	// names of sizes beside the numbers
	{"sizes named beside", "Skirt\nSizes: Small, Medium, Large\nCast on Small: 60, Medium: 72, Large: 84 sts. Join in the round.\nRnd 1: *K4, k2tog; rep from * around. (50 sts for Small, 60 sts for Medium, 70 sts for Large)", "cast on 60 72 84\nfinal 50 60 70"},
	{"sizes named behind", "Skirt\nSizes: S (M, L)\nCO 60 (S), 72 (M), 84 (L) sts. Join in the round.\nKnit S 5, M 6, L 7 rounds.", "cast on 60 72 84\nrow Knit 5 (6, 7) rounds times: 5 6 7"},
	{"a count named, wrong", "Skirt\nSizes: A / B / C\nCast on A 60, B 72, C 84 sts.\nRow 1: *K4, k2tog; rep from * to end. A 50, B 61, C 70 sts.", "error stated-count-differs"},
	{"rows in brackets", "Skirt\nCO 60 sts. Join in the round.\nHem: (1 rnd purl, 2 rnds knit) 3 times.\n[Knit 1 round, purl 1 round] twice.", "row Hem times: 9\nfinal 60"},

	// initials
	{"initials with points", "Vest\nCO 20 sts.\n1st row.—K.2, k.2 tog. t.b.l., k. to last 4 sts., sl.1, k.1, p.s.s.o., k.2.\n2nd row.—P.\n3rd row.—K.1, y.o., k.2 tog., k. to end.", "row 1: 18\nfinal 18"},

	// the second side
	{"the second side by number", "Front\nSizes: S (M, L)\nCO 31 (35, 39) sts.\nKnit 2 rows.\nNext row: K15 (17, 19), turn and work this half first, placing the next st on a pin and the rem 15 (17, 19) sts on a holder.\nNext row: Purl.\nWork 4 rows.\nCast off.\nSecond side\nWith RS facing, rejoin yarn to the 15 (17, 19) sts on holder, k to end.\nNext row: P to last 3 sts, p2tog, p1.\nCast off.", "final 15 17 19\npart 2 cast on 15 17 19\npart 2 final 14 16 18"},
	{"the second side, held", "Front\nCO 20 sts.\nNext row: K10, turn, leaving the rem 10 sts on a holder.\nNext row: P to end.\nCast off.\nOther side\nRejoin yarn to held 10 sts and knit 1 row.\nCast off.", "final 10\npart 2 cast on 10"},

	// the same again, with other numbers and other trades' words
	{"colours with stripes between", "Stripe\nYarns: Fog, Ember\nCO 21 sts with Fog.\nRow 1 (RS) (Fog): K.\nRow 2 (WS) (Fog): P.\nRow 3 (RS) (Ember): K1, *sl 1 wyib, k1; rep from * to end.\nRow 4 (WS) (Ember): P.", "final 21"},
	{"plain rows by fabric in the round", "Tube\nCO 36 sts. Join in the round.\nRnds 1-5: Stockinette stitch.\nRnd 6: *K4, k2tog; rep from * around.\nRnds 7-9: St st.", "row 5: 36\nrow 9: 30\nfinal 30"},
	{"number first in bobbles", "Bobble\nMB: (1 k, 1 p, 1 k) in next st, turn, 3 p, turn, sk2p\nCO 9 sts.\n1st row: 4 k, MB, 4 k.\n2nd row: 9 p.", "row 1: 9\nfinal 9"},
	{"number first with sizes", "Rib\nSizes: S (M, L)\nCO 20 (24, 28) sts.\nRow 1: 4 (6, 8) k, 12 p, 4 (6, 8) k.\nRow 2: 4 (6, 8) p, 12 k, 4 (6, 8) p.", "final 20 24 28"},
	{"two more stitches left", "Arch\nNumber of sts divisible by 6, plus 1, plus 2 edge sts.\nRow 1 (RS): 1 edge st, *1 k, 1 yo, 1 k, 1 sk2p, 1 k, 1 yo; repeat from *, 1 k, 1 edge st.\nRow 2 (WS) and all return rows: edge st, purl all sts, edge st.\nRepeat the 1st and 2nd row always.", "of 6+3\nneeds 6+3"},
	{"a multiple with edges, told", "Arch\nCast on a number of stitches that 8 will go into evenly, plus 3.\nRow 1: K1, *k2tog, k3, yo, k1, yo, k2; rep from * to last 2 sts, k2.\nRow 2: Purl.", "of 8+3"},
	{"all together into one", "Puff\nCO 10 sts.\nRow 1: K4, knit one, purl one, knit one, purl one and knit one all into next stitch, k5.\nRow 2: P4, p5tog, p5.", "row 1: 14\nrow 2: 10"},
	{"both into one", "Inc\nCO 10 sts.\nRow 1: K3, k1 and p1 both into next st, k6.", "row 1: 11"},
	{"all into one, in brackets still", "Puff\nCO 10 sts.\nRow 1: K4, (k1, yo, k1) all into next st, k5.\nRow 2: P4, p3tog, p5.", "row 1: 12\nrow 2: 10"},
	{"hyphens and en dashes", "Cowl\nSizes: S – M – L\nCO 90 – 100 – 110 sts and join in the round.\nWork 8 – 9 – 10 rounds in garter stitch.\nNext rnd: *K8, k2tog; rep from * around. (81 – 90 – 99 sts)", "cast on 90 100 110\nfinal 81 90 99"},
	{"one size with a range", "Cowl\nSize: to fit head 54-58 cm\nCO 90 sts and join in the round.\nKnit 8-10 cm.\nBind off.", "cast on 90\nfinal 90"},
	{"decrease like this, twice over", "Sleeve\nSizes: S (M, L)\nCO 60 (64, 70) sts.\nKnit 2 rows.\nDec row (RS): K1, k2tog, k to last 3 sts, ssk, k1.\nDec in this manner every 6th row 4 (3, 2) times more, then every 4th row 2 (4, 7) times. 46 (48, 50) sts.", "final 46 48 50"},
	{"like that, in all", "Toe\nCO 48 sts. Join in the round.\nDec rnd: *K2, k2tog, k16, ssk, k2; rep from * once more.\nShape thus on every alt rnd a total of 1 time. 44 sts", "final 44"},
	{"needles by ordinal", "Hat\nCO 64 sts, distributed over 4 needles (16 sts on each). Join.\nRnd 1: On 1st needle: k to last 2 sts, k2tog; on 2nd needle: k to last 2 sts, k2tog; on 3rd needle: k to last 2 sts, k2tog; on 4th needle: k to last 2 sts, k2tog.\nRnd 2: Knit.\nRep these 2 rnds until 32 sts rem.", "final 32\nrow 1 times: 8"},
	{"gusset by the needle", "Gusset\nCO 64 sts. Join.\nKnit 1 round.\nPlace 18 sts on N1, 28 sts on N2, 18 sts on N3.\nDec rnd: N1: K to last 3 sts, k2tog, k1. N2: K. N3: K1, ssk, k to end. (2 sts dec'd)\nNext rnd: K.\nRep last 2 rnds 3 more times. 56 sts: 14 on N1, 28 on N2, 14 on N3.", "final 56"},
	{"markers already there", "Yoke\nCO 80 sts. Join in the round.\nRnd 1: *K20, pm; rep from * around.\nRnd 2: *K1, m1, k to 1 st before m, m1, k1, sm; rep from * around. (8 sts inc'd)", "row 2: 88"},
	{"handles cast on again", "Tote\nCO 72 sts. Join in the round.\nKnit 3 rnds.\nNext rnd: K12, cast off 12 sts, k until 24 sts are on right needle since the gap, cast off 12, k to end.\nNext rnd: K12, cast on 12, k24, cast on 12, k12.", "final 72"},
	{"until on the needle, at the edge", "Neck\nCO 40 sts.\nRow 1: Bind off 4 sts, k until there are 12 sts on right needle, bind off 8 sts, k to end.\n", "row 1: 28"},
	{"boxes and stars", "List\nCO 11 sts.\n☑ Row 1: K1, *yo, k2tog; rep from * to end.\n☐ Row 2: P.\n□ Row 3: K1, *ssk, yo; rep from * to end.\n□ Row 4: P.\nTick each row off and repeat Rows 1-4 three more times.", "row 1: 11\nrow 4 times: 4"},
	{"arrows with both rows", "Scarf\n(→ means RS, ← means WS)\nCO 9 sts.\nRow 1 →: K.\nRow 2 ←: K3, p3, k3.", "final 9"},
	{"sums with commas between", "Sum\nCO 30 sts.\nRow 1: k3 + p3 + (k2tog + yo) x 6 + p3 + k3, k6.\nRow 2: p6 + p3 + k3 + p12 + k3 + p3", "row 1: 30\nrow 2: 30"},
	{"times first in a repeat", "Lace\nCO 24 sts.\nRow 1: K2, *3× (k2tog, yo), k4; rep from * to last 2 sts, k2.\nRow 2: Purl.", "row 1: 24"},
	{"times first, brackets nested", "Toy\nCO 8 sts. Join.\nRnd 1: 2 x [k2, 2 x kfb] {12}\nRnd 2: 2× [k4, 2× kfb] – 16 sts", "row 1: 12\nfinal 16"},
	{"comments behind a dash", "Toy\nCO 12 sts. Join.\nRnd 1: knit – check your tension here\nRnd 2: p — a ridge for the collar\nRnd 3: K2tog around — almost done!", "row 2: 12\nfinal 6"},
	{"threes with letters", "Sleeve\nHow to read: rows-sts-times. Shape both edges.\nSizes: S (M)\nCO 50 (56) sts.\nKnit 4 rows.\nDec 8-1-2 (6-1-3), 6-1-1 (4-1-1). 44 (48) sts.", "final 44 48"},
	{"threes in another order", "Cap\nThe figures are sts-rows-times, at each edge.\nCO 60 sts.\nKnit 2 rows.\nDec 3-2-1, then 2-2-2, then 1-2-5. 36 sts.", "final 36"},
	{"sizes named with hyphens", "Band\nSizes: Child / Adult\nCO Child 48 / Adult 60 sts.\nRow 1: *K2, p2; rep from * to end. (Child 48 / Adult 60 sts)", "cast on 48 60\nfinal 48 60"},
	{"sizes named, one short", "Band\nSizes: S (M, L)\nCO 48 (54, 60) sts.\nRow 1: *K4, k2tog; rep from * to end. S 40, M 45, L 50 sts.", "final 40 45 50"},
	{"points and initials", "Baby\nCO 30 sts.\n1st row.—K.3, * y.r.n., s.k.p.o., k.2, rep. from * to last 3 sts., k.3.\n2nd row.—P.\n3rd row.—K. to last 2 sts., k.2 tog. t.b.l.", "row 1: 30\nrow 3: 29"},
	{"second side told by joining", "Vest\nCO 41 sts.\nKnit 4 rows.\nNext row: K18, bind off 5, k to end. (36 sts)\nNext row: P18, turn, leaving remaining 18 sts on waste yarn.\nNext row: K.\nBind off.\nLeft side\nWith WS facing, join yarn to the 18 sts held on waste yarn, p to end.\nNext row: K1, ssk, k to end.\nBind off.", "part 2 cast on 18\npart 2 final 17"},

	// stitches by the cable needle, slipped together, taken together at the ends
	{"a list off the cable needle", "Ribs\nMultiple of 8 + 2\nWrap 6 = slip next 6 sts to cable needle, wind the yarn 3 times round them from front to back, then work k2, p2, k2 from the cable needle.\nRow 1: P2, *Wrap 6, p2; rep from * to end.\nRow 2: Knit.", "of 8+2\nneeds 8+2"},
	{"slipped as if to k2tog", "Leaf\ncdd = slip 2 sts together as if to k2tog, k1, pass the 2 slipped sts over\nCO 12 sts.\nRow 1: *Yo, cdd, yo, k3; rep from * to end.\nRow 2: Purl.", "row 1: 12\nfinal 12"},
	{"two together at each end", "Vest\nCO 70 sts.\nRow 1: Knit.\nRow 2: Knit.\nNow knit 2 together at each end of the next and every alternate row until 60 stitches remain.\nKnit 4 rows.", "final 60"},
	{"said wrongly at each end", "Vest\nCO 70 sts.\nRow 1: Knit.\nPurl 2 together at both ends of every alternate row 5 times. (58 stitches.)", "error stated-count-differs"},
	{"each stitch from both sides", "Mole\nCast on 6 sts. Join in the round.\n1st round: knit each stitch from the front and from the back (kfb) = 12 stitches.\n2nd round: knit.", "row 1: 12\nfinal 12"},
	{"what a row is for", "Vest\nCO 60 sts.\nRow 1—Make holes for ribbon: K 1, * wool forward, k 2 together, repeat from * to last stitch, k 1.\nRow 2: Knit.\nRow 3: K2, yo, k2tog, k52, k2tog, yo, k2. 2 buttonholes made.", "row 1: 60\nrow 3: 60"},

	// binding off without "at", over groups, in vectors with semicolons
	{"beg next", "Front\nCO 40 sts.\nRow 1: Knit.\nRow 2: Purl.\nBind off 6 sts beg next 2 rows. 28 sts.\nKnit 2 rows.", "final 28"},
	{"a gap for each group", "Band\nCO 20 sts.\nRow 1: K4, (cast off 2 sts, k until there are 4 sts on right needle after cast-off) twice, k to end.\nRow 2: K to end, casting on 2 sts over each cast-off group.", "row 1: 16\nrow 2: 20"},
	{"then, with semicolons", "Back\nSizes: XS (S, M; L, XL)\nCO 90 (98, 106; 114, 122) sts.\nRow 1: Knit.\nRow 2: Purl.\nBO 7 (8, 9; 10, 11) sts at beg of next 2 rows, then 7 (8, 9; 9, 10) sts at beg of foll 2 rows.\nKnit 2 rows.", "final 62 66 70 76 80"},

	// short rows in rib, tables, two sizes by a stroke
	{"short rows again", "Collar\nCO 20 sts.\nShort row 1 (RS): K15, w&t.\nShort row 2 (WS): P10, w&t.\nShort row 3: Work in rib to wrapped st, work wrapped st together with its wrap, rib 1, w&t.\nShort row 4: Work in rib to wrapped st, work wrapped st together with its wrap, rib 1, w&t.\nRep last 2 short rows once more.\nNext row: Knit.", "final 20"},
	{"counts of a table", "Cowl\nCO 12 sts. Join in the round.\n\n| Rnd | Work | Sts |\n|---|---|---|\n| 1 | knit | 12 |\n| 2 | *k4, k2tog; rep from * to end | 10 |\n| 3 | knit | 10 |", "row 2: 10\nfinal 10"},
	{"counts of a table, said wrongly", "Cowl\nCO 12 sts. Join in the round.\n\n| Rnd | Work | No. of sts |\n|---|---|---|\n| 1 | knit | 12 |\n| 2 | *k4, k2tog; rep from * to end | 11 |", "error stated-count-differs"},
	// what goes to a holder
	{"the rest on a holder", "Back\nCO 90 sts.\nRow 1: Knit.\nRow 2: Purl.\nBO 14 sts at beg of next 2 rows.\nPlace rem 62 sts on holder for back neck.", "final 62"},
	{"the rest, said wrongly", "Back\nCO 90 sts.\nRow 1: Knit.\nPlace remaining 62 sts on holder for back neck.", "error stated-count-differs"},
	{"more than there are", "Back\nCO 60 sts.\nRow 1: Knit.\nPlace 62 sts on a holder.", "error stated-count-differs"},

	{"one size with two measures", "Sock\nSize: Women's medium, 8 in / 20 cm foot\nCO 64 sts. Join in the round.\nRnd 1: Knit.", "cast on 64"},
}

func TestHabits(t *testing.T) {
	for _, h := range habits {
		t.Run(h.name, func(t *testing.T) { proveHabit(t, h.text, h.said) })
	}
}

// proveHabit checks what is said to come of a manuscript, line by line; no other error or warning may be raised.
func proveHabit(t *testing.T, text, said string) {
	rep := Check(text).Report
	left := map[finding.Code]int{}
	for _, f := range rep.Findings {
		if f.Severity != finding.Note {
			left[f.Code]++
		}
	}
	for _, line := range strings.Split(said, "\n") {
		if f := strings.Fields(line); f[0] == "error" || f[0] == "warning" {
			if left[finding.Code(f[1])] == 0 {
				t.Errorf("no %s", f[1])
			}
			delete(left, finding.Code(f[1]))
			continue
		}
		if got := sayHabit(rep, line); got != "" {
			t.Errorf("want %s: %s", line, got)
		}
	}
	if len(left) > 0 {
		for _, f := range rep.Findings {
			if left[f.Code] > 0 {
				t.Errorf("line %d, %s: %s", f.Line, f.Code, f.Message)
			}
		}
	}
}

// sayHabit compares one line of what must come of a manuscript; "" where it holds.
func sayHabit(rep *Report, line string) string {
	part := 0
	if rest, ok := strings.CutPrefix(line, "part 2 "); ok {
		part, line = 1, rest
	}
	if part >= len(rep.Parts) {
		return fmt.Sprintf("%d parts", len(rep.Parts))
	}
	p := rep.Parts[part]
	list := func(got []*int) string {
		s := ""
		for _, v := range got {
			if v == nil {
				s += " -"
			} else {
				s += fmt.Sprintf(" %d", *v)
			}
		}
		return strings.TrimSpace(s)
	}
	ints := func(got []int) string { return strings.Trim(fmt.Sprint(got), "[]") }
	same := func(got, want string) string {
		if got == strings.TrimSpace(want) {
			return ""
		}
		return "got " + got
	}
	multiple := func(m *Multiple) string {
		if m == nil {
			return "none"
		}
		return fmt.Sprintf("%d+%d", m.Of, m.Plus)
	}
	word, rest, _ := strings.Cut(line, " ")
	switch word {
	case "final":
		return same(list(p.FinalCounts), rest)
	case "cast":
		return same(ints(p.CastOn), strings.TrimPrefix(rest, "on "))
	case "of":
		return same(multiple(p.Multiple), rest)
	case "needs":
		if p.NeedsMultiple == nil {
			return "none"
		}
		return same(fmt.Sprintf("%d+%d", p.NeedsMultiple.Of, p.NeedsMultiple.Plus), rest)
	case "row":
		if name, ok := strings.CutSuffix(rest, " absent"); ok {
			for _, r := range p.Rows {
				if r.Row == name {
					return "it is there"
				}
			}
			return ""
		}
		name, want, _ := strings.Cut(rest, ": ")
		name, times := strings.CutSuffix(name, " times")
		name, sts := strings.CutSuffix(name, " stitches")
		for _, r := range p.Rows {
			if r.Row != name && !strings.HasPrefix(r.Row, name+":") {
				continue
			}
			switch {
			case times:
				return same(ints(r.Times), want)
			case sts:
				if r.Stitches == nil {
					return "none"
				}
				return same(fmt.Sprintf("%dn+%d", r.Stitches.Of, r.Stitches.Plus), want)
			}
			return same(list(r.Counts), want)
		}
		return "no such row"
	}
	return "not understood: " + line
}

// Nothing of it may run away: brackets and signs heaped up, layouts of more stitches
// than there are, needles that never come.
func TestHabitsHeaped(t *testing.T) {
	for _, text := range []string{
		"Deep\nCO 20 sts.\nRow 1: " + strings.Repeat("2 x (", 31) + "k1, zz9" + strings.Repeat(")", 31) + "\nRow 2: " + strings.Repeat("k – ", 1500) + "\nRow 3: " + strings.Repeat("k2 + ", 1300) + "k1\nRow 4: " + strings.Repeat("2 x ", 1500),
		"Lay\nCO 90000 sts. Join in the round.\nKnit 1 round.\nPlace a marker every 1 sts.\nArrange N1: 1000000000, N2: 1000000000\nRnd 1: " + strings.Repeat("N1: k, N2: k, ", 600) + "\nRep Rnd 1 20000 times.\n" + strings.Repeat("Divide over 3 needles ", 1000),
		"Threes\nrows-sts-times\nCO 20 sts.\nKnit 1 row.\nIncrease " + strings.Repeat("8-1-5 (", 900) + "\nIncrease 0-1-1000000000.\nIncrease 1-0-3, then " + strings.Repeat("9999-1-9999, then ", 300),
	} {
		if r := Check(text); len(r.Report.Parts) == 0 {
			t.Errorf("%.20q: no part", text)
		}
	}
}
