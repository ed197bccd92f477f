package notation

import "strings"

// This file reads until when rows are worked.

// untilCond reads "until 8 sts rem", "until there are 61 (69) sts", "until piece measures 38 cm".
func (p *parser) untilCond(i int) (Until_, int, bool) {
	start := i
	if p.w(i) == "," {
		i++
	}
	j, ok := p.words(i, "until", "till", "til", "or until", "to", "for", "until you have|there are", "up to", "and until", "down to")
	if !ok {
		return Until_{}, start, false
	}
	if p.w(i) == "to" || p.w(i) == "down" || p.w(i) == "up" {
		if k, ok := p.lengthAt(j); ok && p.w(i) == "to" && !hasWord(p, k, "before") { // "St st to 13\""
			u := Until_{Length: p.bracketed(p.raw(j, k))}
			if r, ok := p.words(k, ",? ending|end with|after|on? a|an?"); ok {
				if s, e, ok := p.lastSide(r); ok {
					u.Ends, k = s, p.skipWords(e, "row")
				}
			}
			return u, k, true
		}
		n, k, ok := p.num(j)
		if !ok || p.w(k) != "st" || p.w(k+1) == "before" {
			return Until_{}, start, false
		}
		return Until_{Sts: n}, p.skipWords(k+1, "rem", "on", "needle"), true
	}
	isFor := p.w(i) == "for"
	if !isFor {
		if k, ok := p.words(j, "all heel|side|flap|instep? st", "all st"); ok {
			e := p.sentenceEnd(k)
			for q := k; q < e; q++ {
				if w := p.w(q); w == "worked" || w == "used" || w == "consumed" {
					n, e, ok := p.num(p.skipWords(q+1, ",", "and", "only", "up", "in", "off", "there", "are", "you", "have", "."))
					if after := p.skipWords(e, "heel"); ok && p.w(after) == "st" && hasWord(p, after+1, "rem", "are", "left") { // "…, and 8 sts remain"
						return Until_{Sts: n, AllWorked: true}, p.skipWords(after+1, "rem", "are", "left", "on", "needle"), true
					}
					if ok && p.w(e) == "rem" { // "… are worked in and 18 remain"
						return Until_{Sts: n, AllWorked: true}, e + 1, true
					}
					return Until_{AllWorked: true}, p.skipWords(q+1, "up", "in", "off"), true
				}
			}
		}
		k := j
		if q, ok := p.words(k, "you are|get back|down|up to", "you are|get back? down|up to", "you're back|down|up to", "you come back? down? to"); ok { // "until you are back to 4 stitches"
			k = q
		}
		if q, ok := p.words(k, "there are", "you have", "there is", "only", "just", "there are only"); ok {
			k = q
		}
		for p.w(k) == "there" || p.w(k) == "are" || p.w(k) == "only" || p.w(k) == "just" || p.w(k) == "you" || p.w(k) == "have" || p.w(k) == "a" || p.w(k) == "total" || p.w(k) == "of" || p.w(k) == "all" || p.w(k) == "worked" {
			k++
		}
		if n, q, ok := p.num(k); ok && p.at(k).Frac == "" && (p.w(q) == "row" || p.w(q) == "rnd") && !isFor {
			return Until_{Rows: n}, p.skipWords(q+1, "in", "all", "have", "been", "worked", "total", "altogether", "are", "complete", "completed", "there"), true
		}
		if n, q, ok := p.num(k); ok && p.at(k).Frac == "" {
			group := hasWord(p, q, "gusset", "thumb") && p.w(q+1) == "st" // "until there are 12 gusset sts"
			if group {
				q++
			}
			if p.w(q) == "st" || p.w(q) == "rem" {
				r := p.skipWords(q, "st", "rem", "left", "on", "needle", "in", "work", "are", "total", "altogether", "you", "have", "been", "worked", "between", "m")
				for hasWord(p, r-1, "between", "the") {
					r--
				}
				if k, ok := p.words(q+1, "before m"); ok && group { // "until there are 13 gusset sts before the marker"
					return Until_{Sts: n, Between: true}, k, true
				}
				if p.w(q) == "st" && (p.w(q+1) == "before" || p.w(q+1) == "have") {
					return Until_{}, start, false
				}
				if k, ok := p.words(r, "unworked|wrapped? at|on each|both|either side|sides|end|ends"); ok {
					if q, ok := p.words(k, ",? and"); ok { // "… and 10 unwrapped sts remain in the centre": that tells more
						_, e, middle := p.find(q, p.sentenceEnd(q), "centre|middle|unwrapped")
						if _, _, ok := p.num(q); ok && middle {
							return Until_{Length: p.raw(j, e)}, p.skipWords(e, "st", "rem", "are", "left", "in", "centre", "middle"), true
						}
					}
					return Until_{Aside: n}, k, true
				}
				if k, ok := p.words(r, "unwrapped", "unworked", "middle|centre between? double? wraps|gaps|ds|st?", "without a? wrap|wraps|wrapping rem in centre|middle", "without a? wrap|wraps|wrapping", "in the? centre|middle", "at the? centre|middle", "between wraps|turns|gaps|ds|yo", "between double st", "unwrapped in the? centre|middle"); ok {
					return Until_{Length: p.raw(j, k)}, k, true // short rows: none is lost
				}
				_, _, between := p.find(q, r, "between m")
				between = between || group
				if k, ok := p.words(r, "between gusset|thumb m", "between each|every pair of m", "between each|every m", "between each 2 m", "in? between the? two|2 m", "in? between m", "in gusset|thumb", "in thumb gusset", "for thumb|gusset", "for thumb gusset"); ok {
					r, between = k, true
				}
				return Until_{Sts: n, Between: between}, r, true
			}
		}
	}
	// a length: words up to cm, in, inches
	end := p.sentenceEnd(j)
	for k := j; k < end && k < j+60; k++ {
		w := p.w(k)
		if w == ";" && p.at(k+1).Kind != Number || isFor && w == "row" {
			return Until_{}, start, false
		}
		if lengthUnit(w) && (w != "in" || p.at(k-1).Kind == Number || p.w(k-1) == ")") {
			q := k + 1
			for q < end {
				// / 15 in, (6 in), from cast-on edge
				if p.w(q) == "/" || nesting(p.w(q)) != 0 || p.at(q).Kind == Number || lengthUnit(p.w(q)) || p.w(q) == "or" {
					if openers[p.w(q)] != "" {
						if p.at(q+1).Kind != Number {
							break
						}
						if _, r, ok := p.num(q + 1); ok && p.w(r) == "st" {
							break // "until piece measures 2 cm (2 sts inc'd)"
						}
					}
					q++
					continue
				}
				break
			}
			q2 := p.skipWords(q, "from", "beg", "cast", "-", "on", "edge", "beginning", "bind", "off", "underarm", "start", "base", "of", "rib", "or", "desired", "length", "total", "ribbing", "co", "marker", "heel", "cuff", "shaping", "armhole", "hem", "to", "end", "required", "in", "all", "join", "picked", "up", "row", "slightly", "stretched", "brim", "less", "than", "long", "when")
			u := Until_{Length: p.bracketed(p.raw(j, q))}
			q2 = p.pastBeside(q2, end)
			if r, ok := p.words(q2, ",? ending|end|finishing with|after|on a|an?", ",? ending|end", ",? and ending|end with|after|on a|an?"); ok {
				if s, e, ok := p.lastSide(r); ok {
					u.Ends = s
					q2 = p.skipWords(e, "row")
				} else if p.w(r) == "row" || p.at(r).Kind == Ordinal {
					q2 = p.skipWords(r, "row", "of", "patt")
					if p.at(q2).Kind == Number || p.at(q2).Kind == Ordinal {
						if q2++; p.at(q2-1).Kind == Ordinal {
							q2 = p.skipWords(q2, "row", "rnd")
						}
					}
				}
			}
			return u, q2, true
		}
	}
	if !isFor {
		if k, ok := p.words(j, "piece is long enough", "piece is desired length", "desired length", "work measures", "it is long enough", "length desired", "piece measures", "long enough", "required length", "same length as"); ok {
			return Until_{Length: strings.TrimRight(p.raw(j, min(end, len(p.toks))), " .")}, max(k, end), true
		}
		if u, k, ok := p.untilLike(j, end); ok {
			return u, k, true
		}
	}
	return Until_{}, start, false
}

