package drafting

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
)

// readPicture reads a PNG and says whether it has any colour but greys.
func readPicture(t *testing.T, path string) (img image.Image, coloured bool) {
	t.Helper()
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	img, err = png.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	for y := range img.Bounds().Dy() {
		for x := range img.Bounds().Dx() {
			if c := color.NRGBAModel.Convert(img.At(x, y)).(color.NRGBA); c.R != c.G || c.G != c.B {
				return img, true
			}
		}
	}
	return img, false
}

func TestSaving_ByPresses(t *testing.T) {
	b := newBench(t, joinedRow(t), fyne.NewSize(1280, 800))
	for _, grey := range []bool{false, true} {
		path := filepath.Join(t.TempDir(), "bench.png")
		b.tap("Save a picture …")
		b.field("Path of the picture").SetText(path)
		if grey {
			b.tap("In colour")
		}
		b.tap("Save this picture")
		if _, coloured := readPicture(t, path); coloured == grey {
			t.Errorf("grey %v: wrong colours", grey)
		}
		if !strings.HasPrefix(b.happened, "Written: "+path+", 1:") {
			t.Error(b.happened)
		}
	}
}

func TestSaving_ByKeysAsksBeforeItReplaces(t *testing.T) {
	b := newBench(t, joinedRow(t), fyne.NewSize(1280, 800))
	path := filepath.Join(t.TempDir(), "bench.pdf")
	if err := os.WriteFile(path, []byte("mine"), 0o600); err != nil {
		t.Fatal(err)
	}
	b.tap("Save a picture …")
	b.w.Canvas().Focus(b.field("Path of the picture"))
	b.replace(path)
	b.key(fyne.KeyReturn)
	if data, _ := os.ReadFile(path); string(data) != "mine" {
		t.Fatal("a file was replaced unasked")
	}
	b.says("A file of that name is there already.")
	b.tap("Write over it")
	if data, _ := os.ReadFile(path); !bytes.HasPrefix(data, []byte("%PDF-")) {
		t.Errorf("no PDF was written; %s", b.happened)
	}
}

func TestSaving_SaysWhatIsWrong(t *testing.T) {
	b := newBench(t, joinedRow(t), fyne.NewSize(1280, 800))
	b.tap("Save a picture …")
	for path, want := range map[string]string{
		filepath.Join(t.TempDir(), "bench.gif"):       "ends in .png or .pdf",
		filepath.Join(t.TempDir(), "no", "bench.pdf"): "Nothing was written.",
	} {
		b.field("Path of the picture").SetText(path)
		b.tap("Save this picture")
		b.says(want)
		if _, err := os.Stat(path); err == nil {
			t.Errorf("%s was written", path)
		}
	}
	b.tap("Leave")
	b.View.draft.Set(topology.Layout{})
	b.show(fieldsPage)
	b.tap("Save a picture …")
	b.tap("Save this picture")
	b.says("nothing to draw")
}

// A picture is of what is shown: one tier alone where one is, with the sketch where that
// is shown; the page tells of it before it is saved.
func TestSaving_OfWhatIsShown(t *testing.T) {
	l := joinedRow(t)
	l.Sketch = []topology.Stroke{{Points: [][2]float64{{0, 0}, {200, 200}}}}
	b := newBench(t, l, fyne.NewSize(1280, 800))
	if o := b.pictureOptions(); o.Tier != nil || !o.Sketch {
		t.Errorf("as opened: tier %v, sketch %v", o.Tier, o.Sketch)
	}
	b.typed("t")
	b.draft.Lines = false
	if o := b.pictureOptions(); o.Tier == nil || *o.Tier != b.draft.Tier || o.Sketch {
		t.Errorf("one tier alone without the sketch: tier %v, sketch %v", o.Tier, o.Sketch)
	}
}
