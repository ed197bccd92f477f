package needle

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/finding"
	"rowproof/domain/notation"
)

// This file repeats rows until a count or a length is reached.

func (r *run) untilSts(it *notation.RepRows, defs []*def, lanes []*lane, ag *again) {
	left := append([]*lane(nil), lanes...)
	have := func(l *lane) int { return l.total().D }
	if it.Until.Between {
		have = betweenMarkers(lanes)
	}
	for pass := 0; len(left) > 0 && pass < maxRows; pass++ {
		var now []*lane
		for _, l := range left {
			if want := it.Until.Sts.For(l.size); want >= 0 && have(l) != want && !l.tainted {
				now = append(now, l)
			}
		}
		if len(now) == 0 {
			return
		}
		before := map[*lane]int{}
		for _, l := range now {
			before[l] = have(l)
		}
		// within the pass a lane stops where it has what is wanted
		for k, d := range defs {
			var going []*lane
			for _, l := range now {
				switch {
				case have(l) != it.Until.Sts.For(l.size), it.Until.Ends != "" && l.side != other(it.Until.Ends):
					going = append(going, l)
				case k > 0 && it.Until.Ends == "" && r.passChange(defs[k:], l) == 0 && (l.side == "" || l.side != r.dueNext):
					going = append(going, l) // the plain rows that end the pass
				}
			}
			if len(going) == 0 {
				break
			}
			if r.watch != nil {
				r.watch.nth = k
			}
			if !r.passes([]*def{d}, going, ag, 1, nil) && r.silent && r.fail != nil {
				return
			}
		}
		var bad []*lane
		left = left[:0]
		for _, l := range now {
			want := it.Until.Sts.For(l.size)
			got := have(l)
			gone := (got-want)*(before[l]-want) < 0
			gone = gone || abs(got-want) > abs(before[l]-want) && before[l] >= 0 // it goes the other way
			if got != want && (gone || got == before[l]) {
				if !l.tainted {
					bad = append(bad, l)
				}
				continue
			}
			left = append(left, l)
		}
		if len(bad) > 0 {
			l := bad[0]
			msg := fmt.Sprintf("%s are never reached: the rows go from %s to %s", sts(K(it.Until.Sts.For(l.size))), sts(K(max(0, before[l]))), sts(K(max(0, have(l)))))
			if it.Until.Between && have(l) < 0 {
				msg = fmt.Sprintf("%s between markers are never reached: the rows change none", sts(K(it.Until.Sts.For(l.size))))
			}
			msg = r.atSizes(bad, msg)
			r.add(finding.Finding{Code: "count-never-reached", Span: it.Span, Row: it.Words, Sizes: r.sizesOf(bad), Message: msg})
			if r.silent && r.fail == nil {
				r.fail = &failure{code: "count-never-reached"}
			}
			for _, l := range bad {
				if it.Until.Between {
					continue
				}
				want := K(max(0, it.Until.Sts.For(l.size)))
				l.left, l.right = newStack(want), newStack(Lin{})
			}
		}
	}
}

// untilAside repeats rows that turn until so many stitches are left unworked at each side.
func (r *run) untilAside(it *notation.RepRows, defs []*def, lanes []*lane, ag *again) {
	var bad []*lane
	for _, l := range lanes {
		want := it.Until.Aside.For(l.size)
		if want < 0 || l.tainted || l.total().C != 0 || l.round { // in a round the others lie between; no stitch is lost
			continue
		}
		for k := 0; k < maxPasses; k++ {
			here, there := l.right.total().D, l.left.beyondGap()
			if here <= want && there <= want {
				if here < want || there < want {
					bad = append(bad, l)
				}
				break
			}
			left := here + there
			if !r.passes([]*def{defs[k%len(defs)]}, []*lane{l}, ag, 1, nil) || l.tainted {
				break
			}
			if l.right.total().D+l.left.beyondGap() >= left {
				bad = append(bad, l)
				break
			}
		}
	}
	if len(bad) == 0 {
		return
	}
	l := bad[0]
	r.add(finding.Finding{Code: "count-never-reached", Span: it.Span, Row: it.Words, Sizes: r.sizesOf(bad),
		Message: r.atSizes(bad, fmt.Sprintf("%s unworked at each side are never reached: the rows come to %s and %s", sts(K(it.Until.Aside.For(l.size))), sts(K(l.left.beyondGap())), sts(l.right.total())))})
	if r.silent && r.fail == nil {
		r.fail = &failure{code: "count-never-reached"}
	}
}

