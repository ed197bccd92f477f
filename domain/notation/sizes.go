package notation

import (
	"slices"
	"strings"
)

// findSizes learns the sizes from the Sizes line, else from the longest-lived
// length of the vectors.
func (r *reader) findSizes() {
	ms := r.ms
	named, loose := false, false // loose: "Size: …" without brackets, perhaps no list at all
	for i := range r.lines {
		toks := r.lines[i]
		if len(toks) == 0 {
			continue
		}
		j := 0
		w := toks[0].Text
		if ms.Sizes == nil && i < 12 && peopleOnly(toks) { // "Child / Adult S / Adult M"
			if names, ok := r.sizeNames(i, 0); ok && len(names) > 1 && len(names) <= MaxSizes {
				ms.Sizes, named = names, true
				continue
			}
		}
		if ms.Sizes == nil && lettersOnly(toks) { // "S/M/L", and no more
			if names, ok := r.sizeNames(i, 0); ok && len(names) > 1 {
				ms.Sizes, named = names, true
				continue
			}
		}
		if w == "to" && len(toks) > 3 && toks[1].Text == "fit" && toks[2].Text == ":" && toks[3].Kind == Word && strings.ContainsAny(ms.Source[i], "([/") {
			if names, ok := r.sizeNames(i, 3); ok && len(names) > 1 && ms.Sizes == nil {
				ms.Sizes, named = names, true
			}
			continue
		}
		if k := forWhom(toks); k > 0 { // "Child sizes 4 (6, 8)", "Women's sizes: S (M, L)"
			j = k
		}
		if w == "finished" && len(toks) == 2 { // "FINISHED SIZE", the names below it
			toks, w = toks[1:], toks[1].Text
		}
		if w == "to" && len(toks) > 1 && toks[1].Text == "fit" || w == "finished" {
			continue
		}
		if w == "one" && len(toks) > 2 && toks[1].Text == "size" { // One size: 60 cm around, 24 cm deep
			ms.Sizes, named = []string{""}, true
			break
		}
		if w == "available" && len(toks) > 1 && toks[1].Text == "in" {
			j++
		}
		if w == "available" || w == "in" || toks[0].Kind == Number && len(toks) > 3 && toks[1].Text == "sizes" && toks[2].Text == ":" && (toks[3].Kind == Number || sizeLetters[toks[3].Text]) { // 4 sizes: 6 (8, 10, 12) years
			j++
		}
		if k := sizesWithin(toks); k > 0 && ms.Sizes == nil { // "(Figures for larger sizes are in brackets. Sizes: 1st (2nd: 3rd).)"
			j = k
		}
		if j >= len(toks) || toks[j].Text != "sizes" && toks[j].Text != "size" {
			continue
		}
		j++
		if j+2 < len(toks) && toks[j].Text == "(" && toks[j+2].Text == ")" && (toks[j+1].Kind == Word) && j+3 < len(toks) && toks[j+3].Text == ":" {
			j += 3 // Size (years): 1-2 (3-4, 5-6)
		}
		if j >= len(toks) && j == 1 && i+1 < len(r.lines) && ms.Sizes == nil { // a head, the names below it
			k := i + 1
			for k < len(r.lines)-1 && len(r.lines[k]) == 0 && k < i+3 {
				k++
			}
			if below := stripBullet(r.lines[k]); len(below) > 2 && len(below) < 60 && below[0].Text != "sizes" && below[0].Text != "size" && (sizeLetters[below[0].Text] || !oneMeasure(below) && !measured(below)) {
				if names, ok := r.sizeNames(k, 0); ok && len(names) > 1 && len(names) <= MaxSizes && strings.ContainsAny(ms.Source[k], "([,/") {
					ms.Sizes, named = names, true
					break
				}
			}
		}
		for j < len(toks) && (toks[j].Text == ":" || isDash(toks[j].Text) || toks[j].Text == "are" || toks[j].Text == "available" || toks[j].Text == "=" || toks[j].Text == ".") {
			j++
		}
		if j < len(toks) && (toks[j].Text == "given" || toks[j].Text == "written" || toks[j].Text == "listed" || toks[j].Text == "shown") { // "Sizes are given in this order: a (b, c)"
			at := slices.IndexFunc(toks, func(t Token) bool { return t.Text == ":" })
			if at < 0 {
				continue
			}
			j = at + 1
		}
		if slices.ContainsFunc(toks, func(t Token) bool { return t.fold == "needle" || t.Text == "hook" || t.Text == "dpns" }) {
			continue // "Size 8 [5 mm] needles, cable needle, 2 buttons"
		}
		if w != "sizes" && oneMeasure(toks[min(j, len(toks)):]) {
			continue // "Size: 12 cm (4¾ in) across"
		}
		if cells := sizeColumns(ms.Source[i]); len(cells) > 1 && ms.Sizes == nil {
			ms.Sizes, named = cells, true
			break
		}
		names, ok := r.sizeNames(i, j)
		if !ok || len(names) < 2 && j >= len(toks) {
			continue
		}
		if isOnly(toks) {
			continue
		}
		if len(names) > MaxSizes {
			ms.Findings.Addf("too-many-sizes", toks[0].Span, "%d sizes; at most %d are worked", len(names), MaxSizes)
			names = names[:MaxSizes]
		}
		ms.Sizes, named = names, true
		loose = w == "size" && !r.hyphen && (!strings.ContainsAny(ms.Source[i], "([/") || mixedSigns(toks[j:]))
		break
	}
	votes, weak := map[int]int{}, 0
	p := r.parser(nil)
	p.sizes, p.hyphen = 2, true // so that brackets count, and 38 (40-42-44)
	for i := range r.lines {
		p.toks = r.lines[i]
		for k := range p.toks {
			if p.toks[k].Kind == Number || isDash(p.toks[k].Text) {
				if inner, end, ok := p.bracketNums(k + 1); ok && len(inner) >= 1 {
					n := len(inner) + 1
					for openers[p.w(end)] != "" { // nested: XS (S, M) [L, XL]
						more, e, ok := p.bracketNums(end)
						if !ok || len(more) < 2 && (len(inner) > 1 || n < 2) { // 64 (68) (72) is one for each size
							break
						}
						n += len(more)
						end = e
					}
					if len(inner) == 1 && p.w(end) == "times" && n == 2 {
						continue
					}
					if len(inner) == 1 && n == 2 && end >= len(p.toks) && inner[0] > 2*p.toks[k].Val {
						continue // "[k4, k2tog] x 8 (40)": a count, no size
					}
					if len(inner) == 1 && p.at(end).Kind == Number && openers[p.w(end+1)] != "" { // Danish
						n = 0
						for q := k; p.at(q).Kind == Number && q < len(p.toks); {
							n++
							q++
							if in2, e, ok := p.bracketNums(q); ok && len(in2) == 1 {
								n++
								q = e
							} else {
								break
							}
						}
					}
					if n == 2 && len(inner) == 1 && end >= len(p.toks) {
						weak++
					}
					if n <= MaxSizes {
						votes[n]++
						if k > 1 && (p.w(k-1) == "on" || p.w(k-1) == "co") {
							votes[n] += 3
						}
					} else {
						ms.Findings.Addf("too-many-sizes", p.toks[k].Span, "%d numbers for as many sizes; at most %d sizes are worked", n, MaxSizes)
					}
				}
			}
		}
	}
	if n := r.dashedPairs(); n > 2 && !named {
		votes[3] += n // "29 (31-33)", three times at least
	} else if n > 2 && len(ms.Sizes) == 2 {
		if a, b, ok := strings.Cut(ms.Sizes[1], "-"); ok && a != "" && b != "" { // "1 (2-3)"
			ms.Sizes, r.hyphen = []string{ms.Sizes[0], strings.TrimSpace(a), strings.TrimSpace(b)}, true
		}
	}
	if m := outvoted(votes, len(ms.Sizes)); named && m > 0 && r.slashSizes() != len(ms.Sizes) && (slices.ContainsFunc(ms.Sizes, isPhrase) || m > len(ms.Sizes) && votes[m] > 7) {
		ms.Sizes = namesFor(ms.Sizes, m)
	}
	if named && len(ms.Sizes) > 1 && loose && votes[len(ms.Sizes)] == 0 {
		ms.Sizes = []string{""} // "Size: adult, to fit head 54–58 cm": no number of the rows is told twice
	}
	if !named {
		if votes[2] == weak {
			delete(votes, 2) // brackets at line ends only: counts
		}
		best := 1
		for n, v := range votes {
			if v > votes[best] || v == votes[best] && n > best {
				best = n
			}
		}
		if best == 1 {
			best = r.slashSizes()
		}
		if best == 1 {
			if ms.Sizes = r.sizesOfHeads(); len(ms.Sizes) < 2 {
				ms.Sizes = []string{""}
			}
		} else {
			if ms.Sizes = r.saidNames(best); ms.Sizes != nil {
			} else if ms.Sizes = r.fittedNames(best); ms.Sizes != nil {
				ms.Fit = true
			} else {
				for i := 1; i <= best; i++ {
					ms.Sizes = append(ms.Sizes, itoa(i))
				}
			}
		}
	}
	if len(ms.Sizes) == 1 {
		ms.Sizes[0] = "" // one size needs no name
	}
	r.sizes = len(ms.Sizes)
	r.findDashes()
	for _, n := range ms.Sizes {
		r.nameToks = append(r.nameToks, scanLine(n, 1))
	}
}

