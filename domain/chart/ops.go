package chart

import (
	"strings"

	"rowproof/domain/fabric"
	"rowproof/domain/notation"
)

// dropAll marks the cell of a yarn over that falls off before the row is worked.
const dropAll = "drop all"

// takes is how many loops a cell takes off the needle.
func (c *Chart) takes(cell *Cell) int {
	switch cell.Kind {
	case NoStitch, Continued:
		return 0
	case Unworked:
		return 1
	}
	switch s := cell.Symbol; {
	case cell.Takes > 0:
		return cell.Takes
	case s == "yo" || s == "co" || strings.HasPrefix(s, "m1") || strings.HasPrefix(s, "lift-"):
		return 0
	case s == "cross":
		return cell.Span
	case s == "cluster" || strings.HasPrefix(s, "dec-n"):
		return max(1, cell.Number)
	case strings.HasPrefix(s, "dec-") && len(s) > 6:
		return int(s[6] - '0')
	}
	return 1
}

// makes is how many loops a cell leaves on the needle.
func (c *Chart) makes(cell *Cell) int {
	switch cell.Kind {
	case NoStitch, Continued:
		return 0
	case Unworked:
		return 1
	}
	switch cell.Symbol {
	case "bo", "drop", "hold":
		return 0
	case "cross":
		return cell.Span
	case "inc", "inc-purl":
		return max(1, cell.Number)
	case "cluster", "own", "bobble":
		return max(1, cell.Makes)
	}
	return 1
}

// op writes one cell as it is worked on the side of its row.
func (w *rowWriter) op(c *Cell) ([]notation.Op, error) {
	switch c.Kind {
	case NoStitch, Unworked:
		return nil, nil
	case Continued:
		return nil, w.fail(c, "part of a stitch only")
	}
	do := func(key string, params ...int) []notation.Op {
		return []notation.Op{&notation.Do{Key: key, Params: params, Times: notation.N(1)}}
	}
	ws := w.r.WS
	name, seenPurl := strings.CutSuffix(c.Symbol, "-purl")
	if c.Symbol == "purl" {
		name, seenPurl = "knit", true
	}
	for _, tail := range []string{"-tbl", "-wrap"} {
		if c.Symbol == "purl"+tail {
			name, seenPurl = "knit"+tail, true
		}
	}
	purl := seenPurl != ws // as it is worked
	pick := func(knit, purled string) string {
		if purl {
			return purled
		}
		return knit
	}
	if c.Key != "" && strings.HasPrefix(c.Key, "own:") {
		return do(c.Key), nil
	}
	switch name {
	case "knit":
		return do(pick("k", "p")), nil
	case "knit-tbl":
		return do(pick("ktbl", "ptbl")), nil
	case "knit-wrap":
		return []notation.Op{&notation.Do{Key: pick("k", "p"), Times: notation.N(1), Wraps: max(2, c.Number)}}, nil
	case "yo":
		return do("yo"), nil
	case "m1":
		return do(pick("m1", "m1p")), nil
	case "m1l":
		return do(pick("m1l", "m1lp")), nil
	case "m1r":
		return do(pick("m1r", "m1rp")), nil
	case "lift-l":
		return do("lli"), nil
	case "lift-r":
		return do("rli"), nil
	case "inc":
		return w.increase(c, purl)
	case "dec-r-2", "dec-r-3":
		if c.Key == pick("ktogtbl", "ptogtbl") {
			return do(c.Key, w.c.takes(c)), nil
		}
		return do(pick("ktog", "ptog"), w.c.takes(c)), nil
	case "dec-l-2":
		if !purl && c.Key == "skp" {
			return do(c.Key), nil
		}
		if c.Key == pick("ktogtbl", "ptogtbl") {
			return do(c.Key, 2), nil
		}
		return do(pick("ssk", "ssp")), nil
	case "dec-l-3":
		if !purl && c.Key == "sssk" {
			return do(c.Key), nil
		}
		if c.Key == pick("ktogtbl", "ptogtbl") {
			return do(c.Key, 3), nil
		}
		return do(pick("sk2p", "sssp")), nil
	case "dec-c-3":
		return do(pick("s2kp", "cddp")), nil
	case "dec-n":
		if c.Key == pick("ktogtbl", "ptogtbl") {
			return do(c.Key, w.c.takes(c)), nil
		}
		if strings.HasPrefix(c.Key, "into") {
			return w.increase(c, purl)
		}
		if c.Key == "passed over" {
			return nil, w.fail(c, "a decrease of %d stitches that was made by passing stitches over has no name of its own", w.c.takes(c))
		}
		return do(pick("ktog", "ptog"), w.c.takes(c)), nil
	case "slip-back", "slip-front":
		if (name == "slip-front") != ws {
			return do("slwyif"), nil
		}
		return do("slwyib"), nil
	case "below":
		return do(pick("k-below", "p-below"), max(1, c.Number)), nil
	case "cross":
		return w.crossing(c)
	case "bobble":
		return do("mb"), nil
	case "bo":
		return []notation.Op{&notation.BindOff{N: notation.N(1)}}, nil
	case "co":
		return []notation.Op{&notation.CastOn{N: notation.N(1)}}, nil
	case "hold":
		return []notation.Op{&notation.Hold{N: notation.N(1)}}, nil
	case "drop":
		return do("drop"), nil
	case "untold":
		return do("patt"), nil
	case "cluster":
		if strings.HasPrefix(c.Key, "into") {
			return w.increase(c, purl)
		}
		return nil, w.fail(c, "what is worked together is not said; define it as a stitch with a name")
	case "own":
		return nil, w.fail(c, "%q is not among the stitches defined", c.Name)
	}
	return nil, w.fail(c, "the symbol %q says no stitch", c.Symbol)
}

