package notation

// edgeBinds reads "bind off 3 sts at each neck edge once, then 2 sts once", "bind off from each shoulder edge
// 8 sts twice": stitches bound off at two edges by turns, each time in two rows. One item for each number.
func (p *parser) edgeBinds(i, end int) ([]*Shape, int, bool) {
	start := i
	i = p.edgeLabel(i)
	if k, ok := p.words(i, "from here|now on ,?", "from this point on? ,?"); ok {
		i = k
	}
	if k, ok := p.sidesAtOnce(i); ok {
		i = k
	}
	i = p.skipWords(i, "now", "next", "then", "and")
	edged := false
	edge := func(k int) (int, bool) {
		q, ok := p.words(k, "from|at|on each|both neck|shoulder|armhole|arm|side|inner|outer|front edge|edges", "from|at|on each|both edge|edges|side|sides|neck|shoulder|armhole", "from|at|on neck|shoulder|armhole edges")
		edged = edged || ok
		return q, ok
	}
	if k, ok := edge(i); ok {
		i = p.skipWords(k, ",")
	}
	verb := func(k int) (int, bool) { return p.words(k, "bo", "bind|cast|binding|casting off") }
	k, ok := verb(i)
	if !ok {
		return nil, start, false
	}
	i = k
	var out, decs []*Shape
	cuts := []int{start} // where the words of each item begin: no word stands in two of them, or the print says it twice
	for i < end {
		if k, ok := edge(i); ok {
			i = p.skipWords(k, ",", "then", "and")
		}
		if k, ok := verb(i); ok {
			i = k
		}
		n, j, ok := p.num(i)
		if !ok {
			break
		}
		if p.w(j) == "st" {
			j++
		} else if len(out) == 0 {
			return nil, start, false
		}
		j = p.skipWords(j, "more")
		if k, ok := edge(j); ok {
			j = k
		} else if k, ok := p.words(j, "at|from neck|shoulder|armhole|arm|side edge"); ok { // "at armhole edge 3 times each side"
			j = k
		}
		if k, ok := p.words(j, "every|each other|alt|2nd|second row|rnd", "every rs|ws row"); ok {
			j = k
		}
		often := N(1)
		if t, k, ok := p.times(j); ok && t.Kind != TimesMore {
			often, j = t.N, k
		}
		if k, ok := edge(j); ok {
			j = k
		} else if k, ok := p.words(j, "on? each|both side|sides|edge|edges", "at each|both side|sides"); ok {
			j, edged = k, true
		}
		if k, ok := p.words(j, "for shoulder|shoulders|armhole|armholes|neck", "every|each other|alt|2nd|second row|rnd"); ok {
			j = k
		}
		out = append(out, &Shape{Do: "bind", N: n, At: "both", Places: 2, When: When{Every: 2, Times: often}})
		i = j
		k := p.skipWords(i, ",", "and", "then")
		if k > i && hasWord(p, k, "dec", "decrease", "decreasing") { // ", then dec 1 st at each neck edge every RS row 4 times"
			if dec, j, ok := p.shape(k); ok {
				if dec.At != "both" && dec.At != "marker" {
					dec.At, dec.Places = "both", 2
				}
				cuts = append(cuts, p.skipWords(i, ","))
				decs = append(decs, dec)
				i = j
				break
			}
		}
		if _, _, more := p.num(k); more || k > i && p.isVerb(k) {
			cuts = append(cuts, p.skipWords(i, ","))
			i = k
			continue
		}
		break
	}
	if len(out) == 0 || !edged {
		return nil, start, false
	}
	if out = append(out, decs...); len(decs) == 0 {
		st, k, ok := p.statedToEnd(i, end)
		if !ok {
			return nil, start, false
		}
		out[len(out)-1].Stated, i = st, k
	}
	cuts = append(cuts[:len(out)], max(start+1, min(i, end)))
	for n, shape := range out {
		shape.Words, shape.Span = p.raw(cuts[n], cuts[n+1]), p.span(cuts[n], cuts[n+1])
	}
	return out, i, true
}

// edgeLabel passes a label before stitches that are bound off at edges: "Armholes: at each side, …".
func (p *parser) edgeLabel(i int) int {
	if k, ok := p.words(i, "shape|shaping? armhole|armholes|neck|shoulder|shoulders|neckline|cap|front|back shaping? :"); ok {
		return k
	}
	return i
}

// atOnceWords are the words in which a clause says that two sides are worked beside each other.
var atOnceWords = map[string]bool{"working": true, "work": true, "both": true, "each": true, "side": true, "sides": true, "shoulder": true, "shoulders": true, "at": true, "on": true, "the": true, "same": true, "time": true,
	"once": true, "simultaneously": true, "separately": true, "here": true, "there": true, "new": true, "second": true, "with": true, "using": true, "separate": true, "a": true, "two": true, "its": true, "own": true, "ball": true, "balls": true, "skein": true, "skeins": true,
	"of": true, "yarn": true, "wool": true, "for": true, "now": true, "and": true, "continue": true, "cont": true, "continuing": true, "half": true, "halves": true, "from": true, "different": true, "neck": true, "in": true, "patt": true, "st": true, "as": true, "established": true, "est": true, "set": true}

// sidesAtOnce passes a clause that says that two sides are worked beside each other: "Working both sides at the
// same time with separate balls, …".
func (p *parser) sidesAtOnce(i int) (int, bool) {
	if !hasWord(p, i, "working", "work", "continue", "cont", "continuing", "now", "with") {
		return i, false
	}
	sides, apart := false, false
	for k := i; k < i+22; k++ {
		switch w := p.w(k); {
		case w == "," || w == ":" || w == ";":
			if sides && hasWord(p, k+1, "each", "with", "using") && w == "," { // ", each with its own ball, …"
				continue
			}
			if sides && apart {
				return p.skipWords(k+1, "and", "now", "then"), true
			}
			return i, false
		case !atOnceWords[w] && !(p.at(k).Kind == Number && p.at(k).Val == 2):
			return i, false
		case hasWord(p, k, "side", "sides", "shoulder", "shoulders", "halves", "half"):
			sides = true
		case hasWord(p, k, "time", "once", "simultaneously", "separately", "separate", "ball", "balls", "skein", "skeins"):
			apart = true
		}
	}
	return i, false
}

// isVerb says that binding off is told at i.
func (p *parser) isVerb(i int) bool {
	_, ok := p.words(i, "bo", "bind|cast|binding|casting off", "at|from each|both")
	return ok
}
