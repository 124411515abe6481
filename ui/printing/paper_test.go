package printing

import (
	"math"
	"strings"
	"testing"

	"fyne.io/fyne/v2/test"

	"halfsplit/fault/report"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
)

// A long line on a page that is drawn small is put word by word where paper has it: the
// last one ends where the line ends on paper, so that rounding of letters cannot carry
// it over the edge.
func TestPaper_SmallWordsStandWherePaperHasThem(t *testing.T) {
	test.NewTempApp(t)
	text := "State split: SD open, contactors open, monitor recorded disconnected; recorded wet; recorded not torqued."
	for _, align := range []int{-1, 0, 1} {
		m := report.Mark{Kind: report.Text, Points: [][2]float64{{100, 20}}, Text: text, Size: 9, Bold: true, Fill: -1, Align: align}
		p := paper{&Page{pages: []report.Page{{W: 210, H: 297, Marks: []report.Mark{m}}}}}
		v := scene.View{ScaleX: 1.5, ScaleY: 1.5, W: 400, H: 500}
		wide := m.Wide() * v.ScaleX
		left := map[int]float64{-1: 0, 0: -wide / 2, 1: -wide}[align]
		var words []string
		last := math.Inf(-1)
		for _, s := range p.Scene(v).Shapes {
			if s.Kind != scene.Label {
				continue
			}
			words = append(words, s.Text)
			x := s.Points[0].Px.X()
			if x <= last || x < left-1e-6 {
				t.Errorf("align %d: %q begins at %g after %g, the line at %g", align, s.Text, x, last, left)
			}
			last = x
			if end := x + wide*easel.Measure(s.Text, 100, true)/easel.Measure(text, 100, true); end > left+wide+0.5 {
				t.Errorf("align %d: %q ends at %g, the line at %g", align, s.Text, end, left+wide)
			}
		}
		if strings.Join(words, " ") != text {
			t.Errorf("align %d: %q", align, words)
		}
	}
}
