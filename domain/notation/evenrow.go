package notation

// This file reads rows that keep their stitches, told by the fabric they go on in.

// evenWords are all the words of such a row.
var evenWords = map[string]bool{"work": true, "worked": true, "working": true, "continue": true, "continuing": true, "cont": true, "maintain": true, "maintaining": true, "keep": true, "keeping": true, "in": true, "even": true, "evenly": true, "straight": true, "st": true,
	"stockinette": true, "stocking": true, "garter": true, "patt": true, "as": true, "est": true, "established": true, "set": true, "with": true, "border": true, "borders": true, "edge": true, "edges": true, "edging": true, "the": true, "first": true, "last": true, "and": true, "all": true, "other": true, "others": true, "each": true,
	"at": true, "on": true, "both": true, "side": true, "sides": true, "end": true, "ends": true, "without": true, "shaping": true, "increasing": true, "decreasing": true, "increase": true, "decrease": true, "no": true, "or": true, "they": true, "appear": true, "present": true, "them": true, "rem": true, "rest": true, "of": true,
	"centre": true, "body": true, "only": true, "rib": true, "moss": true, "seed": true, "correct": true, "plain": true, "throughout": true, "before": true, "stst": true, "stitch": true, "rs": true, "ws": true, "row": true, "rnd": true, "knitting": true, "purling": true, "either": true, "every": true, "for": true, "selvedge": true, "intact": true}

// evenRow reads "Work even, keeping first and last 3 sts in garter st and all other sts in St st" at i: a whole
// row of which each stitch is worked as the fabric asks.
func (p *parser) evenRow(i int) (*bodyState, int, bool) {
	if !hasWord(p, i, "work", "continue", "cont", "maintain", "keep", "keeping", "as", "straight", "st", "stockinette", "no", "even", "garter", "without") {
		return nil, i, false
	}
	fabric, aside := false, false
	k := i
	for ; k < len(p.toks) && k < i+50; k++ {
		w := p.w(k)
		if w == "." {
			break
		}
		switch {
		case w == "even", w == "straight", w == "stockinette", w == "stocking", w == "garter", w == "est", w == "established", w == "set", w == "appear", w == "present", w == "stst", w == "before",
			w == "st" && p.w(k+1) == "st", w == "patt", w == "without":
			fabric = true
		}
		switch w {
		case "keeping", "maintain", "maintaining", "with", "border", "borders", "edge", "edges", "without", "no", "knitting", "purling", "straight", "as", "keep":
			aside = true
		}
		if p.at(k).Kind == Number && (p.w(k+1) == "st" || p.w(k+1) == "-" && p.at(k+1).Glued) || w == "," || w == ";" || w == "-" && p.at(k).Glued || evenWords[w] {
			continue
		}
		return nil, i, false
	}
	if !fabric || !aside || k-i > 1 && p.w(i) == "as" && !hasWord(p, i+1, "est", "established", "set", "before") {
		return nil, i, false
	}
	at := p.span(i, k)
	b := &bodyState{ops: []Op{&Until{Body: []Op{&Do{Key: "as-set", Times: N(1), Span: at}}, To: Target{Kind: ToEnd, Span: at}, Span: at}}}
	if st, q, ok := p.stated(k); ok {
		b.stated, k = st, q
	} else if p.w(k) == "." {
		k++
	}
	return b, k, true
}
