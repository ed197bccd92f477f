package picture

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"

	"rowproof/domain/fabric"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
)

func build(t testing.TB, text string, stitches, passes int) *fabric.Fabric {
	t.Helper()
	ms := notation.Read(text)
	res := needle.Work(ms)
	f, err := fabric.Build(ms, res, 0, 0, stitches, passes)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	return f
}

var looks = []struct {
	name, text  string
	sts, passes int
}{
	{"stockinette", "CO 24 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRep Rows 1 and 2.", 0, 12},
	{"garter", "CO 24 sts.\nRow 1 (RS): Knit.\nRow 2: Knit.\nRep Rows 1 and 2.", 0, 12},
	{"rib", "CO 26 sts.\nRow 1 (RS): *K2, p2; rep from * to last 2 sts, k2.\nRow 2: P2, *k2, p2; rep from * to end.\nRep Rows 1 and 2.", 0, 12},
	{"seed", "CO 24 sts.\nRow 1 (RS): *K1, p1; rep from * to end.\nRow 2: *P1, k1; rep from * to end.\nRep Rows 1 and 2.", 0, 12},
	{"feather", "Multiple of 18 sts + 2.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: K1, *[k2tog] 3 times, [yo, k1] 6 times, [k2tog] 3 times; rep from * to last st, k1.\nRow 4: Knit.\nRep Rows 1-4.", 38, 5},
	{"cable", "CO 26 sts.\nRow 1 (RS): P4, *k6, p6; rep from * to last 10 sts, k6, p4.\nRow 2: K4, *p6, k6; rep from * to last 10 sts, p6, k4.\nRow 3: P4, *c6f, p6; rep from * to last 10 sts, c6f, p4.\nRow 4: K4, *p6, k6; rep from * to last 10 sts, p6, k4.\nRows 5-8: Rep Rows 1 and 2.\nRep Rows 1-8.", 0, 4},
	{"drop", "Multiple of 6 sts + 5.\nRow 1 (RS): With A, knit.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: Purl.\nRow 5: With B, k2, *k3b, k5; rep from * to last 3 sts, k3b, k2.\nRow 6: Purl.\nRow 7: Knit.\nRow 8: Purl.\nRow 9: With A, k5, *k3b, k5; rep from * to end.\nRow 10: Purl.\nRow 11: Knit.\nRow 12: Purl.\nRow 13: With B, k2, *k3b, k5; rep from * to last 3 sts, k3b, k2.\nRow 14: Purl.\nRow 15: Knit.\nRow 16: Purl.\nRow 17: With A, k5, *k3b, k5; rep from * to end.\nRow 18: Purl.\nRow 19: Knit.\nRow 20: Purl.", 23, 1},
	{"mosaic", "Multiple of 4 sts + 3.\nRow 1 (RS): With A, knit.\nRow 2: Purl.\nRow 3: With B, k1, *sl 1, k3; rep from * to last 2 sts, sl 1, k1.\nRow 4: P1, *sl 1, p3; rep from * to last 2 sts, sl 1, p1.\nRow 5: With A, k3, *sl 1, k3; rep from * to end.\nRow 6: P3, *sl 1, p3; rep from * to end.\nRep Rows 3-6.", 23, 6},
	{"stranded", "CO 24 sts. Join to work in the round.\nRnd 1: With A, knit.\nRnd 2: *With A, k1, with B, k1; rep from * to end.\nRnd 3: *With B, k3, with A, k1; rep from * to end.\nRnd 4: *With A, k1, with B, k1; rep from * to end.\nRnd 5: *With A, k1, with B, k1, with A, k2; rep from * to end.\nRnd 6: With A, knit.\nRep Rnds 1-6.", 0, 4},
	{"eyelet", "Multiple of 8 sts + 1.\nRow 1 (RS): K1, *yo, ssk, k3, k2tog, yo, k1; rep from * to end.\nRow 2: Purl.\nRow 3: K2, *yo, ssk, k1, k2tog, yo, k3; rep from * to last 7 sts, yo, ssk, k1, k2tog, yo, k2.\nRow 4: Purl.\nRow 5: K3, *yo, sk2p, yo, k5; rep from * to last 6 sts, yo, sk2p, yo, k3.\nRow 6: Purl.\nRep Rows 1-6.", 25, 4},
	{"boundoff", "CO 16 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nRow 3: Knit.\nRow 4: K4, p8, k4.\nRow 5: K4, mb, k2, mb, k8.\nRow 6: Purl.\nRow 7: K1, m1l, k to last st, m1r, k1.\nRow 8: Purl.\nRow 9: [K1, p1] to end.\nRow 10: BO all sts.", 0, 1},
}

// TestLook draws stitches that a knitter knows at a glance, both sides, into
// the folder that PICTURE_LOOK names, to be looked at; without it nowhere.
func TestLook(t *testing.T) {
	dir := os.Getenv("PICTURE_LOOK")
	for _, l := range looks {
		f := build(t, l.text, l.sts, l.passes)
		for side, ws := range map[string]bool{"RS": false, "WS": true} {
			var b bytes.Buffer
			if err := PNG(&b, f, Options{WS: ws}); err != nil {
				t.Error(l.name, err)
			}
			if dir == "" {
				continue
			}
			if err := os.WriteFile(filepath.Join(dir, l.name+"_"+side+".png"), b.Bytes(), 0o644); err != nil {
				t.Error(err)
			}
		}
	}
}
