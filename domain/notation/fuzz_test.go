package notation

import (
	"strings"
	"testing"
	"time"

	"rowproof/domain/finding"
)

// FuzzRead holds the reader to any text: it does not panic, every place lies in
// the source, and what was read can be written and read again.
func FuzzRead(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text string) {
		if len(text) > 20000 {
			return
		}
		ms := Read(text)
		for _, fd := range ms.Findings.Findings {
			inside(t, ms.Source, fd.Span, string(fd.Code))
		}
		for _, it := range ms.Items {
			if r, ok := it.(*Row); ok {
				inside(t, ms.Source, r.Span, "row")
				each(r.Body, func(o Op) { inside(t, ms.Source, SpanOf(o), "op") })
			}
		}
		Read(Write(ms))
	})
}

// FuzzWrite holds the writer to what is understood of any text without a finding
// and without a word of prose: it reads back the same and is written the same.
func FuzzWrite(f *testing.F) {
	seeds(f)
	f.Fuzz(func(t *testing.T, text string) {
		if text = "Swatch\n\n" + text; len(text) < 20000 && understood(Read(text)) {
			if d := roundTrip(text); d != "" {
				t.Error(d)
			}
		}
	})
}

func seeds(f *testing.F) {
	for _, text := range corpus(f) {
		f.Add(text)
		for _, l := range Lines(text) {
			f.Add("CO 24 sts.\n" + l)
		}
	}
	for _, c := range finding.Codes() {
		f.Add(c.Example)
	}
	for _, h := range hostile(200) {
		f.Add(h)
	}
}

// understood says that a manuscript called Swatch holds nothing but rows
// with numbers and sentences about rows, all of them read without a finding.
func understood(ms *Manuscript) bool {
	ok := len(ms.Findings.Findings) == 0 && (len(ms.Sizes) == 1 && ms.Sizes[0] == "" || ms.Sizes[0] == "1")
	for _, it := range ms.Items {
		switch it := it.(type) {
		case *Title:
			ok = ok && it.Text == "Swatch"
		case *Begin: // "pm after 48 sts – 96 sts": two counts
			ok = ok && len(it.Markers) == 0
		case *RepRows:
			ok = ok && it.Ref.Words == "" && it.Ref.Section == ""
		case *Shape: // "at neck edge": the edge goes by its word
			ok = ok && (it.At == "" || it.At == "both" || it.At == "beg" || it.At == "end")
		case *Sizes:
			ok = false // names are words
		case *Heading, *Prose, *Field, *Define, *BindOffAll, *As, *Straight, *HoldAll:
			ok = false // words are part of them
		case *Row:
			// a row without a number goes by its words, whatever they are
			ok = ok && it.Prose == "" && len(it.Head.Numbers) > 0
			each(it.Body, func(o Op) {
				switch o.(type) {
				case *Unknown, *Remark, *PattOver:
					ok = false
				}
			})
		}
	}
	return ok
}

// inside fails where a span is not in the source; a zero span is no place.
func inside(t *testing.T, src []string, s finding.Span, what string) {
	if s.Line == 0 {
		return
	}
	ok := s.Line >= 1 && s.EndLine >= s.Line && s.EndLine <= max(1, len(src)) && s.Col >= 1 && s.EndCol >= 1
	if ok && s.EndLine <= len(src) {
		ok = s.EndCol <= len([]rune(src[s.EndLine-1]))+2 && (s.Line != s.EndLine || s.EndCol >= s.Col)
	}
	if !ok {
		t.Errorf("%s at %+v is outside the source", what, s)
	}
}

