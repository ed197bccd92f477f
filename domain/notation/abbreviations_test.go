package notation

import (
	_ "embed"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// What printed abbreviation lists say each letter takes and makes, gathered from
// the lists named in the file's head (the project's reference table, without the
// words that stand for no stitch).
//
//go:embed testdata/abbreviations.tsv
var abbreviationsTSV string

// notStitches are abbreviations that the reader makes ops of, not stitches of the
// vocabulary; they are read as a row of their own below.
var notStitches = map[string]string{
	"BO": "BO 1, k1", "cast off": "cast off 1 st, k1", "CO": "k2, CO 1 st", "PU": "k2, pick up and k 1 st", "puk": "k2, puk 1 st",
	"pm": "k1, pm, k1", "sm": "k1, sm, k1", "sl m": "k1, sl m, k1", "slm": "k1, slm, k1", "rm": "k1, rm, k1",
	"w&t": "k1, w&t", "w+t": "k1, w+t", "turn": "k1, turn",
	"(k1, p1) twice, k1 in one": "k1, ([k1, p1] twice, k1) in next st", "sl1, k1, psso": "sl1, k1, psso", "sl1, k2tog, psso": "sl1, k2tog, psso",
	"yo twice": "k1, yo twice, k1", "m": "k to m", "bor": "k to bor", "eor": "k to eor", "eon": "k to eon",
	"- in a size list": "k1", "cn": "sl 1 st to cn, k1, k1 from cn", "k2tog, psso variants (sl2, k2tog, p2sso)": "sl2, k2tog, p2sso", "center dec": "sl 2, k1, p2sso",
}

func TestAbbreviations(t *testing.T) {
	tried := 0
	for _, line := range strings.Split(strings.TrimSpace(abbreviationsTSV), "\n") {
		f := strings.Split(line, "\t")
		if strings.HasPrefix(line, "#") || f[0] == "abbr" {
			continue
		}
		source := f[6]
		for _, abbr := range spellings(f[0]) {
			want, sign := [2]int{}, true
			for i := range 2 {
				n, err := strconv.Atoi(f[2+i])
				if err != nil {
					sign = false
				}
				want[i] = n
			}
			if body, ok := notStitches[abbr]; ok {
				tried++
				for _, it := range Read("CO 20 sts.\nRow 1: " + body + ".").Items {
					if r, ok := it.(*Row); ok {
						each(r.Body, func(o Op) {
							if u, ok := o.(*Unknown); ok {
								t.Errorf("%s (%s): %q is not understood in %q", abbr, source, u.Text, body)
							}
						})
					}
				}
				continue
			}
			if !sign {
				continue // a class of abbreviations, such as kN
			}
			toks := scanLine(abbr, 1)
			p := &parser{toks: toks, sizes: 1, vocab: Standard(), quiet: true, out: &Read("").Findings}
			d, end, ok := p.stitch(0)
			if !ok || end != len(toks) {
				t.Errorf("%s (%s): the vocabulary does not know it", abbr, source)
				continue
			}
			tried++
			s := Standard().Stitch(d.Key)
			in, out := s.Counts(d.Params)
			times := d.Times.For(0)
			if got := [2]int{in * times, out * times}; got != want && !(s.HasAlt && [2]int{s.AltIn, s.AltOut} == want) {
				t.Errorf("%s (%s): takes %d and makes %d, the lists say %d and %d", abbr, source, got[0], got[1], want[0], want[1])
			}
		}
	}
	if tried < 120 {
		t.Errorf("only %d abbreviations tried", tried)
	}
}

var variant = regexp.MustCompile(` \((?:a|b|other|brioche)\)|^older .*`)

// spellings parts "skp / skpo" and "C6B / C6F"; "2/1 RC, 2/1 LC" at the comma.
func spellings(abbr string) []string {
	abbr = variant.ReplaceAllString(abbr, "")
	if _, ok := notStitches[abbr]; ok {
		return []string{abbr}
	}
	sep := " / "
	if strings.Contains(abbr, "RC,") || strings.Contains(abbr, "RPC,") {
		sep = ", "
	}
	return strings.Split(abbr, sep)
}
