package notation

// sinceGap are words that count stitches from where the row has bound off.
var sinceGap = []string{"after bo", "after casting|binding off", "after cast - off|bind - off|cast-off|bind-off", "after|since|from those|these? bound|cast - off st?", "after|since|from those|these? bound|cast off st?", "after|since|from last? bind|cast off", "after|since|from last? bind|cast - off", "after|since|from this|last? gap|hole|slit|opening", "not counting those before the? gap|hole|slit|opening"}

// target reads how far something is worked, at i.
func (p *parser) target(i int) (Target, int, bool) {
	start := i
	if k, ok := p.words(i, "across|over back|front|sleeve|body|yoke", "across|over left|right|first|second front|sleeve"); ok && hasWord(p, k, "to", "until") { // "knit across back to marker"
		if t, j, ok := p.target(k); ok && t.Kind == ToMarker {
			t.Span = p.span(start, j)
			return t, j, true
		}
	}
	if p.w(i) == "across" && p.w(i+1) == "to" && p.w(i+2) == "last" { // "rep from * across to last st"
		t, j, ok := p.target(i + 1)
		t.Span = p.span(start, max(j, start+1))
		return t, j, ok
	}
	done := func(k TargetKind, n Num, j int) (Target, int, bool) {
		return Target{Kind: k, N: n, Span: p.span(start, j)}, j, true
	}
	if k, ok := p.words(i, "across all? heel st?", "to end of heel st?"); ok && p.w(k) != "flap" {
		t, k, _ := done(ToEnd, Num{}, k)
		t.Name = "heel"
		return t, k, true
	}
	if w := p.w(i); w == "across" || w == "over" { // "[sl 1, k1] across 30 heel sts"
		if n, j, ok := p.num(p.skipWords(i+1, "the", "these", "those")); ok {
			if q, ok := p.words(j, "heel|front|back|sleeve|instep|thumb|body|neck|these|those? st of base|body|back|front|flap|heel|sole|instep|bottom", "heel|front|back|sleeve|instep|thumb|body|neck|these|those? st"); ok && !(p.w(i) == "over" && p.w(i+1) == "next") {
				return done(ToWorked, n, q)
			}
		}
	}
	j, ok := p.words(i, "to end of n", "across n", "across all st on n")
	ok = ok && p.at(j).Kind == Number && p.at(j).Glued
	if !ok {
		if j, ok = p.words(i, "to end of needle", "across needle", "across all st on|of needle"); ok {
			ok = p.at(j).Kind == Number && p.at(j).Val < 5 && p.w(j+1) != "st"
		}
	}
	if ok { // N1, N2: needles
		if p.at(j).Val == 1 {
			t, k, ok := done(ToMarker, Num{}, j+1)
			t.Name = "needle"
			return t, k, ok
		}
		return done(ToEnd, Num{}, j+1)
	}
	if j, ok := p.words(i, "to end of each|every? needle"); ok {
		t, j, _ := done(ToEnd, Num{}, j)
		t.Name = "needle"
		return t, j, true
	}
	// across, around
	if j, ok := p.words(i, "across row", "all rnd", "across all st", "to end of heel|instep|sole|flap|back|front|sleeve|thumb|body? st", "across heel|back|front|sleeve|body st", "across rnd", "across to end", "across rem st", "across rest", "across next needle", "across", "all across", "all around", "around rnd", "around", "rnd to end", "all rnd",
		"along row", "all along row", "all along this row", "all way around", "all way across", "all way rnd", "all way to end", "all way", "all along", "all across row", "all across", "all rest", "all of rest", "right across", "throughout row", "throughout", "all through", "to end of row", "to end of rnd", "to end of needle", "to end of short row", "to end of st", "to end", "to row end", "to bor m?", "to beg|end|start of rnd m", "to end - of - rnd m", "to beg|start - of - rnd m", "to beg of rnd", "till end", "until end", "until end of row", "until end of rnd", "to finish", "to end of each row", "til end", "to close",
		"every st", "in every st", "into every st", "into each st to end", "into each st", "in each st across", "in each st around", "in each st to end", "of each st across", "of each st", "of every st", "in each st", "each st to end", "each st", "all st to end", "all st", "all rem st", "rem st to end", "rem st", "rest of row", "rest", "whole row", "whole rnd", "entire rnd", "over all rem? st", "over whole|entire row|rnd", "over all", "to eor", "to eon", "to edge", "entire row", "even", "for rest of row", "for rest of rnd", "for remainder of row"); ok {
		if w := p.w(j); w == "of" || w == "but" || w == "except" {
			return Target{}, start, false
		}
		for {
			if k, ok := p.words(j, "of row", "of rnd", "on needle", "in row", "in rnd", "row", "rnd", "( every|each row|rnd )"); ok {
				j = k
				continue
			}
			break
		}
		return done(ToEnd, Num{}, j)
	}
	if p.w(i) == "all" && (i+1 >= len(p.toks) || p.w(i+1) == "." || p.w(i+1) == ";") { // "p all"
		return done(ToEnd, Num{}, i+1)
	}
	if p.w(i) == "all" { // "knit all 30 sts"
		if _, j, ok := p.num(i + 1); ok && p.w(j) == "st" {
			return done(ToEnd, Num{}, j+1)
		}
	}
	lead := false
	if j, ok := p.words(i, "to within", "to", "until", "till", "til", "up to", "ending"); ok {
		i, lead = j, true
	}
	if !lead {
		return Target{}, start, false
	}
	before := func(num Num, j int) (Target, int, bool) {
		if k, ok := p.words(j, "before|of|from end of row|rnd", "before|of|from end of needle", "before|of|from end", "before|of|from bor"); ok {
			t, k, _ := done(ToLast, num, k)
			if p.w(k-1) == "needle" {
				t.Name = "needle"
			}
			return t, k, true
		}
		if k, ok := p.words(j, "before|of|from instep|sole st?"); ok {
			t, k, _ := done(ToLast, num, k)
			t.Name = "needle"
			return t, k, true
		}
		if k, ok := p.words(j, "before|of|from neck|inner|centre|front edge", "before|of|from neck opening|gap", "before|of|from neck", "before|of|from end of first|this|one|left|right side|shoulder|front"); ok {
			return done(ToLast, num, k)
		}
		if k, name, ok := p.markerName(j, "before|of|from"); ok {
			t, k, _ := done(ToMarker, num, k)
			t.Name = name
			return t, k, true
		}
		if k, ok := p.words(j, "before|of|from last? gap", "before|of|from last turning? gap", "before|of|from last? turn", "before|of|from previous? turn", "before|of|from last? turning point", "before|of|from last? wrapped st", "before|of|from previous|prev wrapped st", "before|of|from last? wrap", "before|of|from prev|previous wrap|gap|turn", "before|of|from turning? gap"); ok {
			return done(ToGap, num, k)
		}
		if k, ok := p.words(j, "before|of|from last|previous|prev? ds", "before|of|from last|previous|prev? double st"); ok { // which is the last stitch before the gap
			return done(ToGap, addNum(num, 1), k)
		}
		if k, ok := p.words(j, "before|of|from centre st", "before|of|from centre", "before|of|from marked st", "before|of|from marked centre st", "before|of|from middle st"); ok {
			return done(TargetCentre, num, k)
		}
		if k, ok := p.words(j, "before|of|from centre|middle"); ok {
			if c, k, ok := p.centreSts(k); ok {
				return done(TargetCentre, sumNum(num, c), k)
			}
		}
		return Target{}, start, false
	}
	if k, ok := p.words(i, "last"); ok {
		if num, j, ok := p.num(k); ok {
			if q, ok := p.words(j, "instep|sole st"); ok { // "k to last 3 instep sts"
				t, q, _ := done(ToLast, num, q)
				t.Name = "needle"
				return t, q, true
			}
			if j2, ok := p.words(j, "heel|front|back|sleeve|thumb|instep|toe|neck|shoulder? st"); ok {
				j = j2
			}
			if q, ok := p.needleEnd(j); ok { // the needle ends at a marker, where one is hung
				t, q, _ := done(ToLast, num, q)
				t.Name = "needle"
				return t, q, true
			}
			for {
				if j2, ok := p.words(j, "of row", "of rnd", "rem", "of these|those", "of|on|at|before first|one|left|right|this|second|2nd|other side|shoulder|front|half", "at|before|on neck|inner edge", "before neck"); ok {
					j = j2
					continue
				}
				break
			}
			return done(ToLast, num, j)
		}
		if j, ok := p.words(k, "st", "edge|heel|flap|sleeve|front|back|thumb st"); ok {
			if q, ok := p.needleEnd(j); ok {
				t, q, _ := done(ToLast, N(1), q)
				t.Name = "needle"
				return t, q, true
			}
			return done(ToLast, N(1), j)
		}
		if j, _, ok := p.markerName(k, ""); ok {
			t, j, _ := done(ToMarker, N(0), j)
			t.Name = "last"
			return t, j, true
		}
	}
	if num, k, ok := p.num(i); ok { // "until 24 sts are on right needle"
		if q, ok := p.words(k, "st? are|lie|is on right|rh|r needle", "st? are|lie|is on right|rh hand|-hand needle", "st? are|lie|is on right - hand needle"); ok {
			t, q, _ := done(ToWorked, num, q)
			if r, ok := p.words(q, sinceGap...); ok {
				t.Name, q = "gap", r
			}
			return t, q, true
		}
	}
	if j, ok := p.words(i, "there are", "you have", "there is"); ok { // "k until there are 15 sts on right needle"
		if num, k, ok := p.num(j); ok {
			if q, ok := p.words(k, "st for back|front|side|left|right front|back? on? right? needle?", "st"); ok && p.w(k+1) == "for" { // "knit until there are 50 sts for the back after the cast-off"
				if r, ok := p.words(q, sinceGap...); ok {
					t, q, _ := done(ToWorked, num, r)
					t.Name = "gap"
					return t, q, true
				}
			}
			if q, ok := p.words(k, "st? on right needle", "st? on rh needle", "st? on right hand needle", "st? on right-hand needle", "st? on r needle", "st? on needle", "st? on right - hand needle", "st"); ok {
				if r, ok := p.words(q, sinceGap...); ok {
					t, q, _ := done(ToWorked, num, r)
					t.Name = "gap"
					return t, q, true
				}
				return done(ToWorked, num, q)
			}
		}
	}
	if num, j, ok := p.num(i); ok {
		if j2, ok := p.words(j, "st", "more st"); ok {
			j = j2
		}
		if q, ok := p.words(j, "rem|left"); ok { // "until 2 sts remain before the marker"
			if t, k, ok := before(num, q); ok {
				return t, k, true
			}
		}
		if t, k, ok := before(num, j); ok {
			return t, k, true
		}
		if k, ok := p.words(j, "rem on lh needle", "rem on left hand needle", "rem on left needle", "rem in row", "rem in rnd", "rem unworked", "rem", "left on lh needle", "left on left needle", "left", "are|is left"); ok {
			if q, ok := p.needleEnd(k); ok { // "until 3 sts rem on first needle"
				t, q, _ := done(ToLast, num, q)
				t.Name = "needle"
				return t, q, true
			}
			return done(ToLast, num, k)
		}
	}
	if t, k, ok := before(N(1), i); ok { // "to before m": taken as to the marker
		t.N = N(0)
		return t, k, true
	}
	if k, name, ok := p.markerName(i, ""); ok {
		t, k, _ := done(ToMarker, N(0), k)
		t.Name = name
		return t, k, true
	}
	if k, ok := p.words(i, "next|following marked st", "next|following st marked"); ok { // a marker hangs before it
		t, k, _ := done(ToMarker, N(0), k)
		t.Name = "marked"
		return t, k, true
	}
	if k, ok := p.words(i, "thumb? gusset st?", "thumb st"); ok { // "knit to gusset, leave 7 sts on a thread": a marker hangs there
		return done(ToMarker, N(0), k)
	}
	if k, ok := p.words(i, "bound off st", "bound - off st", "cast off st", "cast - off st", "bo st", "place|gap where st were bound|cast off", "bo edge", "bo gap"); ok { // "p to bound-off sts, cast on 3"
		return done(ToGap, N(0), k)
	}
	if k, ok := p.words(i, "last? gap", "gap", "first|next? wrapped st", "first|next|last? double - wrapped st", "first|next|last? double wrapped st", "first|next|last? twice wrapped st", "last|next|first yo", "yo of turn", "first|next|last? twice - wrapped st", "last? turning point", "last turn", "turning? gap"); ok {
		return done(ToGap, N(0), k)
	}
	if k, ok := p.words(i, "last|next|first? ds", "last|next|first? double st", "st before last|next? ds", "st before last|next? double st"); ok {
		return done(ToGap, N(1), k)
	}
	if k, ok := p.words(i, "centre|middle"); ok { // "k to centre 3 sts"
		if c, k, ok := p.centreSts(k); ok {
			return done(TargetCentre, c, k)
		}
		if p.w(k) == "st" {
			return done(TargetCentre, N(0), k+1)
		}
	}
	if k, ok := p.words(i, "centre|middle of heel|sole st?", "centre|middle of back heel|sole st?", "centre|middle of heel|sole needle"); ok && p.at(start-1).Kind != Number && p.w(start-1) != ")" && p.w(start-1) != "]" && p.w(start-1) != "st" { // behind the gussets' pick-ups: "then knit to centre of heel"
		t, k, _ := done(TargetCentre, N(0), k)
		t.Name = "heel"
		return t, k, true
	}
	if k, ok := p.words(i, "centre st", "marked centre st", "marked st", "centre"); ok {
		return done(TargetCentre, N(0), k)
	}
	return Target{}, start, false
}

