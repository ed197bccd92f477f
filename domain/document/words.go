package document

import (
	"fmt"
	"strings"
	"time"
)

// Words are the fixed words that printing adds to a pattern in one language.
// Another language is another value of this type; the rows' own words are the
// designer's.
type Words struct {
	By, Sizes, Size, Measurements, Materials, Gauge, Notes, Abbreviations             string
	Special, Instructions, CountTable, Cautions, About, Row, Round, CastOn, Untitled  string
	Stitches, Stitch, Held, NotProved, NotProvedText, Draft, TestDraft, Revision      string
	PageOf                                                                            string // %d of %d
	LastTime                                                                          string // %s, a row worked again
	Corrections, CautionClose, OneSize, LargePrint, Description                       string
	CountNote, CountNoteDash, CountNoteMultiple, StitchesFull, Finding, Findings, All string
	DateLayout                                                                        string
	// Of charts: their title, the name of the edition, why there is none, and where
	// the rows stand.
	Schematic, SchematicNote                                                                                  string // pieces to scale
	Fabric, RightSide, WrongSide, Illustration, FabricFrom                                                    string // pictures of the fabric
	ChartOf, ChartEdition, NoChart, ChartAndRows, ChartRowsAbove, ChartText, PatternWord, InWords, Sheet, Key string
	// Terms are the little words of the trade that rows abbreviate, forms parted
	// by |, with their meanings (Craft Yarn Council list and common practice).
	Terms                                                   [][2]string
	Months                                                  [12]string
	CautionCords, CautionButtons, CautionBaby, CautionLoose string
}

var english = Words{
	By: "by", Sizes: "Sizes", Size: "Size", Measurements: "Sizes and finished measurements", Materials: "Materials",
	Gauge: "Gauge", Notes: "Notes", Abbreviations: "Abbreviations", Special: "Special stitches",
	Instructions: "Instructions", CountTable: "Stitch counts", Cautions: "Safety", About: "About this copy",
	Row: "Row", Round: "Rnd", CastOn: "Cast on", Untitled: "Untitled pattern", Stitches: "sts", Stitch: "st", Held: "held",
	NotProved: "Not proved", NotProvedText: "The proof of these rows still has %s. Counts may be wrong; do not knit from this copy.",
	Draft: "Draft", TestDraft: "Draft for test knitting", Revision: "Revision", PageOf: "page %d of %d", LastTime: "%s, last time",
	Corrections:  "Corrections, and whether this copy is current: ",
	CautionClose: "These are the usual cautions and no substitute for the rules where you live.",
	OneSize:      "One size", LargePrint: "Large print", Description: "Description",
	CountNote:     "Stitches on the needle after each row that changes them, the first time it is worked.",
	CountNoteDash: "A dash means that the size does not work the row.", StitchesFull: "stitches",
	CountNoteMultiple: "Stitches on the needle after each row that changes them; n is the number of repeats.",
	Finding:           "%d finding", Findings: "%d findings", All: "All",
	Terms: [][2]string{
		{"alt", "alternate"}, {"approx", "approximately"}, {"beg", "beginning"}, {"BO|bo", "bind off"}, {"BOR", "beginning of round"}, {"CC", "contrasting colour"},
		{"CO|co", "cast on"}, {"cn", "cable needle"}, {"cont", "continue"}, {"dec", "decrease"}, {"dpn|dpns", "double-pointed needle(s)"}, {"est", "established"},
		{"foll", "following"}, {"inc", "increase"}, {"LH", "left-hand"}, {"m", "marker"}, {"MC", "main colour"}, {"meas", "measures"}, {"patt", "pattern"}, {"pm", "place marker"},
		{"rem", "remain(ing)"}, {"rep", "repeat"}, {"RH", "right-hand"}, {"rm", "remove marker"}, {"rnd|rnds", "round(s)"}, {"RS", "right side"}, {"sm", "slip marker"},
		{"st|sts", "stitch(es)"}, {"st st", "stockinette stitch"}, {"tbl", "through the back loop"}, {"tog", "together"}, {"WS", "wrong side"}, {"w&t", "wrap and turn"},
		{"wyib", "with yarn in back"}, {"wyif", "with yarn in front"},
	},
	Fabric: "How it looks", RightSide: "Right side", WrongSide: "Wrong side", FabricFrom: "The fabric of %s, %s.",
	Schematic: "Schematic", SchematicNote: "To scale, seam stitches among the widths. Numbers follow from the stitches and rows of each size at the gauge.",
	Illustration: "An illustration, drawn loop by loop from the proved rows. How far a texture puffs or draws in depends on yarn and hands: knit a swatch.",
	ChartOf:      "Chart of %s", ChartEdition: "Charts", NoChart: "%s is not charted: %s.", ChartAndRows: "The chart of %s stands below its rows: %s.",
	ChartRowsAbove: "Its rows are the rows given above it.", ChartText: "%s: its rows are the rows given above.", PatternWord: "the pattern",
	InWords: "The same in words", Sheet: "sheet %d of %d", Key: "Key",
	DateLayout: "%[1]d %[2]s %[3]d",
	Months: [12]string{"January", "February", "March", "April", "May", "June", "July", "August", "September",
		"October", "November", "December"},
	CautionCords:   "No cords, ties or drawstrings at a child’s neck or hood, and none with loose ends elsewhere that can catch: a button, a short strap or none is safer.",
	CautionButtons: "Buttons, beads and pompoms can come off and choke a small child. Embroider instead for a baby, or sew on with strong thread and check often.",
	CautionBaby:    "A sleeping baby wears no hat indoors and lies without loose blankets, pillows or soft toys.",
	CautionLoose:   "Weave in every end firmly. Long floats, ladders and open holes can catch small fingers and toes; keep them short or line them.",
}

// WordsFor gives the words for a language tag. English is the only one so far.
func WordsFor(lang string) Words { return english }

func (w Words) date(t time.Time) string {
	return fmt.Sprintf(w.DateLayout, t.Day(), w.Months[t.Month()-1], t.Year())
}

func (w Words) findings(n int) string {
	if n == 1 {
		return fmt.Sprintf(w.Finding, n)
	}
	return fmt.Sprintf(w.Findings, n)
}

// Sts is the unit after a count: "sts", or "st" after a lone 1.
func (w Words) Sts(c Counts) string {
	if len(c.Each) > 0 && c.Same() && c.Each[0] == 1 || len(c.Each) == 0 && c.Of == 0 && c.Plus == 1 {
		return w.Stitch
	}
	return w.Stitches
}

// CountText gives counts with their unit: "83 (95, 107) sts"; "" where none.
func (w Words) CountText(c Counts) string {
	if !c.Given() {
		return ""
	}
	return c.Figures() + " " + w.Sts(c)
}

// Stamp is the line that names a copy: "Revision 2 · 25 November 2026", "Draft for test
// knitting, revision 2 · …".
func (d *Document) Stamp() string {
	s := d.Words.Draft
	if d.Revision > 0 {
		s = fmt.Sprintf("%s %d", d.Words.Revision, d.Revision)
		if d.Test {
			s = d.Words.TestDraft + ", " + strings.ToLower(s)
		}
	}
	if !d.Date.IsZero() {
		s += " · " + d.Words.date(d.Date)
	}
	return s
}

// Page is the folio: "page 2 of 12".
func (d *Document) Page(n, of int) string { return fmt.Sprintf(d.Words.PageOf, n, of) }
