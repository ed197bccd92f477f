package fabric

import "slices"

// floats finds the strands that pass stitches without working them, and the
// yarns of a row in order of first use. Strands of stranded work lie on the
// wrong side; those past slipped stitches lie where the yarn was held.
func (f *Fabric) floats(r *Row) ([]Float, []uint8) {
	type last struct {
		loop  ID
		at    int
		slips int // slipped stitches passed since
		front int
	}
	var yarns []uint8
	slips := false
	for i := range r.Works {
		w := &r.Works[i]
		if w.Kind == Slip {
			slips = true
			continue
		}
		if w.Kind != Held && !slices.Contains(yarns, w.Yarn) {
			yarns = append(yarns, w.Yarn)
		}
	}
	if len(yarns) < 2 && !slips {
		return nil, yarns
	}
	var out []Float
	lasts := make([]last, len(yarns))
	for i := range lasts {
		lasts[i].loop = None
	}
	at := 0
	for i := range r.Works {
		w := &r.Works[i]
		if w.Kind == Slip {
			at += len(w.Out)
			for k := range lasts {
				lasts[k].slips += len(w.Out)
				if w.Front {
					lasts[k].front += len(w.Out)
				}
			}
			continue
		}
		if w.Kind == Held || len(w.Out) == 0 {
			continue
		}
		l := &lasts[slices.Index(yarns, w.Yarn)]
		if over := at - l.at; l.loop != None && over > 0 {
			out = append(out, Float{Yarn: w.Yarn, From: l.loop, To: w.Out[0], Over: over, Front: l.front > 0 && l.front == l.slips})
		}
		at += len(w.Out)
		*l = last{loop: w.Out[len(w.Out)-1], at: at}
	}
	return out, yarns
}
