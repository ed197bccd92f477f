package sizing

import (
	"fmt"
	"slices"
)

// Derived is a measurement that no table gives, taken from proportion.
type Derived struct {
	Name  string
	Value Length
	Rule  string // how it was made, in words fit to print
}

// derivation makes one measurement from another.
type derivation struct {
	from string
	f    func(Length) Length
	rule string
}

// derivations are proportions of our own, fitted to common practice as recalled,
// no published rule, unless the rule names a source. They are straight lines and
// not shares alone, for a baby's neck is wide for its back and a large arm's
// wrist narrow. Each rises with what it is taken from, so that sizes never fall.
var derivations = map[string]derivation{
	"neck_width": {"cross_back", func(l Length) Length { return l/4 + Cm(6) },
		"a quarter of the cross back plus 6 cm (common practice: 10–13 cm for children, 15–19 cm for adults)"},
	"shoulder_width": {"cross_back", func(l Length) Length { return (l - (l/4 + Cm(6))) / 2 },
		"half of what the neck leaves of the cross back"},
	"shoulder_slope": {"shoulder_width", func(l Length) Length { return l / 5 },
		"a fall of one in five along the shoulder (common practice: 2–3 cm for adults)"},
	"front_neck_depth": {"neck_width", func(l Length) Length { return l * 9 / 20 },
		"nine twentieths of the neck width (common practice: 6–8.5 cm for adults)"},
	"back_neck_depth": {"neck_width", func(l Length) Length { return l / 8 },
		"an eighth of the neck width (common practice: 2–2.5 cm for adults)"},
	"wrist": {"upper_arm", func(l Length) Length { return l*28/100 + Cm(7.5) },
		"0.28 of the upper arm plus 7.5 cm (common practice: 15–16 cm at a woman's M; 0.6 of the upper arm is the share of the percentage system, for sleeves with ease)"},
	"armhole_depth": {"back_waist_length", func(l Length) Length { return l * 5 / 12 },
		"five twelfths of the back waist length (Thomas 1938, as tabled by The Girl from Auntie)"},
	"back_waist_length": {"back_hip_length", func(l Length) Length { return l * 2 / 3 },
		"two thirds of the back hip length (common practice)"},
	"crown_length": {"head_circumference", func(l Length) Length { return l * 3 / 8 },
		"three eighths of the head circumference (fits 11–23.5 cm of Rhyflower Knits' table within 1 cm)"},
	"hand_length": {"hand_circumference", func(l Length) Length { return l },
		"as long as it is round (common practice for adults)"},
	"thumb_circumference": {"hand_circumference", func(l Length) Length { return l * 36 / 100 },
		"0.36 of the hand circumference (common practice)"},
	"ankle": {"foot_circumference", func(l Length) Length { return l },
		"as round as the foot (common practice)"},
}

// Derivable lists the measurements that [Body.Derive] can make, by name.
func Derivable() []string {
	var out []string
	for n := range derivations {
		out = append(out, n)
	}
	slices.Sort(out)
	return out
}

// Derive makes a measurement from proportion, from another that the body has or
// that is itself derived; the rule says so. The error says what is lacking.
func (b Body) Derive(name string) (Derived, error) {
	d, ok := derivations[name]
	if !ok {
		return Derived{}, fmt.Errorf("no proportion gives %q: measure it", name)
	}
	from, rule, err := b.Take(d.from)
	if err != nil {
		return Derived{}, fmt.Errorf("%s from %s: %w", name, d.from, err)
	}
	out := Derived{name, max(0, d.f(from)), d.rule}
	if rule != "" {
		out.Rule += "; " + d.from + ": " + rule
	}
	return out, nil
}

// Take gives a measurement as the table has it (its middle), else derived; rule
// is "" for the table's and says how for a derived one.
func (b Body) Take(name string) (l Length, rule string, err error) {
	if m, ok := b.Measure(name); ok {
		return m.Mid(), "", nil
	}
	d, err := b.Derive(name)
	return d.Value, d.Rule, err
}