// beyondGap counts the stitches that lie beyond the nearest turning point; 0 where there is none.
func (s stack) beyondGap() int {
	n := 0
	past := false
	for i := len(s.group) - 1; i >= 0; i-- {
		if past {
			n += s.group[i].D
		}
		past = past || i > 0 && s.bound[i]&gap != 0
	}
	return n
}

// thisSide counts the stitches on this side of the nearest turning point; -1 where there is none.
func (s stack) thisSide() int {
	n := 0
	for i := len(s.group) - 1; i > 0; i-- {
		if n += s.group[i].D; s.bound[i]&gap != 0 {
			return n
		}
	}
	return -1
}

// betweenMarkers measures what stands between two markers: of the groups that have
// one on each side, the one that the rows change; -1 before they have changed any.
func betweenMarkers(lanes []*lane) func(*lane) int {
	groups := func(l *lane) (out []int) {
		for _, g := range l.left.group {
			out = append(out, g.D)
		}
		return out
	}
	start := map[*lane][]int{}
	for _, l := range lanes {
		start[l] = groups(l)
	}
	return func(l *lane) int {
		now, then := groups(l), start[l]
		for i := 1; i+1 < len(now) && len(now) == len(then); i++ {
			if now[i] != then[i] {
				return now[i]
			}
		}
		if !l.round || len(now) != len(then) {
			return -1
		}
		changed := -1 // in a round the first group has the round's start on its other side
		for i := range now {
			if now[i] != then[i] {
				if changed >= 0 {
					return -1
				}
				changed = now[i]
			}
		}
		return changed
	}
}

var sizedLength = regexp.MustCompile(`(\d[\d.½¼¾]*)\s*[(\[]([^)\]]*)[)\]]`)

// strokeLength is a length in at least three sizes, 58 / 60 / 62 cm or 58-60-62 cm; two
// numbers so parted may be a fraction, or a range.
var strokeLength = regexp.MustCompile(`\d[\d.½¼¾]*(?:\s*[/–-]\s*\d[\d.½¼¾]*){2,}`)

// strokePair is a length in two sizes, 15/17 cm; a fraction has a smaller number in front.
var strokePair = regexp.MustCompile(`(?:^|[^\d\s/]\s+)(\d[\d.½¼¾]*)\s*/\s*(\d[\d.½¼¾]*)\s*(?:cm|in|"|$)`)

// listedLength is a length in at least three sizes however brackets part them: 33 (35: 36) cm,
// 11 (12) 13 (14) cm, 12 (11) 11 (13, 13) cm, 17 (17½-18) ins.
var listedLength = regexp.MustCompile(`\d[\d.½¼¾]*(?:[\s\x{a0},;:()\[\]/–-]+\d[\d.½¼¾]*)+[)\]]*`)

// fraction is a mixed number, 2 1/2 or 2-1/2, or a part of one, 3/4.
var fraction = regexp.MustCompile(`(?:\b(\d+)[\s\x{a0}-]+)?\b([1357])/([248])\b`)

