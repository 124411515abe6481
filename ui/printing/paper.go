package printing

import (
	"strings"

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
			s.text(l, m, pts[0].Moved(0, -0.34*size), size, m.Wide()*v.ScaleX, scene.Ink(ink))
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

// smallLetters is the size in pixels below which letters stand on whole pixels, and a
// line of them becomes longer than it is measured.
const smallLetters = 10

// text writes a mark's words; wide is what they take on paper, in pixels. Where letters
// are small each word is put where paper has it, so that a long line does not run over
// the edge.
func (paper) text(l *scene.List, m report.Mark, at scene.Point, size, wide float64, ink scene.Paint) {
	put := func(at scene.Point, align scene.Alignment, text string) {
		l.Text("", at, align, scene.Middle, ink, size, m.Bold, text)
		l.Shapes[len(l.Shapes)-1].Italic = m.Italic
	}
	parts := strings.Fields(m.Text)
	whole := easel.Measure(m.Text, 100, m.Bold)
	if size >= smallLetters || len(parts) < 2 || whole <= 0 || wide <= 0 {
		put(at, scene.Alignment(m.Align), m.Text)
		return
	}
	left := map[scene.Alignment]float64{scene.Start: 0, scene.Middle: -wide / 2, scene.End: -wide}[scene.Alignment(m.Align)]
	from := 0
	for _, part := range parts {
		from += strings.Index(m.Text[from:], part)
		put(at.Moved(left+wide*easel.Measure(m.Text[:from], 100, m.Bold)/whole, 0), scene.Start, part)
		from += len(part)
	}
}
