package notation

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

//go:embed vocabulary.tsv
var vocabularyTSV string

// Class says what a stitch does to the fabric.
type Class string

const (
	Knit  Class = "knit"
	Purl  Class = "purl"
	Slip  Class = "slip"
	YO    Class = "yo"
	Inc   Class = "inc"
	Dec   Class = "dec"
	Below Class = "below"
	Cable Class = "cable"
	Twist Class = "twist"
	Drop  Class = "drop"
	Over  Class = "over"
	None  Class = "none"
	Patt  Class = "patt"
	Own   Class = "own" // the designer's, worked from its Body
)

// Stitch is one entry of the vocabulary. In and Out are counts for one working,
// with @, @2, @3 for the numbers in its name.
type Stitch struct {
	Key     string
	In, Out string
	Class   Class
	Lean    string // l, r, c or ""
	Usage   string // us, uk or ""
	AltIn   int    // another reading some lists give, see HasAlt
	AltOut  int
	HasAlt  bool
	Forms   []string
	Help    string
	// Of a designer's own stitch: its body in ops, the words, and the name as written.
	Body   []Op
	Words  string
	Name   string
	Place  bool // the body is worked into one place of In stitches
	NoBody bool // defined, but by nothing the reader can work
	Over   int  // stitches it is worked over by the designer's word, "(3 sts)"; 0 where she gives none
}

// Counts returns stitches consumed and produced by one working with the given
// name parameters.
func (s *Stitch) Counts(params []int) (in, out int) {
	return countExpr(s.In, params), countExpr(s.Out, params)
}

func countExpr(e string, params []int) int {
	if len(e) == 1 && e[0] >= '0' && e[0] <= '9' {
		return int(e[0] - '0')
	}
	if e == "" { // the designer's own, counted by its body
		return 1
	}
	sum := 0
	for _, t := range strings.Split(e, "+") {
		if strings.HasPrefix(t, "@") {
			i := 0
			if len(t) > 1 {
				i = int(t[1]-'0') - 1
			}
			if i < len(params) {
				sum += params[i]
			} else {
				sum++
			}
			continue
		}
		v, err := strconv.Atoi(t)
		if err != nil {
			panic("notation: vocabulary count " + e)
		}
		sum += v
	}
	return sum
}

// fold brings the spellings of one word together, on both sides of a match.
var fold = map[string]string{
	"stitch": "st", "stitches": "st", "sts": "st", "together": "tog", "loops": "loop", "lp": "loop", "lps": "loop",
	"knitwise": "kwise", "purlwise": "pwise", "kw": "kwise", "pw": "pwise", "knitways": "kwise", "purlways": "pwise", "knitway": "kwise", "purlway": "pwise", "center": "centre", "yos": "yo", "rows": "row", "rounds": "rnd",
	"round": "rnd", "rnds": "rnd", "markers": "m", "marker": "m", "mrkr": "m", "mkr": "m", "centred": "centre", "centered": "centre",
	"pattern": "patt", "pat": "patt", "slipped": "slipped", "yarnovers": "yo", "yarnover": "yo", "stst": "st st",
	"overs": "over", "needles": "needle", "ndl": "needle",
	"remaining": "rem", "remain": "rem", "remains": "rem", "foll": "following", "alternate": "alt", "beginning": "beg", "commencement": "beg", "commencing": "beg", "commence": "beg",
	"knits": "knit", "repeat": "rep", "repeats": "rep", "repeating": "rep", "rpt": "rep", "reps": "rep", "increases": "increase", "decreases": "decrease", "cms": "cm", "purls": "purl", "pearls": "purl", "slips": "slip", "seams": "seam", "inc'd": "inc'd", "diminish": "decrease", "diminishing": "decreasing",
	"reduce": "decrease", "reducing": "decreasing", "losing": "decreasing", "eliminating": "decreasing", "dec'ing": "decreasing", "inc'ing": "increasing", "decing": "decreasing", "incing": "increasing",
}

func folded(s string) string {
	if f, ok := fold[s]; ok {
		return f
	}
	return s
}

// trie finds the longest vocabulary form at a place. Edges are folded words,
// "#" for how many, "@" for a number in the name; a leading "~" wants the word
// glued to the one before.
type trie struct {
	next map[string]*trie
	key  *Stitch
	form string
}

