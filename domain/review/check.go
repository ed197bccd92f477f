// Package review checks a manuscript: it reads it, works it, runs every check
// of the register on it, and looks for mends.
//
// Check is the call most people need. It is pure and bounded; any text may be
// given to it.
package review

import (
	"rowproof/domain/finding"
	"rowproof/domain/needle"
	"rowproof/domain/notation"
	"rowproof/domain/yarn"
)

// Result is a checked manuscript.
type Result struct {
	Report     *Report
	Manuscript *notation.Manuscript
	Needle     *needle.Result
	Findings   []finding.Finding // in the order of the report's

	Yarn         yarn.Estimate // what the rows take
	Measurements []Measurement
}

// Errors counts the findings that are errors.
func (r *Result) Errors() int {
	n := 0
	for _, f := range r.Findings {
		if f.Severity() == finding.Error {
			n++
		}
	}
	return n
}

// Input is what a check may look at.
type Input struct {
	Manuscript *notation.Manuscript
	Needle     *needle.Result
	Out        *finding.List
}

// Check reads and proves text.
func Check(text string) *Result {
	r := prove(text)
	fabricFaults(r)
	mend(text, r)
	amounts(r)
	r.Report = report(r)
	return r
}

// prove reads and works text and runs the checks, without looking for mends.
func prove(text string) *Result {
	ms := notation.Read(text)
	nd := needle.Work(ms)
	list := finding.List{}
	for _, f := range ms.Findings.Findings {
		locate(nd, &f)
		list.Add(f)
	}
	for _, f := range nd.Findings.Findings {
		list.Add(f)
	}
	in := Input{ms, nd, &list}
	for _, c := range checks {
		c.run(in)
	}
	finding.Sort(list.Findings)
	return &Result{Manuscript: ms, Needle: nd, Findings: list.Findings}
}

// locate fills in the part and row of a finding of the reading.
func locate(nd *needle.Result, f *finding.Finding) {
	for _, p := range nd.Parts {
		if f.Line >= p.Line {
			f.Part = p.Name
		}
		for _, e := range p.Rows {
			if f.Row == "" && f.Line >= e.Span.Line && f.Line <= e.Span.EndLine {
				f.Row = e.Name
			}
		}
	}
}
