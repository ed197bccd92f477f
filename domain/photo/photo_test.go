package photo

import (
	"bytes"
	"encoding/binary"
	"errors"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"testing"
)

// quarters is a picture with a red upper left quarter and a blue lower right one.
func quarters(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.RGBA{240, 240, 240, 255}
			switch {
			case x < w/2 && y < h/2:
				c = color.RGBA{200, 0, 0, 255}
			case x >= w/2 && y >= h/2:
				c = color.RGBA{0, 0, 200, 255}
			}
			m.SetRGBA(x, y, c)
		}
	}
	return m
}

// withExif puts an Exif segment, in the given byte order, with an orientation and a place
// into a JPEG file.
func withExif(t *testing.T, m image.Image, order binary.AppendByteOrder, o uint16) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	tiff := []byte("II*\x00")
	if order.String() == "BigEndian" {
		tiff = []byte("MM\x00*")
	}
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 1)
	tiff = order.AppendUint16(tiff, 0x0112)
	tiff = order.AppendUint16(tiff, 3)
	tiff = order.AppendUint32(tiff, 1)
	tiff = order.AppendUint16(tiff, o)
	tiff = append(tiff, 0, 0, 0, 0, 0, 0)
	tiff = append(tiff, "GPS Gablehook Lane 3"...)
	seg := append([]byte("Exif\x00\x00"), tiff...)
	out := append([]byte{0xff, 0xd8, 0xff, 0xe1}, byte((len(seg)+2)>>8), byte(len(seg)+2))
	out = append(out, seg...)
	return append(out, b.Bytes()[2:]...)
}

func TestReadShrinksAndForgets(t *testing.T) {
	file := withExif(t, quarters(3200, 2000), binary.LittleEndian, 1)
	p, err := Read(file)
	if err != nil || p.Width != 1600 || p.Height != 1000 {
		t.Fatalf("%d by %d, %v", p.Width, p.Height, err)
	}
	for _, b := range [][]byte{p.JPEG, p.Small} {
		if bytes.Contains(b, []byte("Gablehook")) || bytes.Contains(b, []byte("Exif")) {
			t.Error("something of the file beside the picture survives")
		}
	}
	small, _, err := image.DecodeConfig(bytes.NewReader(p.Small))
	if err != nil || small.Width != SmallSide {
		t.Errorf("small: %v, %v", small, err)
	}
}

// TestUpright: the red quarter ends where the orientation puts it. The first row and
// column of the file are, by orientation: top left, top right, bottom right, bottom left,
// left top, right top, right bottom, left bottom (Exif 2.32, 4.6.4).
func TestUpright(t *testing.T) {
	const w, h = 64, 40
	for o, red := range map[uint16][2]bool{ // right half, lower half
		1: {false, false}, 2: {true, false}, 3: {true, true}, 4: {false, true},
		5: {false, false}, 6: {true, false}, 7: {true, true}, 8: {false, true},
	} {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			p, err := Read(withExif(t, quarters(w, h), order, o))
			if err != nil {
				t.Fatal(err)
			}
			if (p.Width > p.Height) != (o < 5) {
				t.Errorf("orientation %d: %d by %d", o, p.Width, p.Height)
			}
			m, _, err := image.Decode(bytes.NewReader(p.JPEG))
			if err != nil {
				t.Fatal(err)
			}
			x, y := p.Width/4, p.Height/4
			if red[0] {
				x = 3 * p.Width / 4
			}
			if red[1] {
				y = 3 * p.Height / 4
			}
			if r, _, b, _ := m.At(x, y).RGBA(); r>>8 < 150 || b>>8 > 80 {
				t.Errorf("orientation %d, %v: no red at %d, %d", o, order, x, y)
			}
		}
	}
}

func TestReadPNG(t *testing.T) {
	var b bytes.Buffer
	m := image.NewNRGBA(image.Rect(0, 0, 30, 20)) // see-through: white
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	p, err := Read(b.Bytes())
	if err != nil || p.Width != 30 || p.Height != 20 {
		t.Fatalf("%d by %d, %v", p.Width, p.Height, err)
	}
	back, kind, err := image.Decode(bytes.NewReader(p.JPEG))
	if err != nil || kind != "jpeg" {
		t.Fatal(kind, err)
	}
	if r, _, _, _ := back.At(5, 5).RGBA(); r>>8 < 250 {
		t.Errorf("see-through is %d, not white", r>>8)
	}
}

func TestReadRefuses(t *testing.T) {
	huge := make([]byte, MostBytes+1)
	if _, err := Read(huge); !errors.Is(err, ErrBig) {
		t.Errorf("a file of over 8 MiB: %v", err)
	}
	var b bytes.Buffer
	if err := png.Encode(&b, image.NewGray(image.Rect(0, 0, 8, 8))); err != nil {
		t.Fatal(err)
	}
	bomb := b.Bytes()
	binary.BigEndian.PutUint32(bomb[16:], 60_000)
	binary.BigEndian.PutUint32(bomb[20:], 60_000)
	// the checksum of the head is wrong now, which is one more reason to refuse it
	if _, err := Read(bomb); !errors.Is(err, ErrBig) && !errors.Is(err, ErrKind) {
		t.Errorf("a picture of 60000 by 60000: %v", err)
	}
	for _, s := range []string{"", "GIF89a", "<svg/>", "\xff\xd8\xff\xe1\xff\xffExif", string(b.Bytes()[:40])} {
		if _, err := Read([]byte(s)); !errors.Is(err, ErrKind) {
			t.Errorf("%q: %v", s, err)
		}
	}
}

func FuzzOrientation(f *testing.F) {
	f.Add([]byte("\xff\xd8\xff\xe1\x00\x20Exif\x00\x00MM\x00*\x00\x00\x00\x08\x00\x01\x01\x12\x00\x03\x00\x00\x00\x01\x00\x06\x00\x00"))
	f.Fuzz(func(t *testing.T, file []byte) {
		if o := orientation(file); o < 1 || o > 8 {
			t.Errorf("orientation %d", o)
		}
	})
}
