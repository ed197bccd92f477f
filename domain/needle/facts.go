package needle

import "rowproof/domain/notation"

// facts are what is asked of a row again and again, found out once.
type facts struct {
	skips   bool    // some vector has a size that does not work the row
	dropAll bool    // yarn overs of the row before are dropped
	ymoves  bool    // yf only moves the yarn
	needles bool    // the row is told by the needle, or speaks of a needle's end
	amb     reading // in how many ways it may be read
}

func (r *run) facts(d *def) *facts {
	if d.facts != nil {
		return d.facts
	}
	if f := r.shared.facts[d.row]; f != nil {
		d.facts = f
		return f
	}
	f := &facts{}
	d.facts = f
	if d.row.As == nil { // else its body is another row's
		r.shared.facts[d.row] = f
	}
	f.amb = r.w.ambiguous(d.body)
	if f.amb&readYF != 0 {
		f.ymoves = r.ymoves(d)
		delete(r.shared.facts, d.row) // it hangs on other rows, too
	}
	nums(d.body, func(n notation.Num) {
		for _, v := range n.Vals {
			f.skips = f.skips || v == notation.Skip
		}
	})
	notation.Each(d.body, func(o notation.Op) {
		switch o := o.(type) {
		case *notation.DropAll:
			f.dropAll = true
		case *notation.Mark:
			f.needles = f.needles || o.Do == "needle"
		case *notation.Repeat:
			f.needles = f.needles || byNeedle(o.Body, true)
		case *notation.Until:
			f.needles = f.needles || o.To.Name == "needle" && o.To.Kind != notation.ToEnd
		}
	})
	return f
}

// nums calls f for the numbers of a body that decide whether a size works it.
func nums(body []notation.Op, f func(notation.Num)) {
	notation.Each(body, func(o notation.Op) {
		switch o := o.(type) {
		case *notation.Do:
			f(o.Times)
		case *notation.Group:
			f(o.Times)
		case *notation.Repeat:
			f(o.To.N)
		case *notation.Until:
			f(o.To.N)
		case *notation.BindOff:
			f(o.N)
		case *notation.CastOn:
			f(o.N)
		case *notation.Hold:
			f(o.N)
		}
	})
}

// skips says that a size does not work this row at all.
func (r *run) skips(d *def, size int) bool {
	if o := d.row.Only; o != nil {
		if !contains(o, size) {
			return true
		}
	} else if r.only != nil && !contains(r.only, size) {
		return true
	}
	if o := r.some[d.row]; o != nil && !contains(o, size) {
		return true
	}
	if !r.facts(d).skips {
		return false
	}
	skip := false
	nums(d.body, func(n notation.Num) {
		if n.Given() && n.For(size) == notation.Skip {
			skip = true
		}
	})
	return skip
}

// byNeedle says that what is repeated goes as far as a needle does; ends counts "to end of needle", which by itself may
// mean the row's.
func byNeedle(body []notation.Op, ends bool) bool {
	for _, o := range body {
		if u, ok := o.(*notation.Until); ok && u.To.Name == "needle" && (ends || u.To.Kind != notation.ToEnd) {
			return true
		}
	}
	return false
}