// centreSts reads how many stitches the centre is, and tells how many of them stand before
// the centre stitch, or before the middle of two.
func (p *parser) centreSts(i int) (Num, int, bool) {
	n, j, ok := p.num(i)
	if !ok || p.w(j) != "st" {
		return Num{}, i, false
	}
	half := Num{Span: n.Span}
	for _, v := range n.Vals {
		half.Vals = append(half.Vals, max(0, v)/2)
	}
	return half, j + 1, true
}

// needleEnd reads "of needle", "on N1", "of first needle", "of instep" behind "last 3 sts".
func (p *parser) needleEnd(i int) (int, bool) {
	if q, ok := p.words(i, "on|of first|1st side|half|shoulder", "on|of this|that|each|same? needle", "on|of this|that|each? half", "on|of front|back|instep|sole|heel|last|next|first|1st|2nd|second needle", "on|of first|1st|2nd|second|last|next sole|instep|heel needle", "on|of instep|sole st?"); ok {
		return q, true
	}
	if w := p.w(i); w == "on" || w == "of" {
		if _, q, ok := p.needleName(i + 1); ok {
			return q, true
		}
	}
	return i, false
}

// markerName reads "next m", "first marker", "marker A" after the lead words.
func (p *parser) markerName(i int, lead string) (int, string, bool) {
	if lead != "" {
		j, ok := p.words(i, lead)
		if !ok {
			return i, "", false
		}
		i = j
	}
	for {
		if j, ok := p.words(i, "next", "each", "following", "side", "raglan", "gusset", "front", "back", "st", "thumb", "a", "first", "1st", "second", "2nd", "last", "centre", "end-of-rnd", "bor", "beg of rnd", "beg"); ok {
			i = j
			continue
		}
		break
	}
	for p.w(i) == "the" {
		i++
	}
	if p.w(i) != "m" {
		return i, "", false
	}
	i++
	if t := p.at(i); t.Kind == Word && len(t.Raw) == 1 && t.Raw[0] >= 'A' && t.Raw[0] <= 'Z' && p.yarns[t.Text] == "" {
		return i + 1, t.Raw, true
	}
	return i, "", true
}

