package start

import (
	"bytes"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
)

// colours says whether a picture has any colour but greys.
func colours(t *testing.T, path string) bool {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	img, err := png.Decode(f)
	if err != nil {
		t.Fatal(err)
	}
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if r, g, b, _ := img.At(x, y).RGBA(); r != g || g != b {
				return true
			}
		}
	}
	return false
}

func TestPicture_ByKeysAlone(t *testing.T) {
	r := withLayouts(t, made(t, "pack one", 8))
	r.typed("a")
	r.says("Save a picture", "to scale")
	r.key(fyne.KeyReturn)
	path := filepath.Join(r.dir, "pack-one.pdf")
	data, err := os.ReadFile(path)
	if err != nil || !bytes.HasPrefix(data, []byte("%PDF-")) {
		t.Fatalf("%v, %s", err, r.happened)
	}
	if !strings.Contains(r.happened, "Written: "+path+", 1:") {
		t.Error(r.happened)
	}
}

func TestPicture_ByPressesInColourAndInGreys(t *testing.T) {
	r := withLayouts(t, made(t, "pack one", 8))
	for _, grey := range []bool{false, true} {
		r.tap("Save a picture …")
		name := "plain.png"
		if grey {
			name = "grey.png"
			r.tap("In colour")
		}
		r.focus(r.labelled("Name of the file"))
		r.replace(name)
		r.tap("Write this file")
		if colours(t, filepath.Join(r.dir, name)) == grey {
			t.Errorf("%s: wrong colours; %s", name, r.happened)
		}
	}
	r.tap("Save a picture …")
	r.focus(r.labelled("Name of the file"))
	r.replace("plain.png")
	r.tap("Write this file")
	r.says("is in this folder already")
}