// decimals writes fractions as decimals: 2 1/2 in as 2.5 in.
func decimals(s string) string {
	return fraction.ReplaceAllStringFunc(s, func(f string) string {
		m := fraction.FindStringSubmatch(f)
		whole, _ := strconv.Atoi(m[1])
		over, _ := strconv.Atoi(m[2])
		under, _ := strconv.Atoi(m[3])
		if over >= under {
			return f
		}
		return strconv.FormatFloat(float64(whole)+float64(over)/float64(under), 'f', -1, 64)
	})
}

// centimetresFor is the length of a size of so many: 33 (35: 36) cm.
func centimetresFor(s string, size, sizes int) float64 {
	s = decimals(s)
	if m := listedLength.FindStringIndex(s); m != nil && sizes > 2 {
		if all := strings.FieldsFunc(s[m[0]:m[1]], func(r rune) bool { return strings.ContainsRune(" \u00a0,;:()[]/–-", r) }); len(all) == sizes && size < sizes {
			s = s[:m[0]] + all[size] + s[m[1]:]
		}
	}
	if m := sizedLength.FindStringSubmatchIndex(s); m != nil {
		all := append([]string{s[m[2]:m[3]]}, strings.FieldsFunc(s[m[4]:m[5]], func(r rune) bool { return r == ',' || r == ':' || r == ';' || r == ' ' })...)
		one := all[0]
		if size < len(all) {
			one = all[size]
		}
		if len(all) > 1 && strings.Trim(one, "0123456789.½¼¾") == "" {
			s = s[:m[0]] + one + s[m[1]:]
		}
	} else if m := strokeLength.FindStringIndex(s); m != nil {
		all := strings.FieldsFunc(s[m[0]:m[1]], func(r rune) bool { return r == '/' || r == '-' || r == '–' })
		s = s[:m[0]] + strings.TrimSpace(all[min(size, len(all)-1)]) + s[m[1]:]
	} else if m := strokePair.FindStringSubmatchIndex(s); m != nil && sizes == 2 {
		if first, err := strconv.ParseFloat(s[m[2]:m[3]], 64); err != nil || first >= 5 {
			at := m[2+2*min(size, 1)]
			s = s[:m[2]] + s[at:m[3+2*min(size, 1)]] + s[m[5]:]
		}
	}

	toks := strings.FieldsFunc(strings.ToLower(strings.NewReplacer("½", ".5", "¼", ".25", "¾", ".75", "\"", " in ", "(", " ( ", ")", " ) ", ",", " ", "-", " ", "–", " ").Replace(s)), func(r rune) bool { return r == ' ' || r == '\u00a0' })
	var v float64
	for _, t := range toks {
		num := strings.TrimRight(t, "cmin")
		if f, err := strconv.ParseFloat(num, 64); err == nil && v == 0 {
			v = f
			if strings.HasSuffix(t, "cm") {
				return v
			}
			continue
		}
		switch {
		case strings.HasPrefix(t, "cm"):
			return v
		case t == "mm":
			return v / 10
		case strings.HasPrefix(t, "in"):
			return v * 2.54
		}
	}
	return 0
}

func (r *run) untilLength(it *notation.RepRows, defs []*def, lanes []*lane, ag *again) {
	for _, l := range lanes {
		n, cm := 1, centimetresFor(it.Until.Length, l.size, len(r.ms.Sizes))
		if cm > 0 && r.rowsPer10 > 0 {
			want := int(math.Round(cm * r.rowsPer10 / 10))
			if k := (want - l.rows) / max(1, len(defs)); k > 0 {
				n = min(k, 2000)
			}
		}
		if r.passChange(defs, l) != 0 {
			n = 1
		}
		r.passes(defs, []*lane{l}, ag, n, nil)
		r.endSide(l, it.Until.Ends)
	}
	if it.Until.Ends == "" && len(defs)%2 == 1 {
		for _, l := range lanes {
			l.side = ""
		}
	}
}

func (r *run) endSide(l *lane, ends string) {
	if ends != "" && !(r.part.Round && l.round) {
		l.side = other(ends)
		r.sideKnown = true
	}
}
