package golden

import (
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"testing"
)

// What two pictures of the same drawing may differ by: fonts and edges are not
// rasterised alike on every machine.
const (
	sameShade  = 24 // in each channel, of 255
	sameAmount = 20 // pixels that differ by more
)

// Picture fails the test where a picture differs from the one that is kept at
// the path, and leaves what it saw beside the other temporary files.
func Picture(t *testing.T, path string, got image.Image) {
	t.Helper()
	if *update {
		if err := save(path, got); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := load(path)
	if err != nil {
		t.Fatalf("%v (run with -update to keep it)", err)
	}
	n := Differing(want, got)
	if n <= sameAmount {
		return
	}
	seen := filepath.Join(os.TempDir(), "halfsplit-"+filepath.Base(path))
	if err := save(seen, got); err != nil {
		t.Error(err)
	}
	t.Errorf("%s: %d pixels differ, %d may; what was drawn is in %s", path, n, sameAmount, seen)
}

// Same says that two pictures show the same drawing.
func Same(a, b image.Image) bool { return Differing(a, b) <= sameAmount }

// Differing counts the pixels that differ visibly; pictures of different sizes
// differ everywhere.
func Differing(a, b image.Image) int {
	if a.Bounds().Size() != b.Bounds().Size() {
		return a.Bounds().Dx()*a.Bounds().Dy() + b.Bounds().Dx()*b.Bounds().Dy()
	}
	n := 0
	from, to := a.Bounds().Min, b.Bounds().Min
	for y := range a.Bounds().Dy() {
		for x := range a.Bounds().Dx() {
			if far(a.At(from.X+x, from.Y+y), b.At(to.X+x, to.Y+y)) {
				n++
			}
		}
	}
	return n
}

func far(a, b color.Color) bool {
	p, q := color.NRGBAModel.Convert(a).(color.NRGBA), color.NRGBAModel.Convert(b).(color.NRGBA)
	for _, d := range [...]int{int(p.R) - int(q.R), int(p.G) - int(q.G), int(p.B) - int(q.B), int(p.A) - int(q.A)} {
		if d > sameShade || -d > sameShade {
			return true
		}
	}
	return false
}

func load(path string) (image.Image, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	return png.Decode(f)
}

func save(path string, m image.Image) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		return err
	}
	f, err := os.Create(path)
	if err != nil {
		return err
	}
	if err := png.Encode(f, m); err != nil {
		f.Close()
		return err
	}
	return f.Close()
}
