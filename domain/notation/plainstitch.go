package notation

// This file is the short way through a row of nothing but stitches between commas, "k3, yo, ssk, rep from * to end":
// most of what is ever knitted. Such a stitch needs none of the questions that op asks of a word; the tree is the same.

// stitchListWords are the words and signs of rows that list stitches and say nothing else.
var stitchListWords = map[string]bool{
	"k": true, "p": true, "yo": true, "tog": true, "ssk": true, "ssp": true, "sssk": true, "skp": true,
	"kfb": true, "pfb": true, "sk": true, "s": true, "kp": true, "m": true, "l": true, "r": true,
	"rep": true, "from": true, "to": true, "last": true, "end": true, "st": true, "times": true, "twice": true,
	"around": true, "across": true, "row": true, "rnd": true,
	",": true, ";": true, ".": true, "*": true, "(": true, ")": true, "[": true, "]": true,
}

// maxPlainList bounds, in tokens, how long such a row may be.
const maxPlainList = 300

// listsStitches says that the sentence from i has only words of a list of stitches.
func (p *parser) listsStitches(i int) bool {
	for k := i; k < len(p.toks) && k < i+maxPlainList; k++ {
		t := &p.toks[k]
		switch {
		case t.Kind == Number && t.Frac == "":
		case !stitchListWords[t.fold]:
			return false
		case t.fold == "." && (k+1 >= len(p.toks) || beginsSentence(p.toks[k+1])):
			return true
		}
	}
	return len(p.toks) < i+maxPlainList
}

// listedStitch reads the stitch at i of such a list, where nothing behind it can belong to it.
func (p *parser) listedStitch(b *bodyState, i int) (int, bool) {
	if t := &p.toks[i]; t.Kind != Word || t.fold == "rep" {
		return i, false
	}
	d, j, ok := p.stitch(i)
	if !ok || !d.Times.Given() && bareAll[d.Key] || !p.stitchCloses(j) {
		return i, false
	}
	b.ops = append(b.ops, d)
	return j, true
}

// stitchCloses says that the sign at j closes a stitch of a list: a comma or semicolon with a stitch, an asterisk or
// a repeat behind it, the end of a bracket, the stop at the very end.
func (p *parser) stitchCloses(j int) bool {
	switch p.w(j) {
	case ",", ";":
		next := p.at(j + 1)
		return next.fold == "*" || next.Kind == Word && next.fold != "to" && next.fold != "twice" && next.fold != "last"
	case ")", "]":
		return true
	case ".":
		return j+1 >= len(p.toks)
	}
	return false
}
