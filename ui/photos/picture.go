package photos

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"image/color"
	_ "image/gif"  // a camera's or a phone's picture may be one of these
	_ "image/jpeg" // the usual one
	_ "image/png"  // a picture of a screen

	"golang.org/x/image/draw"

	"halfsplit/ui/files"
)

// What is kept at most: more fills the casebook and the memory of a small machine.
const (
	mostBytes  = 32 << 20
	mostPixels = 100e6
)

// endings are those of pictures that can be shown.
var endings = []string{".jpg", ".jpeg", ".png", ".gif"}

// Load reads a picture's file and looks at it. An error names the file, what is
// wrong with it, and what to do.
func Load(path string) ([]byte, error) {
	data, err := files.Whole(path, mostBytes)
	if err != nil {
		return nil, err
	}
	if err := Check(data); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return data, nil
}

// Check says why bytes cannot be kept as a photo.
func Check(data []byte) error {
	if len(data) > mostBytes {
		return fmt.Errorf("is larger than %d MB; save a smaller copy of the picture and add that", mostBytes>>20)
	}
	c, _, err := image.DecodeConfig(bytes.NewReader(data))
	switch {
	case len(data) == 0:
		return errors.New("the file is empty")
	case err != nil:
		return errors.New("is no picture that can be shown; JPEG, PNG and GIF can be")
	case float64(c.Width)*float64(c.Height) > mostPixels:
		return fmt.Errorf("has %d times %d points, more than can be shown; save a smaller copy of the picture and add that", c.Width, c.Height)
	}
	return nil
}

// Decode makes a picture of bytes, turned as the camera was held.
func Decode(data []byte) (image.Image, error) {
	img, err := decoded(data)
	if err != nil {
		return nil, err
	}
	return turned(img, held(data)), nil
}

func decoded(data []byte) (image.Image, error) {
	if err := Check(data); err != nil {
		return nil, err
	}
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		return nil, errors.New("the picture's file is damaged: a part of it is missing or was changed")
	}
	return img, nil
}

// DecodeWithin is Decode of a picture that is made smaller, by halves, until it has
// no more than so many points: before it is turned, which takes its time point by
// point. w and h are what it measures as it was taken, turned.
func DecodeWithin(data []byte, most float64) (img image.Image, w, h int, err error) {
	img, err = decoded(data)
	if err != nil {
		return nil, 0, 0, err
	}
	way := held(data)
	w, h = img.Bounds().Dx(), img.Bounds().Dy()
	wide, high := w, h
	for float64(wide)*float64(high) > most {
		wide, high = (wide+1)/2, (high+1)/2
	}
	if wide < w {
		small := image.NewRGBA(image.Rect(0, 0, wide, high))
		draw.ApproxBiLinear.Scale(small, small.Rect, img, img.Bounds(), draw.Src, nil)
		img = small
	}
	if way >= 5 { // on its side
		w, h = h, w
	}
	return turned(img, way), w, h, nil
}

// Fitted is a picture made smaller so that it fits; a picture that fits stays.
func Fitted(img image.Image, w, h int) image.Image {
	b := img.Bounds()
	f := min(float64(w)/float64(b.Dx()), float64(h)/float64(b.Dy()))
	if f >= 1 {
		return img
	}
	out := image.NewRGBA(image.Rect(0, 0, max(1, int(f*float64(b.Dx()))), max(1, int(f*float64(b.Dy())))))
	draw.ApproxBiLinear.Scale(out, out.Bounds(), img, b, draw.Src, nil)
	return out
}

// held is how the camera was held, as a JPEG file says it: 1 to 8; 1 also where it
// says nothing.
func held(data []byte) int {
	const marker, app1, scan = 0xff, 0xe1, 0xda
	if len(data) < 4 || data[0] != marker || data[1] != 0xd8 {
		return 1
	}
	for at := 2; at+4 <= len(data) && data[at] == marker && data[at+1] != scan; {
		size := int(binary.BigEndian.Uint16(data[at+2:]))
		end := at + 2 + size
		if size < 2 || end > len(data) {
			return 1
		}
		if body := data[at+4 : end]; data[at+1] == app1 && bytes.HasPrefix(body, []byte("Exif\x00\x00")) {
			return orientation(body[6:])
		}
		at = end
	}
	return 1
}

// orientation looks the entry up in the first directory of a TIFF header.
func orientation(t []byte) int {
	if len(t) < 8 {
		return 1
	}
	var order binary.ByteOrder = binary.LittleEndian
	if string(t[:2]) == "MM" {
		order = binary.BigEndian
	}
	at := int64(order.Uint32(t[4:]))
	if at+2 > int64(len(t)) {
		return 1
	}
	const entry, tag = 12, 0x0112
	for n := int64(order.Uint16(t[at:])); n > 0; n-- {
		e := at + 2 + (n-1)*entry
		if e+entry > int64(len(t)) {
			continue
		}
		if order.Uint16(t[e:]) == tag {
			if o := int(order.Uint16(t[e+8:])); o >= 1 && o <= 8 {
				return o
			}
		}
	}
	return 1
}

// turned is a picture as it was seen by who held the camera so.
func turned(img image.Image, held int) image.Image {
	if held == 1 {
		return img
	}
	from := img.Bounds()
	w, h := from.Dx(), from.Dy()
	size := image.Rect(0, 0, w, h)
	if held >= 5 { // on its side
		size = image.Rect(0, 0, h, w)
	}
	out := image.NewRGBA(size)
	for y := range h {
		for x := range w {
			to := [...]image.Point{{x, y}, {w - 1 - x, y}, {w - 1 - x, h - 1 - y}, {x, h - 1 - y}, {y, x}, {h - 1 - y, x}, {h - 1 - y, w - 1 - x}, {y, w - 1 - x}}[held-1]
			r, g, b, a := img.At(from.Min.X+x, from.Min.Y+y).RGBA()
			out.SetRGBA(to.X, to.Y, color.RGBA{uint8(r >> 8), uint8(g >> 8), uint8(b >> 8), uint8(a >> 8)})
		}
	}
	return out
}
