package notation

// This file reads stitches worked as they lie: "knit the knits and purl the purls", with or
// without the yarn overs.

// asTheyAre reads "knit the B sts and slip the A sts", "k all k sts and sl all sl
// sts wyif": each stitch as it shows itself.
func (p *parser) asTheyAre(i int) (int, bool) {
	if k, ok := p.sameAsBefore(i); ok {
		return k, true
	}
	verb := func(k int) bool { return hasWord(p, k, "k", "knit", "p", "purl", "sl", "slip", "work") }
	some := func(k int) (int, bool) { // the B sts, all sl sts, all slipped sts
		if !verb(k) {
			return k, false
		}
		k++
		art := false
		for p.w(k) == "the" || p.w(k) == "all" || p.w(k) == "each" || p.w(k) == "same" || p.w(k) == "every" {
			k, art = k+1, true
		}
		if q, ok := p.workedBefore(k); ok && art {
			return q, true
		}
		if _, q, ok := p.yarnName(k); ok {
			k = q
		} else if hasWord(p, k, "k", "knit", "knitted", "p", "purl", "purled", "sl", "slip", "slipped", "worked", "garter", "rem", "other", "dark", "light") && art {
			k++
		} else {
			return k, false
		}
		if p.w(k) != "st" {
			return k, false
		}
		return k + 1, true
	}
	j, ok := some(i)
	if !ok {
		return i, false
	}
	for p.w(j) == "and" || p.w(j) == "," || p.w(j) == "&" {
		j++
	}
	if j, ok = some(j); !ok {
		return i, false
	}
	for j < len(p.toks) {
		if k, ok := p.words(j, "pwise", "kwise", "wyif", "wyib", "with yarn in|at front|back", "on|in|of last|previous|prev|preceding row|rnd", "as they appear", "as they face you", "as they come", "of previous|prev row", "of row below", "with yarn to front|back"); ok {
			j = k
			continue
		}
		break
	}
	return j, true
}

// sameWords are the words in which a row says that every stitch is worked as it was the row before.
var sameWords = map[string]bool{"k": true, "knit": true, "knits": true, "knitting": true, "knitted": true, "p": true, "purl": true, "purls": true, "purling": true, "purled": true, "sl": true, "slip": true, "slips": true, "slipping": true, "slipped": true,
	"work": true, "worked": true, "working": true, "the": true, "all": true, "any": true, "same": true, "st": true, "that": true, "which": true, "were": true, "was": true, "are": true, "been": true, "you": true, "just": true, "on": true, "in": true, "of": true, "as": true, "for": true,
	"previous": true, "prev": true, "last": true, "preceding": true, "before": true, "below": true, "row": true, "rnd": true, "with": true, "yarn": true, "front": true, "back": true, "wyif": true, "wyib": true, "keeping": true, "at": true, "colour": true, "color": true, "using": true,
	"and": true, "&": true, ",": true, ";": true, "(": true, ")": true, "pwise": true, "held": true}

// sameAsBefore reads a whole row that knits and slips as the row before: "knit the same sts and slip the same sts
// as on Row 1, yarn in front", "knit all B sts; slip all A sts".
func (p *parser) sameAsBefore(i int) (int, bool) {
	if !hasWord(p, i, "k", "knit", "p", "purl", "sl", "slip", "work") {
		return i, false
	}
	knits, slips, same := false, false, false
	k := i
	for ; k < len(p.toks) && p.w(k) != "."; k++ {
		w := p.w(k)
		_, _, yarn := p.yarnName(k)
		switch {
		case (p.at(k).Kind == Number || p.at(k).Kind == Ordinal) && (p.w(k-1) == "row" || p.w(k+1) == "row"):
		case yarn && hasWord(p, k-1, "the", "all", "same") && p.w(k+1) == "st":
			same = true
		case !sameWords[w]:
			return i, false
		}
		knits = knits || hasWord(p, k, "knit", "k", "knits", "knitting", "purl", "p", "purls", "purling")
		slips = slips || hasWord(p, k, "sl", "slip", "slips", "slipping")
		same = same || hasWord(p, k, "same", "slips") || hasWord(p, k, "previous", "prev", "last", "preceding") && hasWord(p, k+1, "row", "rnd") || hasWord(p, k, "before", "below") && hasWord(p, k-1, "row", "rnd")
	}
	return k, knits && slips && same
}

// workedBefore passes "sts that were knit on the last row", "sts knitted in the row before", behind "knit the".
func (p *parser) workedBefore(i int) (int, bool) {
	if p.w(i) != "st" {
		return i, false
	}
	k := p.skipWords(i+1, "that", "which", "you", "were", "are", "have", "been", "just")
	if !hasWord(p, k, "k", "knit", "knitted", "p", "purl", "purled", "sl", "slip", "slipped", "worked", "you've") {
		return i, false
	}
	if p.w(k) == "you've" {
		k = p.skipWords(k, "you've", "just")
		if !hasWord(p, k, "knit", "knitted", "purled", "slipped", "worked") {
			return i, false
		}
	}
	k++
	if q, ok := p.words(k, "on|in|of last|previous|prev|preceding|first row|rnd", "on|in|of row|rnd before|below", "on|in row|rnd just? worked", "on|in rs|ws|right|front row", "before", "on|in row|rnd"); ok {
		k = q
		if p.w(k-1) == "row" && p.at(k).Kind == Number {
			k++
		}
	}
	return k, true
}

// withOvers reads what a row of stitches worked as they appear says of its yarn
// overs, which are among them: ", purling all yarn overs", "and the yos".
func (p *parser) withOvers(b *bodyState, i int) (int, bool) {
	n := len(b.ops)
	if n == 0 {
		return i, false
	}
	last := b.ops[n-1]
	if u, ok := last.(*Until); ok && len(u.Body) == 1 && u.To.Kind == ToEnd {
		last = u.Body[0]
	}
	if d, ok := last.(*Do); !ok || d.Key != "as-set" {
		return i, false
	}
	j := p.skipWords(i, "and", "with", "purl", "purling", "p", "knit", "knitting", "k", "work", "working", "all", "any", "every", "each", "of", "the", "new")
	k, ok := p.words(j, "yo", "yo", "yarn over", "yarn over", "yo ' s", "yo", "yo")
	if !ok {
		return i, false
	}
	k = p.skipWords(k, "as", "st", "tbl", "through", "back", "loop", "too", "of", "row", "below", "previous", "in")
	return k, k == len(p.toks) || p.w(k) == "." || p.w(k) == "," || p.w(k) == ";" || p.w(k) == "("
}

// saidAgain reads a bracket that tells once more how stitches lie: "work sts as they present themselves
// (k the knits and p the purls)".
func (p *parser) saidAgain(b *bodyState, i int) (int, bool) {
	closer := openers[p.w(i)]
	if closer == "" || len(b.ops) == 0 || !isAsSet(b.ops[len(b.ops)-1]) {
		return i, false
	}
	q := *p
	q.quiet = true
	inner, k := q.body(i+1, closer)
	if len(inner.ops) != 1 || !isAsSet(inner.ops[0]) || p.w(k) != closer {
		return i, false
	}
	return k + 1, true
}

// isAsSet says that an op works stitches as they lie.
func isAsSet(op Op) bool {
	if u, ok := op.(*Until); ok && len(u.Body) == 1 {
		op = u.Body[0]
	}
	d, ok := op.(*Do)
	return ok && d.Key == "as-set"
}
