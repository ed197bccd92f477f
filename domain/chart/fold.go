package chart

import (
	"reflect"

	"rowproof/domain/notation"
)

// folded brings like stitches together: k, k, k is k3; and what is said again
// and again becomes a group.
func folded(ops []notation.Op) []notation.Op {
	var out []notation.Op
	for _, o := range ops {
		if n := len(out); n > 0 && joined(out[n-1], o) {
			continue
		}
		out = append(out, o)
	}
	return grouped(out)
}

// joined adds o to the op before where both are the same stitch.
func joined(last, o notation.Op) bool {
	switch a := last.(type) {
	case *notation.Do:
		b, ok := o.(*notation.Do)
		if !ok || a.Key != b.Key || a.Wraps != b.Wraps || a.From != "" || b.From != "" || !reflect.DeepEqual(a.Params, b.Params) {
			return false
		}
		a.Times = notation.N(a.Times.For(0) + b.Times.For(0))
		return true
	case *notation.BindOff:
		b, ok := o.(*notation.BindOff)
		if ok {
			a.N = notation.N(a.N.For(0) + b.N.For(0))
		}
		return ok
	case *notation.CastOn:
		b, ok := o.(*notation.CastOn)
		if ok {
			a.N = notation.N(a.N.For(0) + b.N.For(0))
		}
		return ok
	case *notation.Hold:
		b, ok := o.(*notation.Hold)
		if ok {
			a.N = notation.N(a.N.For(0) + b.N.For(0))
		}
		return ok
	case *notation.DropAll:
		_, ok := o.(*notation.DropAll)
		return ok
	}
	return false
}

// grouped makes [yo, k1] 6 times of what stands six times in a row.
func grouped(ops []notation.Op) []notation.Op {
	var out []notation.Op
	for i := 0; i < len(ops); {
		best, times := 0, 0
		for p := 2; p <= 8 && i+2*p <= len(ops); p++ {
			if !plain(ops[i : i+p]) {
				break
			}
			n := 1
			for i+(n+1)*p <= len(ops) && same(ops[i:i+p], ops[i+n*p:i+(n+1)*p]) {
				n++
			}
			if n >= 2 && (n*p > best*times) && (n > 2 || p > 2) {
				best, times = p, n
			}
		}
		if times == 0 {
			out = append(out, ops[i])
			i++
			continue
		}
		out = append(out, &notation.Group{Body: ops[i : i+best : i+best], Times: notation.N(times)})
		i += best * times
	}
	return out
}

// plain says that ops are stitches and yarns only.
func plain(ops []notation.Op) bool {
	for _, o := range ops {
		switch o.(type) {
		case *notation.Do, *notation.UseYarn, *notation.Into:
		default:
			return false
		}
	}
	return true
}

func same(a, b []notation.Op) bool { return reflect.DeepEqual(a, b) }

// whole writes a row of nothing but one stitch as the trade does: "Knit".
func whole(ops []notation.Op) []notation.Op {
	key, n := "", 0
	var yarn []notation.Op
	for _, o := range ops {
		list := []notation.Op{o}
		if r, ok := o.(*notation.Repeat); ok {
			list = r.Body
		}
		for _, x := range list {
			switch x := x.(type) {
			case *notation.UseYarn:
				if n > 0 || len(yarn) > 0 {
					return ops
				}
				yarn = append(yarn, x)
			case *notation.Do:
				if x.Key != "k" && x.Key != "p" || key != "" && x.Key != key || x.Wraps > 1 || x.From != "" {
					return ops
				}
				key = x.Key
				n++
			default:
				return ops
			}
		}
	}
	if n == 0 {
		return ops
	}
	return append(yarn, &notation.Until{Body: []notation.Op{&notation.Do{Key: key}}, To: notation.Target{Kind: notation.ToEnd}})
}
