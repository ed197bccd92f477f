package finding

import "sort"

// Code names a kind of finding. Codes are stable: new ones are added, none is
// renamed.
type Code string

// Info is what the register knows of a code.
type Info struct {
	Code     Code
	Severity Severity
	Title    string // a few words
	Doc      string // what it means and what to do
	Example  string // a manuscript that raises it; run by a test
}

var register = map[Code]Info{}

// Lookup returns the register's entry; an unknown code is an error finding, so
// that nothing slips through.
func Lookup(c Code) Info {
	if i, ok := register[c]; ok {
		return i
	}
	return Info{Code: c, Severity: Error, Title: string(c)}
}

// Codes lists the register by name.
func Codes() []Info {
	out := make([]Info, 0, len(register))
	for _, i := range register {
		out = append(out, i)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].Code < out[j].Code })
	return out
}

func define(s Severity, c Code, title, doc, example string) {
	if _, dup := register[c]; dup {
		panic("finding: code given twice: " + string(c))
	}
	register[c] = Info{c, s, title, doc, example}
}