// times reads "twice", "3 times", "3 (4, 5) times more", "x3", "a total of 4 times".
func (p *parser) times(i int) (Target, int, bool) {
	start := i
	done := func(k TargetKind, n Num, j int) (Target, int, bool) {
		// words that settle the kind, after the number
		for {
			if q, ok := p.words(j, "more"); ok {
				k, j = TimesMore, q
				continue
			}
			if q, ok := p.words(j, "in all", "in total", "total", "altogether", "all told", "all tog"); ok {
				k, j = TimesTotal, q
				continue
			}
			break
		}
		return Target{Kind: k, N: n, Span: p.span(start, j)}, j, true
	}
	kind := TimesInAll
	bracket := ""
	if openers[p.w(i)] != "" && p.at(i+1).Kind == Number { // (3 times)
		if t, j, ok := p.times(i + 1); ok && p.w(j) == openers[p.w(i)] {
			t.Span = p.span(start, j+1)
			return t, j + 1, true
		}
	}
	_ = bracket
	if j, ok := p.words(i, "a total of", "for a total of", "total of", "in all", "in total", "altogether", "in total of"); ok {
		i, kind = j, TimesTotal
	}
	if j, ok := p.words(i, "another", "a further", "further", "for another"); ok {
		i, kind = j, TimesMore
	}
	switch p.w(i) {
	case "twice":
		return done(kind, N(2), i+1)
	case "thrice":
		return done(kind, N(3), i+1)
	case "once":
		return done(kind, N(1), i+1)
	case "x":
		if n, j, ok := p.num(i + 1); ok {
			if p.w(j) == "times" {
				j++
			}
			return done(kind, n, j)
		}
	}
	if n, j, ok := p.num(i); ok {
		if p.w(j) == "more" || p.w(j) == "further" || p.w(j) == "additional" || p.w(j) == "other" {
			kind = TimesMore
			j++
		}
		if p.w(j) == "times" || p.w(j) == "time" {
			return done(kind, n, j+1)
		}
		if p.w(j) == "x" && (p.at(j).Glued || true) && p.at(j+1).Kind != Number {
			return done(kind, n, j+1)
		}
	}
	return Target{}, start, false
}
