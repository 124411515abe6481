package sheet_test

import (
	"image"
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault"
	"halfsplit/ui/easel"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
	"halfsplit/ui/sample"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// lead paints the picture of a proposed test as the sheet shows it.
func lead(t *testing.T, n fault.NextTest, v theme.Variant) image.Image {
	t.Helper()
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: v})
	p := facts.New(sample.Case(), facts.Result{})
	b := easel.NewBoard(theme.Raised, 360, func(w float64) (*scene.List, float64) {
		return sheet.Draw([]sheet.Block{{Kind: sheet.LeadPicture, Lead: sheet.NewLead(p, n)}}, w, easel.Measure)
	})
	high := b.Prepare(360)
	w := test.NewTempWindow(t, b)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(360, high))
	return w.Canvas().Capture()
}

func TestLeadPictures(t *testing.T) {
	const kept = "../../testdata/golden"
	next := sample.Finding().Next
	across := fault.NextTest{Red: "M08-", Black: "M07+", Instrument: "dmm", Range: 60}
	for name, c := range map[string]struct {
		n, other fault.NextTest
		variant  theme.Variant
	}{
		"lead-open-light":     {next[0], next[1], theme.Light},
		"lead-resistor-dark":  {next[1], next[2], theme.Dark},
		"lead-across-highest": {across, fault.NextTest{Red: "M07+", Black: "M08-", Instrument: "dmm", Range: 60}, theme.Contrast},
	} {
		t.Run(name, func(t *testing.T) {
			m := lead(t, c.n, c.variant)
			golden.Picture(t, filepath.Join(kept, name+".png"), m)
			if golden.Same(m, lead(t, c.other, c.variant)) {
				t.Error("another test has the same picture")
			}
		})
	}
}
