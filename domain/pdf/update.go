package pdf

import (
	"bytes"
	"compress/zlib"
	"crypto/sha256"
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"unicode/utf16"
)

// update is an incremental update (ISO 32000-1, 7.5.6): objects appended to a
// finished file that replace those of the same number. gofpdf writes the file;
// the update gives it what gofpdf cannot: the structure tree, our font subsets,
// the language.
type update struct {
	base   []byte
	next   int // first free object number
	offset map[int]int
	buf    bytes.Buffer
	root   int
	info   int
	xref   int
}

var (
	reSize  = regexp.MustCompile(`/Size (\d+)`)
	reRoot  = regexp.MustCompile(`/Root (\d+) 0 R`)
	reInfo  = regexp.MustCompile(`/Info (\d+) 0 R`)
	reXref  = regexp.MustCompile(`startxref\s+(\d+)\s+%%EOF\s*$`)
	reLines = regexp.MustCompile(`/Outlines (\d+) 0 R`)
)

// newUpdate reads the trailer of a finished file.
func newUpdate(base []byte) (*update, error) {
	u := &update{base: base, offset: map[int]int{}}
	at := bytes.LastIndex(base, []byte("trailer"))
	if at < 0 {
		return nil, fmt.Errorf("pdf: BUG: no trailer in gofpdf's output")
	}
	tail := base[at:]
	for _, x := range []struct {
		re *regexp.Regexp
		to *int
	}{{reSize, &u.next}, {reRoot, &u.root}, {reInfo, &u.info}, {reXref, &u.xref}} {
		m := x.re.FindSubmatch(tail)
		if m == nil {
			return nil, fmt.Errorf("pdf: BUG: trailer of gofpdf's output lacks %v", x.re)
		}
		*x.to, _ = strconv.Atoi(string(m[1]))
	}
	return u, nil
}

// outlines is the object number of the bookmarks, 0 for none.
func (u *update) outlines() int {
	at := bytes.LastIndex(u.base, []byte("/Type /Catalog"))
	if at < 0 {
		return 0
	}
	if m := reLines.FindSubmatch(u.base[at:]); m != nil {
		n, _ := strconv.Atoi(string(m[1]))
		return n
	}
	return 0
}

// reserve takes an object number to be written later.
func (u *update) reserve() int {
	u.next++
	return u.next - 1
}

// put writes object n, replacing the one that had the number.
func (u *update) put(n int, body string) {
	u.offset[n] = len(u.base) + u.buf.Len()
	fmt.Fprintf(&u.buf, "%d 0 obj\n%s\nendobj\n", n, body)
}

// object writes a new object and returns its number.
func (u *update) object(body string) int {
	n := u.reserve()
	u.put(n, body)
	return n
}

// stream writes a compressed stream with further dictionary entries.
func (u *update) stream(dict string, data []byte) int {
	var z bytes.Buffer
	w := zlib.NewWriter(&z)
	_, _ = w.Write(data) // a bytes.Buffer takes everything
	_ = w.Close()
	n := u.reserve()
	u.offset[n] = len(u.base) + u.buf.Len()
	fmt.Fprintf(&u.buf, "%d 0 obj\n<</Filter /FlateDecode %s /Length %d>>\nstream\n", n, dict, z.Len())
	u.buf.Write(z.Bytes())
	u.buf.WriteString("\nendstream\nendobj\n")
	return n
}

// plainStream writes an uncompressed stream: metadata that others scan for.
func (u *update) plainStream(dict, data string) int {
	return u.object(fmt.Sprintf("<<%s /Length %d>>\nstream\n%s\nendstream", dict, len(data), data))
}

// finish returns the whole file with its second cross-reference section.
func (u *update) finish() []byte {
	sum := sha256.New()
	sum.Write(u.base)
	sum.Write(u.buf.Bytes())
	id := fmt.Sprintf("%X", sum.Sum(nil)[:16])
	var nums []int
	for n := range u.offset {
		nums = append(nums, n)
	}
	sort.Ints(nums)
	at := len(u.base) + u.buf.Len()
	b := &u.buf
	b.WriteString("xref\n")
	for i := 0; i < len(nums); {
		j := i
		for j+1 < len(nums) && nums[j+1] == nums[j]+1 {
			j++
		}
		fmt.Fprintf(b, "%d %d\n", nums[i], j-i+1)
		for ; i <= j; i++ {
			fmt.Fprintf(b, "%010d 00000 n \n", u.offset[nums[i]])
		}
	}
	fmt.Fprintf(b, "trailer\n<</Size %d /Root %d 0 R /Info %d 0 R /Prev %d /ID [<%s> <%s>]>>\nstartxref\n%d\n%%%%EOF\n",
		u.next, u.root, u.info, u.xref, id, id, at)
	return append(u.base, b.Bytes()...)
}

func ascii(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// textString is a text string as PDF wants it: plain, or UTF-16 with its mark.
func textString(s string) string {
	if ascii(s) {
		return pdfString(s)
	}
	var b strings.Builder
	b.WriteString("<FEFF")
	for _, c := range utf16.Encode([]rune(s)) {
		fmt.Fprintf(&b, "%04X", c)
	}
	b.WriteByte('>')
	return b.String()
}

// rawText is the same as raw bytes, for gofpdf to escape.
func rawText(s string) string {
	if ascii(s) {
		return s
	}
	b := []byte{0xfe, 0xff}
	for _, c := range utf16.Encode([]rune(s)) {
		b = append(b, byte(c>>8), byte(c))
	}
	return string(b)
}