// dashedPairs counts the numbers of three sizes whose two larger ones are parted by a hyphen: "29 (31-33)".
func (r *reader) dashedPairs() int {
	n := 0
	for _, toks := range r.lines {
		for k := 0; k+5 < len(toks); k++ {
			if toks[k].Kind == Number && toks[k+1].Text == "(" && toks[k+2].Kind == Number && isDash(toks[k+3].Text) && toks[k+3].Glued && toks[k+4].Kind == Number && toks[k+5].Text == ")" && toks[k].Val < toks[k+2].Val && toks[k+2].Val < toks[k+4].Val {
				n++
			}
		}
	}
	return n
}

// sizesWithin is where "Sizes: …" begins behind another sentence of the line; 0 where it does not.
func sizesWithin(toks []Token) int {
	for k := 1; k+2 < len(toks); k++ {
		if toks[k].Text == "sizes" && toks[k+1].Text == ":" && (toks[k-1].Text == "." || toks[k-1].Text == "(") {
			return k
		}
	}
	return 0
}

// findDashes learns whether hyphens part the numbers within brackets, 5 (7-9-11-13): some vectors
// do so with a number for every size.
func (r *reader) findDashes() {
	if r.sizes < 3 {
		return
	}
	p := r.parser(nil)
	found := 0
	for i := range r.lines {
		p.toks = r.lines[i]
		for k := range p.toks {
			if openers[p.w(k)] == "" || k == 0 || p.at(k-1).Kind != Number || !isDash(p.w(k+2)) {
				continue
			}
			if vals, _, ok := p.bracketNums(k); ok && len(vals) == r.sizes-1 {
				found++
			}
		}
	}
	r.dashes = found > 2
}

