package photos

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// flag is a picture that is white but for a black corner at its top left.
func flag(w, h int) *image.Gray {
	img := image.NewGray(image.Rect(0, 0, w, h))
	for i := range img.Pix {
		img.Pix[i] = 255
	}
	for y := range h / 4 {
		for x := range w / 4 {
			img.SetGray(x, y, color.Gray{})
		}
	}
	return img
}

func pngOf(t *testing.T, img image.Image) []byte {
	var b bytes.Buffer
	if err := png.Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// jpegHeld is a picture as a camera writes it that is held so.
func jpegHeld(t *testing.T, img image.Image, held int, order binary.AppendByteOrder) []byte {
	var b bytes.Buffer
	if err := jpeg.Encode(&b, img, &jpeg.Options{Quality: 95}); err != nil {
		t.Fatal(err)
	}
	tiff := []byte("II*\x00")
	if order == binary.AppendByteOrder(binary.BigEndian) {
		tiff = []byte("MM\x00*")
	}
	tiff = order.AppendUint32(tiff, 8)
	tiff = order.AppendUint16(tiff, 2)
	for _, e := range [][2]uint16{{0x0100, 7}, {0x0112, uint16(held)}} {
		tiff = order.AppendUint16(tiff, e[0])
		tiff = order.AppendUint16(tiff, 3)
		tiff = order.AppendUint32(tiff, 1)
		tiff = order.AppendUint16(tiff, e[1])
		tiff = order.AppendUint16(tiff, 0)
	}
	body := append([]byte("Exif\x00\x00"), tiff...)
	out := append([]byte{0xff, 0xd8, 0xff, 0xe1}, byte((len(body)+2)>>8), byte(len(body)+2))
	return append(append(out, body...), b.Bytes()[2:]...)
}

// corner says in which corner a picture is dark: 0 top left, 1 top right, 2 bottom
// right, 3 bottom left.
func corner(img image.Image) int {
	b := img.Bounds()
	for i, p := range []image.Point{{b.Min.X + 2, b.Min.Y + 2}, {b.Max.X - 3, b.Min.Y + 2}, {b.Max.X - 3, b.Max.Y - 3}, {b.Min.X + 2, b.Max.Y - 3}} {
		if r, _, _, _ := img.At(p.X, p.Y).RGBA(); r < 0x4000 {
			return i
		}
	}
	return -1
}

func TestDecode_StandsAsTheCameraWasHeld(t *testing.T) {
	for held, want := range map[int]struct{ corner, w, h int }{
		0: {0, 64, 32}, 1: {0, 64, 32}, 2: {1, 64, 32}, 3: {2, 64, 32}, 4: {3, 64, 32},
		5: {0, 32, 64}, 6: {1, 32, 64}, 7: {2, 32, 64}, 8: {3, 32, 64}, 9: {0, 64, 32},
	} {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			img, err := Decode(jpegHeld(t, flag(64, 32), held, order))
			if err != nil {
				t.Fatal(err)
			}
			if b := img.Bounds(); corner(img) != want.corner || b.Dx() != want.w || b.Dy() != want.h {
				t.Errorf("held %d, %v: dark in corner %d, %v", held, order, corner(img), b)
			}
		}
	}
}

// A head that was cut anywhere is read without harm.
func TestHeld_CutAnywhere(t *testing.T) {
	whole := jpegHeld(t, flag(16, 16), 6, binary.BigEndian)
	for n := range 80 {
		if o := held(whole[:n]); o != 1 && o != 6 {
			t.Errorf("cut at %d: held %d", n, o)
		}
	}
}

func TestLoad_SaysWhatIsWrong(t *testing.T) {
	dir := t.TempDir()
	good := pngOf(t, flag(40, 30))
	huge := append([]byte(nil), good...)
	binary.BigEndian.PutUint32(huge[16:], 60000) // its head says so
	binary.BigEndian.PutUint32(huge[20:], 60000)
	binary.BigEndian.PutUint32(huge[29:], crc32.ChecksumIEEE(huge[12:29]))
	for name, c := range map[string]struct {
		data []byte
		says string
	}{
		"good.png":  {good, ""},
		"text.jpg":  {[]byte("hello"), "is no picture that can be shown; JPEG, PNG and GIF can be"},
		"empty.jpg": {nil, "the file is empty"},
		"large.png": {append(good[:len(good):len(good)], make([]byte, mostBytes)...), "is larger than 32 MB; save a smaller copy"},
		"huge.png":  {huge, "save a smaller copy"},
	} {
		path := filepath.Join(dir, name)
		if err := os.WriteFile(path, c.data, 0o600); err != nil {
			t.Fatal(err)
		}
		data, err := Load(path)
		switch {
		case c.says == "" && (err != nil || !bytes.Equal(data, c.data)):
			t.Errorf("%s: %v", name, err)
		case c.says != "" && (err == nil || !strings.Contains(err.Error(), c.says) || !strings.Contains(err.Error(), path)):
			t.Errorf("%s: says %v", name, err)
		}
	}
	if _, err := Load(filepath.Join(dir, "none.jpg")); err == nil || !strings.Contains(err.Error(), "no such file") {
		t.Errorf("a file that is not there: %v", err)
	}
	if _, err := Decode(good[:len(good)-20]); err == nil || !strings.Contains(err.Error(), "damaged") {
		t.Errorf("half a picture: %v", err)
	}
}

func TestFitted(t *testing.T) {
	for _, c := range []struct{ w, h, toW, toH, wantW, wantH int }{
		{400, 200, 100, 100, 100, 50}, {200, 400, 100, 100, 50, 100}, {40, 30, 100, 100, 40, 30}, {4000, 1, 100, 100, 100, 1},
	} {
		if b := Fitted(flag(c.w, c.h), c.toW, c.toH).Bounds(); b.Dx() != c.wantW || b.Dy() != c.wantH {
			t.Errorf("%d x %d in %d x %d is %v", c.w, c.h, c.toW, c.toH, b)
		}
	}
	if corner(Fitted(flag(400, 200), 100, 100)) != 0 {
		t.Error("it does not stand as it did")
	}
}