// hostile is text of about n bytes made to hurt: long runs, deep nesting,
// numbers without end, definitions in a circle, signs that are no text.
func hostile(n int) map[string]string {
	rep := func(s string) string { return strings.Repeat(s, max(1, n/len(s))) }
	row := "CO 30 sts.\nRow 1: "
	return map[string]string{
		"stars":         rep("*"),
		"stars in row":  row + rep("*") + "k1; rep from * to end.",
		"star words":    row + rep("*k1, "),
		"open round":    row + rep("("),
		"open square":   row + rep("["),
		"pairs":         row + rep("(") + "k1" + rep(")"),
		"k1":            row + rep("k1, "),
		"k1 lines":      "CO 30 sts.\n" + rep("Row 1: k1.\n"),
		"one word":      rep("wool"),
		"one word row":  row + rep("wool"),
		"digits":        rep("7"),
		"digits row":    row + "k" + rep("7"),
		"billion":       row + "*k1; rep from * 1000000000 times.",
		"billion nest":  row + strings.Repeat("[", 20) + "yo" + strings.Repeat("] 1000000 times", 20) + ".",
		"sizes":         "Sizes: " + rep("S, ") + "M\nCO 20 sts.",
		"vector":        "CO 20 (" + rep("21, ") + "22) sts.",
		"circle":        "A2 = B2\nB2 = C2, A2\nC2 = (A2, B2) in next st\nCO 10 sts.\nRow 1: A2, B2, C2.",
		"self":          "BOB = (BOB, k1, BOB) in next st\nCO 10 sts.\nRow 1: *BOB; rep from * to end.",
		"doubling":      doubling(),
		"NUL":           rep("\x00"),
		"NUL row":       row + rep("k1\x00, "),
		"not UTF-8":     rep("\xff\xfe\x80"),
		"combining":     "k" + rep("\u0301"),
		"lines":         rep("\n"),
		"carriage":      rep("\r"),
		"commas":        row + rep(","),
		"dashes":        row + rep("– "),
		"rep rows":      "CO 10 sts.\nRow 1: knit.\n" + rep("Rep Row 1 1000000000 times.\n"),
		"rows range":    "CO 10 sts.\n" + rep("Rows 1-2000: knit.\n"),
		"heads":         rep("Row 1 and all WS rows and every foll 4th row (RS) "),
		"definitions":   "Abbreviations\n" + rep("XQ1 = k1, yo, k1\n"),
		"multiples":     rep("Multiple of 6 sts + 1.\n"),
		"headings":      rep("Back\nCO 10 sts.\n"),
		"markers":       row + rep("pm, k1, "),
		"shaping":       "CO 100 sts.\n" + rep("Dec 1 st at each end of next and every foll 6th row 5 times.\n"),
		"at same time":  "CO 100 sts.\n" + rep("Dec 1 st at each end of next row; AT THE SAME TIME "),
		"prose":         rep("This is a sentence about wool, and another; rep it. "),
		"brackets":      row + rep("(k1) 2 times, [p1] to last 3 sts, "),
		"in next":       row + rep("(k1, yo, k1) in next st, "),
		"twice":         row + rep("k1 twice, "),
		"until":         row + rep("k to m, "),
		"rep from":      row + rep("*k1; rep from * to end, "),
		"nested stars":  row + rep("*k1, **p1; rep from ** to end; rep from * to end; "),
		"long pattern":  long(n),
		"sizes by rows": "Sizes: S (M, L)\nCO 20 (22, 24) sts.\n" + rep("Row 1: K1 (2, 3), *k1 (1, 1), p1; rep from * to end. 20 (22, 24) sts.\n"),
	}
}

// doubling is a chain of definitions, each twice the one before: 2^40 stitches.
func doubling() string {
	var b strings.Builder
	b.WriteString("XA0 = k1, yo\n")
	for i := 1; i < 40; i++ {
		b.WriteString("XA" + itoa(i) + " = XA" + itoa(i-1) + ", XA" + itoa(i-1) + "\n")
	}
	b.WriteString("CO 10 sts.\nRow 1: XA39.\n")
	return b.String()
}

// long is a pattern of many rows that are right.
func long(n int) string {
	var b strings.Builder
	b.WriteString("CO 30 sts.\n")
	for i := 1; b.Len() < n && i < 20000; i++ {
		b.WriteString("Row " + itoa(i) + ": K2, *p1, k2tog, yo; rep from * to last st, k1. (30 sts)\n")
	}
	return b.String()
}

// TestHostile reads a megabyte of each within 256 MiB on the heap at any time.
// Time is the benchmark's matter.
func TestHostile(t *testing.T) {
	for name, text := range hostile(1 << 20) {
		t.Run(name, func(t *testing.T) {
			var ms *Manuscript
			start := time.Now()
			if got := peak(t, func() { ms = Read(text) }); got > 256<<20 {
				t.Errorf("%d MiB on the heap", got>>20)
			}
			t.Log("read in", time.Since(start).Round(time.Millisecond))
			if len(ms.Findings.Findings) > finding.Max {
				t.Errorf("%d findings", len(ms.Findings.Findings))
			}
			Write(ms)
		})
	}
}

func BenchmarkHostile(b *testing.B) {
	for name, text := range hostile(1 << 20) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				Read(text)
			}
		})
	}
}
