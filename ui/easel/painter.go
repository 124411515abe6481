// Package easel shows a scene in a Fyne window: Pane is one big canvas that
// pans, zooms and picks by the scene's own targets; Board shows a drawing at
// its own size. Both turn shapes into Fyne's canvas objects and reuse them.
//
// It knows shapes, fingers and keys, not packs. Everything here runs on Fyne's
// own thread.
package easel

import (
	"image"
	"image/color"
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/palette"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// Measure is the width of a text as Fyne draws it.
func Measure(text string, size float64, bold bool) float64 {
	return float64(fyne.MeasureText(text, float32(size), fyne.TextStyle{Bold: bold}).Width)
}

// Variant is the variant that the current theme shows.
func Variant() theme.Variant {
	s := fyne.CurrentApp().Settings()
	if t, ok := s.Theme().(*theme.Theme); ok {
		return t.Resolve(s.ThemeVariant())
	}
	return theme.Light
}

// Sizes are the theme that is shown, for the sizes that follow the glove view.
func Sizes() *theme.Theme {
	if t, ok := fyne.CurrentApp().Settings().Theme().(*theme.Theme); ok {
		return t
	}
	return &theme.Theme{}
}

// A textKey tells texts apart that need a texture of their own.
type textKey struct {
	text         string
	size         float64
	bold, italic bool
	colour       color.NRGBA
}

// A painter turns a scene into canvas objects. Boxes, areas and lines are
// reused in turn; a text is reused by what it says, so that panning moves it
// and draws nothing anew.
type painter struct {
	boxes   []*canvas.Rectangle
	areas   []*canvas.ArbitraryPolygon
	lines   []*canvas.Line
	texts   map[textKey][]*canvas.Text
	photos  []*canvas.Image
	nPhoto  int
	nBox    int
	nArea   int
	nLine   int
	used    map[textKey][]*canvas.Text
	objects []fyne.CanvasObject
	clip    scene.Rect
	variant theme.Variant
}

// draw gives the objects of a scene, back to front.
func (p *painter) draw(l *scene.List, v scene.View, variant theme.Variant) []fyne.CanvasObject {
	p.nBox, p.nArea, p.nLine, p.nPhoto = 0, 0, 0, 0
	p.used = make(map[textKey][]*canvas.Text, len(p.texts))
	p.objects = p.objects[:0]
	p.variant = variant
	p.clip = scene.Rect{Max: mgl64.Vec2{v.W, v.H}}.Grown(40)
	pts := make([]mgl64.Vec2, 0, 16)
	for i := range l.Shapes {
		s := &l.Shapes[i]
		pts = pts[:0]
		for _, q := range s.Points {
			pts = append(pts, v.Screen(q))
		}
		switch s.Kind {
		case scene.Box:
			p.box(s, pts)
		case scene.Area:
			p.area(s, pts)
		case scene.Path:
			p.path(s, pts)
		case scene.Label:
			p.label(s, pts[0])
		case scene.Picture:
			p.picture(s, pts)
		}
	}
	p.texts = p.used
	return p.objects
}

// Colour is what a paint looks like in a variant.
func Colour(p scene.Paint, v theme.Variant) color.NRGBA {
	switch {
	case p.None():
		return color.NRGBA{}
	case p.Scale == palette.NoScale:
		return theme.Colour(p.Role, v)
	case p.OnData:
		return theme.Readable(palette.Colour(p.Scale, p.Value, v), v)
	}
	return palette.Colour(p.Scale, p.Value, v)
}

func (p *painter) box(s *scene.Shape, pts []mgl64.Vec2) {
	r := scene.Around(pts...)
	if !r.Overlaps(p.clip) && r.Size().Len() > 0 {
		return
	}
	// A huge box is cut to the pane: its edges out there are not seen.
	min := mgl64.Vec2{math.Max(r.Min.X(), p.clip.Min.X()), math.Max(r.Min.Y(), p.clip.Min.Y())}
	max := mgl64.Vec2{math.Min(r.Max.X(), p.clip.Max.X()), math.Min(r.Max.Y(), p.clip.Max.Y())}
	if p.nBox == len(p.boxes) {
		p.boxes = append(p.boxes, &canvas.Rectangle{})
	}
	b := p.boxes[p.nBox]
	p.nBox++
	b.FillColor, b.StrokeColor = Colour(s.Fill, p.variant), Colour(s.Line, p.variant)
	b.StrokeWidth, b.CornerRadius = float32(s.Width), float32(s.Round)
	b.Move(fyne.NewPos(float32(min.X()), float32(min.Y())))
	b.Resize(fyne.NewSize(float32(max.X()-min.X()), float32(max.Y()-min.Y())))
	p.objects = append(p.objects, b)
}

func (p *painter) area(s *scene.Shape, pts []mgl64.Vec2) {
	r := scene.Around(pts...)
	if !r.Overlaps(p.clip) {
		return
	}
	if s.Fill.None() { // an outline: lines draw it more sharply
		p.path(s, append(append([]mgl64.Vec2{}, pts...), pts[0]))
		return
	}
	if p.nArea == len(p.areas) {
		p.areas = append(p.areas, &canvas.ArbitraryPolygon{})
	}
	a := p.areas[p.nArea]
	p.nArea++
	a.Points = a.Points[:0]
	for _, q := range pts {
		a.Points = append(a.Points, fyne.NewPos(float32(q.X()-r.Min.X()), float32(q.Y()-r.Min.Y())))
	}
	a.FillColor, a.StrokeColor, a.StrokeWidth = Colour(s.Fill, p.variant), Colour(s.Line, p.variant), float32(s.Width)
	a.Move(fyne.NewPos(float32(r.Min.X()), float32(r.Min.Y())))
	a.Resize(fyne.NewSize(float32(r.Size().X()), float32(r.Size().Y())))
	p.objects = append(p.objects, a)
}

func (p *painter) path(s *scene.Shape, pts []mgl64.Vec2) {
	c := Colour(s.Line, p.variant)
	for i := 1; i < len(pts); i++ {
		a, b, ok := p.clip.Clip(pts[i-1], pts[i])
		if !ok {
			continue
		}
		if p.nLine == len(p.lines) {
			p.lines = append(p.lines, &canvas.Line{})
		}
		l := p.lines[p.nLine]
		p.nLine++
		l.Position1, l.Position2 = fyne.NewPos(float32(a.X()), float32(a.Y())), fyne.NewPos(float32(b.X()), float32(b.Y()))
		l.StrokeColor, l.StrokeWidth = c, float32(s.Width)
		p.objects = append(p.objects, l)
	}
}

// picture shows an image as it is. It is handed to the display again only when it
// is another one: that is what takes the time.
func (p *painter) picture(s *scene.Shape, pts []mgl64.Vec2) {
	if s.Image == nil || s.Image.Rect.Empty() {
		return
	}
	if p.nPhoto == len(p.photos) {
		p.photos = append(p.photos, &canvas.Image{FillMode: canvas.ImageFillStretch, ScaleMode: canvas.ImageScaleFastest})
	}
	i := p.photos[p.nPhoto]
	p.nPhoto++
	other := i.Image != image.Image(s.Image)
	i.Image = s.Image
	r := scene.Around(pts...)
	i.Move(fyne.NewPos(float32(r.Min.X()), float32(r.Min.Y())))
	size := fyne.NewSize(float32(r.Size().X()), float32(r.Size().Y()))
	switch {
	case i.Size() != size:
		i.Resize(size) // shows it anew
	case other:
		i.Refresh()
	}
	p.objects = append(p.objects, i)
}

func (p *painter) label(s *scene.Shape, at mgl64.Vec2) {
	if s.Text == "" || at.Y() < p.clip.Min.Y() || at.Y() > p.clip.Max.Y() {
		return
	}
	k := textKey{s.Text, s.Size, s.Bold, s.Italic, Colour(s.Fill, p.variant)}
	var t *canvas.Text
	if free := p.texts[k]; len(free) > 0 {
		t, p.texts[k] = free[len(free)-1], free[:len(free)-1]
	} else {
		t = canvas.NewText(k.text, k.colour)
		t.TextSize, t.TextStyle = float32(k.size), fyne.TextStyle{Bold: k.bold, Italic: k.italic}
		t.Resize(t.MinSize())
	}
	p.used[k] = append(p.used[k], t)
	size := t.Size()
	x := float32(at.X()) - size.Width*float32(1+s.H)/2
	y := float32(at.Y()) - size.Height*float32(1+s.V)/2
	t.Move(fyne.NewPos(float32(math.Round(float64(x))), float32(math.Round(float64(y)))))
	p.objects = append(p.objects, t)
}
