package notation

import (
	"fmt"
	"reflect"
	"sort"
	"strings"

	"rowproof/domain/finding"
)

// Strip returns a copy of a manuscript in the shape that Equal compares. What it
// leaves out or levels is what two texts of the same pattern may differ in:
//
//   - places (every Span), Source and Findings;
//   - blank lines, the line of the sizes (Manuscript.Sizes says them), and white
//     space, full stops and colons at the end of prose;
//   - the words of an item that its other fields say again: Head.Words of a
//     numbered row and of a row without head, Words of RepRows, Shape, Straight,
//     BindOffAll, HoldAll and As, Begin.Text, Begin.Sum and Before (their addends are words), the mark of a repeat, what a head's
//     bracket said of sizes (Row.Only has it);
//   - the words of a Straight that has none, against those that Write gives it;
//   - a number of times that is 1 against one not written; nil against empty;
//   - yarns: their order, and those that no row uses (their letters may stand in
//     words that are levelled).
func Strip(ms *Manuscript) *Manuscript {
	c := deepCopy(reflect.ValueOf(ms)).Interface().(*Manuscript)
	c.Source, c.Findings, c.Some = nil, finding.List{}, 0
	yarns := map[string]bool{}
	items := c.Items[:0]
	for _, it := range c.Items {
		switch it := it.(type) {
		case *Blank, *Sizes:
			continue
		case *Prose:
			it.Text = bareProse(it.Text)
			if it.Text == "" {
				continue
			}
		case *Title:
			it.Text = strings.TrimSpace(it.Text)
			c.Title = it.Text
		case *Row:
			stripRow(it, yarns)
		case *RepRows:
			it.Words = ""
			if !it.Times.N.Given() {
				it.Times = Target{}
			}
		case *Shape:
			it.Unworked = false // of its words
			it.Words = ""
			if it.Rep != nil {
				rep := *it.Rep
				rep.Words = ""
				it.Rep = &rep
			}
		case *Straight:
			it.Stitch = strings.ToLower(straightWords(it))
			it.Words = ""
		case *BindOffAll:
			it.Words = ""
		case *HoldAll:
			it.Words = ""
		case *As:
			it.Words = ""
		case *Begin:
			it.Text, it.Sum, it.Before, it.Again, it.Addends = "", Num{}, Num{}, Num{}, 0
		}
		items = append(items, it)
	}
	c.Items = items
	for _, s := range c.Own {
		stripOps(s.Body, yarns)
	}
	c.Yarns = nil
	for y := range yarns {
		c.Yarns = append(c.Yarns, y)
	}
	sort.Strings(c.Yarns)
	return c
}

func bareProse(s string) string {
	return strings.TrimRight(strings.Join(strings.Fields(s), " "), " .:")
}

func stripRow(r *Row, yarns map[string]bool) {
	r.Head.Only = nil
	if len(r.Head.Numbers) > 0 || !isHeadText(r.Head.Words) {
		r.Head.Words = ""
	}
	r.Prose = bareProse(r.Prose)
	stripOps(r.Body, yarns)
}

func isHeadText(words string) bool {
	toks := scanLine(words+":", 1)
	p := &parser{toks: toks, sizes: 1, vocab: Standard(), out: &finding.List{}, quiet: true}
	_, j, ok := p.head(0)
	return ok && j == len(toks)
}

func stripOps(ops []Op, yarns map[string]bool) {
	one := func(n *Num) {
		if len(n.Vals) == 1 && n.Vals[0] == 1 {
			n.Vals = nil
		}
	}
	each(ops, func(o Op) {
		switch o := o.(type) {
		case *Do:
			one(&o.Times)
			if o.Wraps == 1 {
				o.Wraps = 0
			}
		case *Group:
			one(&o.Times)
		case *Into:
			one(&o.Times)
			one(&o.Sts)
		case *Repeat:
			o.Mark = ""
			if o.Instead != nil && o.Last == nil {
				o.Last = []Op{}
			}
		case *UseYarn:
			yarns[o.Yarn] = true
		case *Remark:
			o.Text = bareProse(o.Text)
		}
	})
}

