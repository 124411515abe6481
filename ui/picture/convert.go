package picture

import (
	"image"
	"image/color"
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault/report"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// Where a line of text has its baseline, in parts of its size below its top, as the
// window's font lies in its line.
const ascent, lineHigh = 1.069, 1.362

// take turns the shapes of a drawing into marks, cut to the drawing's field.
func (s *Sheet) take(l *scene.List, grey bool) {
	field := scene.Rect{Max: mgl64.Vec2{s.view.W, s.view.H}}
	for i := range l.Shapes {
		sh := &l.Shapes[i]
		pts := make([]mgl64.Vec2, len(sh.Points))
		for j, p := range sh.Points {
			pts[j] = s.paper(p)
		}
		m := mark{fill: ink(sh.Fill, grey), line: ink(sh.Line, grey), width: sh.Width * pixel}
		switch sh.Kind {
		case scene.Box:
			r := scene.Around(pts...)
			m.points = rounded(r, sh.Round*pixel)
			s.marks = append(s.marks, m)
		case scene.Area:
			m.points = pts
			s.marks = append(s.marks, m)
		case scene.Path:
			s.cut(m, sh.Points, field)
		case scene.Label:
			s.label(m, sh, pts[0])
		case scene.Picture:
			if sh.Image != nil {
				img := image.NewRGBA(sh.Image.Rect)
				copy(img.Pix, sh.Image.Pix)
				onWhite(img, grey)
				r := scene.Around(pts...)
				s.marks = append(s.marks, mark{kind: photo, points: []mgl64.Vec2{r.Min, r.Max}, image: img})
			}
		}
	}
}

// cut adds a line as far as it lies in the field, in as many pieces as that takes.
func (s *Sheet) cut(m mark, pts []scene.Point, field scene.Rect) {
	m.kind = line
	off := mgl64.Vec2{margin, margin + headHigh}
	for i := 1; i < len(pts); i++ {
		a, b, ok := field.Clip(s.view.Screen(pts[i-1]), s.view.Screen(pts[i]))
		if !ok {
			continue
		}
		from, to := a.Mul(pixel).Add(off), b.Mul(pixel).Add(off)
		if n := len(m.points); n > 0 && m.points[n-1].Sub(from).Len() < 1e-6 {
			m.points = append(m.points, to)
			continue
		}
		if len(m.points) > 1 {
			s.marks = append(s.marks, m)
		}
		m.points = []mgl64.Vec2{from, to}
	}
	if len(m.points) > 1 {
		s.marks = append(s.marks, m)
	}
}

func (s *Sheet) label(m mark, sh *scene.Shape, at mgl64.Vec2) {
	if sh.Text == "" {
		return
	}
	m.kind, m.text, m.size, m.bold, m.italic = text, report.Drawable(sh.Text), points(sh.Size), sh.Bold, sh.Italic
	em := sh.Size * pixel
	at[0] -= m.wide() * float64(1+sh.H) / 2
	at[1] += em * (ascent - lineHigh*float64(1+sh.V)/2)
	m.points = []mgl64.Vec2{at}
	s.marks = append(s.marks, m)
}

// rounded is an upright rectangle with its corners cut round.
func rounded(r scene.Rect, round float64) []mgl64.Vec2 {
	round = math.Min(round, math.Min(r.Size().X(), r.Size().Y())/2)
	if round <= 0 {
		return box(r.Min, r.Max)
	}
	const steps = 6
	var out []mgl64.Vec2
	for i, c := range [4]mgl64.Vec2{{r.Min.X() + round, r.Min.Y() + round}, {r.Max.X() - round, r.Min.Y() + round}, {r.Max.X() - round, r.Max.Y() - round}, {r.Min.X() + round, r.Max.Y() - round}} {
		for k := range steps + 1 {
			sin, cos := math.Sincos(math.Pi + math.Pi/2*(float64(i)+float64(k)/steps))
			out = append(out, c.Add(mgl64.Vec2{cos, sin}.Mul(round)))
		}
	}
	return out
}

// ink is what a paint looks like on white paper. In greys it is as light as it was in
// the variant for much contrast, where every line and text is dark.
func ink(p scene.Paint, grey bool) color.NRGBA {
	if p.None() {
		return color.NRGBA{}
	}
	if p == scene.Ink(theme.Paper) {
		return white
	}
	v := theme.Light
	if grey {
		v = theme.Contrast
	}
	c := easel.Colour(p, v)
	if c.A == 0 {
		return color.NRGBA{}
	}
	c = color.NRGBA{R: overWhite(c.R, c.A), G: overWhite(c.G, c.A), B: overWhite(c.B, c.A), A: 0xFF}
	if grey {
		c = greyed(c)
	}
	return c
}

func overWhite(v, alpha uint8) uint8 { return uint8((int(v)*int(alpha) + 255*(255-int(alpha))) / 255) }

func greyed(c color.NRGBA) color.NRGBA {
	y := color.GrayModel.Convert(c).(color.Gray).Y
	return color.NRGBA{R: y, G: y, B: y, A: 0xFF}
}

// onWhite lays a picture on white paper, in greys where they are asked for.
func onWhite(img *image.RGBA, grey bool) {
	for i := 0; i+3 < len(img.Pix); i += 4 {
		p := img.Pix[i : i+4]
		rest := 255 - p[3]
		p[0], p[1], p[2], p[3] = p[0]+rest, p[1]+rest, p[2]+rest, 255
		if grey {
			g := greyed(color.NRGBA{R: p[0], G: p[1], B: p[2], A: 255})
			p[0], p[1], p[2] = g.R, g.G, g.B
		}
	}
}
