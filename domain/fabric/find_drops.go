package fabric

import "fmt"

// DropFaults looks at every stitch worked below. The n loops let down must be
// single and undisturbed since the last event of their column, and there must be
// a loop under them; a shaping among them is another fault. Two columns side by
// side let down over the same rows run into one hole. A column at the edge
// leaves the selvedge as a loose strand. (Craft notes, section 2.)
func (f *Fabric) DropFaults() []Found {
	if len(f.Catches) == 0 {
		return nil
	}
	makers := f.makers()
	var out []Found
	type let struct{ top, bottom, column int32 } // rows of the loops let down
	var lets []let                               // of the rows near by
	first := 0
	seen, lo, hi := int32(-1), int32(0), int32(0) // the row at hand and its edges
	for i := range f.Catches {
		c := &f.Catches[i]
		loop := &f.Loops[c.Loop]
		row := &f.Rows[loop.Row]
		w := &row.Works[makers[c.Loop]]
		at, column := int(loop.Row), int(loop.Column)
		sound := 0
		fault := ""
		code := TooFewRows
		for _, id := range c.Ladders {
			l := &f.Loops[id]
			if l.Row < 0 {
				fault = "the cast-on"
				break
			}
			kind := Plain
			if m := makers[id]; m >= 0 {
				kind = f.Rows[l.Row].Works[m].Kind
			}
			if kind != Plain && kind != Own {
				if kind == Below {
					fault = "another stitch worked below"
				} else {
					fault, code = shapingWords[kind], ThroughShape
				}
				break
			}
			sound++
		}
		switch {
		case fault != "" && code == ThroughShape:
			out = append(out, f.found(code, at, column, "the column is let down %s, through %s in row %s; only %s above it can be let down", count(w.N, "row"), fault, f.Rows[f.Loops[c.Ladders[sound]].Row].Name, count(sound, "row")))
		case fault != "":
			out = append(out, f.found(code, at, column, "%s wanted under this stitch, only %s above %s", count(w.N, "single row"), count(sound, "row"), fault))
		case len(c.Ladders) < w.N || c.Caught == None:
			out = append(out, f.found(code, at, column, "%s wanted under this stitch and a loop below them, only %s there", count(w.N, "single row"), count(max(0, len(c.Ladders)-1), "row")))
		}
		if loop.Row != seen {
			seen = loop.Row
			lo, hi = f.edges(row)
		}
		if loop.Column == lo || loop.Column == hi {
			if !row.Round && w.N > 1 { // a stitch knit into the row below is a common selvedge
				out = append(out, f.found(DropAtEdge, at, column, "the edge column is let down %s: the selvedge becomes a loose strand", count(w.N, "row")))
			}
		}
		n := let{top: loop.Row - 1, bottom: loop.Row - int32(len(c.Ladders)), column: loop.Column}
		for first < len(lets) && lets[first].top < n.bottom-maxReach {
			first++
		}
		for _, o := range lets[first:] {
			if d := o.column - n.column; (d == 1 || d == -1) && o.top >= n.bottom && n.top >= o.bottom && max(o.top-o.bottom, n.top-n.bottom) > 0 {
				rows := min(o.top, n.top) - max(o.bottom, n.bottom) + 1
				out = append(out, f.found(DropsCollide, at, column, "columns %d and %d from the right are both let down over %s: their ladders run together", min(o.column, n.column)+1, max(o.column, n.column)+1, count(int(rows), "row")))
				break
			}
		}
		lets = append(lets, n)
	}
	return out
}

// maxReach is how many rows a drop reaches at the most, for putting old ones aside.
const maxReach = 64

var shapingWords = map[Kind]string{YarnOver: "a yarn over", Make: "an increase", Lift: "an increase", Inc: "an increase", Dec: "a decrease",
	Cross: "a crossing", Bobble: "a bobble", Cluster: "stitches worked together", CastOn: "stitches cast on", Untold: "a stitch that no row tells of", Slip: "a slipped stitch"}

// edges are the outermost columns of a row.
func (f *Fabric) edges(r *Row) (lo, hi int32) {
	lo, hi = 1<<30, -1
	see := func(c int32) { lo, hi = min(lo, c), max(hi, c) }
	for i := range r.Works {
		for _, c := range r.Works[i].Columns {
			see(c)
		}
	}
	for _, c := range r.RestAt {
		see(c)
	}
	return lo, hi
}

// Closing says whether binding off after a row closes the texture.
type Closing struct {
	Row    int
	Closes bool
	Why    string
}

// Closings tells for each row of a texture of drops or slips whether it may be
// bound off after: after a plain row that follows on the row of the drops (or of
// the last slips). Not on that row itself, whose loops were only just caught, and
// not further on, where rows lie on top that a later row would let down or pass.
// Empty where there is no such texture.
func (f *Fabric) Closings() []Closing {
	n := len(f.Rows)
	event := make([]bool, n)
	any := false
	for i := range f.Rows {
		for k := range f.Rows[i].Works {
			switch f.Rows[i].Works[k].Kind {
			case Below, Slip, Drop:
				event[i], any = true, true
			}
		}
	}
	if !any {
		return nil
	}
	out := make([]Closing, 0, n)
	last := -1
	for i := range f.Rows {
		c := Closing{Row: i}
		switch {
		case event[i]:
			c.Why = "its worked-below or slipped stitches are still on the needle"
			last = i
		case last < 0:
			c.Why = "the texture has not begun"
		case i == last+1:
			c.Closes, c.Why = true, "a plain row after the row of the texture"
		default:
			c.Why = fmt.Sprintf("%s lie on top that belong to the next row of the texture", count(i-last, "plain row"))
		}
		out = append(out, c)
	}
	return out
}

// BindOffFaults says that the fabric ends on a row after which binding off
// leaves its texture open, and names the row to end on. A border of another
// texture closes it as well: as many plain rows as the deepest drop.
func (f *Fabric) BindOffFaults() []Found {
	cs := f.Closings()
	if len(cs) == 0 || f.deepest() < 2 { // knit-below ribs are bound off on any row
		return nil
	}
	end := cs[len(cs)-1]
	if end.Closes {
		return nil
	}
	best, last := "", 0
	for _, c := range cs {
		if c.Closes {
			best, last = f.Rows[c.Row].Name, c.Row
		}
	}
	if best == "" {
		return []Found{f.found(OpenBindOff, end.Row, -1, "binding off after row %s leaves the texture open: %s; work one plain row first", f.Rows[end.Row].Name, end.Why)}
	}
	if !f.rowHas(end.Row, Below) && end.Row-last >= f.deepest() {
		return nil // a border
	}
	return []Found{f.found(OpenBindOff, end.Row, -1, "binding off after row %s leaves the texture open: %s; bind off after row %s", f.Rows[end.Row].Name, end.Why, best)}
}

func (f *Fabric) rowHas(row int, k Kind) bool {
	for i := range f.Rows[row].Works {
		if f.Rows[row].Works[i].Kind == k {
			return true
		}
	}
	return false
}

// deepest is the most rows that any stitch lets down.
func (f *Fabric) deepest() int {
	n := 0
	for i := range f.Catches {
		n = max(n, len(f.Catches[i].Ladders))
	}
	return n
}