// sizesOfHeads learns names from lines that speak of one size each:
// "Size S: CO 60." above "Size M: CO 66.".
func (r *reader) sizesOfHeads() []string {
	var names []string
	for _, toks := range r.lines {
		j := 0
		for j < len(toks) && (toks[j].Text == "for" || toks[j].Text == "the") {
			j++
		}
		if j+2 >= len(toks) || toks[j].Text != "size" {
			continue
		}
		name, behind := toks[j+1], toks[j+2].Text
		if !sizeLetters[name.Text] && name.Kind != Number || behind != ":" && behind != "only" && behind != "(" && !isDash(behind) {
			continue
		}
		if n := name.Raw; !slices.Contains(names, n) && len(names) < MaxSizes {
			names = append(names, n)
		}
	}
	return names
}

func isOnly(toks []Token) bool {
	for _, t := range toks {
		if t.Text == "only" {
			return true
		}
	}
	return false
}

// slashSizes counts sizes in "CO 83/95/107 sts".
func (r *reader) slashSizes() int {
	best, votes := 1, map[int]int{}
	for _, toks := range r.lines {
		for k := 0; k+2 < len(toks); k++ {
			if toks[k].Kind != Number || toks[k+1].Text != "/" && toks[k+1].Text != ":" || toks[k+2].Kind != Number {
				continue
			}
			sep, n, j := toks[k+1].Text, 1, k
			led := k > 0 && (toks[k-1].Text == "on" || toks[k-1].Text == "co")
			for j+2 < len(toks) && toks[j+1].Text == sep && toks[j+2].Kind == Number {
				n++
				j += 2
			}
			if sep == ":" && n == 2 && !led {
				continue // "…, yo, k3: 9 sts.", a count behind the row
			}
			if j+1 < len(toks) && folded(toks[j+1].Text) == "st" && n >= 2 && n <= MaxSizes {
				votes[n]++
			}
			k = j
		}
	}
	for n, v := range votes {
		if v > votes[best] {
			best = n
		}
	}
	return best
}

