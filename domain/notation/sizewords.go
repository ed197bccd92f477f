package notation

import (
	"regexp"
	"slices"
	"strings"
)

// This file knows the words that name sizes, and those that stand around them.

// sizeLetters are the names that sizes of the trade go by.
var sizeLetters = map[string]bool{"xxs": true, "xs": true, "s": true, "m": true, "l": true, "xl": true, "xxl": true, "xxxl": true, "small": true, "medium": true, "large": true}

var country = map[string]bool{"uk": true, "us": true, "eu": true, "eur": true}

// fitWord begins what is said of sizes behind their names: "…, to fit 34 (38) inch bust".
func fitWord(w string) bool {
	switch w {
	case "for", "to", "foot", "chest", "bust", "head", "hand", "finished", "fits", "fitting", "approx", "actual", "circumference":
		return true
	}
	return false
}

// unitWords are what stands behind names of sizes that are measures.
var unitWords = map[string]bool{"inch": true, "inches": true, "in": true, "ins": true, "cm": true, "cms": true, "chest": true, "bust": true, "years": true, "year": true, "yrs": true, "yr": true, "months": true, "month": true, "mths": true, "mth": true, "mos": true, "old": true, "\"": true, "″": true, "head": true, "circumference": true, "foot": true, "hand": true, "size": true, "sizes": true, "hip": true, "hips": true, "waist": true}

// isUnits says that words are no name: "inch chest".
func isUnits(s string) bool {
	f := strings.Fields(strings.ToLower(s))
	return len(f) > 0 && !slices.ContainsFunc(f, func(w string) bool { return !unitWords[strings.Trim(w, ".,")] })
}

// reFitBefore are words before the first name that say whom it fits: "to fit chest 56".
var reFitBefore = regexp.MustCompile(`(?i)^(?:to )?fits?(?: an?)?(?: (?:chest|bust|age|ages|head|hand|foot|size|sizes|children|child))*:? +(\S.*)$`)

// plainNames leaves out what stands around names: "to fit 34", "shown in medium".
func plainNames(names []string) []string {
	var out []string
	for i, n := range names {
		if m := reFitBefore.FindStringSubmatch(n); m != nil && i == 0 {
			n = m[1]
		}
		if w, _, _ := strings.Cut(strings.ToLower(n), " "); len(out) > 1 && (w == "shown" || w == "pictured" || w == "sample" || w == "modelled" || w == "modeled" || w == "photographed") {
			continue
		}
		out = append(out, n)
	}
	return out
}

// whom are the words for those that sizes are made for, before "sizes": "Child sizes 4 (6, 8)".
var whom = map[string]bool{"child": true, "child's": true, "children": true, "children's": true, "childs": true, "baby": true, "baby's": true, "babies": true, "toddler": true, "adult": true, "adults": true, "women": true, "women's": true, "woman's": true, "womens": true, "ladies": true,
	"lady's": true, "men": true, "men's": true, "man's": true, "mens": true, "kids": true, "kid's": true, "doll": true, "sock": true, "hat": true, "sweater": true}

// forWhom is where "sizes" stands behind words for those that they are made for; 0 where a line does not begin so.
func forWhom(toks []Token) int {
	if len(toks) == 0 || !whom[toks[0].Text] {
		return 0
	}
	for k := 1; k < min(4, len(toks)-2); k++ {
		if hasWordIn(toks[k], "sizes", "size") {
			return k
		}
	}
	return 0
}
