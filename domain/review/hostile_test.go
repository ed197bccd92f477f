package review

import (
	"fmt"
	"runtime"
	"runtime/metrics"
	"strings"
	"testing"
	"time"
)

// hostile is text of about n bytes made to hurt whoever works it.
func hostile(n int) map[string]string {
	rep := func(s string) string { return strings.Repeat(s, max(1, n/len(s))) }
	row := "CO 30 sts.\nRow 1: "
	out := map[string]string{
		"stars":        rep("*"),
		"star words":   row + rep("*k1, "),
		"open round":   row + rep("("),
		"open square":  row + rep("["),
		"k1":           row + rep("k1, "),
		"one word":     row + rep("wool"),
		"digits":       row + "k" + rep("7"),
		"billion":      row + "*k1; rep from * 1000000000 times.",
		"billion yo":   row + "*yo; rep from * 1000000000 times.",
		"billion nest": row + strings.Repeat("[", 20) + "yo" + strings.Repeat("] 1000000 times", 20) + ".",
		"nest to end":  row + strings.Repeat("[", 30) + "k1" + strings.Repeat("] to end", 30) + ".",
		"yo to end":    row + "[yo] to end.",
		"sl and back":  row + "[sl 1, return 1 st to left needle] to end.",
		"sizes":        "Sizes: " + rep("S, ") + "M\nCO 20 sts.\nRow 1: Knit.",
		"vector":       "CO 20 (" + rep("21, ") + "22) sts.\nRow 1: Knit.",
		"circle":       "A2 = B2\nB2 = C2, A2\nC2 = (A2, B2) in next st\nCO 10 sts.\nRow 1: A2, B2, C2.",
		"self":         "BOB = (BOB, k1, BOB) in next st\nCO 10 sts.\nRow 1: *BOB; rep from * to end.",
		"self count":   "Special stitches\nBOB: uses 1 st, makes 999999\nCO 10 sts.\nRow 1: *BOB; rep from * to end.\nRep Row 1 999999 times.",
		"NUL":          row + rep("k1\x00, "),
		"not UTF-8":    row + rep("\xff\xfe\x80"),
		"rep rows":     "CO 10 sts.\nRow 1: Knit.\n" + rep("Rep Row 1 1000000000 times.\n"),
		"rep doubling": "CO 10 sts.\nRow 1: *Kfb; rep from * to end.\nRep Row 1 1000000000 times.",
		"rep nested":   "CO 10 sts.\nRow 1: Knit.\nRow 2: Purl.\n" + rep("Rep last 2 rows 1000000 times more.\nRep last 1000 rows 1000000 times more.\n"),
		"until never":  "CO 10 sts.\nRow 1: K1, kfb, k to last 2 sts, k2tog.\nRep Row 1 until 3 sts rem.",
		"rows range":   "CO 10 sts.\n" + rep("Rows 1-2000: knit.\n"),
		"odd rows":     "CO 10 sts.\nRow 1 and all odd rows: Knit.\nRow 2000: Purl.\nRep Rows 1-2000 1000000 times.",
		"definitions":  "Abbreviations\n" + rep("XQ1 = k1, yo, k1\n"),
		"headings":     rep("Back\nCO 10 sts.\nRow 1: Knit.\n"),
		"markers":      row + rep("pm, k1, "),
		"shaping":      "CO 100 sts.\n" + rep("Dec 1 st at each end of next and every foll 6th row 5 times.\n"),
		"at same time": "CO 100 sts.\n" + rep("Dec 1 st at each end of next and every foll 3rd row 9 times; AT THE SAME TIME dec 1 st at neck edge on every row 9 times.\n"),
		"even":         "CO 100 sts.\nWork even for 1000000000 rows.\nRow 1: Knit.",
		"below":        "CO 9 sts.\n" + rep("Row 1: K4, k999b, k4.\n"),
		"multiple":     "Multiple of 99991 sts + 77777\nRow 1: *K99990, p1; rep from * to last 77777 sts, [k2tog, yo] to end.",
		"primes":       "Multiple of 9973 sts\nRow 1: *K9967, k2tog; rep from * to end.\nRow 2: *P9949, p2tog; rep from * to end.\nRow 3: *K9941, yo; rep from * to end.",
		"short rows":   "CO 1000 sts.\n" + rep("Row 1: K to 1 st before gap, turn.\n"),
		"wrong rows":   "CO 31 sts.\n" + rep("Next row: *K2, p2; rep from * to last 2 sts, k1.\n"),
		"mends":        "Multiple of 6 sts\n" + rep("Row 1: *K2, yo, ssk, k1, k2tog, yo; rep from * to end.\nRow 2: *P7; rep from * to end.\n"),
		"cast on":      "CO 999999999 sts.\nRow 1: *K1, p1; rep from * to end.",
		"long":         longPattern(n),
	}
	var b strings.Builder
	b.WriteString("XA0 = k1, yo\n")
	for i := 1; i < 40; i++ {
		fmt.Fprintf(&b, "XA%d = XA%d, XA%d\n", i, i-1, i-1)
	}
	out["doubling"] = b.String() + "CO 10 sts.\nRow 1: XA39.\n"
	return out
}

// longPattern is a pattern of n bytes, at most 19,900 lines, that is right.
func longPattern(n int) string {
	var b strings.Builder
	b.WriteString("CO 30 sts.\n")
	for i := 0; b.Len() < n && i < 19900; i++ {
		b.WriteString("Next row: K2, *p1, k2tog, yo; rep from * to last st, k1. (30 sts)\n")
	}
	return b.String()
}

// mustFind are the hostile texts that are no patterns: each must raise a finding.
var mustFind = map[string]bool{"stars": true, "open round": true, "open square": true, "k1": true, "billion": true, "billion yo": true, "billion nest": true,
	"yo to end": true, "sizes": true, "vector": true, "doubling": true, "self count": true, "not UTF-8": true, "rep doubling": true, "until never": true, "wrong rows": true, "cast on": true}

// TestHostile checks a megabyte of each within 256 MiB on the heap at any time.
// How long it takes is the benchmark's matter; the log says it.
func TestHostile(t *testing.T) {
	for name, text := range hostile(1 << 20) {
		t.Run(name, func(t *testing.T) {
			var r *Result
			start := time.Now()
			if got := peak(func() { r = Check(text) }); got > 256<<20 {
				t.Errorf("%d MiB on the heap", got>>20)
			}
			t.Log("checked in", time.Since(start).Round(time.Millisecond))
			if mustFind[name] && len(r.Findings) == 0 {
				t.Error("nothing found")
			}
			soundReport(t, text, r.Report)
		})
	}
}

// peak gives the most bytes on the heap while f runs beyond those before,
// sampled every millisecond.
func peak(f func()) uint64 {
	heap := func() uint64 {
		s := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
		metrics.Read(s)
		return s[0].Value.Uint64()
	}
	runtime.GC()
	before, most := heap(), uint64(0)
	stop, done := make(chan bool), make(chan bool)
	go func() {
		defer close(done)
		tick := time.NewTicker(time.Millisecond)
		defer tick.Stop()
		for {
			most = max(most, heap())
			select {
			case <-stop:
				return
			case <-tick.C:
			}
		}
	}()
	f()
	close(stop)
	<-done
	return most - min(before, most)
}
