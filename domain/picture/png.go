package picture

import (
	"bytes"
	"compress/flate"
	"encoding/binary"
	"hash/adler32"
	"hash/crc32"
	"image"
	"io"
	"sync"
)

// encode writes an opaque picture as a PNG file of eight bits a channel (ISO/IEC
// 15948). It packs bands side by side, which image/png does not, and codes
// without a search for repeats: yarn has none, and the time is felt in a page.
func encode(w io.Writer, img *image.RGBA) error {
	b := img.Bounds()
	stride := 1 + 3*b.Dx()
	raw := rawPool.get(stride * b.Dy())
	defer rawPool.put(raw)
	n := max(1, min(workers()*2, b.Dy()/32))
	packed := make([]bytes.Buffer, n)
	errs := make([]error, n)
	each(n, func(i int) {
		y0, y1 := b.Dy()*i/n, b.Dy()*(i+1)/n
		for y := y0; y < y1; y++ {
			filter(raw[y*stride:(y+1)*stride], img, y)
		}
		packed[i].Grow((y1 - y0) * stride * 3 / 4)
		z, _ := packers.Get().(*flate.Writer)
		if z == nil {
			z, errs[i] = flate.NewWriter(&packed[i], flate.HuffmanOnly)
			if errs[i] != nil {
				return
			}
		} else {
			z.Reset(&packed[i])
		}
		defer packers.Put(z)
		if _, errs[i] = z.Write(raw[y0*stride : y1*stride]); errs[i] != nil {
			return
		}
		if i == n-1 {
			errs[i] = z.Close()
		} else {
			errs[i] = z.Flush() // ends on a whole byte, so that the next band follows
		}
	})
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	out := &bytes.Buffer{}
	out.WriteString("\x89PNG\r\n\x1a\n")
	head := binary.BigEndian.AppendUint32(nil, uint32(b.Dx()))
	head = binary.BigEndian.AppendUint32(head, uint32(b.Dy()))
	chunk(out, "IHDR", append(head, 8, 2, 0, 0, 0))
	data := [][]byte{{0x78, 0x01}}
	for i := range packed {
		data = append(data, packed[i].Bytes())
	}
	data = append(data, binary.BigEndian.AppendUint32(nil, adler32.Checksum(raw)))
	chunk(out, "IDAT", data...)
	chunk(out, "IEND")
	_, err := w.Write(out.Bytes())
	return err
}

// filter writes a line as differences from the pixel on the left: filter type 1.
func filter(dst []byte, img *image.RGBA, y int) {
	src := img.Pix[y*img.Stride : y*img.Stride+(len(dst)-1)/3*4]
	dst[0] = 1
	var r, g, b byte
	d := dst[1:]
	for len(src) >= 4 && len(d) >= 3 {
		d[0], d[1], d[2] = src[0]-r, src[1]-g, src[2]-b
		r, g, b = src[0], src[1], src[2]
		src, d = src[4:], d[3:]
	}
}

func chunk(out *bytes.Buffer, kind string, parts ...[]byte) {
	n := 0
	for _, p := range parts {
		n += len(p)
	}
	sum := crc32.NewIEEE()
	all := io.MultiWriter(out, sum)
	out.Write(binary.BigEndian.AppendUint32(nil, uint32(n)))
	io.WriteString(all, kind)
	for _, p := range parts {
		all.Write(p)
	}
	out.Write(binary.BigEndian.AppendUint32(nil, sum.Sum32()))
}

var packers sync.Pool

// bytePool keeps the raw lines of pictures for the next one.
type bytePool struct{ p sync.Pool }

var rawPool bytePool

func (b *bytePool) get(n int) []byte {
	if s, ok := b.p.Get().(*[]byte); ok && cap(*s) >= n {
		return (*s)[:n]
	}
	return make([]byte, n)
}

func (b *bytePool) put(s []byte) { b.p.Put(&s) }
