package notation

import "rowproof/domain/finding"

// This file tells where an operation stands in the text.

// SpanOf gives the place of an op.
func SpanOf(o Op) finding.Span {
	switch o := o.(type) {
	case *Do:
		return o.Span
	case *Group:
		return o.Span
	case *Until:
		return o.Span
	case *Repeat:
		return o.Span
	case *Again:
		return o.Span
	case *Into:
		return o.Span
	case *Turn:
		return o.Span
	case *Mark:
		return o.Span
	case *BindOff:
		return o.Span
	case *CastOn:
		return o.Span
	case *ToCable:
		return o.Span
	case *Hold:
		return o.Span
	case *Unhold:
		return o.Span
	case *Return:
		return o.Span
	case *UseYarn:
		return o.Span
	case *DropAll:
		return o.Span
	case *Slide:
		return o.Span
	case *Leave:
		return o.Span
	case *PattOver:
		return o.Span
	case *Spread:
		return o.Span
	case *Join:
		return o.Span
	case *Remark:
		return o.Span
	case *Unknown:
		return o.Span
	}
	panic("notation: op of unknown kind")
}
