package notation

import "rowproof/domain/finding"

// This file has the operations that a row is made of.

// Op is one thing done in a row. The set of ops is closed.
type Op interface{ op() }

type (
	// Do works the stitch Key of the vocabulary (or of the designer) Times
	// times, each on its own stitches.
	Do struct {
		Key    string
		Params []int // the numbers in the name: 2 in k2tog, 2 and 1 in 2/1 RC
		Times  Num
		Wraps  int    // yarn wound this often round the needle; 0 and 1 mean once
		From   string // "cn" or "holder" when not worked off the left needle; "held": off a holder where the needle has too few
		Unsure string // letters that lists give two meanings, where nothing defines them
		finding.Span
	}
	// Group works Body Times times; Times not given means once.
	Group struct {
		Body  []Op
		Times Num
		finding.Span
	}
	// Until works Body over and over up to To: "k to end", "[k2, p2] to last 2 sts".
	Until struct {
		Body []Op
		To   Target
		finding.Span
	}
	// Repeat is "*…; rep from * …": Body is worked once and then again as To says.
	Repeat struct {
		Body []Op
		Mark string // *, **, †
		To   Target
		// Last, when given, ends the last repeat: the last repeat is cut short
		// and ends with Last (in place of Instead where that was written).
		Last    []Op
		Instead []Op
		finding.Span
	}
	// Into works Body into one place, Times places one after another, each
	// place being Sts stitches wide: "(k1, p1, k1) in next st".
	Into struct {
		Body  []Op
		Sts   Num
		Times Num
		finding.Span
	}
	// Again is a comma list with "twice" behind it: the last of Body is worked
	// Times times, or all of Body is. The counts decide.
	Again struct {
		Body  []Op
		Times Num
		Idiom bool // a stitch commonly worked "twice": the last alone is what is meant first
		finding.Span
	}
	// Turn turns the work in mid row; Wrap says w&t.
	Turn struct {
		Wrap bool
		finding.Span
	}
	// Mark places, slips or removes a marker. Name is "" for an unnamed one. Where Do is
	// "needle", what follows is worked off the needle whose number is Name.
	Mark struct {
		Do   string // place, slip, remove, needle
		Name string
		finding.Span
	}
	// BindOff binds off N stitches, or all that remain.
	BindOff struct {
		N   Num
		All bool
		finding.Span
	}
	// CastOn casts on N stitches within a row.
	CastOn struct {
		N       Num
		EachGap bool // over each gap that the row before bound off
		Picked  bool // picked up along an edge
		finding.Span
	}
	// ToCable slips N stitches to the cable needle, held at Side (front, back or "").
	ToCable struct {
		N    Num
		Side string
		finding.Span
	}
	// Hold puts N stitches (or all that remain) on a holder or waste yarn.
	Hold struct {
		N      Num
		All    bool
		ToMark bool // all up to the next marker
		finding.Span
	}
	// Unhold returns N stitches from a holder to the left needle; not given means all.
	Unhold struct {
		N Num
		finding.Span
	}
	// Return slips N stitches from the right needle back to the left one.
	Return struct {
		N Num
		finding.Span
	}
	// UseYarn goes on with another yarn.
	UseYarn struct {
		Yarn string
		finding.Span
	}
	// DropAll drops every yarn over or extra wrap of the row before.
	DropAll struct{ finding.Span }
	// Slide pushes the work to the other end of the needle without turning.
	Slide struct{ finding.Span }
	// Leave leaves what remains on the left needle unworked.
	Leave struct{ finding.Span }
	// PattOver works a row of another stitch pattern over N stitches.
	PattOver struct {
		Row  string // "1", "" where it goes on as established
		Name string
		N    Num
		finding.Span
	}
	// Spread works the rest of the row in Key ("k", "p", "patt", "as-set") and makes, or takes
	// where Down, as many stitches as bring the row to To, spread over it as the knitter likes.
	Spread struct {
		Key  string
		To   Num
		Down bool
		finding.Span
	}
	// Join joins a round, or yarn; it does nothing to the counts.
	Join struct{ finding.Span }
	// Remark is a comment in the row, kept as written.
	Remark struct {
		Text string
		finding.Span
	}
	// Unknown is what the reader did not understand, word for word.
	Unknown struct {
		Text string
		finding.Span
	}
)

func (*Do) op()       {}
func (*Group) op()    {}
func (*Until) op()    {}
func (*Repeat) op()   {}
func (*Into) op()     {}
func (*Again) op()    {}
func (*Turn) op()     {}
func (*Mark) op()     {}
func (*BindOff) op()  {}
func (*CastOn) op()   {}
func (*ToCable) op()  {}
func (*Hold) op()     {}
func (*Unhold) op()   {}
func (*Return) op()   {}
func (*UseYarn) op()  {}
func (*DropAll) op()  {}
func (*Slide) op()    {}
func (*Leave) op()    {}
func (*PattOver) op() {}
func (*Spread) op()   {}
func (*Join) op()     {}
func (*Remark) op()   {}
func (*Unknown) op()  {}

// Name is what the row goes by: its bare number, number and letter, or its words.
func (row *Row) Name() string {
	h := row.Head
	if len(h.Numbers) > 0 && h.Numbers[0] >= 0 {
		return itoa(h.Numbers[0]) + h.Letter
	}
	return h.Words
}

// each calls f for every op, outer before inner.
func each(ops []Op, f func(Op)) {
	for _, o := range ops {
		f(o)
		switch o := o.(type) {
		case *Group:
			each(o.Body, f)
		case *Until:
			each(o.Body, f)
		case *Repeat:
			each(o.Body, f)
			each(o.Last, f)
			each(o.Instead, f)
		case *Into:
			each(o.Body, f)
		case *Again:
			each(o.Body, f)
		}
	}
}

// Each calls f for every op of a body, outer before inner.
func Each(ops []Op, f func(Op)) { each(ops, f) }
