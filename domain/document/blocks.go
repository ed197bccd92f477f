// Package document is a pattern made ready for print: a list of blocks that
// know what they are (a row, a table, a caution) and not how they look.
//
// Build makes a Document from a read and proved pattern; Text and HTML print
// one, and domain/pdf sets one in type. All of them print the same blocks, so
// that no edition can say something another does not.
package document

import (
	"strconv"
	"strings"
	"time"
)

// Document is one edition of one revision of a pattern.
type Document struct {
	Title     string
	Designer  string // "" where not known
	Lang      string // BCP 47 tag, "en-US" by default
	Revision  int    // 0 for a draft
	Test      bool   // the revision is a draft for test knitters
	Date      time.Time
	URL       string // where corrections are found; "" for none
	Copyright string // the manuscript's own line; "" where it gives none
	Edition   string // printed name of the edition, "" for the full one
	Sizes     []string
	NotProved int // error findings left in; 0 means proved
	Words     Words
	Blocks    []Block
}

// Emphasis is how a run stands out of its surroundings.
type Emphasis int

const (
	Plain  Emphasis = iota
	Stress          // italics, or another mark where italics are not wanted
	Strong          // bold
)

// Run is a stretch of text of one emphasis. Text holds no line ends.
type Run struct {
	Text string
	Emph Emphasis
	URL  string // not "" makes it a link
}

// Runs is text within a block.
type Runs []Run

// P makes Runs of s without emphasis.
func P(s string) Runs {
	if s == "" {
		return nil
	}
	return Runs{{Text: s}}
}

// String gives the text without its emphasis.
func (r Runs) String() string {
	var b strings.Builder
	for _, x := range r {
		b.WriteString(x.Text)
	}
	return b.String()
}

// None stands in Counts for a size that has no such count: it skips the row.
const None = -1

// Counts are the stitches after a row, one for each size of the edition,
// smallest first. Of and Plus serve where only a multiple is known: Of·n + Plus.
// The zero value means "not printed".
type Counts struct {
	Each     []int
	Of, Plus int
	Brackets []Bracket // how the sizes behind the first are written; nil: (a, b, c)
}

// Bracket is one of those in which sizes are written: "[95, 107]", "(95: 107)".
type Bracket struct {
	N                int // sizes in it
	Open, Close, Sep string
}

// Given says whether there is anything to print.
func (c Counts) Given() bool { return len(c.Each) > 0 || c.Of != 0 || c.Plus != 0 }

// Same says whether all sizes have the same count.
func (c Counts) Same() bool {
	for _, v := range c.Each {
		if v != c.Each[0] {
			return false
		}
	}
	return true
}

// Figures gives the counts the trade's way: "83 (95, 107)", or "6n + 5".
// A size that skips the row is a dash; one number stands for all sizes alike.
func (c Counts) Figures() string {
	if len(c.Each) == 0 {
		switch {
		case c.Of == 0 && c.Plus == 0:
			return ""
		case c.Of == 0:
			return strconv.Itoa(c.Plus)
		}
		s := strconv.Itoa(c.Of) + "n"
		if c.Of == 1 {
			s = "n"
		}
		if c.Plus > 0 {
			s += " + " + strconv.Itoa(c.Plus)
		}
		return s
	}
	if c.Same() {
		return figure(c.Each[0])
	}
	each := make([]string, len(c.Each))
	for i, v := range c.Each {
		each[i] = figure(v)
	}
	return inBrackets(each, c.Brackets)
}

// inBrackets writes what there is for each size: "83 (95, 107)", and as the brackets have it
// "83 [95, 107]" or "83 (95, 107) (119, 131)".
func inBrackets(each []string, brackets []Bracket) string {
	sizes := 1
	for _, b := range brackets {
		sizes += b.N
	}
	if sizes != len(each) {
		brackets = []Bracket{{len(each) - 1, "(", ")", ", "}}
	}
	out, rest := each[0], each[1:]
	for _, b := range brackets {
		if b.N > 0 {
			out += " " + b.Open + strings.Join(rest[:b.N], b.Sep) + b.Close
			rest = rest[b.N:]
		}
	}
	return out
}

func figure(v int) string {
	if v == None {
		return "–"
	}
	return strconv.Itoa(v)
}

// Block is one block of a document. The set is closed: a printer that meets a
// type it does not know prints the type's name where everyone sees it.
type Block interface{ block() }

type (
	// TitleBlock opens the document: title, designer, and what edition this is.
	TitleBlock struct {
		Title    string
		Designer string // as printed: "by Ada Holm"
		Facts    []string
	}
	// Heading opens a section (Level 1), a piece (2) or a part of one (3). ID is
	// unique within the document.
	Heading struct {
		Level int
		Text  string
		ID    string
	}
	// Paragraph is running text. Lead marks the description under the title.
	Paragraph struct {
		Text Runs
		Lead bool
	}
	// Definitions are terms with their meanings.
	Definitions struct {
		Kind  DefinitionKind
		Items []Definition
	}
	// List is a list of points.
	List struct{ Items []Runs }
	// Table has a head row of column heads and rows that begin with their own
	// head. Every row is as long as Columns. Caption may be "".
	Table struct {
		Caption string
		Columns []string
		Rows    [][]string
		Counts  bool // a table of stitch counts
	}
	// Instruction is one row or sentence to be worked: its head ("Row 8 (RS)",
	// "" for a sentence), the words, and the counts after it where they changed.
	Instruction struct {
		Head   string
		Text   Runs
		Counts Counts
	}
	// Notice stands out: what must be seen before one knits.
	Notice struct {
		Kind NoticeKind
		Head string
		Text []Runs
	}
	// Colophon closes the document: revision, date, rights, where to ask.
	Colophon struct{ Lines []Runs }
)

// DefinitionKind says what is defined, and so how it is set.
type DefinitionKind int

const (
	Labels DefinitionKind = iota // materials: Yarn, Needles
	Terms                        // special stitches, at some length
	Short                        // abbreviations: many, each in a few words
)

// NoticeKind says how grave a notice is.
type NoticeKind string

const (
	NotProved NoticeKind = "not-proved"
	Caution   NoticeKind = "caution"
)

// Definition is a term and what it means.
type Definition struct {
	Term string
	Text Runs
}

func (*TitleBlock) block()  {}
func (*Heading) block()     {}
func (*Paragraph) block()   {}
func (*Definitions) block() {}
func (*List) block()        {}
func (*Table) block()       {}
func (*Instruction) block() {}
func (*Notice) block()      {}
func (*Colophon) block()    {}
