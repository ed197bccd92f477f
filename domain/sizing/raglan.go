package sizing

import "fmt"

// RaglanLines is the shaping of one size along its four raglan lines. A body
// event changes front and back by two stitches each, a sleeve event both sleeves
// by two each; where both fall together the row changes by eight.
type RaglanLines struct {
	Body   int // events of the body
	Sleeve int // events of the sleeves
	Rows   int // rows that the lines are long
}

// Raglan is the shaping in rows: events of body and sleeves together, and then,
// or before where SingleFirst, the events that only one of them still wants. In
// large sizes the body grows faster than the sleeves: that is the second rate.
type Raglan struct {
	All         Schedule // every event
	Joint       int      // events of body and sleeves together
	Single      int      // events of the one that has more
	Sleeve      bool     // these are the sleeves'; else the body's
	SingleFirst bool
}

// Raglan spreads a size's events over its rows as evenly as the rhythm allows.
// The error says what may be changed where there are more events than rows.
func (p Plan) Raglan(l RaglanLines, singleFirst bool) (Raglan, error) {
	r := Raglan{Joint: min(l.Body, l.Sleeve), Single: max(l.Body, l.Sleeve) - min(l.Body, l.Sleeve), Sleeve: l.Sleeve > l.Body, SingleFirst: singleFirst}
	if l.Body < 0 || l.Sleeve < 0 {
		return Raglan{}, fmt.Errorf("raglan lines with %d body and %d sleeve events: both must be 0 or more", l.Body, l.Sleeve)
	}
	s, err := p.Schedule(max(l.Body, l.Sleeve), l.Rows)
	if err != nil {
		return Raglan{}, fmt.Errorf("raglan lines: %w; or cast on more stitches at the underarms", err)
	}
	r.All = s
	return r, nil
}

// Raglans is [Plan.Raglan] for all sizes. The error names the size.
func (p Plan) Raglans(ls []RaglanLines, singleFirst bool) ([]Raglan, error) {
	out := make([]Raglan, len(ls))
	for i, l := range ls {
		var err error
		if out[i], err = p.Raglan(l, singleFirst); err != nil {
			return nil, fmt.Errorf("size %d: %w", i+1, err)
		}
	}
	return out, nil
}

// Parts are the two rates as schedules worked one after the other; rows of the
// second count from the last event of the first. An empty part has no event and
// no rows. The rows even at the end are the last part's that has events.
func (r Raglan) Parts() (first, second Schedule) {
	n := r.Joint
	if r.SingleFirst {
		n = r.Single
	}
	return r.All.Split(n)
}

// Both, with its parts in the order worked, are those of joint and of single events.
func (r Raglan) Both() (joint, single Schedule) {
	a, b := r.Parts()
	if r.SingleFirst {
		return b, a
	}
	return a, b
}

// Split parts a schedule after its first n events. Rows of the second part count
// from the row of the last event of the first. Where the second has no event the
// first keeps the even rows; where the first has none it is empty.
func (s Schedule) Split(n int) (first, second Schedule) {
	switch {
	case n <= 0:
		return Schedule{}, s
	case n >= s.Count():
		return s, Schedule{}
	}
	first.First = s.First
	left := n - 1
	for _, r := range s.Runs {
		take := min(left, r.Times)
		left -= take
		if take > 0 {
			first.Runs = append(first.Runs, Run{r.Every, take})
		}
		if rest := r.Times - take; rest > 0 {
			if second.First == 0 {
				second.First = r.Every
				rest--
			}
			if rest > 0 {
				second.Runs = append(second.Runs, Run{r.Every, rest})
			}
		}
	}
	second.Tail = s.Tail
	return first, second
}
