package review

import (
	"rowproof/domain/fabric"
	"rowproof/domain/finding"
)

// fabricFaults adds what only the fabric shows: drops that collide, yarns at the
// other edge, floats, crossings too soon. It is no entry of the register of
// checks, which the search for mends runs on every try: a mend is one of counts,
// and the fabric costs more than they do.
func fabricFaults(r *Result) {
	found := fabric.Check(r.Manuscript, r.Needle)
	if len(found) == 0 {
		return
	}
	list := finding.List{Findings: r.Findings}
	for _, f := range found {
		list.Add(f)
	}
	finding.Sort(list.Findings)
	r.Findings = list.Findings
}
