package easel

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

var (
	_ fyne.Widget       = (*Board)(nil)
	_ desktop.Mouseable = (*Board)(nil)
)

// A Board shows a drawing that fills a given width and is as high as it needs.
type Board struct {
	widget.BaseWidget
	Draw   func(width float64) (l *scene.List, high float64)
	Ground theme.Role
	OnPick func(id string)
	Least  float32 // width

	list  *scene.List
	high  float32
	width float32
}

// NewBoard shows what draw gives for a width.
func NewBoard(ground theme.Role, least float32, draw func(width float64) (*scene.List, float64)) *Board {
	b := &Board{Draw: draw, Ground: ground, Least: least}
	b.ExtendBaseWidget(b)
	return b
}

// Prepare draws for a width and gives the height that this needs. Who lays the
// board out calls it first.
func (b *Board) Prepare(width float32) float32 {
	b.width = width
	l, h := b.Draw(float64(width))
	b.list, b.high = l, float32(h)
	return b.high
}

// List is the drawing that is shown now.
func (b *Board) List() *scene.List {
	if b.list == nil {
		b.Prepare(b.width)
	}
	return b.list
}

// MinSize is the least width, and the height for the width that it has.
func (b *Board) MinSize() fyne.Size {
	if b.width == 0 {
		b.Prepare(b.Least)
	}
	return fyne.NewSize(b.Least, b.high)
}

// MouseDown does nothing: a press counts when it ends.
func (b *Board) MouseDown(*desktop.MouseEvent) {}

// MouseUp picks, unless the finger rolled what it was drawn over.
func (b *Board) MouseUp(e *desktop.MouseEvent) {
	if b.OnPick == nil || drawn != nil {
		return
	}
	v := scene.View{ScaleX: 1, ScaleY: 1}
	if id := b.List().Hit(v, mgl64.Vec2{float64(e.Position.X), float64(e.Position.Y)}); id != "" {
		b.OnPick(id)
	}
}

// CreateRenderer makes the board's renderer.
func (b *Board) CreateRenderer() fyne.WidgetRenderer {
	return &boardRenderer{b: b, back: canvas.NewRectangle(nil)}
}

type boardRenderer struct {
	b       *Board
	paint   painter
	back    *canvas.Rectangle
	objects []fyne.CanvasObject
	shown   *scene.List
	variant theme.Variant
}

func (r *boardRenderer) Destroy()                     {}
func (r *boardRenderer) MinSize() fyne.Size           { return r.b.MinSize() }
func (r *boardRenderer) Objects() []fyne.CanvasObject { return r.objects }

func (r *boardRenderer) Layout(s fyne.Size) {
	if s.Width != r.b.width || r.shown != r.b.list || Variant() != r.variant {
		r.redraw(s)
	}
	r.back.Resize(s)
}

func (r *boardRenderer) Refresh() {
	r.b.list = nil
	r.redraw(r.b.Size())
	canvas.Refresh(r.b)
}

func (r *boardRenderer) redraw(s fyne.Size) {
	b := r.b
	if b.list == nil || s.Width != b.width {
		b.Prepare(s.Width)
	}
	r.shown, r.variant = b.list, Variant()
	r.back.FillColor = theme.Colour(b.Ground, r.variant)
	r.back.Resize(s)
	v := scene.View{ScaleX: 1, ScaleY: 1, W: float64(s.Width), H: float64(b.high)}
	r.objects = append(r.objects[:0], r.back)
	r.objects = append(r.objects, r.paint.draw(b.list, v, r.variant)...)
}
