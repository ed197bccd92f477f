// Package fabric lays the worked rows of a part out as a fabric: which loop was
// drawn through which, in which yarn, with which face, and in which column it
// lies. What a chart, a picture or a count of yarn needs to know is asked here,
// never guessed from the words of a row.
//
// Build makes a Fabric from what the needle worked; Seen tells how one working
// shows itself on the right side.
//
// Everything is told as seen from the right side (RS) unless said otherwise:
// columns are counted from the right edge, and a loop knit on a wrong-side row
// shows a purl bump.
//
// # Drawing from it
//
// A picture goes over Loops, which stand in the order they were made:
//
//   - A loop lies in Column, from the height of Row (-1 is the cast-on) up to
//     EndRow, the row in which it left the needles; live loops (EndRow -1) reach
//     to the top. Of a plain stitch EndRow is Row + 1; a slipped one is longer by
//     its Slips, a loop caught from above by the depth of the drop.
//   - Face is the V or the bump that shows on RS; on WS it is Face.Other(), and
//     columns run the other way. Twist crosses its legs, Wraps makes it long.
//   - Parents are the loops it was drawn through, the one on top first: two or
//     three make a decrease, none a yarn over or a cast-on; a loop whose column
//     is not its parent's leans. Several loops with one parent are an increase.
//   - End Ravelled makes a ladder: a straight strand of its Yarn across its
//     column at the height of its Row. Catches tell which ladders lie over which
//     caught loop, from the top down.
//   - Cross says whether a loop passes InFront or Behind in the crossing of its
//     row: from its parent's column to its own.
//   - Rows[i].Floats are the strands that pass other stitches: on the WS unless
//     Front. Rows[i].Rest are loops that a short row left on the needles.
//
// A chart goes over Rows and their Works, one cell each; see Seen.
package fabric

import (
	"cmp"
	"slices"
)

// ID names a loop: its index in Fabric.Loops.
type ID = int32

// None is no loop.
const None ID = -1

// Face is what a loop shows on one side of the fabric.
type Face uint8

const (
	Knit Face = iota // the V of a knit stitch
	Purl             // the bump of a purl stitch
)

// Other is the face on the other side of the fabric.
func (f Face) Other() Face { return 1 - f }

// Kind says what a working does.
type Kind uint8

const (
	Plain       Kind = iota // knit or purl, one loop through one
	YarnOver                // a loop out of nothing, over the needle
	Make                    // a loop drawn from the strand between two
	Lift                    // a loop drawn from the loop below its neighbour
	Inc                     // more loops out of fewer
	Dec                     // fewer loops out of more
	Slip                    // moved without working
	Below                   // worked into a loop further down its column
	Cross                   // loops change places
	Bobble                  // a knob that ends as one loop
	Cluster                 // several loops worked together into as many
	Own                     // the designer's stitch that is none of these
	BindOffCell             // a loop closed
	CastOn                  // a loop cast on
	Drop                    // a loop let down its column
	Untold                  // a loop whose working no row tells
	Held                    // loops that go to a holder; it has no Out and no Columns
)

// End says how a loop left the needles.
type End uint8

const (
	Live      End = iota // on a needle, or on a holder, at the end
	Worked               // a loop was drawn through it
	BoundOff             // closed
	Ravelled             // let down: its yarn is a ladder now
	Forgotten            // gone in shaping that a sentence tells without rows
)

// Place says where a loop passes in a crossing.
type Place uint8

const (
	Straight Place = iota
	InFront
	Behind
)

// Loop is one loop of yarn.
type Loop struct {
	Row    int32 // index in Rows of the row that made it; -1 for the cast-on
	Order  int32 // place in the order of working in that row, from 0
	Column int32 // column in that row, from the right edge, from 0
	Child  ID    // the loop drawn through it; None where there is none
	EndRow int32 // row in which it left the needles; -1 while live
	work   int32 // -1 where no row tells how it came
	par    []ID  // see Parents
	Yarn   uint8 // index in Yarns
	Face   Face  // as seen from RS; the WS shows Face.Other()
	End    End
	Cross  Place
	Twist  bool   // its legs are crossed: it was worked through the back
	Wraps  uint8  // times the yarn was wound; 0 and 1 mean once
	Slips  uint16 // rows over which it was carried slipped
}

