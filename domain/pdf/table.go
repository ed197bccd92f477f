package pdf

import "rowproof/domain/document"

// definitions sets terms and meanings: long ones with the term in the margin,
// short ones small and in columns.
func (s *setter) definitions(b *document.Definitions) {
	k := s.k
	l := s.root.add("L")
	switch {
	case k.hang == 0 && b.Kind == document.Short:
		for _, d := range b.Items {
			s.hung(l.add("LI"), d.Term, k.term, s.textRuns(d.Text), k.left, k.measure()*0.26, k.measure(), k.lead, lineOpt{whole: true})
		}
	case k.hang == 0:
		for _, d := range b.Items {
			li := l.add("LI")
			s.lines(li.add("Lbl"), []span{{d.Term, k.term}}, k.left, k.measure(), k.lead, lineOpt{whole: true, next: true})
			s.lines(li.add("LBody"), s.textRuns(d.Text), k.left, k.measure(), k.lead, lineOpt{})
			s.gap(k.lead / 2)
		}
	case b.Kind == document.Short:
		s.columns(l, b.Items)
	default:
		term := k.term
		if b.Kind == document.Terms {
			term = k.strong
		}
		for _, d := range b.Items {
			s.hung(l.add("LI"), d.Term, term, s.textRuns(d.Text), k.left, k.hang, k.measure(), k.lead, lineOpt{})
			s.gap(k.lead / 4)
		}
	}
	s.gap(k.lead / 2)
}

// columns sets short definitions in two columns, read down the first and then
// the second. The structure tree keeps that order; a page break cuts across both.
func (s *setter) columns(l *node, items []document.Definition) {
	k := s.k
	gutter := 22.0
	colW := (k.measure() - gutter) / 2
	ind := 0.0
	for _, d := range items {
		for _, ln := range s.set([]span{{d.Term, k.abbr}}, colW*0.4, 0) {
			ind = max(ind, ln.w)
		}
	}
	ind = min(ind+10, colW*0.4)
	type strip struct {
		boxes []box
		more  bool // the item goes on below
	}
	item := func(d document.Definition, x float64) []strip {
		li := l.add("LI")
		ln, bn := li.add("Lbl"), li.add("LBody")
		head := s.set([]span{{d.Term, k.abbr}}, ind-6, 0)
		body := s.set(s.smallRuns(d.Text), colW-ind, 0)
		out := make([]strip, max(len(head), len(body)))
		for i := range out {
			out[i].more = i < len(out)-1
			if i < len(head) {
				out[i].boxes = append(out[i].boxes, s.lineBox(head[i], ln, x, k.smallLead))
			}
			if i < len(body) {
				out[i].boxes = append(out[i].boxes, s.lineBox(body[i], bn, x+ind, k.smallLead))
			}
		}
		return out
	}
	// Set all in the left column first, to see how long they are.
	var all [][]strip
	total := 0
	for _, d := range items {
		st := item(d, k.left)
		all = append(all, st)
		total += len(st)
	}
	var left, right []strip
	done := 0
	for _, st := range all {
		if done < (total+1)/2 {
			left = append(left, st...)
		} else {
			for i := range st {
				for j := range st[i].boxes {
					st[i].boxes[j].x += colW + gutter
				}
			}
			right = append(right, st...)
		}
		done += len(st)
	}
	n := max(len(left), len(right))
	for i := range n {
		sl := slab{height: k.smallLead, keep: n <= 12 || i < 3 || i >= n-3}
		sl.keep = sl.keep || i < len(left) && left[i].more || i < len(right) && right[i].more
		if i == n-1 {
			sl.keep = false
		}
		if i < len(left) {
			sl.boxes = append(sl.boxes, left[i].boxes...)
		}
		if i < len(right) {
			sl.boxes = append(sl.boxes, right[i].boxes...)
		}
		s.push(sl)
	}
}

