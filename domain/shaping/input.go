package shaping

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"

	"rowproof/domain/sizing"
)

// maxSizes bounds the sizes of one question.
const maxSizes = 20

// input is what was typed, read. Fields with several numbers give the sizes.
type input struct {
	task   Task
	values map[string]string
	n      int // sizes
	nums   map[string][]float64
	err    error // the first mistake in what was typed
}

var number = regexp.MustCompile(`^\d+(?:\.\d+)?$`)

// read reads the fields of numbers. A field with one number has it for every size.
func (in *input) read() error {
	in.nums = map[string][]float64{}
	widest := ""
	for _, f := range in.task.Fields {
		if f.Choices != nil {
			continue
		}
		text := strings.TrimSpace(in.values[f.Key])
		// "92 (102, 112)", "92, 102, 112" and "92 102 112"; "45,5" could be one number or two
		words := strings.Fields(strings.NewReplacer("(", " ", ")", " ", ", ", " ", ";", " ", "/", " ").Replace(text))
		for _, w := range words {
			if !number.MatchString(w) {
				return fmt.Errorf("%s is “%.30s”: write a number, or one for each size, such as 92 (102, 112.5)", f.Label, text)
			}
			x, err := strconv.ParseFloat(w, 64)
			if err != nil || x > 5000 {
				return fmt.Errorf("%s is “%.30s”: at most 5000", f.Label, text)
			}
			in.nums[f.Key] = append(in.nums[f.Key], x)
		}
		switch n := len(words); {
		case f.List:
		case n > maxSizes:
			return fmt.Errorf("%s has %d sizes; at most %d", f.Label, n, maxSizes)
		case n > 1 && in.n > 1 && n != in.n:
			return fmt.Errorf("%s has %d sizes, %s has %d: give as many, or one number for all", f.Label, n, widest, in.n)
		case n > 1:
			in.n, widest = n, f.Label
		}
	}
	return nil
}

func (in *input) label(key string) string {
	for _, f := range in.task.Fields {
		if f.Key == key {
			return f.Label
		}
	}
	return key
}

// given says that a field was filled in.
func (in *input) given(key string) bool { return len(in.nums[key]) > 0 }

// at is a field's number for a size.
func (in *input) at(key string, i int) float64 {
	v := in.nums[key]
	if len(v) == 1 {
		return v[0]
	}
	return v[i]
}

// fail keeps the first mistake; the numbers read after it are of no account.
func (in *input) fail(format string, args ...any) {
	if in.err == nil {
		in.err = fmt.Errorf(format, args...)
	}
}

// counts are whole numbers of at least low, for each size.
func (in *input) counts(key string, low int) []int {
	return in.each(func(i int) int {
		if !in.given(key) {
			in.fail("%s is missing", in.label(key))
			return low
		}
		x := in.at(key, i)
		if x != math.Trunc(x) || int(x) < low {
			in.fail("%s is %g: write a whole number, at least %d", in.label(key), x, low)
		}
		return int(x)
	})
}

// count is one whole number; usual where the field is empty.
func (in *input) count(key string, low, usual int) int {
	switch len(in.nums[key]) {
	case 0:
		return usual
	case 1:
		return in.counts(key, low)[0]
	}
	in.fail("%s takes one number, the same for all sizes", in.label(key))
	return usual
}

// lengths are centimetres for each size.
func (in *input) lengths(key string) []sizing.Length {
	out := make([]sizing.Length, in.n)
	for i := range out {
		if !in.given(key) {
			in.fail("%s is missing", in.label(key))
		} else if out[i] = sizing.Cm(in.at(key, i)); out[i] <= 0 || out[i].Cm() > 500 {
			in.fail("%s is %g cm: from a little above 0 to 500", in.label(key), in.at(key, i))
		}
	}
	return out
}

// gauge has the one number of its field both ways: a width asks for stitches, a
// height for rows.
func (in *input) gauge() sizing.Gauge {
	switch len(in.nums["gauge"]) {
	case 0:
		in.fail("%s is missing", in.label("gauge"))
		return sizing.Gauge{}
	case 1:
		x := in.at("gauge", 0)
		return sizing.Gauge{Sts: x, Rows: x}
	}
	in.fail("%s takes one number, the same for all sizes", in.label("gauge"))
	return sizing.Gauge{}
}

// choice is the chosen value, the first where none was.
func (in *input) choice(key string) string {
	for _, f := range in.task.Fields {
		if f.Key != key {
			continue
		}
		for _, c := range f.Choices {
			if c.Value == in.values[key] {
				return c.Value
			}
		}
		return f.Choices[0].Value
	}
	return ""
}

// each makes a number for every size.
func (in *input) each(f func(i int) int) []int {
	out := make([]int, in.n)
	for i := range out {
		out[i] = f(i)
	}
	return out
}

func (in *input) of(i int) string {
	if in.n == 1 {
		return ""
	}
	return fmt.Sprintf(" of size %d", i+1)
}