// Work is one working: one cell of a chart.
type Work struct {
	Row   int32
	Kind  Kind
	Key   string // of the vocabulary or of the designer
	Lean  byte   // l, r, c or 0, as worked; a lean is the same from either side
	Purl  bool   // purlwise as worked, see Seen
	Twist bool
	Front bool // Slip: the yarn passes in front, as seen from RS
	Sides bool // Cross: some of the loops keep their places between the others
	N     int  // Below: loops let down; Lift and wraps: see Key
	In    []ID // loops taken, in the order they lay on the needle
	Out   []ID // loops left on the needle, in the order of working
	// Columns of Out, or the one column of a bind-off or a drop. They need not
	// be the columns of In: in lace a stitch moves sideways.
	Columns []int32
	Yarn    uint8
}

// Row is one row of the fabric. A row that turns in its middle is two.
type Row struct {
	Name    string
	Line    int // of the manuscript; 0 where unknown
	Number  int // 0 where it has none
	Entry   int // index of the row among those of the text, -1 for a sentence's
	Pass    int // how often the same row of the text was worked before, from 0
	WS      bool
	Round   bool
	Turn    int // how many times the work was turned in this row before, 0 usually
	Works   []Work
	Before  int // loops on the needles before and after
	After   int
	Rest    []ID    // loops on the needles that it did not work (short rows)
	RestAt  []int32 // their columns
	passed  int     // so many of Rest lie before what it worked
	moved   bool    // it takes loops out of the order of their columns
	Untold  bool    // loops came or went before it that no row tells of
	Dropped []ID    // yarn overs of the row before let fall at its start
	DropAt  []int32
	Floats  []Float
	Yarns   []uint8 // used in it, in order of first use
}

// Float is a strand that passes loops without working them.
type Float struct {
	Yarn     uint8
	From, To ID   // loops of this yarn at its ends; None at the row's edge
	Over     int  // stitches passed
	Front    bool // lies on the right side
}

// Catch is a stitch worked below: what it caught, and what lies over it.
type Catch struct {
	Loop    ID
	Caught  ID   // None where the column was too short
	Ladders []ID // the ravelled loops, from the top down
}

// Fabric is a worked part.
type Fabric struct {
	Loops   []Loop
	Rows    []Row
	Catches []Catch  // by Loop, ascending
	Yarns   []string // letters or names; "" where the pattern names none
	Size    int      // index of the size it was built for
	CastOn  int
	Columns int // number of columns of the whole
	Round   bool

	ids []ID
}

// Parents are the loops a loop was drawn through, the one that lies on top (on
// the side it was worked from) first. The cast-on and yarn overs have none.
func (f *Fabric) Parents(id ID) []ID {
	return f.Loops[id].par
}

// FaceFrom is the face of a loop seen from the wrong side, or the right one.
func (f *Fabric) FaceFrom(id ID, ws bool) Face {
	if ws {
		return f.Loops[id].Face.Other()
	}
	return f.Loops[id].Face
}

// CatchOf gives the catch of a loop that was worked below, nil for others.
func (f *Fabric) CatchOf(id ID) *Catch {
	i, ok := slices.BinarySearchFunc(f.Catches, id, func(c Catch, id ID) int { return cmp.Compare(c.Loop, id) })
	if !ok {
		return nil
	}
	return &f.Catches[i]
}

// Seen is how a working shows itself from the right side. A lean keeps its
// hand from either side, knit and purl change: ssk is ssp on a wrong-side row.
type Seen struct {
	Kind    Kind
	Lean    byte
	Purl    bool // the bump is seen
	Twist   bool
	Front   bool
	In, Out int
	N       int
}

// Seen tells how w, worked in r, shows itself from the right side.
func (r *Row) Seen(w *Work) Seen {
	s := Seen{Kind: w.Kind, Lean: w.Lean, Purl: w.Purl != r.WS, Twist: w.Twist, Front: w.Front, In: len(w.In), Out: len(w.Out), N: w.N}
	switch w.Kind {
	case Slip, YarnOver, BindOffCell, CastOn, Drop, Bobble, Own, Untold:
		s.Purl = false
	}
	return s
}

// BornTwisted says that a loop was made crossed, by an increase from the strand
// between two stitches.
func (f *Fabric) BornTwisted(id ID) bool {
	l := &f.Loops[id]
	if l.Row < 0 || int(l.Row) >= len(f.Rows) || l.work < 0 {
		return false
	}
	w := f.Rows[l.Row].workOf(id)
	return w.Kind == Make && w.Twist
}
