package review

// check is one entry of the register: what it looks for, and what does it.
type check struct {
	name string
	run  func(Input)
}

// checks is the register. A new check is one file and one line here.
var checks []check
