package notation

import (
	"fmt"
	"reflect"
	"regexp"
	"slices"
	"strings"

	"rowproof/domain/finding"
)

// MaxResized is how many sizes Resize makes at the most.
const MaxResized = 20

// NewSize is one of the sizes that a manuscript is to have.
type NewSize struct {
	From int    // the size, from 0, whose numbers it takes
	Name string // "" keeps the name of that size
}

// Resize gives text with other sizes: plan lists them, smallest first, each with the
// present size whose numbers it takes, so that sizes may be dropped, reordered and
// added (a new one takes those of a neighbour). Every list of one number per size is
// written anew as it was written, and so are the line that names the sizes and the lists
// behind "Sizes 2 and 3 only"; what no size of the plan works is taken out. Single
// numbers, and all else, stay as they are, character by character. ms is text as Read
// gives it. It errs where the plan is empty, too long, names a size twice or one that is
// not there, and where the names of the sizes are not found in the text.
func Resize(ms *Manuscript, text string, plan []NewSize) (string, error) {
	rz, err := newResizer(ms, text, plan)
	if err != nil {
		return "", err
	}
	if !rz.same() {
		if err := rz.refuses(); err != nil {
			return "", err
		}
	}
	if rz.same() {
		return text, nil
	}
	if rz.n == 1 {
		rz.nameSizes()
		return rz.apply(), nil
	}
	if err := rz.names(); err != nil {
		return "", err
	}
	rz.only()
	rz.lists()
	out := rz.apply()
	if (rz.bare || ms.Fit) && len(plan) == 1 && len(Read(out).Sizes) > 1 {
		rz.insertSizes("One size (" + rz.named[0] + ")") // what is left looks like lists still
		out = rz.apply()
	}
	return out, nil
}

// resizer holds one text while its sizes change. Places are counted in characters from
// the start of the text.
type resizer struct {
	ms    *Manuscript
	text  []rune
	lines []int // where each line starts
	toks  []Token
	n     int // sizes now
	plan  []NewSize
	named []string // names of the new sizes
	bare  bool     // sizes have numbers only, no line names them
	nums  []place  // the lists that the tree carries
	where []Item   // what each line belongs to; nil where to nothing
	edits []change
	done  map[int]bool // tokens of the line that names the sizes
}

type change struct {
	from, to int
	text     string
}

// place is a list of numbers that the tree carries.
type place struct {
	from, to int
	stated   bool
	item     Item
	repeat   bool // says how often, in a sentence
}

func newResizer(ms *Manuscript, text string, plan []NewSize) (*resizer, error) {
	rz := &resizer{ms: ms, text: []rune(text), n: max(1, len(ms.Sizes)), plan: plan, done: map[int]bool{}}
	if len(plan) == 0 {
		return nil, fmt.Errorf("no size is left; a pattern has one at least")
	}
	if len(plan) > MaxResized {
		return nil, fmt.Errorf("%d sizes; at most %d are made", len(plan), MaxResized)
	}
	seen := map[string]bool{}
	for _, s := range plan {
		if s.From < 0 || s.From >= rz.n {
			return nil, fmt.Errorf("there is no size %d", s.From+1)
		}
		name := strings.Join(strings.Fields(s.Name), " ")
		if name == "" && len(ms.Sizes) > 0 {
			name = ms.Sizes[s.From]
		}
		if strings.ContainsAny(name, "()[]{},;:|") || len([]rune(name)) > 40 {
			return nil, fmt.Errorf("the name of a size holds no brackets and no commas, and 40 characters at most: %q", name)
		}
		rz.named = append(rz.named, name)
	}
	rz.findLines()
	rz.bare = rz.n > 1 && !rz.sizesLine()
	for k, name := range rz.named {
		if rz.bare && plan[k].Name == "" {
			rz.named[k] = itoa(k + 1)
			continue
		}
		if low := strings.ToLower(name); seen[low] && len(plan) > 1 {
			return nil, fmt.Errorf("two sizes are called %q; give each a name of its own", name)
		}
		seen[strings.ToLower(name)] = true
	}
	rz.findNums()
	return rz, nil
}

// same says that the plan changes nothing.
func (rz *resizer) same() bool {
	if len(rz.plan) != rz.n {
		return false
	}
	for k, s := range rz.plan {
		if s.From != k || !rz.bare && len(rz.ms.Sizes) > k && rz.named[k] != rz.ms.Sizes[k] {
			return false
		}
	}
	return true
}

