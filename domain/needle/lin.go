// Package needle works the rows of a manuscript: it keeps the stitches on the
// needles, per size or for every multiple at once, and says where a row does
// not come out even.
//
// Work is the call most people need; it returns a Result with every part, every
// row and the counts after it.
package needle

import "fmt"

// Lin is a number of stitches for every multiple at once: C·n + D, for n repeats.
// A number of one size has C = 0.
type Lin struct{ C, D int }

// K is the constant d.
func K(d int) Lin { return Lin{0, d} }

func (a Lin) plus(b Lin) Lin  { return Lin{a.C + b.C, a.D + b.D} }
func (a Lin) minus(b Lin) Lin { return Lin{a.C - b.C, a.D - b.D} }
func (a Lin) times(k int) Lin { return Lin{a.C * k, a.D * k} }
func (a Lin) zero() bool      { return a.C == 0 && a.D == 0 }

// At is the number for n repeats.
func (a Lin) At(n int) int { return a.C*n + a.D }

func (a Lin) String() string {
	switch {
	case a.C == 0:
		return fmt.Sprint(a.D)
	case a.D == 0:
		return fmt.Sprintf("%d·n", a.C)
	case a.D < 0:
		return fmt.Sprintf("%d·n − %d", a.C, -a.D)
	}
	return fmt.Sprintf("%d·n + %d", a.C, a.D)
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	if a < 0 {
		return -a
	}
	return a
}

func mod(a, m int) int {
	if a %= m; a < 0 {
		a += m
	}
	return a
}

// inverse returns x with a·x ≡ 1 (mod m); a and m are coprime.
func inverse(a, m int) int {
	a = mod(a, m)
	for x := 1; x < m; x++ { // m is at most a repeat's width
		if a*x%m == 1 {
			return x
		}
	}
	return 0
}

func ceilDiv(a, b int) int {
	q := a / b
	if a%b != 0 && (a > 0) == (b > 0) {
		q++
	}
	return q
}