// pastBeside passes what is worked along the way and changes no count, in front of how a length ends: ", working 3 more
// buttonholes as row 3, evenly spaced, and ending with a RS row".
func (p *parser) pastBeside(i, end int) int {
	if p.w(i) != "," || !hasWord(p, i+1, "working", "making", "keeping", "spacing", "placing", "repeating", "crossing") {
		return i
	}
	for k := i + 1; k < end; k++ {
		switch p.w(k) {
		case "dec", "decs", "decreasing", "inc", "incs", "increasing", "bind", "cast", "bo", "binding", "casting", "shape", "shaping", "time", "until":
			return i
		case ",":
			if _, ok := p.words(k, ", and? ending|end|finishing with|after|on"); ok {
				return k
			}
		}
	}
	return i
}

// untilLike reads a length told by what the piece is held against: "until work matches the back to the
// armholes, ending with a p row", "until the mitten reaches the tip of the little finger".
func (p *parser) untilLike(i, end int) (Until_, int, bool) {
	likened := false
	stop := end
	for k := i; k < stop; k++ {
		switch w := p.w(k); {
		case hasWord(p, k, "matches", "match", "reaches", "reach", "fits", "fit", "covers", "cover", "corresponds", "equals", "goes", "touches", "meets") && k > i:
			likened = true
		case hasWord(p, k, "measures", "measure", "is") && p.w(p.skipWords(k+1, "the")) == "same" && k > i:
			likened = true
		case w == "," || w == ";" || openers[w] != "" || isDash(w) && !p.at(k).Glued:
			stop = k
		case w == "st" || w == "rem" || w == "m" || isMark(w) || p.at(k).Kind == Number && p.at(k).Frac == "":
			return Until_{}, i, false
		}
	}
	if !likened {
		return Until_{}, i, false
	}
	u := Until_{Length: p.raw(i, stop)}
	if r, ok := p.words(stop, ",? ending|end|finishing with|after|on a|an?", ",? and ending|end with|after|on a|an?"); ok {
		if s, e, ok := p.lastSide(r); ok {
			u.Ends, stop = s, p.skipWords(e, "row")
		} else if hasWord(p, r, "k", "p") && p.w(r+1) == "row" {
			stop = r + 2
		}
	}
	return u, stop, true
}

// asShaped reads "dec like this", "increase in this way" where a row that shapes has been
// given.
func (p *parser) asShaped(i int) (int, bool) {
	if !hasWord(p, i, "dec", "decrease", "decreasing", "inc", "increase", "increasing", "shape") {
		return i, false
	}
	k, ok := p.words(i+1, "like this|that", "in this|that|same way|manner", "this|that way", "thus", "so", "as described above?", "as above", "as on last row|rnd", "st in this|same way|manner", "st like this")
	if !ok {
		return i, false
	}
	return p.skipWords(k, ","), true
}