// table sets a table, cut into several where there are more columns than the
// page is wide.
func (s *setter) table(b *document.Table) {
	k := s.k
	if len(b.Columns) == 0 {
		return
	}
	pad := k.cell.size * 0.9
	m := k.measure()
	rowTag := k.rowTag
	if k.hang > 0 && !b.Counts {
		rowTag.size = 9.75
	}
	// natural widths
	natural := func(text string, st style, limit float64) float64 {
		w := 0.0
		for _, l := range s.set([]span{{text, st}}, limit, 0) {
			w = max(w, l.w)
		}
		return w
	}
	first := natural(b.Columns[0], k.cellHead, m*0.42)
	colW := k.cell.size * 2.6
	for _, r := range b.Rows {
		first = max(first, natural(r[0], rowTag, m*0.42))
		for _, c := range r[1:] {
			colW = max(colW, natural(c, k.cell, m*0.3)+pad)
		}
	}
	for _, c := range b.Columns[1:] {
		colW = max(colW, natural(c, k.cellHead, m*0.3)+pad)
	}
	n := len(b.Columns) - 1
	if k.hang > 0 {
		first = max(first+pad, k.hang)
	} else {
		first += pad
	}
	per := max(1, int((m-first)/colW+0.001))
	if n > per { // even out the parts
		parts := (n + per - 1) / per
		per = (n + parts - 1) / parts
	} else if n > 0 && k.hang > 0 {
		if full := (m - first) / float64(n); full < colW*2 {
			colW = max(colW, full)
		}
	}
	if b.Caption != "" {
		s.gap(k.lead * 0.75)
		s.lines(s.root.add("P"), []span{{b.Caption, k.caption}}, k.left, m, k.lead, lineOpt{whole: true, next: true})
	}
	for from := 1; from <= max(n, 1); from += per {
		to := min(from+per, n+1)
		s.tablePart(b, from, to, first, colW, rowTag)
		s.gap(k.lead)
		if n == 0 {
			break
		}
	}
}

// wholeTable is how many rows a table may have and still be kept on one page.
const wholeTable = 16

// tablePart sets the first column and those from..to-1.
func (s *setter) tablePart(b *document.Table, from, to int, first, colW float64, rowTag style) {
	k := s.k
	t := s.root.add("Table")
	w := first + colW*float64(to-from)
	strips := func(cells []string, head bool, tr *node) []slab {
		var cols [][]line
		var nodes []*node
		n := 1
		at := func(i int) string {
			if i < len(cells) {
				return cells[i]
			}
			return ""
		}
		add := func(text string, st style, width float64, tag, scope string) {
			c := tr.add(tag)
			c.scope = scope
			ls := s.set([]span{{text, st}}, width, 0)
			cols, nodes = append(cols, ls), append(nodes, c)
			n = max(n, len(ls))
		}
		if head {
			add(at(0), k.cellHead, first-4, "TH", "Column")
		} else {
			add(at(0), rowTag, first-4, "TH", "Row")
		}
		for i := from; i < to; i++ {
			if head {
				add(at(i), k.cellHead, colW-2, "TH", "Column")
			} else {
				add(at(i), k.cell, colW-2, "TD", "")
			}
		}
		out := make([]slab, n)
		for r := range out {
			out[r] = slab{height: k.cellLead, keep: r < n-1}
			for c, ls := range cols {
				// heads stand on the last line, cells on the first
				i := r
				if head {
					i = r - (n - len(ls))
				}
				if i < 0 || i >= len(ls) {
					continue
				}
				x := k.left
				if c > 0 {
					x = k.left + first + float64(c)*colW - ls[i].w // right-aligned
				}
				out[r].boxes = append(out[r].boxes, s.lineBox(ls[i], nodes[c], x, k.cellLead))
			}
		}
		return out
	}
	hair := func(h, weight float64, c color) slab {
		return slab{height: h, keep: true, boxes: []box{{x: k.left, y: h/2 - weight/2, w: w, h: weight, fill: &c}}}
	}
	head := []slab{hair(3, 0.9, ink)}
	head = append(head, strips(b.Columns, true, t.add("TR"))...)
	head = append(head, hair(4, 0.45, ink))
	for i := range head {
		head[i].keep = true
	}
	for _, sl := range head {
		s.push(sl)
	}
	for i, r := range b.Rows {
		rows := strips(r, false, t.add("TR"))
		for j := range rows {
			if len(head) <= 8 { // a head of a few lines: a taller one is not said again
				rows[j].repeat = head
			}
			whole := k.hang > 0 && len(b.Rows) <= wholeTable // a short table is not broken
			if whole || i == 0 || i == len(b.Rows)-2 && j == len(rows)-1 {
				rows[j].keep = true
			}
			s.push(rows[j])
		}
	}
	end := hair(3, 0.9, ink)
	end.keep = false
	if n := len(s.slabs); n > 0 {
		s.slabs[n-1].keep = true
	}
	s.push(end)
}
