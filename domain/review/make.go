package review

import (
	"cmp"
	"slices"

	"rowproof/domain/finding"
	"rowproof/domain/needle"
)

// report puts a result into the fixed shape.
func report(r *Result) *Report {
	ms := r.Manuscript
	out := &Report{Title: ms.Title, Sizes: ms.Sizes, Parts: []Part{}, Yarn: []YarnUse{}, Measurements: r.Measurements, Findings: []ReportFinding{}}
	for _, p := range r.Needle.Parts {
		out.Parts = append(out.Parts, partition(ms, p, part(p, len(ms.Sizes)))...)
	}
	for _, u := range r.Yarn.Uses {
		out.Yarn = append(out.Yarn, YarnUse{u.Yarn, metres(u.Metres), metres(u.Low), metres(u.High)})
	}
	for _, f := range r.Findings {
		out.Findings = append(out.Findings, reportFinding(f, ms.Sizes))
	}
	return out
}

func reportFinding(f finding.Finding, sizes []string) ReportFinding {
	rf := ReportFinding{Code: f.Code, Severity: f.Severity(), Line: max(1, f.Line), Column: max(1, f.Col), Part: f.Part, Row: f.Row, Sizes: []string{}, Message: f.Message, Mends: []string{}}
	for _, s := range f.Sizes {
		if s >= 0 && s < len(sizes) {
			rf.Sizes = append(rf.Sizes, sizes[s])
		}
	}
	for _, m := range f.Mends {
		rf.Mends = append(rf.Mends, m.Text)
	}
	return rf
}

func part(p *needle.Part, sizes int) Part {
	out := Part{Name: p.Name, Worked: "flat", Proved: p.Proved, CastOn: p.CastOn, ChangePerRepeat: p.Change, Rows: []Row{}}
	if p.Round {
		out.Worked = "round"
	}
	if m := p.Stated; m != nil {
		out.Multiple = &Multiple{m.Of, m.Plus + 2*m.Edge}
	}
	if n := p.Needs; n != nil && n.Of > 0 {
		out.NeedsMultiple = &NeededMultiple{n.Of, n.Plus, n.Min}
	}
	if p.CastOn != nil {
		out.FinalCounts = counts(p.Final, sizes)
		for _, c := range out.FinalCounts {
			if c == nil {
				out.FinalCounts = nil
				break
			}
		}
	}
	for _, e := range p.Rows {
		out.Rows = append(out.Rows, row(e, p, sizes))
	}
	out.Sentences = []Sentence{}
	for it, s := range p.Sentences {
		at := it.Place()
		out.Sentences = append(out.Sentences, Sentence{at.Line, at.Col, counts(s.Before, sizes), counts(s.After, sizes)})
	}
	slices.SortFunc(out.Sentences, func(a, b Sentence) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	return out
}

func row(e *needle.Entry, p *needle.Part, sizes int) Row {
	r := Row{Row: e.Name, Line: e.Line, Counts: make([]*int, sizes), LastCounts: make([]*int, sizes), Held: e.Held, Aside: e.Aside}
	if p.CastOn != nil {
		r.Counts, r.LastCounts = counts(e.First, sizes), counts(e.Last, sizes)
		r.Times = e.Times
		for i := range e.Times {
			if e.Times[i] == 0 {
				r.Counts[i], r.LastCounts[i] = nil, nil
			}
		}
	}
	if e.Lin != nil {
		r.Stitches = &Multiple{e.Lin.C, e.Lin.D}
		if p.CastOn == nil && e.Lin.C == 0 { // a panel, which has no repeats: its rows tell how many stitches it has
			r.Counts, r.LastCounts = panelCounts(e.First, sizes), panelCounts(e.Last, sizes)
		}
	}
	r.Side = e.Side[0]
	for i, s := range e.Side {
		if e.Times[i] > 0 && s != r.Side && e.Times[0] > 0 {
			r.Side = ""
		} else if e.Times[0] == 0 && s != "" {
			r.Side = s
		}
	}
	return r
}

// panelCounts are the counts of rows that were worked once for all sizes.
func panelCounts(cs []needle.Count, sizes int) []*int {
	if len(cs) == 1 {
		cs = slices.Repeat(cs, sizes)
	}
	return counts(cs, sizes)
}

func counts(cs []needle.Count, sizes int) []*int {
	out := make([]*int, sizes)
	for i := range out {
		if i < len(cs) && cs[i].Known {
			v := cs[i].N
			out[i] = &v
		}
	}
	return out
}

// metres rounds to a tenth, as a report gives them.
func metres(list []float64) []float64 {
	out := make([]float64, len(list))
	for i, m := range list {
		out[i] = round1(m)
	}
	return out
}