// Equal says that two manuscripts are the same pattern; see Strip for what is
// compared.
func Equal(a, b *Manuscript) bool { return Difference(a, b) == "" }

// Difference names the first thing in which two manuscripts differ, in a form
// for tests and logs; it is "" where they are Equal.
func Difference(a, b *Manuscript) string {
	x, y := Strip(a), Strip(b)
	for i := range max(len(x.Items), len(y.Items)) {
		switch {
		case i >= len(x.Items):
			return fmt.Sprintf("item %d: nothing against %s", i, Show(y.Items[i]))
		case i >= len(y.Items):
			return fmt.Sprintf("item %d: %s against nothing", i, Show(x.Items[i]))
		case !reflect.DeepEqual(x.Items[i], y.Items[i]):
			return fmt.Sprintf("item %d:\n %s\nagainst\n %s", i, Show(x.Items[i]), Show(y.Items[i]))
		}
	}
	x.Items, y.Items = nil, nil
	if !reflect.DeepEqual(x, y) {
		return fmt.Sprintf("\n %s\nagainst\n %s", Show(x), Show(y))
	}
	return ""
}

// Show writes a node with its fields, empty ones left out.
func Show(v any) string {
	var b strings.Builder
	show(&b, reflect.ValueOf(v))
	return b.String()
}

func show(b *strings.Builder, v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer, reflect.Interface:
		if v.IsNil() {
			b.WriteString("nil")
			return
		}
		show(b, v.Elem())
	case reflect.Struct:
		if n, ok := v.Interface().(Num); ok {
			fmt.Fprint(b, n.Vals)
			return
		}
		b.WriteString(v.Type().Name() + "{")
		sep := ""
		for i := range v.NumField() {
			f := v.Type().Field(i)
			if f.Type == spanType || !f.IsExported() || v.Field(i).IsZero() {
				continue
			}
			b.WriteString(sep + f.Name + ":")
			show(b, v.Field(i))
			sep = " "
		}
		b.WriteString("}")
	case reflect.Slice:
		b.WriteString("[")
		for i := range v.Len() {
			if i > 0 {
				b.WriteString(" ")
			}
			show(b, v.Index(i))
		}
		b.WriteString("]")
	case reflect.Map:
		keys := v.MapKeys()
		sort.Slice(keys, func(i, j int) bool { return keys[i].String() < keys[j].String() })
		b.WriteString("{")
		for _, k := range keys {
			b.WriteString(k.String() + ":")
			show(b, v.MapIndex(k))
			b.WriteString(" ")
		}
		b.WriteString("}")
	case reflect.String:
		fmt.Fprintf(b, "%q", v.String())
	default:
		fmt.Fprint(b, v.Interface())
	}
}

var spanType = reflect.TypeFor[finding.Span]()

// deepCopy copies a tree; spans become zero, and empty slices nil, except those
// of ops, where an empty Last of a Repeat differs from none.
func deepCopy(v reflect.Value) reflect.Value {
	out := reflect.New(v.Type()).Elem()
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			out.Set(deepCopy(v.Elem()).Addr())
		}
	case reflect.Interface:
		if !v.IsNil() {
			out.Set(deepCopy(v.Elem()))
		}
	case reflect.Struct:
		for i := range v.NumField() {
			if v.Type().Field(i).IsExported() && v.Field(i).Type() != spanType {
				out.Field(i).Set(deepCopy(v.Field(i)))
			}
		}
	case reflect.Slice:
		if v.IsNil() || v.Len() == 0 && v.Type().Elem().Kind() != reflect.Interface {
			break
		}
		out.Set(reflect.MakeSlice(v.Type(), v.Len(), v.Len()))
		for i := range v.Len() {
			out.Index(i).Set(deepCopy(v.Index(i)))
		}
	case reflect.Map:
		out.Set(reflect.MakeMap(v.Type()))
		for _, k := range v.MapKeys() {
			out.SetMapIndex(k, deepCopy(v.MapIndex(k)))
		}
	default:
		out.Set(v)
	}
	return out
}
