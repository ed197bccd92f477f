package shaping

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
)

func usual(t Task) map[string]string {
	v := map[string]string{}
	for _, f := range t.Fields {
		v[f.Key] = f.Usual
	}
	return v
}

// Every question answers what stands in its fields at first, and its rows prove.
func TestUsual(t *testing.T) {
	for _, task := range Tasks() {
		a, err := task.Work(usual(task))
		if err != nil {
			t.Errorf("%s: %v", task.Key, err)
			continue
		}
		if a.Proved == (task.Key == "width" || task.Key == "height") || len(a.Rows) == 0 {
			t.Errorf("%s: proved %v, rows %q", task.Key, a.Proved, a.Rows)
		}
		t.Logf("%s: %s\n%v %v %v", task.Key, strings.Join(a.Rows, "\n"), a.Counts, a.Notes, a.Wrong)
	}
}

// Whatever is typed, either the rows prove or the person is told what to change.
func TestAnswersProve(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 25))
	answered := map[string]int{}
	for range 3000 {
		task := Tasks()[2+r.IntN(len(Tasks())-2)]
		sizes := 1 + r.IntN(4)
		v := map[string]string{}
		for _, f := range task.Fields {
			switch {
			case f.Choices != nil:
				v[f.Key] = f.Choices[r.IntN(len(f.Choices))].Value
			case f.Key == "of" || f.Key == "plus" || f.Key == "left" || f.Key == "wedges" || f.Key == "leave":
				if r.IntN(3) == 0 {
					v[f.Key] = fmt.Sprint(r.IntN(7))
				}
			case f.Key == "centre":
			default:
				n := sizes
				if task.Key == "crown" || task.Key == "neck" {
					n = 1
				}
				low, span := 4+r.IntN(40), 20
				if strings.HasSuffix(f.Key, "to") || f.Key == "rows" {
					low, span = 20+r.IntN(80), 30
				}
				var nums []string
				for range n {
					low += r.IntN(span / 2)
					nums = append(nums, fmt.Sprint(low&^1))
				}
				v[f.Key] = strings.Join(nums, ", ")
			}
		}
		a, err := task.Work(v)
		switch {
		case errors.Is(err, ErrUnproved):
			t.Fatalf("%s %v: %v", task.Key, v, err)
		case err == nil && !a.Proved:
			t.Fatalf("%s %v: not proved", task.Key, v)
		case err == nil:
			answered[task.Key]++
		}
	}
	for _, task := range Tasks()[2:] {
		if answered[task.Key] < 40 {
			t.Errorf("%s was answered %d times only", task.Key, answered[task.Key])
		}
	}
}

// What cannot be worked says where and what to do.
func TestRefuses(t *testing.T) {
	for _, c := range []struct{ task, key, value, want string }{
		{"width", "width", "wide", "Width, cm is “wide”: write a number"},
		{"width", "width", "45,5 (51, 56)", "Width, cm is “45,5"},
		{"width", "width", "", "Width, cm is missing"},
		{"width", "gauge", "0", "gauge"},
		{"width", "of", "2 (3, 4)", "takes one number"},
		{"height", "last", "9", "repeat"},
		{"sides", "to", "66 (72)", "has 2 sizes"},
		{"sides", "to", "67 (72, 80)", "same at both edges"},
		{"sides", "to", "66 (40, 80)", "the other way"},
		{"sides", "to", "42 (72, 80)", "nothing is shaped"},
		{"sides", "rows", "10", "size 1"},
		{"sides", "from", "42.5", "whole number"},
		{"evenly", "to", "90 (112, 124)", "every size must change"},
		{"crown", "sts", "95", "decrease to 88 or increase to 96"},
		{"crown", "sts", "96, 104", "one size at a time"},
		{"crown", "rate", "over", "give the rounds"},
		{"raglan", "rows", "10", "underarms"},
		{"raglan", "body-to", "85 (94, 104)", "even number"},
		{"neck", "centre", "13", "equal sides"},
		{"shoulder", "rows", "1", "at least 2"},
	} {
		task, ok := Named(c.task)
		if !ok {
			t.Fatal(c.task)
		}
		v := usual(task)
		v[c.key] = c.value
		if _, err := task.Work(v); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s with %s %q: %v, want %q", c.task, c.key, c.value, err, c.want)
		}
	}
}

// Neighbouring sizes that come out alike are told of, with what would mend it.
func TestWidthsAlike(t *testing.T) {
	v := usual(width)
	v["width"], v["of"], v["plus"] = "45 (46, 56)", "10", "1"
	a, err := width.Work(v)
	if err != nil || len(a.Wrong) == 0 || !strings.Contains(a.Wrong[0], "Sizes 1 and 2 come out the same") || strings.Count(a.Wrong[0], ".") < 2 {
		t.Errorf("%v %q", err, a.Wrong)
	}
}
