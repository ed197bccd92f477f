package picture

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"
)

// Bounds of a text of colourways.
const (
	maxColourText = 4096
	maxRuns       = 64
	maxRunCM      = 100_000
)

// ParseColour reads a colour of a screen, "#rrggbb" or "#rgb".
func ParseColour(s string) (color.RGBA, error) {
	bad := fmt.Errorf("%q is no colour: write # and six digits 0-9 a-f, as in #2f456e", s)
	h, ok := strings.CutPrefix(s, "#")
	if !ok {
		return color.RGBA{}, bad
	}
	if len(h) == 3 {
		h = string([]byte{h[0], h[0], h[1], h[1], h[2], h[2]})
	}
	if len(h) != 6 {
		return color.RGBA{}, bad
	}
	n, err := strconv.ParseUint(h, 16, 32)
	if err != nil {
		return color.RGBA{}, bad
	}
	return color.RGBA{uint8(n >> 16), uint8(n >> 8), uint8(n), 255}, nil
}

// ParseColourways reads how yarns are dyed, one yarn after another with
// semicolons or line ends between:
//
//	A: #334455
//	B: stripes #aabbcc 30 cm, #112233 45 cm
//	C: tweed #eeeedd flecks #aa3333 #334455
//	D: variegated #aa3333 12 in, #eeeedd 0.2 m, from 10 cm
//
// Stripes change at once, as in self-striping yarn; variegated colours run into
// each other. Lengths are in mm, cm, m, in or yd; "from" says how far into the runs
// the yarn begins. yarns are the names the pattern uses: others are an error,
// unless the list is empty. Errors name the yarn and say what is expected.
func ParseColourways(s string, yarns []string) (Colourways, error) {
	if len(s) > maxColourText {
		return nil, fmt.Errorf("picture: colourways are more than %d characters long", maxColourText)
	}
	out := Colourways{}
	for _, part := range strings.FieldsFunc(s, func(r rune) bool { return r == ';' || r == '\n' || r == '\r' }) {
		part = strings.TrimSpace(part)
		if part == "" {
			continue
		}
		name, rest, ok := strings.Cut(part, ":")
		name = strings.ToUpper(strings.TrimSpace(name))
		if !ok && len(yarns) <= 1 { // the one yarn needs no name
			name, rest = "", part
			if len(yarns) == 1 {
				name = strings.ToUpper(yarns[0])
			}
		} else if !ok {
			return nil, fmt.Errorf("picture: %q names no yarn: write the yarn, a colon and its colour, as in A: #2f456e", part)
		}
		if len(yarns) > 0 && !slices.ContainsFunc(yarns, func(y string) bool { return strings.EqualFold(y, name) }) {
			return nil, fmt.Errorf("picture: the pattern has no yarn %s: it has %s", name, strings.Join(yarns, ", "))
		}
		if _, twice := out[name]; twice {
			return nil, fmt.Errorf("picture: yarn %s is given twice", name)
		}
		w, err := parseWay(rest)
		if err != nil {
			return nil, fmt.Errorf("picture: yarn %s: %w", name, err)
		}
		out[name] = w
	}
	return out, nil
}

var kindWords = map[string]Kind{"solid": Solid, "tweed": Tweed, "stripes": Stripes, "striped": Stripes, "self-striping": Stripes, "variegated": Variegate}

func parseWay(s string) (Colourway, error) {
	var w Colourway
	words := strings.Fields(strings.ReplaceAll(s, ",", " , "))
	if len(words) == 0 {
		return w, fmt.Errorf("a colour is missing: write it as in #2f456e")
	}
	if !strings.HasPrefix(words[0], "#") {
		k, ok := kindWords[strings.ToLower(words[0])]
		if !ok {
			return w, fmt.Errorf("%q is neither a colour nor solid, tweed, stripes or variegated", words[0])
		}
		w.Kind, words = k, words[1:]
	}
	if w.Kind >= Stripes {
		return parseRuns(w, words)
	}
	flecks := false
	for _, t := range words {
		switch {
		case t == ",":
			continue
		case w.Kind == Tweed && strings.EqualFold(t, "flecks"):
			flecks = true
			continue
		}
		c, err := ParseColour(t)
		switch {
		case err != nil:
			return w, err
		case flecks:
			w.Flecks = append(w.Flecks, c)
		case len(w.Runs) > 0:
			return w, fmt.Errorf("one colour is enough before %s: write stripes or variegated for more, with a length after each", t)
		default:
			w.Runs = []Run{{Colour: c}}
		}
	}
	switch {
	case len(w.Runs) == 0:
		return w, fmt.Errorf("a colour is missing: write it as in #2f456e")
	case w.Kind == Tweed && len(w.Flecks) == 0:
		return w, fmt.Errorf("the flecks are missing: write them as in tweed #eeeedd flecks #aa3333")
	case len(w.Flecks) > 8:
		return w, fmt.Errorf("%d colours of flecks: 8 are the most", len(w.Flecks))
	}
	return w, nil
}

