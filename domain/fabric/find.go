package fabric

import (
	"fmt"

	"rowproof/domain/finding"
)

// Found is what a look at the fabric finds wrong, at one loop or row of it. The
// same fault in each repeat of a row is found once for every place; see Once.
type Found struct {
	Code    finding.Code
	Row     int // index in Fabric.Rows, -1 where it belongs to none
	Column  int // from the right edge, from 0; -1 where it is the row as a whole
	Name    string
	Line    int // of the manuscript; 0 where unknown
	Size    int // index of the size the fabric was built for
	Message string
}

// Finding puts it in the form of a check's report.
func (f Found) Finding(part string) finding.Finding {
	return finding.Finding{Code: f.Code, Span: finding.Span{Line: f.Line, Col: 1, EndLine: f.Line, EndCol: 2}, Part: part, Row: f.Name, Sizes: []int{f.Size}, Message: f.Message}
}

// The codes that a fabric is searched for.
const (
	TooFewRows    finding.Code = "too-few-rows-under-drop"
	ThroughShape  finding.Code = "drop-through-shaping"
	DropsCollide  finding.Code = "drops-collide"
	DropAtEdge    finding.Code = "drop-at-edge"
	OpenBindOff   finding.Code = "bind-off-leaves-texture-open"
	YarnElsewhere finding.Code = "yarn-at-wrong-edge"
	LongFloat     finding.Code = "float-too-long"
	LongSlip      finding.Code = "slipped-too-many-rows"
	EarlyCross    finding.Code = "crossed-too-soon"
	WrongFace     finding.Code = "face-against-stitch"
	ColoursAlike  finding.Code = "colours-too-alike"
)

// Limits say from where on something is too much. Zero values take the usual ones.
type Limits struct {
	Float      int     // stitches that a strand may pass; 0 is 5
	FloatCM    float64 // length it may have; looked at where Gauge is known and this is given
	Gauge      float64 // stitches to 10 cm; 0 where not known
	SlippedFor int     // rows that a stitch may be carried slipped; 0 is 4
}

// Find looks for all that can be told from the fabric alone, one finding for
// each row and fault.
func (f *Fabric) Find(l Limits) []Found {
	var out []Found
	for _, list := range [][]Found{f.DropFaults(), f.BindOffFaults(), f.YarnsAtWrongEdge(nil), f.LongFloats(l), f.LongSlips(l.SlippedFor), f.EarlyCrossings()} {
		out = append(out, Once(list)...)
	}
	return out
}

// Once keeps the first of the findings that say the same of one row of the text.
func Once(list []Found) []Found {
	type key struct {
		code finding.Code
		line int
		name string
	}
	seen := map[key]bool{}
	var out []Found
	for _, x := range list {
		k := key{x.Code, x.Line, x.Name}
		if !seen[k] {
			seen[k] = true
			out = append(out, x)
		}
	}
	return out
}

func (f *Fabric) found(code finding.Code, row, column int, format string, args ...any) Found {
	x := Found{Code: code, Row: row, Column: column, Size: f.Size, Message: fmt.Sprintf(format, args...)}
	if row >= 0 && row < len(f.Rows) {
		x.Name, x.Line = f.Rows[row].Name, f.Rows[row].Line
	}
	return x
}

// makers gives, for each loop, the index of the working in its row that made
// it; -1 for loops of the cast-on and those no row tells of.
func (f *Fabric) makers() []int32 {
	out := make([]int32, len(f.Loops))
	for i := range out {
		out[i] = -1
	}
	for i := range f.Rows {
		for k := range f.Rows[i].Works {
			for _, id := range f.Rows[i].Works[k].Out {
				if f.Loops[id].Row == int32(i) {
					out[id] = int32(k)
				}
			}
		}
	}
	return out
}

// count writes a number with its noun.
func count(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
