package timeline_test

import (
	"image"
	"path/filepath"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/ui/easel"
	"halfsplit/ui/golden"
	"halfsplit/ui/theme"
	"halfsplit/ui/timeline"
)

// draw paints a series as the window would, without a screen.
func draw(t *testing.T, name string, variant theme.Variant, selected int) image.Image {
	t.Helper()
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: variant})
	p := dried()
	s := named(t, p, name)
	pl := timeline.NewPlot(s, timeline.Beside(timeline.Gather(p), s), time.UTC, easel.Measure)
	if selected >= 0 {
		pl.Selected = "reading:" + s.Values[selected].Reading
	}
	w := test.NewTempWindow(t, easel.NewPane(pl))
	w.SetPadded(false)
	w.Resize(fyne.NewSize(820, 460))
	return w.Canvas().Capture()
}

func TestPictures(t *testing.T) {
	const kept = "../../testdata/golden"
	for file, c := range map[string]struct {
		name    string
		variant theme.Variant
	}{
		"overtime-ohms-light":    {"M01- to M14+, ohms to chassis", theme.Light},
		"overtime-settling-dark": {"M08- to chassis, since touching", theme.Dark},
	} {
		t.Run(file, func(t *testing.T) {
			m := draw(t, c.name, c.variant, -1)
			golden.Picture(t, filepath.Join(kept, file+".png"), m)
			if golden.Same(m, draw(t, c.name, c.variant, 1)) {
				t.Error("a value that is selected is not seen")
			}
		})
	}
}
