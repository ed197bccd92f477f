package fabric

// place turns the increases and decreases that nothing makes up for into empty
// columns (skip) and new ones (fresh).
func (o *layout) place(at, n int) {
	r := &o.f.Rows[at]
	lasting := !r.Round && o.lasting(at)
	for i := 0; i < len(o.units); {
		u := o.units[i]
		j, open := i, 0
		for ; j < len(o.units) && o.units[j].work == u.work; j++ {
			if !o.units[j].gone {
				open++
			}
		}
		i = j
		w := &r.Works[u.work]
		k := u.took
		for e := 0; e < open; e++ {
			if u.plus {
				o.placeFresh(u.at, k, e, open, n, lasting)
			} else {
				o.placeSkip(w, u.at, k, e, open, n, lasting)
			}
		}
	}
}

// lasting says that the row's shaping does not undo or is not undone by that of rows near by.
func (o *layout) lasting(at int) bool {
	net := func(r *Row) int { return r.After - r.Before }
	d := net(&o.f.Rows[at])
	if d == 0 {
		return false
	}
	for i := max(0, at-ahead); i < len(o.f.Rows) && i <= at+ahead; i++ {
		if x := net(&o.f.Rows[i]); x != 0 && (x < 0) != (d < 0) {
			return false
		}
	}
	return true
}

// placeFresh asks for one column, the e-th of open of a working that takes k
// loops from place q on.
func (o *layout) placeFresh(q, k, e, open, n int, lasting bool) {
	b := q
	if k > 0 && (open == 1 || e >= open/2) {
		b = q + k
	}
	if lasting && min(b, n-b) <= edgeZone {
		if b <= n-b {
			b = 0
		} else {
			b = n
		}
		o.snap.fresh[b].edge = true
		o.snap.fresh[b].n++
		return
	}
	f := &o.snap.fresh
	born := func(i int) bool { return i >= 0 && i < n && o.col[o.cur[o.stream[i]]].born }
	switch {
	case born(b - 1): // outside those opened before
		for born(b - 1) {
			b--
		}
		(*f)[b].nearNext = true
	case born(b):
		for born(b) {
			b++
		}
	default:
		// of two increases about a stitch the first lies next to it, too
		for i := range o.units {
			if u := &o.units[i]; u.plus && !u.gone && u.at == b+1 {
				(*f)[b].nearNext = true
			}
		}
	}
	(*f)[b].n++
}

// placeSkip leaves one column empty: on the side the decrease leans away from,
// pushed out to the end of the columns opened before.
func (o *layout) placeSkip(w *Work, q, k, e, open, n int, lasting bool) {
	first := w.Lean == 'l' // the empty column comes before, in RS order
	if open > 1 || w.Lean == 'c' {
		first = e < open/2
	} else if o.dir {
		first = !first
	}
	i := q
	if !first {
		i = q + k - 1
	}
	born := func(i int) bool { return i >= 0 && i < n && o.col[o.cur[o.stream[i]]].born }
	switch {
	case lasting && min(q, n-q-k) <= edgeZone:
		i = 0
		if q > n-q-k {
			i = n - 1
			first = false
		} else {
			first = true
		}
	case !born(i):
	case first:
		for born(i-1) && !o.snap.skip[i-1] {
			i--
		}
	default:
		for born(i+1) && !o.snap.skip[i+1] {
			i++
		}
	}
	for try := 0; try < n && o.snap.skip[i]; try++ { // taken: the next inwards
		if first {
			i = (i + 1) % n
		} else {
			i = (i + n - 1) % n
		}
	}
	o.snap.skip[i] = true
}

// fill lists the columns the row's stitches lie on, in the order of working.
func (o *layout) fill(n int) {
	o.slots = o.slots[:0]
	for b := 0; b <= n; b++ {
		if q := o.snap.fresh[b]; q.n > 0 {
			o.open(b, n, q)
		}
		if b < n && !o.snap.skip[b] {
			o.slots = append(o.slots, o.cur[o.stream[b]])
		}
	}
}

// open finds or opens the columns asked for at boundary b.
func (o *layout) open(b, n int, q fresh) {
	prev, next := o.prev, o.next
	if b > 0 {
		prev = o.cur[o.stream[b-1]]
	}
	if b < n {
		next = o.cur[o.stream[b]]
	}
	var got []int32
	if (b == 0 || q.nearNext) && next != 0 {
		for c := o.before(next); c != 0 && c != prev && o.col[c].live == 0 && len(got) < q.n; c = o.before(c) {
			got = append(got, c)
		}
		for i, j := 0, len(got)-1; i < j; i, j = i+1, j-1 {
			got[i], got[j] = got[j], got[i]
		}
		for len(got) < q.n {
			at := next
			if len(got) > 0 {
				at = got[0]
			}
			c := o.insert(o.before(at))
			o.col[c].born = !q.edge
			got = append([]int32{c}, got...)
		}
	} else {
		last := prev
		for c := o.after(prev); prev != 0 && c != 0 && c != next && o.col[c].live == 0 && len(got) < q.n; c = o.after(c) {
			got, last = append(got, c), c
		}
		for len(got) < q.n {
			c := o.insert(last)
			o.col[c].born = !q.edge
			got, last = append(got, c), c
		}
	}
	o.slots = append(o.slots, got...)
}
