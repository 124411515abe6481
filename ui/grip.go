package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"halfsplit/ui/easel"
	"halfsplit/ui/theme"
)

var (
	_ fyne.Draggable     = (*grip)(nil)
	_ fyne.Tappable      = (*grip)(nil)
	_ desktop.Cursorable = (*grip)(nil)
)

// gripDeep is how far from an edge a press still takes hold of it, both sides
// together.
const gripDeep = 24

// An edge is what a grip moves.
type edge struct {
	at   func() float32     // where it is: how deep the pane beyond it is
	move func(deep float32) // puts it elsewhere
	done func()             // it stays there
}

// A grip is the handle of an edge between two panes. It lies over the edge, and
// over margins of the panes that have nothing to press.
type grip struct {
	widget.BaseWidget
	upright bool // the edge is upright: it moves to the left and right
	knob    bool // the part in the middle that is drawn
	edge    edge
	tapped  func()
	deep    float32 // where a drag has taken the edge, beyond its limits too
	moving  bool
}

func newGrip(upright, knob bool, e edge, tapped func()) *grip {
	g := &grip{upright: upright, knob: knob, edge: e, tapped: tapped}
	g.ExtendBaseWidget(g)
	return g
}

// Tapped opens what moves the edge without dragging.
func (g *grip) Tapped(*fyne.PointEvent) { g.tapped() }

// Dragged moves the edge.
func (g *grip) Dragged(e *fyne.DragEvent) {
	if !g.moving {
		g.deep, g.moving = g.edge.at(), true
	}
	if g.upright {
		g.deep -= e.Dragged.DX
	} else {
		g.deep -= e.Dragged.DY
	}
	g.edge.move(g.deep)
	g.Refresh()
}

// DragEnd lets go.
func (g *grip) DragEnd() {
	g.moving = false
	g.edge.done()
	g.Refresh()
}

// Cursor says which way the edge moves.
func (g *grip) Cursor() desktop.Cursor {
	if g.upright {
		return desktop.HResizeCursor
	}
	return desktop.VResizeCursor
}

// MinSize asks for nothing: the frame knows the edge.
func (g *grip) MinSize() fyne.Size { return fyne.Size{} }

// CreateRenderer makes the handle's renderer.
func (g *grip) CreateRenderer() fyne.WidgetRenderer {
	r := &gripRenderer{g: g, bar: canvas.NewRectangle(nil)}
	r.bar.CornerRadius = gripThick / 2
	r.Refresh()
	return r
}

const (
	gripThick = 6
	gripLong  = 52
)

type gripRenderer struct {
	g   *grip
	bar *canvas.Rectangle
}

func (r *gripRenderer) Destroy()           {}
func (r *gripRenderer) MinSize() fyne.Size { return fyne.Size{} }
func (r *gripRenderer) Objects() []fyne.CanvasObject {
	if !r.g.knob {
		return nil
	}
	return []fyne.CanvasObject{r.bar}
}

func (r *gripRenderer) Layout(s fyne.Size) {
	size := fyne.NewSize(gripLong, gripThick)
	if r.g.upright {
		size = fyne.NewSize(gripThick, gripLong)
	}
	r.bar.Resize(size)
	r.bar.Move(fyne.NewPos((s.Width-size.Width)/2, (s.Height-size.Height)/2))
}

func (r *gripRenderer) Refresh() {
	v := easel.Variant()
	r.bar.FillColor = theme.Colour(theme.Soft, v)
	if r.g.moving {
		r.bar.FillColor = theme.Colour(theme.Accent, v)
	}
	r.bar.StrokeColor, r.bar.StrokeWidth = theme.Colour(theme.Paper, v), 1
	canvas.Refresh(r.bar)
}