func (t *trie) add(s *Stitch, form string) {
	at := t
	for _, w := range formTokens(form) {
		if at.next == nil {
			at.next = map[string]*trie{}
		}
		if at.next[w] == nil {
			at.next[w] = &trie{}
		}
		at = at.next[w]
	}
	if at.key == nil || at.key == s {
		at.key, at.form = s, form
	}
}

// formTokens cuts a form of the vocabulary the way the scanner cuts text.
func formTokens(form string) []string {
	var out []string
	for _, w := range strings.Fields(form) {
		glue := strings.HasPrefix(w, "~")
		w = strings.TrimPrefix(w, "~")
		for i := 0; i < len(w); {
			if w[i] == '#' || w[i] == '@' {
				tok := string(w[i])
				i++
				if tok == "@" && i < len(w) && w[i] >= '2' && w[i] <= '3' && (i+1 == len(w) || w[i+1] == '/') {
					i++
				}
				out = append(out, glued(tok, &glue))
				continue
			}
			if w[i] == '~' {
				glue = true
				i++
				continue
			}
			j := i
			switch {
			case isLetterByte(w[i]):
				for j < len(w) && (isLetterByte(w[j]) || w[j] == '\'') {
					j++
				}
			case w[i] >= '0' && w[i] <= '9':
				for j < len(w) && w[j] >= '0' && w[j] <= '9' {
					j++
				}
			default:
				j++
			}
			tok := strings.ToLower(w[i:j])
			if v, ok := numberWords[tok]; ok {
				tok = strconv.Itoa(v)
			}
			if tok == "first" {
				tok = "1st"
			}
			if tok == "second" {
				tok = "2nd"
			}
			if i > 0 && j == len(w) && w[i] >= '0' && w[i] <= '9' && isLetterByte(w[i-1]) {
				glue = true // the 2 of s2kp2 belongs to the name
			}
			if tok != "the" {
				out = append(out, glued(folded(tok), &glue))
			}
			i = j
		}
	}
	return out
}

func glued(tok string, glue *bool) string {
	if *glue {
		*glue = false
		return "~" + tok
	}
	return tok
}

func isLetterByte(b byte) bool { return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' }

// Vocabulary is the set of stitches one manuscript may use: the trade's and the
// designer's own.
type Vocabulary struct {
	root trie
	byK  map[string]*Stitch
	base *Vocabulary
}

var standard = sync.OnceValue(func() *Vocabulary {
	v := &Vocabulary{byK: map[string]*Stitch{}}
	for i, line := range strings.Split(strings.TrimSpace(vocabularyTSV), "\n") {
		if strings.HasPrefix(line, "#") || strings.HasPrefix(line, "key\t") {
			continue
		}
		f := strings.Split(line, "\t")
		if len(f) != 9 {
			panic(fmt.Sprintf("notation: vocabulary line %d has %d fields", i+1, len(f)))
		}
		s := &Stitch{Key: f[0], In: f[1], Out: f[2], Class: Class(f[3]), Lean: f[4], Usage: f[5], Forms: strings.Split(f[7], "|"), Help: f[8]}
		if a, b, ok := strings.Cut(f[6], "/"); ok {
			s.HasAlt = true
			s.AltIn, _ = strconv.Atoi(a)
			s.AltOut, _ = strconv.Atoi(b)
		}
		v.byK[s.Key] = s
		for _, form := range s.Forms {
			v.root.add(s, form)
		}
	}
	return v
})

// Standard is the trade's vocabulary.
func Standard() *Vocabulary { return standard() }

// extend returns a vocabulary that knows own stitches before the trade's.
func (v *Vocabulary) extend() *Vocabulary {
	return &Vocabulary{byK: map[string]*Stitch{}, base: v}
}

func (v *Vocabulary) addOwn(s *Stitch, name string) {
	v.byK[s.Key] = s
	v.root.add(s, name)
}

// Stitch returns the entry with that key, or nil.
func (v *Vocabulary) Stitch(key string) *Stitch {
	if s := v.byK[key]; s != nil {
		return s
	}
	if v.base != nil {
		return v.base.Stitch(key)
	}
	return nil
}