// increase writes several stitches worked into one place.
func (w *rowWriter) increase(c *Cell, purl bool) ([]notation.Op, error) {
	one := notation.N(1)
	letters, listed := strings.CutPrefix(c.Key, "into ")
	switch {
	case listed:
	case c.Key == "into":
		return nil, w.fail(c, "a stitch worked into one place is none that a chart tells")
	case c.Key == "kfb" || c.Key == "pfb" || c.Key == "kfbf" || c.Key == "kpk" || c.Key == "kyok" || c.Key == "inc":
		return []notation.Op{&notation.Do{Key: c.Key, Times: one}}, nil
	case c.Number <= 2 && !purl:
		return []notation.Op{&notation.Do{Key: "kfb", Times: one}}, nil
	case c.Number <= 2:
		return []notation.Op{&notation.Do{Key: "pfb", Times: one}}, nil
	default: // knit and purl by turns
		for k := 0; k < c.Number; k++ {
			if (k%2 == 1) != purl {
				letters += "p"
			} else {
				letters += "k"
			}
		}
	}
	keys := map[rune]string{'k': "k", 'p': "p", 'K': "ktbl", 'P': "ptbl", 'y': "yo"}
	in := &notation.Into{Sts: notation.N(w.c.takes(c)), Times: one}
	for _, l := range letters {
		in.Body = append(in.Body, &notation.Do{Key: keys[l], Times: one})
	}
	return []notation.Op{in}, nil
}

// crossing writes a crossing: by its name on the right side, where that tells
// all, else stitch by stitch with the cable needle.
func (w *rowWriter) crossing(c *Cell) ([]notation.Op, error) {
	front, back, mid, lean := -1, -1, -1, byte('l')
	for k, s := range c.Strands {
		at := &mid
		switch s.Place {
		case fabric.InFront:
			at = &front
			if s.To < s.From {
				lean = 'r'
			}
		case fabric.Behind:
			at = &back
		}
		if *at >= 0 {
			return nil, w.fail(c, "the crossing has more strands than one can work")
		}
		*at = k
	}
	if front < 0 || back < 0 {
		return nil, w.fail(c, "the crossing says not what passes in front")
	}
	f, b := c.Strands[front], c.Strands[back]
	n := f.N + b.N
	if mid >= 0 {
		n += c.Strands[mid].N
	}
	if n != c.Span {
		return nil, w.fail(c, "the crossing is of %d stitches in a cell of %d", n, c.Span)
	}
	ws := w.r.WS
	asPurl := func(s Strand) bool { return s.Purl != ws }
	key := map[byte]string{'l': "-lc", 'r': "-rc"}[lean]
	named := !asPurl(f)
	under := b // what the bump of the name lies in: the strand behind, as seen from the row's side
	if ws {
		under, named = f, !asPurl(b)
	}
	if asPurl(under) {
		key = map[byte]string{'l': "-lpc", 'r': "-rpc"}[lean]
	}
	params := []int{f.N, b.N}
	if ws {
		params = []int{b.N, f.N}
	}
	if mid >= 0 {
		m := c.Strands[mid]
		if !named || asPurl(m) {
			return nil, w.fail(c, "a crossing with purl stitches between has no name; define it as a stitch")
		}
		return []notation.Op{&notation.Do{Key: "n3" + key, Params: []int{params[0], m.N, params[1]}, Times: notation.N(1)}}, nil
	}
	if named {
		return []notation.Op{&notation.Do{Key: "n" + key, Params: params, Times: notation.N(1)}}, nil
	}
	// in the order of the needle: the right-hand strand first, on WS the left-hand one
	first, then := f, b
	if (lean == 'r') != ws {
		first, then = b, f
	}
	side := "front"
	if (first.Place == fabric.Behind) != ws {
		side = "back"
	}
	work := func(s Strand) string {
		if asPurl(s) {
			return "p"
		}
		return "k"
	}
	return []notation.Op{
		&notation.ToCable{N: notation.N(first.N), Side: side},
		&notation.Do{Key: work(then), Times: notation.N(then.N)},
		&notation.Do{Key: work(first), Times: notation.N(first.N), From: "cn"},
	}, nil
}
