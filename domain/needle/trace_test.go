package needle

import (
	"slices"
	"testing"

	"rowproof/domain/notation"
)

// TestTrace counts what a trace tells: in every row the loops taken and made add
// up to the counts before and after it.
func TestTrace(t *testing.T) {
	const text = `CO 14 sts.
Row 1 (RS): K2, *sl 2 sts to cn and hold in front, k2, k2 from cn, yo, k2tog; rep from * once more.
Row 2: Purl.
Row 3: BO 2, k to end.
Row 4: Purl, cast on 2 sts.
Rep Rows 1-4 once more.
Work 2 rows in st st.
BO.`
	ms := notation.Read(text)
	res := Work(ms)
	var rows []WorkedRow
	if err := Trace(ms, res, 0, 0, 0, 1, func(r WorkedRow) {
		r.Events = slices.Clone(r.Events)
		rows = append(rows, r)
	}); err != nil {
		t.Fatal(err)
	}
	if len(rows) != 10 {
		t.Fatalf("%d rows told, want 10", len(rows))
	}
	for i, r := range rows {
		have := r.Before
		for _, e := range r.Events {
			switch e.Kind {
			case Worked:
				if e.From == "" {
					have += e.Out - e.In
				} else {
					have += e.Out
				}
			case BoundOff, ToCableNeedle, Held:
				have -= e.In
			case CastOnLoop:
				have += e.Out
			}
		}
		if have != r.After {
			t.Errorf("row %d (%s): %d loops by its events, %d counted", i, r.Name, have, r.After)
		}
		if want := []string{"RS", "WS"}[i%2]; r.Side != want {
			t.Errorf("row %d (%s): side %s, want %s", i, r.Name, r.Side, want)
		}
	}
}
