// Package photo takes photographs in: it decodes what a camera wrote, turns it upright,
// brings it to a size for a page and writes it anew as JPEG, so that nothing of the file
// survives but the picture: no place, no time, no name of a camera. It imports nothing of
// ours.
package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/color"
	"image/draw"
	"image/jpeg"
	_ "image/png" // decodes PNG
	"math"
)

const (
	// MostBytes is the largest file that is taken.
	MostBytes = 8 << 20
	// MostPixels bounds what a JPEG file may unfold to, in pixels; a PNG file half of it.
	MostPixels = 50_000_000
	// LongSide is the longer side of the photograph that is kept, at the most, in pixels.
	LongSide = 1600
	// SmallSide is that of the one for lists.
	SmallSide = 360
	quality   = 85
)

// Errors of what cannot be taken.
var (
	ErrKind = errors.New("not a JPEG or PNG picture")
	ErrBig  = errors.New("the picture is too big")
)

// Photo is a photograph as it is kept.
type Photo struct {
	JPEG, Small   []byte
	Width, Height int // of JPEG, in pixels
}

// Read takes a JPEG or PNG file. It errs with ErrBig beyond MostBytes or MostPixels, and
// with ErrKind where the file is neither or is broken.
func Read(file []byte) (Photo, error) {
	if len(file) > MostBytes {
		return Photo{}, fmt.Errorf("%d bytes: %w", len(file), ErrBig)
	}
	head, kind, err := image.DecodeConfig(bytes.NewReader(file))
	if err != nil || kind != "jpeg" && kind != "png" {
		return Photo{}, fmt.Errorf("%w: %v", ErrKind, err)
	}
	if head.Width < 1 || head.Height < 1 {
		return Photo{}, fmt.Errorf("%w: it is empty", ErrKind)
	}
	most := MostPixels
	if kind == "png" {
		most /= 2 // up to 8 bytes a pixel, against 3
	}
	if head.Width > most/head.Height {
		return Photo{}, fmt.Errorf("%d by %d pixels: %w", head.Width, head.Height, ErrBig)
	}
	src, _, err := image.Decode(bytes.NewReader(file))
	if err != nil {
		return Photo{}, fmt.Errorf("%w: %v", ErrKind, err)
	}
	turned := 1
	if kind == "jpeg" {
		turned = orientation(file)
	}
	full := upright(shrink(src, LongSide), turned)
	p := Photo{Width: full.Bounds().Dx(), Height: full.Bounds().Dy()}
	if p.JPEG, err = encode(full); err != nil {
		return Photo{}, err
	}
	p.Small, err = encode(shrink(full, SmallSide))
	return p, err
}

func encode(m image.Image) ([]byte, error) {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, &jpeg.Options{Quality: quality}); err != nil {
		return nil, fmt.Errorf("photo: %w", err)
	}
	return b.Bytes(), nil
}

// shrink brings a picture to a longer side of most pixels, on white, each pixel the mean
// of those it stands for. A smaller picture stays as it is.
func shrink(src image.Image, most int) *image.RGBA {
	b := src.Bounds()
	w, h := b.Dx(), b.Dy()
	if long := max(w, h); long > most {
		w = max(1, int(math.Round(float64(w)*float64(most)/float64(long))))
		h = max(1, int(math.Round(float64(h)*float64(most)/float64(long))))
	}
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	// a band of rows at a time, so that no second whole picture is held
	for y := range h {
		y0, y1 := b.Min.Y+y*b.Dy()/h, b.Min.Y+max((y+1)*b.Dy()/h, y*b.Dy()/h+1)
		band := image.NewRGBA(image.Rect(0, 0, b.Dx(), y1-y0))
		draw.Draw(band, band.Bounds(), image.NewUniform(color.White), image.Point{}, draw.Src)
		draw.Draw(band, band.Bounds(), src, image.Pt(b.Min.X, y0), draw.Over)
		for x := range w {
			x0, x1 := x*b.Dx()/w, max((x+1)*b.Dx()/w, x*b.Dx()/w+1)
			var r, g, bl, n int
			for yy := range y1 - y0 {
				row := band.Pix[yy*band.Stride+x0*4 : yy*band.Stride+x1*4]
				for i := 0; i < len(row); i += 4 {
					r, g, bl, n = r+int(row[i]), g+int(row[i+1]), bl+int(row[i+2]), n+1
				}
			}
			out.SetRGBA(x, y, color.RGBA{uint8(r / n), uint8(g / n), uint8(bl / n), 255})
		}
	}
	return out
}

// upright turns a picture as its orientation says (Exif 2.32, tag 0x0112: 1 to 8).
func upright(m *image.RGBA, o int) *image.RGBA {
	if o < 2 || o > 8 {
		return m
	}
	w, h := m.Bounds().Dx(), m.Bounds().Dy()
	ow, oh := w, h
	if o >= 5 {
		ow, oh = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, ow, oh))
	for y := range h {
		for x := range w {
			var p image.Point
			switch o {
			case 2:
				p = image.Pt(w-1-x, y)
			case 3:
				p = image.Pt(w-1-x, h-1-y)
			case 4:
				p = image.Pt(x, h-1-y)
			case 5:
				p = image.Pt(y, x)
			case 6:
				p = image.Pt(h-1-y, x)
			case 7:
				p = image.Pt(h-1-y, w-1-x)
			case 8:
				p = image.Pt(y, w-1-x)
			}
			out.SetRGBA(p.X, p.Y, m.RGBAAt(x, y))
		}
	}
	return out
}

// orientation reads which way up a camera held the picture, 1 where it does not say: tag
// 0x0112 of the first directory of the Exif segment of a JPEG file.
func orientation(file []byte) int {
	for i := 2; i+4 <= len(file) && file[i] == 0xff; {
		marker, n := file[i+1], int(binary.BigEndian.Uint16(file[i+2:]))
		if marker == 0xda || n < 2 || i+2+n > len(file) {
			break
		}
		body := file[i+4 : i+2+n]
		if marker == 0xe1 && len(body) > 14 && string(body[:6]) == "Exif\x00\x00" {
			return tiffOrientation(body[6:])
		}
		i += 2 + n
	}
	return 1
}

func tiffOrientation(t []byte) int {
	var order binary.ByteOrder = binary.LittleEndian
	if string(t[:2]) == "MM" {
		order = binary.BigEndian
	}
	at := int(order.Uint32(t[4:]))
	if at < 8 || at+2 > len(t) {
		return 1
	}
	for k := range int(order.Uint16(t[at:])) {
		e := at + 2 + 12*k
		if e+12 > len(t) {
			break
		}
		if order.Uint16(t[e:]) == 0x0112 {
			if o := int(order.Uint16(t[e+8:])); o >= 1 && o <= 8 {
				return o
			}
		}
	}
	return 1
}