// findLines finds the starts of the lines as Lines cuts them, and scans them.
func (rz *resizer) findLines() {
	i := 0
	if len(rz.text) > 0 && rz.text[0] == '\ufeff' {
		i = 1
	}
	rz.lines = append(rz.lines, i)
	for ; i < len(rz.text); i++ {
		switch rz.text[i] {
		case '\r':
			if i+1 < len(rz.text) && rz.text[i+1] == '\n' {
				i++
			}
			rz.lines = append(rz.lines, i+1)
		case '\n', '\u2028', '\u2029':
			rz.lines = append(rz.lines, i+1)
		}
	}
	rz.where = make([]Item, len(rz.ms.Source)+1)
	for l, s := range rz.ms.Source {
		if l < len(rz.lines) {
			rz.toks = append(rz.toks, scanLine(s, l+1)...)
		}
	}
	for _, it := range rz.ms.Items {
		s := it.Place()
		for l := s.Line; l <= s.EndLine && l > 0 && l < len(rz.where); l++ {
			if rz.where[l] == nil || !instruction(rz.where[l]) {
				rz.where[l] = it
			}
		}
	}
}

// instruction says that an item asks for work.
func instruction(it Item) bool {
	switch it.(type) {
	case nil, *Title, *Heading, *Field, *Sizes, *Multiple, *Define, *Prose, *Blank:
		return false
	}
	return true
}

// at gives the place of a line and column in the text.
func (rz *resizer) at(line, col int) int {
	return min(rz.lines[min(line, len(rz.lines))-1]+col-1, len(rz.text))
}

func (rz *resizer) start(k int) int { return rz.at(rz.toks[k].Line, rz.toks[k].Col) }
func (rz *resizer) end(k int) int   { return rz.at(rz.toks[k].EndLine, rz.toks[k].EndCol) }
func (rz *resizer) cut(from, to int) string {
	return string(rz.text[from:max(from, to)])
}

// findNums collects the lists of one number per size that the tree carries.
func (rz *resizer) findNums() {
	for _, it := range rz.ms.Items {
		rz.numsIn(reflect.ValueOf(it), place{item: it})
	}
}

var numType, statedType, whenType = reflect.TypeFor[Num](), reflect.TypeFor[Stated](), reflect.TypeFor[When]()

func (rz *resizer) numsIn(v reflect.Value, in place) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if !v.IsNil() {
			rz.numsIn(v.Elem(), in)
		}
	case reflect.Slice:
		if k := v.Type().Elem().Kind(); k == reflect.Struct || k == reflect.Interface || k == reflect.Pointer {
			for i := range v.Len() {
				rz.numsIn(v.Index(i), in)
			}
		}
	case reflect.Struct:
		switch v.Type() {
		case numType:
			n := v.Interface().(Num)
			if len(n.Vals) == rz.n && n.Line > 0 {
				in.from, in.to = rz.at(n.Line, n.Col), rz.at(n.EndLine, n.EndCol)
				rz.nums = append(rz.nums, in)
			}
			return
		case statedType:
			in.stated = true
		case whenType:
			in.repeat = true
		}
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() {
				sub := in
				sub.repeat = sub.repeat || v.Type() == reflect.TypeFor[RepRows]() && v.Type().Field(i).Name == "Times"
				rz.numsIn(v.Field(i), sub)
			}
		}
	}
}

// number finds the list of the tree that holds a place.
func (rz *resizer) number(from, to int) (place, bool) {
	for _, p := range rz.nums {
		if p.from <= from && to <= p.to {
			return p, true
		}
	}
	return place{}, false
}

// edit notes a change, unless one is there already.
func (rz *resizer) edit(from, to int, text string) {
	if rz.cut(from, to) == text {
		return
	}
	rz.edits = append(rz.edits, change{from, to, text})
}

// remove takes a place out, with its line where nothing else stands there.
func (rz *resizer) remove(from, to int) {
	line := from
	for line > 0 && !isLineEnd(rz.text[line-1]) && rz.text[line-1] != '\ufeff' {
		line--
	}
	end := to
	for end < len(rz.text) && (rz.text[end] == ' ' || rz.text[end] == '\t') {
		end++
	}
	if strings.Trim(rz.cut(line, from), " \t-•*|") == "" && (end == len(rz.text) || isLineEnd(rz.text[end])) {
		from, to = line, end
		switch {
		case to+1 < len(rz.text) && rz.text[to] == '\r' && rz.text[to+1] == '\n':
			to += 2
		case to < len(rz.text):
			to++
		}
		rz.edits = append(rz.edits, change{from, to, ""})
		return
	}
	rz.edits = append(rz.edits, change{from, end, ""})
}

