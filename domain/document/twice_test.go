package document

import (
	"maps"
	"strings"
	"testing"
	"unicode"

	"rowproof/domain/notation"
	"rowproof/domain/review"
)

// No words of a manuscript stand twice in its print: "then 7 sts once" printed behind its sentence and once
// more as a row of its own would be bound off twice.
func TestNothingTwice(t *testing.T) {
	texts := corpus(t)
	maps.Copy(texts, severalItems)
	for name, text := range texts {
		ms := notation.Read(text)
		written := runsOf(strings.Join(ms.Source, "\n"))
		printed := map[string]int{}
		for _, b := range Build(Input{Manuscript: ms, Size: -1}).Blocks {
			if in, ok := b.(*Instruction); ok {
				for run, n := range runsOf(in.Text.String()) {
					printed[run] += n
				}
			}
		}
		for run, n := range printed {
			if n > written[run] && written[run] > 0 {
				t.Errorf("%s: %q is printed %d times and written %d", name, run, n, written[run])
			}
		}
	}
}

// runsOf counts the runs of three words in s.
func runsOf(s string) map[string]int {
	out := map[string]int{}
	w := wordsOf(strings.ToLower(s))
	for i := 0; i+3 <= len(w); i++ {
		if strings.ContainsFunc(w[i+1], unicode.IsDigit) { // vectors are told in one way and written in many
			continue
		}
		out[strings.Join(w[i:i+3], " ")]++
	}
	return out
}

// severalItems are manuscripts in which one sentence is several items.
var severalItems = map[string]string{
	"edges": "Cast on 50 sts.\nRow 1: K25, join a second ball of yarn, knit to end.\nAt each armhole edge, bind off 6 sts twice, then 7 sts once.\n",
	"necks": "Cast on 50 sts.\nRow 1: K25, join a second ball of yarn, knit to end.\nWorking both sides at once, bind off from each neck edge 5 sts once, 3 sts once and 2 sts once—15 sts each side.\n",
	"joins": "CO 40 sts. Join in the round.\nRnd 1: K20, place remaining 20 sts on scrap yarn, CO 4 sts. Join in the round. - 24 sts\nKnit 2 rnds.\n",
}

// A colon behind a count of all is not left standing behind the stop before it.
func TestColonBehindACount(t *testing.T) {
	const text = "YOKE\n\nCast on 40 sts.\nRow 1: Knit.\nRow 2: K1, m1, k to last st, m1, k1.\nRep Row 2 3 more times. 48 sts: 12 sts each for fronts and 24 for back.\n"
	rep := review.Check(text)
	said := false
	for _, b := range Build(Input{Manuscript: rep.Manuscript, Report: rep.Report, Size: -1}).Blocks {
		if in, ok := b.(*Instruction); ok {
			said = said || strings.Contains(in.Text.String(), "more times. 12 sts each")
			if strings.Contains(in.Text.String(), ".:") {
				t.Errorf("a colon stands alone: %s", in.Text.String())
			}
		}
	}
	if !said {
		t.Error("the parts of the count are not printed")
	}
}
