package pdf

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// maxRun bounds one run of text, in bytes. A page of print holds some 4,000; only
// a hostile document meets this, and its run ends in an ellipsis.
const maxRun = 64 << 10

// clean makes any string safe to set: valid UTF-8 in composed form, no control
// or format characters, every kind of space a space or a no-break space, and
// U+FFFD for what lies beyond the Basic Multilingual Plane or is not text.
func clean(s string) string {
	if len(s) > maxRun {
		s = strings.ToValidUTF8(s[:maxRun], "") + "…"
	}
	ascii := true
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			ascii = false
			break
		}
	}
	if ascii {
		return s
	}
	s = norm.NFC.String(strings.ToValidUTF8(s, "\ufffd"))
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || r == '\r' || r == '\u2028' || r == '\u2029':
			return ' '
		case r == '\u00a0' || r == '\u202f' || r == '\u2007':
			return '\u00a0'
		case r == '\u00ad':
			return -1
		case unicode.IsControl(r) || unicode.Is(unicode.Cf, r) || unicode.Is(unicode.Variation_Selector, r):
			return -1
		case unicode.Is(unicode.Zs, r):
			return ' '
		case r >= 0x10000 || unicode.Is(unicode.Co, r):
			return '\ufffd'
		}
		return r
	}, s)
}
