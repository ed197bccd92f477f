package finding

func init() {
	define(Error, "too-long", "the manuscript is too long",
		"More text or lines than are read at once. Split the pattern into several.",
		"")
	define(Error, "not-utf8", "not UTF-8 text",
		"The file is not UTF-8. Save it again as UTF-8 text.",
		"\xff\xfe")
	define(Error, "line-too-long", "a line is too long",
		"One line holds more words than are read. Break it into rows.",
		"")
	define(Error, "empty", "nothing to read",
		"The manuscript is empty.",
		"")
	define(Error, "too-deep", "brackets nested too deep",
		"Brackets stand within brackets more than 32 deep.",
		"")
	define(Error, "too-many-sizes", "too many sizes",
		"More sizes than are worked. Split the pattern.",
		"")
	define(Error, "too-many-stitches", "too many stitches",
		"More than a million stitches in a row.",
		"CO 30 sts.\nRow 1: [Yo, k1] 9000000 times.")
	define(Error, "too-much-work", "working takes too long",
		"Working this pattern as written would take too long.",
		"")
	define(Error, "size-count", "too few or too many numbers",
		"A list of numbers, one for each size, has too few or too many numbers.",
		"Sizes: S (M, L)\nCO 20 (24, 28) sts.\nRow 1: K5 (6), k to end.")
	define(Error, "runs-out-of-stitches", "the row runs out of stitches",
		"The row wants more stitches than are on the needle.",
		"CO 10 sts.\nRow 1: K12.")
	define(Error, "stitches-left-over", "stitches left over",
		"The row ends before all stitches are worked.",
		"CO 10 sts.\nRow 1: K8.")
	define(Error, "repeat-stops-midway", "a repeat stops in its middle",
		"The stitches there are do not hold a whole number of repeats.",
		"CO 10 sts.\nRow 1: *K3, p1; rep from * to end.")
	define(Error, "repeat-never-ends", "a repeat that never ends",
		"The repeat uses up no stitches.",
		"CO 10 sts.\nRow 1: *Yo; rep from * to end.")
	define(Error, "stated-count-differs", "the stated count differs",
		"The count written at the end is not what the row gives.",
		"CO 10 sts.\nRow 1: Knit. (12 sts)")
	define(Error, "gap-missed", "a decrease misses the gap of a turn",
		"In a heel or another piece turned with short rows, the decrease joins the last stitch before the gap of an earlier turn with the first one behind it. Here both its stitches lie on one side of the gap.",
		"CO 20 sts.\nRow 1 (RS): Sl 1, k10, ssk, k1, turn.\nRow 2: Sl 1, p3, p2tog, p1, turn.\nRow 3: Sl 1, k3, ssk, k1, turn.")
	define(Error, "wraps-never-made", "extra wraps that were never made",
		"The row drops extra wraps or loops of the row before, which has none.",
		"CO 10 sts.\nRow 1: Knit.\nRow 2: Knit, dropping the extra wraps.")
	define(Error, "marker-count-differs", "the count between markers differs",
		"The number of stitches between markers is not the one stated.",
		"CO 20 sts.\nRow 1: K5, pm, k10, pm, k5. (8 sts between markers)")
	define(Error, "count-never-reached", "a count is never reached",
		"Shaping goes past, or never comes to, the number of stitches it should end with.",
		"CO 21 sts.\nRow 1: K2tog, k to last 2 sts, k2tog.\nRep Row 1 until 10 sts rem.")
	define(Error, "rows-not-given", "rows that are not given",
		"A sentence names rows that the pattern does not give.",
		"CO 10 sts.\nRow 1: Knit.\nRep Rows 1-4.")
	define(Error, "rows-do-not-join", "rows do not join",
		"Rows that are to be worked again do not fit the stitches, or the side, that are there by then.",
		"CO 7 sts.\nRow 1: K1, kfb, k3, kfb, k1.\nRow 2: Purl.\nRep Rows 1 and 2 3 times more.")
	define(Error, "row-missing", "a row is missing",
		"Row numbers leave one out.",
		"CO 10 sts.\nRow 1: Knit.\nRow 2: Purl.\nRow 4: Purl.")
	define(Warning, "chart-not-given", "rows of a chart that is not written out",
		"A sentence asks for rows of a chart, and the chart is not in the manuscript. Those rows cannot be proved; what follows is proved as if they kept the count. Write the chart out row by row.",
		"CO 24 sts, join in the round.\nRnd 1: Knit.\nWork Rnds 1-8 of Chart A.\nRnd 2: Knit.")
	define(Error, "row-given-twice", "a row is given twice",
		"Two rows bear the same number.",
		"CO 10 sts.\nRow 1: Knit.\nRow 2: Purl.\nRow 2: Knit.")
	define(Error, "wrong-side", "the wrong side is named",
		"The side a row is said to be is not the side that is up.",
		"CO 10 sts.\nRow 1 (RS): Knit.\nRow 2 (RS): Purl.")
	define(Error, "marker-missing", "a marker is missing",
		"A marker is spoken of that is not on the needle.",
		"CO 10 sts.\nRow 1: K to m, sm, k to end.")
	define(Error, "marker-elsewhere", "the marker is elsewhere",
		"A marker is to be slipped where none hangs.",
		"CO 10 sts.\nRow 1: K5, pm, k5.\nRow 2: P3, sm, p7.")
	define(Error, "cable-needle-empty", "nothing on the cable needle",
		"Stitches are to be worked off the cable needle, but it is empty.",
		"CO 10 sts.\nRow 1: K2 from cn, k8.")
	define(Error, "cable-needle-full", "stitches left on the cable needle",
		"The row ends with stitches on the cable needle.",
		"CO 10 sts.\nRow 1: Sl 2 sts to cn and hold in front, k8.")
	define(Error, "cast-on-not-multiple", "the cast-on does not fit the multiple",
		"The number cast on is not in the stated multiple.",
		"Multiple of 6 + 1\nCO 20 sts.\nRow 1: Knit.")
	define(Error, "count-not-kept", "a row gains or loses stitches",
		"The row changes the number of stitches in every repeat, and a later row does not come out because of it. A yarn over or a decrease is missing, or one too many.",
		"Multiple of 4 + 1\nRow 1 (RS): *K1, yo, k3; rep from * to last st, k1.\nRow 2: Purl.\nRow 3: *K2, p2; rep from * to last st, k1.")
	define(Error, "yarn-not-at-hand", "a yarn hangs at the other edge",
		"Worked flat, a yarn waits at the edge where it was last used. It is asked for at the other one. Say that it is cut and joined, or slide the work.",
		"Multiple of 2 + 1\nRow 1 (RS): With A, knit.\nRow 2: With A, purl.\nRow 3: With B, knit.\nRow 4: With A, purl.")
	define(Error, "multiple-differs", "the stated multiple is not what the rows need",
		"The rows cannot be worked on the stated multiple, but on another.",
		"Multiple of 5 + 1\nRow 1: *K1, p1, k2; rep from * to last st, k1.\nRow 2: P1, *k2, p2; rep from * to end.")
	define(Error, "too-few-rows-under-drop", "too few rows under a drop",
		"A stitch is to be worked some rows below, but there are not so many single rows in its column.",
		"CO 7 sts.\nRow 1: Knit.\nRow 2: Purl.\nRow 3: K3, k4b, k3.")
	define(Error, "not-for-every-multiple", "not for every multiple",
		"The row cannot be worked for every multiple.",
		"")
	define(Error, "size-order", "numbers out of order",
		"Stitch counts should not fall from one size to the next.",
		"Sizes: S (M, L)\nCO 20 (28, 24) sts.\nRow 1: Knit.")
	define(Error, "undefined-stitch", "a stitch that is not explained",
		"A stitch is named among the abbreviations but by nothing that can be worked.",
		"")
	define(Error, "rib-does-not-fit", "the rib does not go up in the round",
		"The stitches of the round do not hold a whole number of ribs.",
		"CO 82 sts, join in the round, pm.\nWork 10 rnds in k2, p2 rib.")
	define(Warning, "rib-uneven", "the rib ends unevenly",
		"Worked flat, the rib neither fits nor ends as it began.",
		"CO 81 sts.\nWork 10 rows in k2, p2 rib.")
	define(Warning, "needs-more-repeats", "needs more repeats",
		"The rows can be worked only from a certain number of repeats on.",
		"Multiple of 4 + 2\nRow 1: K5, k5, [k4] to last 4 sts, k4.")
	define(Warning, "repeat-not-reached", "a repeat is not reached at the smallest size",
		"With the fewest repeats the stated multiple allows, the row comes out without its repeat.",
		"Multiple of 4 + 3\nRow 1: K3, *k4; rep from * to last 4 sts, k4.\nRow 2: Purl.")
	define(Note, "times-unsaid", "“times” of rows that change no count can be read in two ways",
		"Rows that are repeated so many “times” may be worked so often in all, or so often more. No stitch count depends on it here, only the length.",
		"")
	define(Warning, "ambiguous-times", "“times” can be read in two ways",
		"“3 times” may mean in all or more. Say which.",
		"CO 15 sts.\nRow 1: *K3; rep from * 4 times.")
	define(Warning, "end-but-more", "“to end”, and more behind",
		"Stitches follow on a repeat that goes to the end.",
		"CO 10 sts.\nRow 1: *K1, p1; rep from * to end, k2.")
	define(Warning, "ambiguous-abbreviation", "an abbreviation with two meanings",
		"Lists of the trade give these letters two meanings; define which is meant.",
		"CO 9 sts.\nRow 1: Knit.\nRow 2: Purl.\nRow 3: K4, k1b, k4.")
	define(Warning, "row-not-understood", "a row is not understood",
		"Words in a row that the reader does not know. The row is kept as written, but not proved.",
		"CO 10 sts.\nRow 1: K5, wobble the yarn, k4.")
	define(Warning, "row-empty", "a row without instructions",
		"A row's head has nothing behind it.",
		"CO 10 sts.\nRow 1:")
	define(Warning, "asterisk-unused", "an asterisk without a repeat",
		"An asterisk opens a repeat that nothing ends.",
		"CO 10 sts.\nRow 1: *K10.")
	define(Warning, "asterisk-missing", "a repeat without an asterisk",
		"A repeat goes back to a sign that is not there.",
		"CO 10 sts.\nRow 1: K1, p1; rep from * to end.")
	define(Warning, "asterisk-other", "another asterisk",
		"A repeat goes back to a sign other than the one written.",
		"CO 10 sts.\nRow 1: *K1, p1; rep from ** to end.")
	define(Warning, "repeat-empty", "an empty repeat",
		"A repeat holds no stitches.",
		"CO 10 sts.\nRow 1: K10, *; rep from * to end.")
	define(Warning, "bracket-open", "a bracket is not closed",
		"An opening bracket has no closing one.",
		"CO 10 sts.\nRow 1: [K1, p1, k8.")
	define(Warning, "holder-not-emptied", "stitches stay on a holder",
		"Stitches were put on a holder and nothing is ever done with them.",
		"")
	define(Warning, "mixed-usage", "US and UK words are mixed",
		"Words of both usages stand in one pattern.",
		"")
	define(Warning, "yarn-unknown", "a yarn that is not listed",
		"A colour is used that the materials do not list.",
		"")
	define(Warning, "nothing-to-prove", "nothing to prove",
		"The manuscript holds no cast-on, no multiple and no row.",
		"A scarf for my aunt")
	define(Warning, "drop-through-shaping", "a drop goes through a shaping",
		"A column is let down through an increase, a decrease or a crossing, where its loops are not single ones. Let it down less far, or in another column.",
		"CO 8 sts.\nRow 1 (RS): P2, sl 2 sts to cn and hold in front, k2, k2 from cn, p2.\nRow 2: K2, p4, k2.\nRow 3: P2, k1, k2b, k2, p2.")
	define(Warning, "drops-collide", "drops run into each other",
		"Two columns side by side are let down over the same rows: their ladders run together into a hole. Leave a stitch between them.",
		"CO 8 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K3, k2b, k2b, k3.")
	define(Warning, "drop-at-edge", "a drop at the edge",
		"The outermost column of a flat piece is let down, which leaves its selvedge as a loose strand. Begin and end with a stitch that is worked plain.",
		"CO 8 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K2b, k7.")
	define(Warning, "yarn-at-wrong-edge", "a yarn of several waits at the other edge",
		"In a flat row of several yarns one is asked for where the row begins, but it was last used at the other edge. Slide the work, or cut the yarn and join it.",
		"CO 8 sts.\nRow 1 (RS): *K1 A, k1 B; rep from * to end.\nRow 2: With A, purl.\nRow 3: *K1 B, k1 A; rep from * to end.")
	define(Warning, "slipped-too-many-rows", "a stitch is slipped over too many rows",
		"A stitch carried slipped over more than four rows draws the fabric together. Work it sooner.",
		"CO 5 sts.\nRow 1 (RS): Knit.\nRow 2: P2, sl 1 wyif, p2.\nRow 3: K2, sl 1 wyib, k2.\nRow 4: P2, sl 1 wyif, p2.\nRow 5: K2, sl 1 wyib, k2.\nRow 6: P2, sl 1 wyif, p2.\nRow 7: Knit.")
	define(Warning, "crossed-too-soon", "stitches are crossed again too soon",
		"Stitches cross again after fewer rows than the stitches they pass: the rows jam. Work more rows between the crossings.",
		"CO 8 sts.\nRow 1 (RS): 4/4 LC.\nRow 2: Purl.\nRow 3: 4/4 LC.")
	define(Warning, "face-against-stitch", "a face against the stitch that is named",
		"Under a head that names a plain stitch a knit or a purl shows that this stitch does not have: a purl bump in stockinette.",
		"Stockinette stitch\nCO 6 sts.\nRow 1 (RS): Knit.\nRow 2: P3, k1, p2.")
	define(Warning, "units-differ", "centimetres and inches differ",
		"A length stands in centimetres and in inches, but they are not the same length.",
		"CO 20 sts.\nRow 1: Knit.\nRep Row 1 until piece measures 38 cm (18 in).")
	define(Note, "bind-off-leaves-texture-open", "binding off leaves the texture open",
		"The bind-off follows on a row of dropped stitches, whose loops were only just caught. Work a plain row between them.",
		"CO 8 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K3, k2b, k4.\nBind off.")
	define(Note, "float-too-long", "a float is long",
		"A strand passes more than five stitches on the wrong side, where fingers catch in it. Catch it on the way, and say so.",
		"CO 16 sts, join in the round.\nRnd 1: *K7 A, k1 B; rep from * around.")
	define(Note, "missing-section", "a section is missing",
		"The head of the pattern lacks something a published pattern has: yarn, needles or gauge.",
		"A Scarf\nYarn: DK wool\nCO 20 sts.\nRow 1: Knit.")
	define(Warning, "sentence-not-worked", "a sentence about stitches is not understood",
		"A sentence that decreases, increases or binds off so many stitches is not understood: no stitch was worked from it, and the counts behind it are those without it. Write it as a row, or in the words that shaping has elsewhere.",
		"CO 40 sts.\nRow 1: Knit.\nEvery so often dec 1 st at the wearer's left.\nRow 2: Knit.")
	define(Note, "line-not-understood", "a line that is not understood",
		"Words among the instructions that ask for nothing the reader knows. They are kept as written.",
		"")
	define(Note, "needles-not-told", "how stitches lie on the needles is not told",
		"A round is told needle by needle, but nothing says how many stitches lie on each. The counts are the same however they lie; a knitter wants to know it.",
		"CO 24 sts, join in the round.\nRnd 1: N1: K to last 3 sts, k2tog, k1; N2: K; N3: K1, ssk, k to end.")
	define(Note, "heel-not-told", "what waits while a heel is knitted is not told",
		"A row works half of a round, under words about a heel, but no sentence that is understood says that the other half waits. It is taken to wait for the instep; a knitter wants to know it.",
		"CO 40 sts, join in the round.\nRnd 1: Knit.\nNow comes the heel.\nRow 1: Sl 1, k19.\nRow 2: Sl 1, p19.")
	define(Note, "bind-off-convention", "how bind-offs are counted",
		"The stitch that binding off leaves on the needle is not counted in the next number.",
		"CO 20 sts.\nRow 1: BO 5, k14.")
	define(Note, "leans-unpaired", "leans not paired at the edges",
		"Decreases at both edges lean the same way. Mirrored, they frame the piece alike.",
		"CO 20 sts.\nRow 1: K2, k2tog, k to last 4 sts, k2tog, k2.")
	define(Note, "unused-definition", "a definition that is not used",
		"A special stitch is explained but never used.",
		"")
	define(Warning, "yarn-short", "less yarn than the rows take",
		"The balls that the head states hold less than even the low end of what the rows take, worked out loop by loop from the gauge of stockinette or a weighed swatch.",
		"Yarn: DK wool, 1 ball, 50 g = 110 m\nNeedles: 4 mm\nGauge: 20 sts and 28 rows = 10 cm in St st\nCO 100 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2 99 times more.\nBind off.")
	define(Note, "yarn-much", "more yarn than the rows take",
		"The balls that the head states hold a ball more than the rows take with a margin and a swatch.",
		"Yarn: DK wool, 4 balls, 50 g = 110 m\nNeedles: 4 mm\nGauge: 20 sts and 28 rows = 10 cm in St st\nCO 20 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2 9 times more.\nBind off.")
	define(Note, "unused-yarn", "a yarn that is not used",
		"A colour is listed but never used.",
		"")
	define(Note, "gauge-needle-yarn", "gauge, needle and yarn do not go together",
		"The gauge in stockinette, the needle or the metres of a ball lie outside what is published for the weight class of the yarn, by more than a stitch or one needle size. The ranges are those most in use, no limits: look whether a number is mistyped.",
		"Yarn: DK wool\nNeedles: 8 mm\nGauge: 22 sts and 30 rows = 10 cm in St st\nCO 20 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.")
}
