package review

// These are habits of whole patterns: what stands around the rows, and pieces that go on from what waits.
func init() {
	habits = append(habits, []struct{ name, text, said string }{
		// sizes
		{"a label of sizes over a blank line", "Cap\nSizes: S (M, L)\nCO 60 (66, 72) sts. Join in the round.\n\nSizes M and L only:\n\nRnd 1: *K31 (34), k2tog; rep from * once more.\n\nAll sizes:\nRnd 2: Knit.", "row 2: 60 64 70"},
		{"numbers for the sizes of a label", "Vest\nSizes: S (M, L, XL)\nCO 80 (88, 96, 104) sts.\nRow 1: Knit.\nRow 2: Purl.\n\nSizes L and XL only:\nBind off 3 (5) sts at beg of next 2 rows. 90 (94) sts.\n\nAll sizes:\nNext row (RS): Knit.", "row Next row: 80 88 90 94"},
		{"sizes by hyphens in a bracket", "Jersey\nSize: 4 (6-8-10) years\nCast on 52 (56-60-64) sts.\n1st row. K2, k2tog, k to end. 51 (55-59-63) sts.", "cast on 52 56 60 64\nrow 1: 51 55 59 63"},
		{"whom they fit behind a semicolon", "Sock\nSizes: S [M, L]; to fit foot circumference 19 [22, 25] cm\nCast on 48 [56, 64] sts. Join in the round.\nRnd 1: *K2, p2; rep from * to end.", "cast on 48 56 64"},
		{"a size that never works a repeat", "Yoke\nSizes: XS (S, M)\nCO 40 sts. Join in the round.\nRnd 1: *K8, m1; rep from * to end.\nRnd 2: Knit.\nWork Rnds 1 and 2 a total of – (1, 1) times.\nKnit 1 rnd.", "row 1: - 45 45"},

		// heads
		{"a row with a label", "Cowl\nCO 24 sts. Join in the round.\nHem rib: *K2, p2; rep from * to end.\nRepeat Hem rib until piece measures 3 cm.\nRnd 1: Knit.", "row Hem rib: 24\nrow 1: 24"},
		{"a section that has a name and no row", "Shawl\nCO 9 sts.\n\nSection one: garter\nRow 1 (RS): K1, yo, k to last st, yo, k1.\nRow 2: Knit.", "row 1: 11"},
		{"a stitch pattern by its name", "Cowl\n\nAbbreviations\nk: knit\n\nPEBBLES (worked in the round over a multiple of 4 sts)\nRnd 1: *K2, p2; rep from * to end.\nRnd 2: Knit.\n\nINSTRUCTIONS\nCast on 40 sts. Join in the round.\nWork Rnds 1 and 2 of Pebbles 3 times.\nKnit 1 rnd.", "of 4+0\npart 2 final 40"},

		// what tells and works nothing
		{"where the marker is", "Yoke\nCO 20 sts. Join in the round.\nRnd 1: K10, pm, k10; the BOR marker is the second side marker.\nRnd 2: K to m, sm, k to end, the round marker being the first.", "row 2: 20"},
		{"what a stitch does to the count", "Doll\nAbbreviations\nbump – knit into front and back of the same st (increases 1)\n\nCO 8 sts. Join in the round.\nRnd 1: Kfb in each st. [16 sts]\nRnd 2: (k1, bump) to end. [24 sts]", "row 2: 24"},
		{"escaped signs", "Mitt\nCO 12 sts. Join in the round.\nRnd 1: \\*K1, p1; repeat from \\* to end.\nRnd 2: \\*K2tog; repeat from \\* to end.", "row 2: 6"},

		// times and lengths
		{"for the next rows", "Back\nSizes: S (M)\nCO 60 (70) sts.\nRow 1: K.\nRow 2: P.\nDec 1 st at each end of every row for next 5 (6) rows. 50 (60) sts.", "error stated-count-differs"},
		{"rows spoken of before", "Yoke\nCO 20 sts.\nRow 1: K1, m1, k to end.\nRow 2: Purl.\nThese two rows set the shaping. Work them 4 times more, until you have 25 sts.", "final 25"},
		{"a rib for a length", "Neck\nCO 20 sts. Join in the round.\nWork *k2, p2; rep from * around for 1\".\nRnd 1: Knit.", "row 1: 20"},
		{"sentences between stars", "Wrap\nCO 8 sts.\nRow 1: K1, m1, k to end.\nRow 2: Purl.\n*Work Rows 1 and 2 two more times. Repeat from * once more.", "final 13"},
		{"a decrease round of no head", "Hat\nCO 48 sts. Join in the round.\nRnd 1: *K6, k2tog; rep from * around.\nRnd 2: Knit.\nContinue in this manner, working 1 fewer st between decreases on every other rnd, until 30 sts remain. Now work a decrease rnd every rnd until 6 sts remain.", "final 6"},
		{"steps that never come there", "Sock\nCO 44 sts. Join in the round.\nRnd 1: Knit.\nKeep on dec 4 sts in this way every other rnd until 18 sts are left.", "error count-never-reached"},

		{"a row so many times in all", "Sleeve\nCO 44 sts.\nEvery row: *K2, p2; repeat from * to end.\nWork 20 rows in all.\nWork 2 rows in stockinette.\nInc row (RS): K2, M1L, k to last 2 sts, M1R, k2.", "row Inc row: 46"},
		{"a named row so many times more", "Shawl\nCO 9 sts.\nEyelet row (RS): K3, yo, k to end.\nNext row (WS): Knit.\nWork the Eyelet row 1 time more, then knit 1 WS row.", "final 11"},
		{"just so many on the needle", "Cloth\nCO 8 sts.\nRow 1: Knit.\nDec row: K1, k2tog, k to end.\nRepeat the Dec row until there are just 4 stitches left on your needle.", "final 4"},
		{"so many on every needle", "Ball\nCO 12 sts, 4 on each of 3 needles. Join in the round.\nRound 1: Knit into front and back of every stitch. 24 sts (8 per needle)\nRound 2: Knit.", "row 1: 24"},
		{"stitches as they lie, said again", "Scarf\nCO 12 sts.\nRow 1: P2, (k3, p2) to end.\nRow 2: Work sts as they present themselves (k the knits and p the purls).", "row 2: 12"},
		{"across to the last stitch", "Scarf\nCO 20 sts.\nRow 1: K1. *K2tog, yo. Rep from * across to last st. K1.", "row 1: 20"},

		{"rows numbered on behind a repeat", "Basket\nMultiple of 4 sts.\n1st Row: *K2, p2; rep from * to end.\n2nd Row: *P2, k2; rep from * to end.\nRepeat the last two rows twice more.\n7th Row: Knit.\n8th Row: Purl.\nRepeat these 8 rows for length required.", "of 4+0"},

		// what is said of the count
		{"a count that never changes", "Shingles\nMultiple of 6 sts plus 1.\nN.B. The number of sts remains the same throughout.\n1st row (RS): K1, *yfwd, skpo, k1, k2tog, yfwd, k1; rep from * to end.\n2nd row: P.\n3rd row: K1, *k2tog, yfwd, k1, skpo, k1; rep from * to end.\n4th row: P.", "error stated-count-differs"},
		{"a count that is given in every row", "Shingles\nMultiple of 6 sts plus 1.\nThe number of sts is the same on every even row.\n1st row (RS): K1, *yfwd, k5, yfwd, k1; rep from * to end.\n2nd row: P1, *p2tog, p3, p2tog, p1; rep from * to end.", "of 6+1"},

		// what waits
		{"which sts the count is of", "Vest\nCO 80 sts.\nRow 1: K.\nRow 2: P.\nNext row (RS): K40 and place these sts on a holder for the Left Front, knit to end. 40 sts on needle for the Right Front.\nNext row (WS): Purl.", "row Next row: 40\nwarning holder-not-emptied"},
		{"a thumb from its thread", "Mitt\nCO 30 sts. Join in the round.\nRnd 1: K12, place next 6 sts on a holder, k12.\nBind off.\n\nThumb\nSlip the 6 sts back on to needles, rejoin yarn, knit these sts, then pick up and knit 3 sts across the gap. [9 sts]\nKnit 4 rnds.", "part 2 final 9"},
		{"a thumb that does not add up", "Mitt\nCO 30 sts. Join in the round.\nRnd 1: K12, place next 6 sts on a holder, k12.\nBind off.\n\nThumb\nReturn 6 held sts to needle. Pick up and knit 8 sts. 15 sts. Join in the round.\nKnit 4 rnds.", "error stated-count-differs"},
		{"picked up between two holders", "Neckband\nCO 10 sts.\nRow 1: K.\nBind off.\n\nBand\nKnit across 34 sts from back neck holder, pick up and knit 20 sts down left front neck, knit across 14 sts from front neck holder, pick up and knit 20 sts up right front neck. 88 sts. Join in the round.\nRnd 1: K.", "part 2 final 88"},
		{"a gusset that does not add up", "Sock\nCO 12 sts.\nRow 1: K.\nBind off.\n\nGusset\nKnit the 12 heel sts; with the same needle pick up and knit 18 sts along the side of the heel; with the second needle knit the 36 instep sts; with the third needle pick up and knit 18 sts along the other side of the heel. (86 sts.)\nKnit 1 round.", "error stated-count-differs"},
		{"one side of a neck on hold", "Back\nCO 40 sts.\nRow 1: K.\nRow 2: P.\nRow 3 (RS): K12, join a second ball of yarn and bind off center 16 sts, knit to end. There are 12 sts each side. Place the sts of the right shoulder on hold.\nRow 4: P.\nRow 5: BO 2 sts, k to end. 10 sts.", "row 5: 10\nwarning holder-not-emptied"},
		{"the first part of a heel in a sentence", "Sock\nCO 72 sts. Join in the round.\nRnd 1: K.\n\nK.18, turn. Slip 1, p.35 (these 36 sts. are for the heel; divide the remaining 36 sts. on two needles and leave for instep).\n1st row: Sl. 1, k. to end.\n2nd row: Sl. 1, p. to end.\nRep these 2 rows 3 times more.", "row 2: 36\nwarning holder-not-emptied"},

		// against what the row before has
		{"a decrease beside its gap", "Heel\nCO 30 sts.\nRow 1 (RS): K17, ssk, k1, turn.\nRow 2: Sl 1, p5, p2tog, p1, turn.\nRow 3: Sl 1, k5, ssk, k1, turn.\nRow 4: Sl 1, p7, p2tog, p1, turn.", "error gap-missed"},
		{"a decrease over its gap", "Heel\nCO 30 sts.\nRow 1 (RS): K17, ssk, k1, turn.\nRow 2: Sl 1, p5, p2tog, p1, turn.\nRow 3: Sl 1, k6, ssk, k1, turn.\nRow 4: Sl 1, p7, p2tog, p1, turn.", "row 4: 26"},
		{"wraps that nothing made", "Waves\nCO 20 sts.\nRow 1: Knit.\nRow 2: Knit, dropping the extra wraps off the needle as you come to them.", "error wraps-never-made"},
		{"wraps that were made", "Waves\nCO 20 sts.\nRow 1: Knit, wrapping the yarn twice around the needle for each st.\nRow 2: Knit, dropping the extra wraps off the needle as you come to them.", "row 2: 20"},
		{"rows that form a pattern and are not there", "Specks\nMultiple of 4 sts.\n1st row: *K3, p1; rep from * to end.\n2nd row: Purl.\n3rd row: *K1, p1, k2; rep from * to end.\n4th row: Purl.\nRows 1 to 8 form the pattern and are repeated throughout.", "error rows-not-given"},
		{"yarn that is never cut", "Stripes\nWith A, cast on 20 sts and knit 2 rows.\nDo not break the yarns; carry them up the side.\nRow 1 (RS): With A, knit.\nRow 2: With A, purl.\nRow 3: With B, knit.\nRow 4 (WS): With A, purl.", "error yarn-not-at-hand"},
		{"one number over two markers", "Spine\nCO 9 sts.\nRow 1 (RS): K4, pm, k1, pm, k4.\nRow 2: P9.\nRow 3: K to m, yo, sm, k1, sm, yo, k to end.", "row 3: 11"},
		{"a count behind a stitch passed over", "Edge\nCO 20 sts.\nRow 1: K18, pass 2nd st over first, k2 – 18 sts.\nRow 2: K18, pass 2nd st over first – 17 sts.", "error stated-count-differs"},
		{"bound off and knit more", "Edge\nCO 10 sts.\nRow 1 (RS): K.\nRow 2: Bind off 2, knit 4 more, yo, k2tog, k1.", "row 2: 8"},
	}...)
}
