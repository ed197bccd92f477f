package notation

import (
	"fmt"
	"strings"
)

// This file rewrites the names of sizes where they stand in a list.

// nameList reads the names of all sizes at token k.
func (rz *resizer) nameList(k int) (valueList, bool) {
	l, first := valueList{lead: -1}, k
	hyphened := k+1 < len(rz.toks) && isDash(rz.toks[k+1].Text) && len(scanLine(rz.ms.Sizes[0], 1)) == 1 // S - M - L
	for i, name := range rz.ms.Sizes {
		want := scanLine(name, 1)
		if len(want) == 0 {
			return l, false
		}
		if i > 0 {
			from := k
			for (signOfNames(rz.w(k)) || isDash(rz.w(k)) && hyphened) && k < len(rz.toks) && rz.toks[k].Line == rz.toks[first].Line {
				if l.flat == "" && openers[rz.w(k)] == "" && i == 1 {
					l.flat = rz.w(k)
				}
				if openers[rz.w(k)] != "" && i == 1 {
					l.flat = ""
				}
				k++
			}
			if k == from {
				return l, false
			}
		}
		for q, t := range want {
			if rz.w(k+q) != t.fold || k+q >= len(rz.toks) || rz.toks[k+q].Line != rz.toks[first].Line {
				return l, false
			}
		}
		l.elems = append(l.elems, [2]int{k, k + len(want)})
		k += len(want)
	}
	for l.flat == "" && closes(rz.w(k)) && k < len(rz.toks) {
		k++
	}
	l.last = k
	if last := &l.elems[rz.n-1]; last[1] < len(rz.toks) && rz.toks[last[1]].Kind == Word && strings.HasSuffix(strings.ToLower(rz.ms.Sizes[rz.n-2]), " "+rz.toks[last[1]].Text) {
		last[1]++ // 3 months (6 months): the unit is left out of the last name
		l.last = max(l.last, last[1])
		for l.flat == "" && closes(rz.w(l.last)) && l.last < len(rz.toks) {
			l.last++
		}
	}
	return l, true
}

func signOfNames(w string) bool {
	return listSign(w) || openers[w] != "" || closes(w) || w == "and" || w == "&"
}

// sizesLine says that a line names the sizes.
func (rz *resizer) sizesLine() bool {
	for k := range rz.toks {
		if l, ok := rz.nameList(k); ok && rz.namesSizes(l) {
			return true
		}
	}
	return false
}

// namesSizes says that a list of names is that of a line which names the sizes. Names
// that are numbers are told from measurements by the word before them.
func (rz *resizer) namesSizes(l valueList) bool {
	line := rz.toks[l.elems[0][0]].Line
	it := rz.where[min(line, len(rz.where)-1)]
	if _, ok := it.(*Sizes); ok {
		return true
	}
	if instruction(it) {
		return false
	}
	for _, n := range rz.ms.Sizes {
		if !isDigit([]rune(n + " ")[0]) {
			return true
		}
	}
	first, _ := rz.tokenLine(line)
	for first < l.elems[0][0] && rz.toks[first].Kind != Word {
		first++
	}
	at := rz.toks[first:]
	return at[0].Text == "sizes" || at[0].Text == "size" || forWhom(at) > 0 || rz.ms.Fit && fitLabel(unmeasured(at)) || rz.belowSizes(line)
}

// belowSizes says that the head "Sizes" stands by itself above a line.
func (rz *resizer) belowSizes(line int) bool {
	for l := line - 2; l >= 0 && l > line-5; l-- {
		if s := strings.ToLower(strings.Trim(rz.ms.Source[l], " \t:.*#_=-")); s != "" {
			return s == "sizes" || s == "size"
		}
	}
	return false
}

// names writes the names of the sizes, wherever all of them stand.
func (rz *resizer) names() error {
	if rz.bare {
		for i, n := range rz.ms.Sizes {
			if n != itoa(i+1) {
				return fmt.Errorf("the line that names the sizes is not found")
			}
		}
		for k, s := range rz.plan {
			if s.Name != "" && rz.named[k] != itoa(k+1) {
				rz.nameSizes()
				break
			}
		}
		return nil
	}
	for k := 0; k < len(rz.toks); k++ {
		l, ok := rz.nameList(k)
		if !ok || !rz.namesSizes(l) {
			continue
		}
		rz.writeList(l, rz.named)
		for q := k; q < l.last; q++ {
			rz.done[q] = true
		}
		k = l.last - 1
	}
	return nil
}