func isLineEnd(r rune) bool { return r == '\n' || r == '\r' || r == '\u2028' || r == '\u2029' }

// apply makes the changes. Where one lies in another, the outer one is made.
func (rz *resizer) apply() string {
	slices.SortStableFunc(rz.edits, func(a, b change) int {
		if a.from != b.from {
			return a.from - b.from
		}
		return b.to - a.to
	})
	var b strings.Builder
	at := 0
	for _, e := range rz.edits {
		if e.from < at {
			if e.text == "" && e.to > at {
				at = e.to // two that are taken out overlap
			}
			continue
		}
		b.WriteString(string(rz.text[at:e.from]) + e.text)
		at = e.to
	}
	b.WriteString(string(rz.text[at:]))
	return b.String()
}

// nameSizes names the sizes of a manuscript that had one.
func (rz *resizer) nameSizes() {
	list := sizeList(rz.named)
	if len(rz.plan) == 1 {
		return
	}
	for l, s := range rz.ms.Source {
		label, value, ok := strings.Cut(s, ":")
		if low := strings.ToLower(strings.TrimSpace(label)); !ok || low != "sizes" && low != "size" {
			continue
		}
		low := strings.ToLower(strings.TrimSpace(value))
		if rest, ok := strings.CutPrefix(low, "one size"); ok && (strings.Trim(rest, " .") == "" || strings.HasPrefix(rest, " (") && strings.HasSuffix(rest, ")")) || low == "" {
			from := rz.at(l+1, len([]rune(label))+2)
			rz.edit(from, rz.at(l+1, len([]rune(s))+1), " "+list)
			return
		}
		rz.edit(rz.at(l+1, 1), rz.at(l+1, 1), "Sizes: "+list+"\n")
		return
	}
	rz.insertSizes(list)
}

// insertSizes puts a line that names the sizes below the title.
func (rz *resizer) insertSizes(list string) {
	line := 1
	for _, it := range rz.ms.Items {
		if t, ok := it.(*Title); ok {
			line = t.EndLine + 1
		}
	}
	if line > len(rz.lines) {
		rz.edit(len(rz.text), len(rz.text), "\nSizes: "+list)
		return
	}
	rz.edit(rz.at(line, 1), rz.at(line, 1), "Sizes: "+list+"\n")
}

// tokenLine gives the tokens of a line, as the index of the first and behind the last.
func (rz *resizer) tokenLine(line int) (int, int) {
	i, _ := slices.BinarySearchFunc(rz.toks, line, func(t Token, l int) int { return t.Line - l })
	j := i
	for j < len(rz.toks) && rz.toks[j].Line == line {
		j++
	}
	return i, j
}

func (rz *resizer) itemPlace(it Item) (int, int) {
	s := it.Place()
	if s == (finding.Span{}) {
		return 0, 0
	}
	return rz.at(s.Line, s.Col), rz.at(s.EndLine, s.EndCol)
}

// reHyphened is a list of sizes parted by hyphens within its bracket: "4 (6-8-10)".
var reHyphened = regexp.MustCompile(`\d \(\d+-\d+-`)

// reSpelledList is a list of sizes whose numbers are spelled out in several words: "ninety-six (one hundred and twelve)".
var reSpelledList = regexp.MustCompile(`(?i)\bhundred(?: and [\w-]+)? [(\[]|[(\[]\w+ hundred\b`)

// refuses says why these sizes cannot be written anew with nothing lost.
func (rz *resizer) refuses() error {
	if rz.ms.Some > 0 {
		return fmt.Errorf("line %d has numbers for some sizes only; write one for every size first, a dash for those that skip it", rz.ms.Some)
	}
	for n, l := range rz.ms.Source {
		if reSpelledList.MatchString(l) {
			return fmt.Errorf("line %d spells the numbers of its sizes out; write figures first, 96 (112)", n+1)
		}
		if len(rz.ms.Sizes) > 2 && reHyphened.MatchString(l) && rz.ms.Fit || strings.HasPrefix(strings.ToLower(strings.TrimSpace(l)), "size") && reHyphened.MatchString(l) {
			return fmt.Errorf("line %d parts the sizes by hyphens within a bracket; write commas first, 4 (6, 8, 10)", n+1)
		}
	}
	return nil
}
