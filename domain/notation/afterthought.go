package notation

// This file reads the row in which the place of a heel, or a thumb, is knitted with waste yarn and then knitted again:
// "K28 with waste yarn, slip these sts back to left needle, knit them again with working yarn". What counts is the
// first time; the rest is said of it.

// wasteWords name such a yarn.
var wasteWords = map[string]bool{"a": true, "piece": true, "length": true, "strand": true, "of": true, "the": true, "some": true, "contrasting": true, "contrast": true, "smooth": true, "cotton": true, "colour": true, "color": true, "coloured": true, "colored": true, "waste": true, "scrap": true, "spare": true, "yarn": true, "wool": true, "different": true}

// wasteYarn passes "with a piece of contrasting scrap yarn".
func (p *parser) wasteYarn(i int) (int, bool) {
	if !hasWord(p, i, "with", "using", "in") {
		return i, false
	}
	waste := false
	k := i + 1
	for ; k < len(p.toks) && wasteWords[p.w(k)]; k++ {
		waste = waste || hasWord(p, k, "waste", "scrap")
		if hasWord(p, k, "contrasting", "contrast", "different") && !waste { // to be taken out, where its stitches go back
			_, _, waste = p.find(k, len(p.toks), "back to|on|onto", "return these|those|the? st", "knit|k these|them|those again")
		}
	}
	return k, waste && hasWord(p, k-1, "yarn", "wool", "cotton")
}

// afterthought passes what is said of the waste yarn, and how its stitches are knitted again.
func (p *parser) afterthought(b *bodyState, i int) (int, bool) {
	if k, ok := p.wasteYarn(i); ok {
		return k, true
	}
	if k, ok := p.words(i, "drop|leave main|working|sock yarn|wool ,?", "drop|leave main|working|sock yarn|wool ;"); ok {
		return k, true
	}
	if len(b.ops) == 0 {
		return i, false
	}
	_, _, waste := p.find(0, i, "waste", "scrap")
	if k, ok := p.words(i, "pick up main|working|sock yarn|wool again? and? then?"); ok && waste && !hasWord(p, k, "k", "knit") {
		return k, true
	}
	if !hasWord(p, i, "slip", "sl", "return", "transfer", "slide", "place", "put", "move", "pass") {
		return i, false
	}
	k := p.skipWords(i+1, "these", "those", "same")
	if n, q, ok := p.num(k); ok && p.w(q) == "st" && n.Given() {
		return i, false // by their number: stitches that are returned
	}
	for k < i+14 && p.w(k) != "needle" && k < len(p.toks) { // "these 28 sts back onto left needle"
		if p.w(k) == "." || p.w(k) == ";" || hasWord(p, k, "holder") {
			return i, false
		}
		k++
	}
	if p.w(k) != "needle" || !hasWord(p, k-1, "left", "lh", "hand") {
		return i, false
	}
	k = p.skipWords(k+1, ",", ".", ";", "and", "then", "now")
	if q, ok := p.words(k, "pick up main|working|sock? yarn|wool and?", "with|using main|working|sock? yarn|wool ,?"); ok {
		k = p.skipWords(q, ",", "and")
	}
	if !hasWord(p, k, "k", "knit", "work") {
		return i, false
	}
	if _, _, ok := p.target(k + 1); ok && hasWord(p, k+1, "to", "until", "till") { // "…, slip these sts back to the left needle, knit to end of rnd"
		return k, true
	}
	again := false
	for k < len(p.toks) && !hasWord(p, k, ",", ".", ";") {
		again = again || hasWord(p, k, "again", "them", "these", "those") || waste
		k++
	}
	return k, again
}