// sizeNames reads names as the trade lists them: S (M, L), 2-3 (4-5), 32 [34: 36], Small (Medium).
func (r *reader) sizeNames(line, j int) ([]string, bool) {
	toks := r.lines[line]
	src := []rune(r.ms.Source[line])
	var names []string
	start := -1
	end := -1
	flush := func() {
		if start >= 0 {
			n := strings.TrimSpace(string(src[toks[start].Col-1 : toks[end].EndCol-1]))
			if n != "" {
				names = append(names, n)
			}
		}
		start = -1
	}
	j = behindLabel(toks, j)
	if k := j; k < len(toks) && (toks[k].Text == "to" || toks[k].Text == "fits") { // "To fit size 4 (6-8-10) years"
		for k < len(toks) && (toks[k].Kind == Word && !sizeLetters[toks[k].Text] || toks[k].Text == ":" && k > j+1) {
			k++
		}
		if k < len(toks) && (toks[k].Kind == Number || sizeLetters[toks[k].Text]) && k < j+7 {
			j = k
		}
	}
	cut := false
	for k := j + 1; k < len(toks); k++ { // what stands in another sentence names none
		if toks[k].Text == "." && k+1 < len(toks) {
			toks, cut = toks[:k], true
			break
		}
	}
	slash := slashInNames(toks[min(j, len(toks)):]) || shoeSizes(toks[min(j, len(toks)):])
	hyphen := hyphenedNames(toks[min(j, len(toks)):]) || dashedInBracket(toks[min(j, len(toks)):])
	r.hyphen = r.hyphen || hyphen
	bracketed, squared, listed, depth := false, false, false, 0
	for ; j < len(toks); j++ {
		t := toks[j]
		switch {
		case t.Text == "." && j == len(toks)-1:
		case hyphen && isDash(t.Text):
			flush()
		case isDash(t.Text) && (bracketed || squared) && depth == 0 && len(names) > 1 && start < 0 && j+1 < len(toks) && fitWord(toks[j+1].Text): // "A (B) – to fit …"
			return names, true
		case t.Text == ":" && (bracketed || squared) && depth == 0 && start < 0 && len(names) > 1 && sizeLetters[strings.ToLower(names[0])] && j+1 < len(toks) && toks[j+1].Kind == Number: // "Small (Medium, Large): 20 (24, 28) inches around"
			return plainNames(names), true
		case t.Text == "/" && slash && start >= 0: // S/M (L/XL)
			end = j
		case t.Text == "," || t.Text == ":" || t.Text == ";" || t.Text == "(" || t.Text == ")" || t.Text == "[" || t.Text == "]" || t.Text == "{" || t.Text == "}" || t.Text == "/" || t.Text == "|" || t.Text == "and" || t.Text == "&":
			if t.Text == "(" && (j+1 < len(toks)) && names == nil && start < 0 {
				continue
			}
			if t.Text == "," && depth == 0 && slashListed(toks[:j]) && j+1 < len(toks) && fitWord(toks[j+1].Text) {
				flush()
				return plainNames(names), true // "S/M/L, to fit a foot of about 7½/8½/9½ inches"
			}
			if (t.Text == "," || t.Text == ";") && (bracketed || squared) && depth == 0 && len(names) > 1 && j+1 < len(toks) && fitWord(toks[j+1].Text) {
				flush()
				return names, true // "Small (Large), for 34 (38) inch bust"
			}
			if t.Text == "," && (bracketed || squared) && depth == 0 && len(names) > 1 && sizeLetters[strings.ToLower(names[0])] && j+2 < len(toks) && toks[j+1].Kind == Word && !sizeLetters[toks[j+1].Text] && toks[j+2].Kind == Number {
				return plainNames(names), true // "Small (Medium: Large) dog, length 30 (38: 46) cm"
			}
			if t.Text == "," && bracketed && len(names) > 1 && strings.Count(string(src), ")") > 0 && !strings.Contains(string(src[t.Col-1:]), ")") && start < 0 {
				flush()
				return names, len(names) > 0 // ", to fit …" after the list
			}
			switch t.Text {
			case "(", "[", "{":
				depth++
				bracketed, squared = bracketed || t.Text == "(", squared || t.Text == "["
			case ")", "]", "}":
				depth--
			case ",", ":", ";":
				listed = listed || depth > 0
			}
			flush()
		case t.Text == "=" && len(names) > 1 && depth == 0, (bracketed || squared) && depth == 0 && len(names) > 1 && start < 0 && fitWord(t.Text): // "A (B, C) = 90 (100, 110) cm"
			flush()
			return plainNames(names), true
		case lengthUnit(t.Text) && depth == 0 && start < 0 && len(names) > 1 && j+2 < len(toks) && openers[toks[j+1].Text] != "" && toks[j+2].Kind == Number: // "97 [102:107] cm (38 [40:42] in)"
			return plainNames(names), true
		case (t.Text == "co" || t.Text == "cast") && j+1 < len(toks) && (toks[j+1].Kind == Number || toks[j+1].Text == "on"):
			return nil, false // "Size 1 (CO 60)": a beginning
		default:
			if start < 0 {
				start = j
			}
			end = j
		}
	}
	flush()
	if len(names) == 2 { // "S/M/L (teen/adult/large adult)"
		short, long := strings.Split(names[0], "/"), strings.Split(names[1], "/")
		if len(short) > 1 && len(short) == len(long) && !sizeLetters[strings.ToLower(long[0])] && !slices.ContainsFunc(short, func(s string) bool { return !sizeLetters[strings.ToLower(strings.TrimSpace(s))] }) {
			names = short
		}
	}
	for _, n := range names { // "38/39 (one size)"
		if strings.EqualFold(n, "one size") {
			return []string{""}, true
		}
	}
	if names = plainNames(names); cut && len(names) > 1 && isUnits(names[len(names)-1]) {
		return names[:len(names)-1], true
	}
	// words behind a list in one bracket name no size: "4 (6, 8) yrs"
	if listed && len(names) > 2 {
		if last := toks[len(toks)-1]; last.Text != ")" && last.Text != "]" && last.Text != "}" {
			if last.Text != "." || len(toks) > 1 && toks[len(toks)-2].Text != ")" && toks[len(toks)-2].Text != "]" {
				names = names[:len(names)-1]
				return names, true
			}
		}
	}
	// units or words behind the list: "32 (34, 36) in", "S (M, L) to fit …"
	if (bracketed || squared) && len(names) > 2 {
		last := toks[len(toks)-1]
		if last.Text == "." && len(toks) > 1 {
			last = toks[len(toks)-2]
		}
		if last.Text != ")" && last.Text != "]" && last.Text != "}" && last.Text != "." {
			// keep unless Danish: S (M) L (XL) ends with a bracket; a trailing unit does not name a size
			if k := strings.ToLower(names[len(names)-1]); strings.HasPrefix(k, "in") || strings.HasPrefix(k, "cm") || strings.HasPrefix(k, "to ") || strings.HasPrefix(k, "year") || strings.HasPrefix(k, "month") || strings.HasPrefix(k, "yr") || strings.HasPrefix(k, "mth") || k == "mos" || k == "\"" || strings.HasPrefix(k, "chest") || strings.HasPrefix(k, "bust") {
				names = names[:len(names)-1]
			}
		}
	}
	if n := len(names); n > 1 && !strings.Contains(names[0], " ") { // "38, 40, 42 inch chest"
		if f := strings.Fields(names[n-1]); len(f) > 2 && isDigit([]rune(f[0])[0]) && isUnits(strings.Join(f[1:], " ")) {
			names[n-1] = f[0]
		}
	}
	if n := len(names); n > 1 { // "2 (4) 6 years": the unit is no part of the name
		if f := strings.Fields(names[n-1]); len(f) == 2 && isDigit([]rune(f[0])[0]) && !slices.ContainsFunc(names[:n-1], func(s string) bool { return strings.HasSuffix(s, " "+f[1]) }) && !strings.Contains(names[0], " ") {
			switch strings.ToLower(strings.Trim(f[1], ".")) {
			case "years", "year", "yrs", "yr", "months", "mos", "cm", "in", "inches", "ins", "old":
				names[n-1] = f[0]
			}
		}
	}
	if len(names) > 0 && (strings.EqualFold(names[0], "one") && len(names) > 1 || strings.HasPrefix(strings.ToLower(names[0]), "one size")) {
		return []string{""}, true
	}
	if len(names) == 1 {
		n := strings.ToLower(names[0])
		if n == "one size" || strings.Contains(n, "one size") || n == "one" {
			return []string{""}, true
		}
		return nil, false
	}
	return names, len(names) > 0
}
