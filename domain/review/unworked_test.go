package review

import "testing"

// A piece is not called proved when a sentence about its stitches was not worked; the others are.
func TestUnworkedIsNotProved(t *testing.T) {
	const text = "A PULLOVER\n\nBACK\nCast on 40 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nBind off one lamb from the far hedge once, then dec 1 st at each hedge every RS row 4 times.\nRow 3: Knit.\nBind off all sts.\n\nSLEEVE\nCast on 20 sts.\nRow 1 (RS): Knit.\nRow 2: Purl.\nBind off all sts.\n"
	r := Check(text).Report
	said := 0
	for _, f := range r.Findings {
		if f.Code == "sentence-not-worked" {
			said++
		}
	}
	if said != 1 || len(r.Parts) != 2 || r.Parts[0].Proved != "" || r.Parts[1].Proved != "all" {
		t.Errorf("%d findings, parts %+v", said, r.Parts)
	}
}
