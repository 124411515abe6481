package printing

import (
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault/report"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// mostMarks is how many marks of a page are drawn on screen; the file has all.
const mostMarks = 1400

const mmPerPoint = 25.4 / 72

// paper is the page that is shown, as it will come out, in the window's own ink.
type paper struct{ p *Page }

func (s paper) page() *report.Page {
	if s.p.at < len(s.p.pages) {
		return &s.p.pages[s.p.at]
	}
	return nil
}

// Fit shows the whole page.
func (s paper) Fit(w, h float64) scene.View {
	g := s.page()
	if g == nil {
		return scene.View{ScaleX: 1, ScaleY: 1, W: w, H: h}
	}
	return scene.Fit(scene.Rect{Max: mgl64.Vec2{g.W, g.H}}, w, h, 12, 12, 12, 12)
}

// Scene draws the page's marks in millimetres.
func (s paper) Scene(v scene.View) *scene.List {
	l := &scene.List{}
	g := s.page()
	if g == nil {
		return l
	}
	l.Rect("", scene.At(0, 0), scene.At(g.W, g.H), scene.Ink(theme.Raised), scene.Ink(theme.Hairline), 1, 0)
	for i, m := range g.Marks {
		if i == mostMarks {
			break
		}
		pts := make([]scene.Point, len(m.Points))
		for k, q := range m.Points {
			pts[k] = scene.At(q[0], q[1])
		}
		ink := theme.Ink
		if m.Grey > 0.2 {
			ink = theme.Soft
		}
		wide := max(0.6, m.Width*v.ScaleX)
		switch m.Kind {
		case report.Text:
			size := m.Size * mmPerPoint * v.ScaleX
			if size < 2.5 {
				continue // too small to be read here
			}
			// The window's own letters are wider than those on paper.
			if is, on := easel.Measure(m.Text, size, m.Bold), m.Wide()*v.ScaleX; is > on && on > 0 {
				size *= on / is
			}
			// A text stands on its baseline; a label hangs by its middle.
			l.Text("", pts[0].Moved(0, -0.34*size), scene.Alignment(m.Align), scene.Middle, scene.Ink(ink), size, m.Bold, m.Text)
			l.Shapes[len(l.Shapes)-1].Italic = m.Italic
		case report.Line:
			l.Line("", scene.Ink(ink), wide, pts...)
		default:
			fill, line, stroke := scene.Paint{}, scene.Paint{}, 0.0
			if m.Fill >= 0 {
				fill = scene.Ink(theme.Raised)
				if m.Fill < 0.5 {
					fill = scene.Ink(theme.Ink)
				}
			}
			if m.Width > 0 {
				line, stroke = scene.Ink(ink), wide
			}
			l.Add(scene.Shape{Kind: scene.Area, Points: pts, Fill: fill, Line: line, Width: stroke})
		}
	}
	return l
}
