package review

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"golang.org/x/tools/txtar"
)

// rewrites say the same in other words, as another designer would have it. Each
// must leave what the corpus expects of every right manuscript as it is.
var rewrites = []struct {
	name     string
	from, to string // a regular expression and what stands for it
}{
	{"repeat in full", `(?i)\brep from \*`, `repeat from *`},
	{"comma before rep", `; ?rep(eat)? from \*`, `, rep from *`},
	{"point before rep", `; ?rep from \*`, `. Rep from *`},
	{"stitches in full", `\bsts\b([^.])`, `stitches$1`}, // "sts. at beg.": the point is the abbreviation's
	{"round in full", `\bRnd(s?) (\d)`, `Round$1 $2`},
	{"right side in full", `\(RS\)`, `(right side)`},
	{"square brackets for sides", `\((RS|WS)\)`, `[$1]`},
	{"a dash after the head", `(?m)^((?:Row|Rnd|Round) \d+(?: \((?:RS|WS)\))?):`, `$1 –`},
	{"bold heads", `(?m)^((?:Row|Rnd|Round) \d+(?: \((?:RS|WS)\))?:)`, `**$1**`},
	{"bullets", `(?m)^((?:Row|Rnd|Round) \d+(?: \((?:RS|WS)\))?:)`, `- $1`},
	{"bullet points", `(?m)^((?:Row|Rnd|Round) \d+(?: \((?:RS|WS)\))?:)`, `• $1`},
	{"k2tog in words", `(?i)\bk2tog\b`, `knit 2 together`},
	{"k2tog spaced", `(?i)\bk2tog\b`, `k2 tog`},
	{"ssk in capitals", `\bssk\b`, `SSK`},
	{"yo in words", `(?i)\byo\b`, `yarn over`},
	{"yo in capitals", `\byo\b`, `YO`},
	{"to the end", `\bto end\.`, `to the end.`},
	{"to end of row", `\bto end\.`, `to end of row.`},
	{"the last stitches", `\bto last (\d+) sts`, `to the last $1 sts`},
	{"remain", `\bto last (\d+) sts\b`, `until $1 sts remain`},
	{"non-breaking spaces", `(\d) (sts|cm|mm|rows|rnds)`, "$1\u00a0$2"},
	{"dos lines", `\n`, "\r\n"},
	{"two spaces", `, `, `,  `},
	{"no spaces", `, (k|p)(\d)`, `,$1$2`},
	{"curly asterisks", `\*`, `✻`},
	{"en dash in ranges", `\bRep Rows (\d+)-(\d+)`, `Rep Rows $1–$2`},
	{"to in ranges", `\bRep Rows (\d+)[-–](\d+)`, `Repeat Rows $1 to $2`},
	{"small rows", `\bRep (Rows|Rnds) `, `Rep rows `},
	{"counts behind a dash", `\((\d+) sts\)(?m)$`, `– $1 sts`},
	{"counts in square brackets", `\((\d+) sts\)(?m)$`, `[$1 sts]`},
	{"counts behind equals", `\((\d+) sts\)(?m)$`, `= $1 sts`},
	{"vectors with colons", `(\d+) \((\d+), (\d+)\)`, `$1 ($2: $3)`},
	{"vectors in square brackets", `(\d+) \((\d+), (\d+)\)`, `$1 [$2, $3]`},
	{"vectors without spaces", `(\d+) \((\d+), (\d+)\)`, `$1($2,$3)`},
	{"purlwise", `\bsl ?(\d+) (wyib|wyif)`, `slip $1 $2`},
	{"cast on in full", `\bCO (\d)`, `Cast on $1`},
	{"bind off in full", `\bBO `, `Bind off `},
	{"cast off", `\bBind off\b`, `Cast off`},
	{"knit in full", `(?i)([,*] ?)k(\d+)\b`, `${1}knit $2`},
	{"twice in figures", `\btwice\b`, `2 times`},
	{"once more in figures", `\bonce more\b`, `1 time more`},
	{"around", `\bto end of rnd\b`, `around`},
	{"multiples in short", `(?i)\bmultiple of (\d+) sts \+ (\d+)`, `Mult of $1 sts plus $2`},
	{"a plus b", `(?i)\bmultiple of (\d+) (?:sts )?\+ (\d+)(?: sts)?`, `Multiple of $1 plus $2`},
	{"end: with a full stop", `\bto end$`, `to end.`},
	{"British increases", `\bm1\b`, `M1`},
	{"markers in full", `\bsm\b`, `slip marker`},
	{"place marker", `\bpm\b`, `place marker`},
}

// notAlike are rewrites that do change what is said, or that we read otherwise:
// with the reason.
var notAlike = map[string]string{
	"point before rep/a26-double-star":         "the point ends what ** repeats",
	"point before rep/c92-parametric-names":    "the point ends the list that is repeated",
	"stitches in full/d09-wool-jumper-back":    "leaves the point of “sts.” within a sentence",
	"stitches in full/g15-big-moss":            "leaves the point of “sts.” within the multiple",
	"square brackets for sides/h40-market-bag": "the row goes by its words, bracket and all",
	"yo in words/a27-dagger":                   "“the double yarn over” is not read",
	"curly asterisks/h33-tide-cowl":            "changes the stars of a heading",
	"curly asterisks/zv18-linnet-lace-cowl":    "changes the stars of a heading",
	"yo in words/zt25-needle-pouch":            "“the double yarn over” is not read",
	"cast off/c59-buttonhole-bindoff":          "mixes the words of two countries, and we say so",
}

// TestRewrites says each right manuscript of the corpus in other words.
func TestRewrites(t *testing.T) {
	files, err := filepath.Glob("testdata/corpus/*.txtar")
	if err != nil || len(files) == 0 {
		t.Fatal("no corpus", err)
	}
	only := os.Getenv("ROWPROOF_REWRITE")
	tried := 0
	for _, rw := range rewrites {
		if only != "" && rw.name != only {
			continue
		}
		re := regexp.MustCompile(rw.from)
		var bad []string
		n := 0
		for _, file := range files {
			ar, err := txtar.ParseFile(file)
			if err != nil {
				t.Fatal(err)
			}
			var text string
			var expected []byte
			for _, x := range ar.Files {
				if x.Name == "expect.json" {
					expected = x.Data
				} else {
					text = string(x.Data)
				}
			}
			if !strings.Contains(string(expected), `"right": true`) && !strings.Contains(string(expected), `"right":true`) {
				continue
			}
			other := re.ReplaceAllString(text, rw.to)
			if other == text {
				continue
			}
			n++
			rep := Check(other).Report
			want, err := readExpect(expected, len(rep.Sizes))
			if err != nil {
				t.Fatal(err)
			}
			key := rw.name + "/" + strings.TrimSuffix(filepath.Base(file), ".txtar")
			if d := compare(want, rep); len(d) > 0 && notAlike[key] == "" {
				bad = append(bad, fmt.Sprintf("%s: %s", strings.TrimSuffix(filepath.Base(file), ".txtar"), d[0]))
			}
		}
		tried += n
		for _, b := range bad {
			t.Errorf("%s: %s", rw.name, b)
		}
	}
	t.Logf("%d manuscripts said otherwise", tried)
}