// parseRuns reads "#aabbcc 30 cm, #112233 45 cm, from 10 cm".
func parseRuns(w Colourway, words []string) (Colourway, error) {
	for len(words) > 0 {
		if words[0] == "," {
			words = words[1:]
			continue
		}
		if strings.EqualFold(words[0], "from") {
			cm, rest, err := parseLength(words[1:], "from")
			if err != nil {
				return w, err
			}
			w.Start, words = cm, rest
			continue
		}
		c, err := ParseColour(words[0])
		if err != nil {
			return w, err
		}
		cm, rest, err := parseLength(words[1:], words[0])
		if err != nil {
			return w, err
		}
		if cm < 0.5 {
			return w, fmt.Errorf("%s has a run of %g cm: 0.5 cm is the least", words[0], cm)
		}
		w.Runs, words = append(w.Runs, Run{c, cm}), rest
		if len(w.Runs) > maxRuns {
			return w, fmt.Errorf("more than %d runs of colour", maxRuns)
		}
	}
	if len(w.Runs) < 2 {
		return w, fmt.Errorf("stripes and variegated yarn have two runs of colour or more, as in stripes #aabbcc 30 cm, #112233 45 cm")
	}
	return w, nil
}

var inCM = map[string]float64{"mm": 0.1, "cm": 1, "m": 100, "in": 2.54, "yd": 91.44}

// parseLength reads "30 cm" or "30cm" at the start of words.
func parseLength(words []string, after string) (float64, []string, error) {
	if len(words) == 0 || words[0] == "," {
		return 0, nil, fmt.Errorf("%s has no length: write it as in 30 cm", after)
	}
	num, unit := words[0], ""
	if i := strings.IndexFunc(num, func(r rune) bool { return r >= 'a' && r <= 'z' }); i > 0 {
		num, unit = num[:i], num[i:]
	}
	words = words[1:]
	if unit == "" && len(words) > 0 && inCM[words[0]] > 0 {
		unit, words = words[0], words[1:]
	}
	if unit == "" {
		return 0, nil, fmt.Errorf("%s %s has no unit: write cm, mm, m, in or yd", after, num)
	}
	n, err := strconv.ParseFloat(num, 64)
	k, ok := inCM[unit]
	if err != nil || !ok || math.IsNaN(n) || n < 0 || n*k > maxRunCM {
		return 0, nil, fmt.Errorf("%q after %s is no length: write it as in 30 cm, up to %d m", num+" "+unit, after, maxRunCM/100)
	}
	return n * k, words, nil
}

// String writes a colourway as ParseColourways reads it.
func (w Colourway) String() string {
	if len(w.Runs) == 0 {
		return ""
	}
	var b strings.Builder
	switch w.Kind {
	case Solid:
		return hex(w.Runs[0].Colour)
	case Tweed:
		b.WriteString("tweed " + hex(w.Runs[0].Colour) + " flecks")
		for _, c := range w.Flecks {
			b.WriteString(" " + hex(c))
		}
		return b.String()
	case Stripes:
		b.WriteString("stripes ")
	case Variegate:
		b.WriteString("variegated ")
	}
	for i, r := range w.Runs {
		if i > 0 {
			b.WriteString(", ")
		}
		fmt.Fprintf(&b, "%s %s cm", hex(r.Colour), strconv.FormatFloat(r.CM, 'f', -1, 64))
	}
	if w.Start > 0 {
		fmt.Fprintf(&b, ", from %s cm", strconv.FormatFloat(w.Start, 'f', -1, 64))
	}
	return b.String()
}

// String writes colourways as ParseColourways reads them, in the order of the yarns' names.
func (c Colourways) String() string {
	var names []string
	for y := range c {
		names = append(names, y)
	}
	slices.Sort(names)
	for i, y := range names {
		names[i] = c[y].String()
		if y != "" {
			names[i] = y + ": " + names[i]
		}
	}
	return strings.Join(names, "; ")
}
