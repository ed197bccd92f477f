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
			if err != nil || x > 100000 {
				return fmt.Errorf("%s is “%.30s”: at most 100000", f.Label, text)
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

// counts are whole numbers of at least low, for each size.
func (in *input) counts(key string, low int) ([]int, error) {
	if !in.given(key) {
		return nil, fmt.Errorf("%s is missing", in.label(key))
	}
	out := make([]int, in.n)
	for i := range out {
		x := in.at(key, i)
		if x != math.Trunc(x) || int(x) < low {
			return nil, fmt.Errorf("%s is %g: write a whole number, at least %d", in.label(key), x, low)
		}
		out[i] = int(x)
	}
	return out, nil
}

// count is one whole number; usual where the field is empty.
func (in *input) count(key string, low, usual int) (int, error) {
	if !in.given(key) {
		return usual, nil
	}
	if len(in.nums[key]) > 1 {
		return 0, fmt.Errorf("%s takes one number, the same for all sizes", in.label(key))
	}
	v, err := in.counts(key, low)
	if err != nil {
		return 0, err
	}
	return v[0], nil
}

// lengths are centimetres for each size.
func (in *input) lengths(key string) ([]sizing.Length, error) {
	if !in.given(key) {
		return nil, fmt.Errorf("%s is missing", in.label(key))
	}
	out := make([]sizing.Length, in.n)
	for i := range out {
		if out[i] = sizing.Cm(in.at(key, i)); out[i] <= 0 || out[i].Cm() > 500 {
			return nil, fmt.Errorf("%s is %g cm: from a little above 0 to 500", in.label(key), in.at(key, i))
		}
	}
	return out, nil
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
