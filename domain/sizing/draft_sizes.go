package sizing

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// Sizes of a draft from bodies and ease.

// wearers are the groups of bodies by what a designer calls them.
var wearers = []struct {
	name  string
	group Group
	kind  string // of forms, see Form.Group
}{
	{"women", Women, "body"}, {"men", Men, "body"}, {"children", Children, "body"}, {"babies", Babies, "body"},
	{"heads", Head, "head"}, {"hands", Hand, "hand"},
}

// Wearers lists whose bodies there are tables of.
func Wearers() []string {
	var out []string
	for _, w := range wearers {
		out = append(out, w.name)
	}
	return out
}

// WearersFor lists those that a form can be drafted for, the usual first.
func WearersFor(f Form) []string {
	var out []string
	for _, w := range wearers {
		if w.kind == f.Group {
			out = append(out, w.name)
		}
	}
	return out
}

// GroupOf is the group of bodies that a name of Wearers means.
func GroupOf(name string) (Group, bool) {
	i := slices.IndexFunc(wearers, func(w struct {
		name  string
		group Group
		kind  string
	}) bool {
		return w.name == name
	})
	if i < 0 {
		return "", false
	}
	return wearers[i].group, true
}

// FinishedFor is the finished measurements of a form for a body with ease. What no
// table gives comes from proportion, see Derive; lengths that are a matter of taste are left
// to the form: what is missing it works out from the others. The amounts added here to
// depths and widths are common practice.
func FinishedFor(f Form, b Body, e Ease) map[string]Length {
	out := map[string]Length{}
	take := func(name string) Length {
		v, _, err := b.Take(name)
		if err != nil {
			return 0
		}
		return v
	}
	switch f.Group {
	case "head":
		if v := take("head_circumference"); v > 0 {
			out["around"] = e.Apply(v)
			out["depth"] = v*Length(0.36) + Cm(3)
		}
		return out
	case "hand":
		if v := take("hand_circumference"); v > 0 {
			out["around"] = e.Apply(v)
		}
		return out
	}
	set := func(key string, v Length) {
		if v > 0 && slices.ContainsFunc(f.Measures, func(m Measure) bool { return m.Key == key }) {
			out[key] = v
		}
	}
	chest := b.Chest()
	if chest <= 0 {
		return out
	}
	wide := e.Apply(chest)
	set("chest", wide)
	arm := take("upper_arm") * Length(1.12)
	depth := take("armhole_depth") + Cm(2.5)
	if f.Name == "pullover" || f.Name == "cardigan" { // a dropped shoulder hangs lower
		depth = max(depth+Cm(1.5), arm/2)
	}
	set("armhole", depth)
	set("yoke", depth+Cm(2))
	set("length", take("back_waist_length")*Length(1.38))
	set("across", take("cross_back"))
	neck := take("neck_width")
	if f.Name == "raglan" {
		neck *= 2.7
	}
	set("neck", neck)
	set("drop", take("front_neck_depth"))
	set("upper", arm)
	set("cuff", take("wrist")*Length(1.2))
	sleeve := take("arm_length_to_underarm")
	if f.Name == "pullover" || f.Name == "cardigan" {
		if v := take("centre_back_neck_to_wrist") - wide/4; v > 0 {
			sleeve = v
		}
	}
	set("sleeve", sleeve)
	return out
}

// SizesFrom reads sizes: labels of a body table (S,M,L), the main measurement of each
// in centimetres (92,102,112), or both (S=92,M=102); nothing is one size, or for
// what is worn the sizes of the table. Who wears it is one of WearersFor, "" the usual;
// ease is a class, an amount, or "" for the usual. Errors say what there is.
func SizesFrom(f Form, who, sizes, ease string) ([]DraftSize, error) {
	if who == "" {
		if w := WearersFor(f); len(w) > 0 {
			who = w[0]
		}
	}
	group, known := GroupOf(who)
	if who != "" && (!known || !slices.Contains(WearersFor(f), who)) {
		if len(WearersFor(f)) == 0 {
			return nil, fmt.Errorf("a %s is drafted for no body", strings.ToLower(f.Title))
		}
		return nil, fmt.Errorf("a %s is drafted for %s, not for %q", strings.ToLower(f.Title), strings.Join(WearersFor(f), ", "), who)
	}
	place := map[string]string{"body": "chest", "head": "head", "hand": "hand"}[f.Group]
	e := UsualEase(place)
	if ease != "" {
		var err error
		if e, err = ParseEase(ease, place); err != nil {
			return nil, err
		}
	}
	parts := strings.FieldsFunc(sizes, func(r rune) bool { return r == ',' || r == ';' || r == '\n' })
	if len(parts) == 0 && known && f.Group == "body" {
		for _, b := range Bodies(group) {
			parts = append(parts, b.Size)
		}
	}
	if len(parts) == 0 {
		return []DraftSize{{Label: "one size", Wants: map[string]Length{}}}, nil
	}
	if len(parts) > MaxSizes {
		return nil, fmt.Errorf("%d sizes; from 1 to %d", len(parts), MaxSizes)
	}
	var out []DraftSize
	for i, p := range parts {
		label, cm, has := strings.Cut(strings.TrimSpace(p), "=")
		label = strings.TrimSpace(label)
		if n, err := strconv.ParseFloat(label, 64); err == nil && !has && (!known || n > 25 || f.Group == "hand") { // ages are below, in the tables of bodies
			cm, has, label = label, true, strconv.Itoa(i+1)
		}
		s := DraftSize{Label: label, Wants: map[string]Length{}}
		if has {
			n, err := strconv.ParseFloat(strings.TrimSpace(cm), 64)
			if err != nil || n <= 0 || n > 500 {
				return nil, fmt.Errorf("size %q: write the %s in cm, for example %s=92", p, strings.ToLower(f.Measures[0].Name), label)
			}
			s.Wants[f.Measures[0].Key] = Cm(n)
		}
		if known && !has {
			b, err := Find(group, label)
			if err != nil {
				return nil, fmt.Errorf("%w; or give the %s in cm, as %s=92", err, strings.ToLower(f.Measures[0].Name), label)
			}
			s.Wants = FinishedFor(f, b, e)
			s.Label = ShortLabel(b.Size)
		}
		if !known && !has {
			return nil, fmt.Errorf("size %q: a %s has no table of bodies; write its %s in cm, as %s=60", label, strings.ToLower(f.Title), strings.ToLower(f.Measures[0].Name), label)
		}
		out = append(out, s)
	}
	return out, nil
}

var shortLabels = map[string]string{"X-Small": "XS", "Small": "S", "Medium": "M", "Large": "L", "X-Large": "XL", "XX-Large": "XXL"}

// ShortLabel is a size of the tables as a pattern prints it: XS for X-Small, 6 mos for 6 months.
func ShortLabel(size string) string {
	if s, ok := shortLabels[size]; ok {
		return s
	}
	return strings.NewReplacer(" months", " mos").Replace(size)
}

// Wanted is the measurements that a draft of these sizes aims at, by the keys of the
// form's measures: those given, and those worked out from them.
func Wanted(f Form, sizes []DraftSize) (map[string][]Length, error) {
	d := &drafting{req: &Request{Sizes: sizes}, form: f, n: len(sizes)}
	err := d.wants()
	return d.want, err
}
