package reaching_test

import (
	"image"
	"math"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault/reach"
	"halfsplit/ui/easel"
	"halfsplit/ui/golden"
	"halfsplit/ui/reaching"
	"halfsplit/ui/theme"
)

// shown is the page with its answer, as the window would paint it.
func shown(t *testing.T, variant theme.Variant, size fyne.Size, keys string) (*rig, image.Image) {
	t.Helper()
	r := open(t, variant, size)
	r.w.Canvas().Focused().TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	r.run()
	for _, k := range keys {
		r.w.Canvas().Focused().TypedRune(k)
	}
	return r, r.w.Canvas().Capture()
}

func TestPictures(t *testing.T) {
	const kept = "../../testdata/golden"
	for file, c := range map[string]struct {
		variant theme.Variant
		keys    string
	}{
		"reach-light":      {theme.Light, ""},
		"reach-dark":       {theme.Dark, ""},
		"reach-contrast":   {theme.Contrast, ""},
		"reach-table-dark": {theme.Dark, "l"},
	} {
		t.Run(file, func(t *testing.T) {
			_, m := shown(t, c.variant, fyne.NewSize(1100, 560), c.keys)
			golden.Picture(t, filepath.Join(kept, file+".png"), m)
		})
	}
}

// In every size and view what is shown lies in the window, and uses only glyphs that
// the font has.
func TestPicture_FitsAndCanBeRead(t *testing.T) {
	g, err := theme.NewGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	for _, size := range []fyne.Size{{Width: 1920, Height: 1000}, {Width: 1280, Height: 700}, {Width: 1024, Height: 600}, {Width: 640, Height: 344}, {Width: 480, Height: 700}} {
		for _, keys := range []string{"", "l"} {
			r, _ := shown(t, theme.Light, size, keys)
			l, wide, high := reaching.Shown(r.Page)
			texts := 0
			for _, s := range l.Shapes {
				for _, q := range s.Points {
					x, y := q.World.X()+q.Px.X(), q.World.Y()+q.Px.Y()
					if x < -1 || x > wide+1 || y < -1 || y > high+1 || math.IsNaN(x+y) {
						t.Fatalf("%v, %q: %v at %g, %g of %g by %g", size, keys, s, x, y, wide, high)
					}
				}
				if miss := g.Missing(s.Text); len(miss) > 0 {
					t.Errorf("%q has %q, which the font lacks", s.Text, string(miss))
				}
				if s.Text != "" {
					texts++
					x, long := s.Points[0].World.X(), easel.Measure(s.Text, s.Size, s.Bold)
					if from := x - long*float64(1+s.H)/2; from < -1 || from+long > wide+1 {
						t.Errorf("%v, %q: %q reaches from %g to %g of %g", size, keys, s.Text, from, from+long, wide)
					}
				}
			}
			if texts < 10 {
				t.Errorf("%v, %q: %d texts", size, keys, texts)
			}
		}
	}
}

// A pack on which nothing is ever placed is drawn too, with its states named.
func TestPicture_NothingIsPlaced(t *testing.T) {
	a := answer(reach.Question{Trials: 4})
	for _, row := range a.Cells {
		for k := range row {
			inf := math.Inf(1)
			row[k].Half = reach.Quantiles{P5: inf, Median: inf, P90: inf, P95: inf}
		}
	}
	names := 0
	for _, s := range reaching.Drawn(a, 700, 400).Shapes {
		for _, q := range s.Points {
			if v := q.World.X() + q.World.Y(); math.IsNaN(v) || math.IsInf(v, 0) {
				t.Fatalf("%v", s)
			}
		}
		if s.Bold {
			names++
		}
	}
	if names != 3 {
		t.Errorf("%d states are named", names)
	}
}
