package working

import (
	"strings"

	"rowproof/domain/document"
	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/review"
)

// layer lays out one plan.
type layer struct {
	res    *review.Result
	ms     *notation.Manuscript
	size   int
	plan   *Plan
	needle *needle.Result

	all     []notation.Instruction
	ordinal map[notation.Item]int
	at      map[[2]int]int
	words   *document.Wording
	told    map[notation.Item][]needle.Told // rows by the item of the text that has them worked
	end     map[notation.Item]needle.Told   // what is on the needle after an item
	part    map[notation.Item]int
	bad     map[int]bool // lines with an error

	rnd     string      // "Rnd" or "Round", as the text has it
	pieces  bool        // it has several, by name
	lines   map[any]int // Lines by what they are of
	stepped map[int]bool
	before  map[notation.Item]string // words that stand before an instruction
	closing map[notation.Item]string // words before a heading, behind the last instruction; nil for the text's end
	piece   string
	section string
	last    needle.Lin // on the needle, where known is set
	known   bool
	since   int // the first step of the part at hand
}

func newLayer(res *review.Result, size int) *layer {
	ms := res.Manuscript
	l := &layer{res: res, ms: ms, size: size, plan: &Plan{Size: size}, told: map[notation.Item][]needle.Told{}, end: map[notation.Item]needle.Told{},
		part: map[notation.Item]int{}, bad: map[int]bool{}, lines: map[any]int{}, stepped: map[int]bool{}}
	if len(ms.Sizes) > size {
		l.plan.Name = ms.Sizes[size]
	}
	l.ordinal, l.at, l.all = rowsIn(ms)
	l.words = document.WordsOfItems(document.Input{Manuscript: ms, Report: res.Report, Worked: res.Needle, Size: size})
	l.rnd = "Round"
	if strings.Contains(strings.ToLower(strings.Join(ms.Source, "\n")), "rnd") {
		l.rnd = "Rnd"
	}
	for _, p := range res.Needle.Parts {
		l.pieces = l.pieces || p.Name != "" && p.Name != res.Needle.Parts[0].Name
	}
	for _, f := range res.Findings {
		if f.Severity() == finding.Error {
			l.bad[f.Line] = true
		}
	}
	return l
}

// watch has the needle work the pattern once more and keeps what this size works.
func (l *layer) watch() error {
	n := 0
	l.needle = needle.Watch(l.ms, func(t needle.Told) {
		if t.Size >= 0 && t.Size != l.size {
			return
		}
		switch t.Kind {
		case needle.ToldItem:
			l.part[t.Item] = t.Part
		case needle.ToldEnd:
			l.end[t.Item] = t
		default:
			if rep, ok := t.Inner.(*notation.RepRows); ok && l.open(rep, t.Part) && passedOnce(l.told[t.Item], t) {
				return // a loop: one pass of it tells all
			}
			if n += max(1, t.Rows); n <= 2*Most {
				l.told[t.Item] = append(l.told[t.Item], t)
			}
		}
	})
	if n > 2*Most {
		return ErrTooLong
	}
	return nil
}

// passedOnce says that a row told begins another pass of what was told already.
func passedOnce(had []needle.Told, t needle.Told) bool {
	if len(had) == 0 || had[len(had)-1].Inner != t.Inner {
		return false
	}
	return t.Nth <= had[len(had)-1].Nth
}

// open says that rows repeated go on until the knitter says it is enough.
func (l *layer) open(it *notation.RepRows, part int) bool {
	switch {
	case part >= 0 && part < len(l.res.Needle.Parts) && l.res.Needle.Parts[part].CastOn == nil:
		return true // of a stitch pattern, where the needle works one pass
	case it.Times.N.Given(), it.When.Every > 0, it.Until.Sts.Given(), it.Until.AllWorked, it.Until.Rows.Given():
		return false
	case it.EndRow > 0 && it.Until.Length == "":
		return false
	}
	return true
}

// openShape says that nothing tells how often a sentence shapes.
func openShape(it *notation.Shape) bool {
	if it.Do == "towards" {
		return false
	}
	for _, s := range it.Stated {
		if s.Kind == notation.CountAll {
			return false
		}
	}
	for w := &it.When; w != nil; w = w.Then {
		if w.Every > 0 && !w.Times.Given() && !(it.Until.Given() && w.Then == nil) {
			return true
		}
	}
	return false
}

// nothing says that an instruction which worked no row has none to work in this size.
func (l *layer) nothing(it notation.Item) bool {
	none := func(n notation.Num) bool { return n.Given() && n.For(l.size) <= 0 }
	switch it := it.(type) {
	case *notation.Begin:
		return none(it.N)
	case *notation.RepRows:
		if none(it.Times.N) {
			return true
		}
		if l.bad[it.Line] {
			return false
		}
		for w := &it.When; w != nil && it.When.Every > 0; w = w.Then {
			if !none(w.Times) {
				return false
			}
		}
		return it.When.Every > 0 || it.Until.Sts.Given() || it.Until.AllWorked || it.Until.Rows.Given()
	case *notation.Straight:
		return none(it.Rows)
	case *notation.HoldAll:
		return none(it.N)
	case *notation.Shape:
		if it.N.Given() && it.N.For(l.size) == notation.Skip {
			return true
		}
		if it.When.Next > 0 || !it.When.Times.Given() {
			return false
		}
		for w := &it.When; w != nil; w = w.Then {
			if !none(w.Times) && w.EveryFor(l.size) != notation.Skip {
				return false
			}
		}
		return true
	}
	return false
}
