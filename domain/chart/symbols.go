package chart

import (
	_ "embed"
	"fmt"
	"strconv"
	"strings"
	"sync"
)

//go:embed symbols.tsv
var symbolsTSV string

// Sets are the names of the symbol sets, the default first.
var Sets = []string{"plain", "jis"}

// Point is a place in a cell: 0,0 is its upper left, 1,1 its lower right.
type Point struct{ X, Y float64 }

// Seg is a step of a path: M to a point, L line, C curve (P holds two controls
// and the end), Z back to the start.
type Seg struct {
	Op byte
	P  [3]Point
}

// Mark is one part of a shape: a path stroked or filled, or letters.
type Mark struct {
	Fill   bool
	Path   []Seg
	Text   string // drawn in the middle of the cell
	Number bool   // the cell's number stands at At
	At     Point  // middle of the number, or of a ring or dot

	round  bool // a ring or a dot
	radius float64
}

// Symbol is one symbol of a set. Its words hold # where the number stands.
type Symbol struct {
	ID     string
	Source string // read, memory or own: how the shape is known
	Shape  []Mark
	Short  string // for reading aloud
	RS, WS string // what to work; WS "" where it is the same
}

type set struct {
	order []string
	by    map[string]*Symbol
}

var symbolSets = sync.OnceValue(func() map[string]*set {
	sets := map[string]*set{}
	for n, line := range strings.Split(symbolsTSV, "\n") {
		if line == "" || line[0] == '#' || strings.HasPrefix(line, "set\t") {
			continue
		}
		f := strings.Split(line, "\t")
		if len(f) != 7 {
			panic(fmt.Sprintf("chart: symbols.tsv line %d has %d fields", n+1, len(f)))
		}
		s := sets[f[0]]
		if s == nil {
			s = &set{by: map[string]*Symbol{}}
			sets[f[0]] = s
		}
		sym := &Symbol{ID: f[1], Source: f[2], Short: f[4], RS: f[5], WS: f[6]}
		if sym.WS == "-" {
			sym.WS = ""
		}
		for _, part := range strings.Split(f[3], ";") {
			part = strings.TrimSpace(part)
			if part == "" {
				continue
			}
			marks, err := s.mark(part)
			if err != nil {
				panic(fmt.Sprintf("chart: symbols.tsv line %d: %v", n+1, err))
			}
			sym.Shape = append(sym.Shape, marks...)
		}
		s.by[sym.ID] = sym
		s.order = append(s.order, sym.ID)
	}
	return sets
})

// SymbolOf gives a symbol of a set, nil where there is none.
func SymbolOf(set, id string) *Symbol {
	if s := symbolSets()[set]; s != nil {
		return s.by[id]
	}
	return nil
}

// mark reads one part of a shape.
func (s *set) mark(part string) ([]Mark, error) {
	kind, rest, _ := strings.Cut(part, " ")
	switch kind {
	case "#":
		v, err := numbers(rest, 2)
		if err != nil {
			return nil, err
		}
		return []Mark{{Number: true, At: Point{v[0], v[1]}}}, nil
	case "t":
		return []Mark{{Text: rest}}, nil
	case "use":
		from := s.by[rest]
		if from == nil {
			return nil, fmt.Errorf("no shape %q above", rest)
		}
		var out []Mark
		for _, m := range from.Shape {
			if m.Number {
				continue
			}
			c := Mark{Fill: m.Fill, Text: m.Text, At: Point{m.At.X, m.At.Y * 0.84}, round: m.round, radius: m.radius}
			for _, g := range m.Path {
				for i := range g.P {
					g.P[i].Y *= 0.84
				}
				c.Path = append(c.Path, g)
			}
			out = append(out, c)
		}
		return out, nil
	case "o", "d":
		v, err := numbers(rest, 3)
		if err != nil {
			return nil, err
		}
		return []Mark{{Fill: kind == "d", Path: circle(v[0], v[1], v[2]), At: Point{v[0], v[1]}, round: true, radius: v[2]}}, nil
	case "s", "f":
		p, err := path(rest)
		return []Mark{{Fill: kind == "f", Path: p}}, err
	}
	return nil, fmt.Errorf("%q is no part of a shape", kind)
}

func numbers(s string, n int) ([]float64, error) {
	f := strings.Fields(s)
	if len(f) != n {
		return nil, fmt.Errorf("%d numbers wanted: %q", n, s)
	}
	out := make([]float64, n)
	for i := range f {
		v, err := strconv.ParseFloat(f[i], 64)
		if err != nil {
			return nil, err
		}
		out[i] = v
	}
	return out, nil
}

func path(s string) ([]Seg, error) {
	f := strings.Fields(s)
	var out []Seg
	for i := 0; i < len(f); {
		g := Seg{Op: f[i][0]}
		n := map[string]int{"M": 1, "L": 1, "C": 3, "Z": 0}[f[i]]
		if n == 0 && f[i] != "Z" || i+2*n >= len(f)+1 || len(f)-i-1 < 2*n {
			return nil, fmt.Errorf("path stops at %q", strings.Join(f[i:], " "))
		}
		v, err := numbers(strings.Join(f[i+1:i+1+2*n], " "), 2*n)
		if err != nil {
			return nil, err
		}
		for k := 0; k < n; k++ {
			g.P[k] = Point{v[2*k], v[2*k+1]}
		}
		out = append(out, g)
		i += 1 + 2*n
	}
	return out, nil
}

// circle is a circle in four curves; 0.5523 is the usual length of a control
// arm, exact to a 4000th of the radius.
func circle(x, y, r float64) []Seg {
	k := r * 0.5523
	return []Seg{{Op: 'M', P: [3]Point{{x + r, y}}},
		{Op: 'C', P: [3]Point{{x + r, y + k}, {x + k, y + r}, {x, y + r}}},
		{Op: 'C', P: [3]Point{{x - k, y + r}, {x - r, y + k}, {x - r, y}}},
		{Op: 'C', P: [3]Point{{x - r, y - k}, {x - k, y - r}, {x, y - r}}},
		{Op: 'C', P: [3]Point{{x + k, y - r}, {x + r, y - k}, {x + r, y}}},
		{Op: 'Z'}}
}
