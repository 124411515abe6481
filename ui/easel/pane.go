package easel

import (
	"math"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

var (
	_ fyne.Widget       = (*Pane)(nil)
	_ fyne.Focusable    = (*Pane)(nil)
	_ fyne.Tabbable     = (*Pane)(nil)
	_ fyne.Draggable    = (*Pane)(nil)
	_ fyne.Scrollable   = (*Pane)(nil)
	_ desktop.Mouseable = (*Pane)(nil)
)

// Zoom steps and limits, relative to the view that fits.
const (
	ZoomStep  = 1.3
	mostZoom  = 60
	leastZoom = 0.5
)

// A Subject is what a pane shows.
type Subject interface {
	Fit(w, h float64) scene.View
	Scene(v scene.View) *scene.List
}

// A Pane shows a subject and moves it under the finger.
type Pane struct {
	widget.BaseWidget
	Subject        Subject
	ZoomX, ZoomY   bool // the axes that zoom
	Least          fyne.Size
	OnPick         func(id string)           // "" = pressed where nothing is
	OnKey          func(*fyne.KeyEvent) bool // true = taken
	OnRune         func(rune) bool           // true = taken
	OnFocus        func(focused bool)        // may be nil
	Hand           Hand                      // takes presses and drags before the pane does; nil = none
	from           mgl64.Vec2                // where the press began
	last           mgl64.Vec2                // where the drag is
	held           bool                      // the hand has the drag
	view           scene.View
	touched        bool // the person moved the view: a resize keeps it
	list           *scene.List
	focused        bool
	dragged        bool
	pressed, alive bool
}

// A Hand draws on a pane. Places are pixels of the pane; a press that does not
// become a drag is a Pick, and a drag that the hand does not Take pans.
type Hand interface {
	Take(from mgl64.Vec2) bool // a drag begins; false = it pans
	Drag(from, at mgl64.Vec2)
	Drop(from, at mgl64.Vec2)
	Pick(id string, at mgl64.Vec2)
}

// NewPane shows a subject.
func NewPane(s Subject) *Pane {
	p := &Pane{Subject: s, ZoomX: true, ZoomY: true, Least: fyne.NewSize(160, 120), list: &scene.List{}}
	p.ExtendBaseWidget(p)
	return p
}

// Set replaces the subject. The view stays unless refit is true.
func (p *Pane) Set(s Subject, refit bool) {
	p.Subject = s
	if refit {
		p.touched = false
	}
	p.Refresh()
}

// Fit shows the whole again.
func (p *Pane) Fit() {
	p.touched = false
	p.Refresh()
}

// View is how the subject lies on the pane now.
func (p *Pane) View() scene.View { return p.view }

// List is the drawing that is shown now.
func (p *Pane) List() *scene.List { return p.list }

// Zoom scales about the middle of the pane.
func (p *Pane) Zoom(f float64) { p.zoomAbout(f, mgl64.Vec2{p.view.W / 2, p.view.H / 2}) }

func (p *Pane) zoomAbout(f float64, at mgl64.Vec2) {
	fit := p.Subject.Fit(p.view.W, p.view.H)
	if fit.ScaleX > 0 {
		f = math.Max(leastZoom*fit.ScaleX/p.view.ScaleX, math.Min(f, mostZoom*fit.ScaleX/p.view.ScaleX))
	}
	p.view = p.view.Zoomed(f, at, p.ZoomX, p.ZoomY)
	p.touched = true
	p.Refresh()
}

// Pan moves the drawing by pixels.
func (p *Pane) Pan(dx, dy float64) {
	p.view = p.view.Panned(dx, dy)
	p.touched = true
	p.Refresh()
}

// Reveal pans just so far that a rectangle of the pane can be seen.
func (p *Pane) Reveal(r scene.Rect) {
	if !p.touched {
		return // the whole is shown
	}
	const edge = 30
	dx, dy := 0.0, 0.0
	if r.Min.X() < edge {
		dx = edge - r.Min.X()
	} else if r.Max.X() > p.view.W-edge {
		dx = p.view.W - edge - r.Max.X()
	}
	if r.Min.Y() < edge {
		dy = edge - r.Min.Y()
	} else if r.Max.Y() > p.view.H-edge {
		dy = p.view.H - edge - r.Max.Y()
	}
	if dx != 0 || (dy != 0 && p.ZoomY) {
		if !p.ZoomY {
			dy = 0
		}
		p.Pan(dx, dy)
	}
}

// TargetRect is where a target lies on the pane.
func (p *Pane) TargetRect(id string) (scene.Rect, bool) {
	for _, t := range p.list.Targets {
		if t.ID == id && len(t.Area) > 0 {
			var pts []mgl64.Vec2
			for _, q := range t.Area {
				pts = append(pts, p.view.Screen(q))
			}
			return scene.Around(pts...), true
		}
	}
	return scene.Rect{}, false
}

// MouseDown takes the focus and starts a press.
func (p *Pane) MouseDown(e *desktop.MouseEvent) {
	p.dragged, p.pressed, p.held = false, true, false
	if e != nil {
		p.from = mgl64.Vec2{float64(e.Position.X), float64(e.Position.Y)}
	}
	if c := fyne.CurrentApp().Driver().CanvasForObject(p); c != nil {
		c.Focus(p)
	}
}

// MouseUp picks, unless the press became a drag.
func (p *Pane) MouseUp(e *desktop.MouseEvent) {
	at := mgl64.Vec2{float64(e.Position.X), float64(e.Position.Y)}
	switch {
	case p.held:
		p.drop(at)
	case p.pressed && !p.dragged && p.Hand != nil:
		p.Hand.Pick(p.list.Hit(p.view, at), at)
	case p.pressed && !p.dragged && p.OnPick != nil:
		p.OnPick(p.list.Hit(p.view, at))
	}
	p.pressed = false
}

// drop ends what the hand drags.
func (p *Pane) drop(at mgl64.Vec2) {
	p.held = false
	p.Hand.Drop(p.from, at)
}

// Dragged pans. Where an axis does not zoom, everything on it is in view.
func (p *Pane) Dragged(e *fyne.DragEvent) {
	at := mgl64.Vec2{float64(e.Position.X), float64(e.Position.Y)}
	if !p.dragged && p.Hand != nil {
		p.held = p.Hand.Take(p.from)
	}
	p.dragged, p.last = true, at
	if p.held {
		p.Hand.Drag(p.from, at)
		return
	}
	p.Pan(float64(e.Dragged.DX), float64(e.Dragged.DY))
}

// DragEnd ends a drag; a release outside the window comes here only.
func (p *Pane) DragEnd() {
	if p.held {
		p.drop(p.last)
	}
	p.pressed, p.dragged = false, false
}

// Scrolled zooms about the pointer.
func (p *Pane) Scrolled(e *fyne.ScrollEvent) {
	p.zoomAbout(math.Pow(1.006, float64(e.Scrolled.DY)), mgl64.Vec2{float64(e.Position.X), float64(e.Position.Y)})
}

// AcceptsTab says that Tab belongs to the pane; its owner lets go at the ends.
func (p *Pane) AcceptsTab() bool { return true }

// FocusGained draws the focus ring.
func (p *Pane) FocusGained() { p.setFocus(true) }

// FocusLost takes the ring away.
func (p *Pane) FocusLost() { p.setFocus(false) }

func (p *Pane) setFocus(on bool) {
	p.focused = on
	if p.OnFocus != nil {
		p.OnFocus(on)
	}
	p.Refresh()
}

// TypedRune hands a character on.
func (p *Pane) TypedRune(r rune) {
	if p.OnRune != nil {
		p.OnRune(r)
	}
}

// TypedKey hands a key on.
func (p *Pane) TypedKey(k *fyne.KeyEvent) {
	if p.OnKey != nil {
		p.OnKey(k)
	}
}

// MinSize is small: a pane shows what fits.
func (p *Pane) MinSize() fyne.Size { return p.Least }

// CreateRenderer makes the pane's renderer.
func (p *Pane) CreateRenderer() fyne.WidgetRenderer {
	r := &paneRenderer{p: p, back: canvas.NewRectangle(nil), ring: canvas.NewRectangle(nil)}
	r.ring.StrokeWidth = 2
	return r
}

type paneRenderer struct {
	p       *Pane
	paint   painter
	back    *canvas.Rectangle
	ring    *canvas.Rectangle
	objects []fyne.CanvasObject
}

func (r *paneRenderer) Destroy()                     {}
func (r *paneRenderer) MinSize() fyne.Size           { return r.p.MinSize() }
func (r *paneRenderer) Objects() []fyne.CanvasObject { return r.objects }

func (r *paneRenderer) Layout(s fyne.Size) {
	w, h := float64(s.Width), float64(s.Height)
	if r.p.view.W == w && r.p.view.H == h && r.p.alive {
		return
	}
	if r.p.alive && r.p.touched { // keep the middle in the middle
		r.p.view.OffX += (w - r.p.view.W) / 2
		if r.p.ZoomY {
			r.p.view.OffY += (h - r.p.view.H) / 2
		}
	}
	r.p.view.W, r.p.view.H, r.p.alive = w, h, true
	r.redraw()
}

func (r *paneRenderer) Refresh() {
	defer redrawn(time.Now())
	r.redraw()
	canvas.Refresh(r.p)
}

// redraw builds the drawing for the present view.
func (r *paneRenderer) redraw() {
	p, v := r.p, Variant()
	r.back.FillColor = theme.Colour(theme.Paper, v)
	r.back.Resize(p.Size())
	r.ring.Resize(p.Size())
	r.ring.FillColor = theme.Colour(theme.None, v)
	r.ring.StrokeColor = theme.Colour(theme.Accent, v)
	r.objects = append(r.objects[:0], r.back)
	if p.view.W >= 1 && p.view.H >= 1 && p.Subject != nil {
		if !p.touched {
			p.view = p.Subject.Fit(p.view.W, p.view.H)
		}
		p.list = p.Subject.Scene(p.view)
		r.objects = append(r.objects, r.paint.draw(p.list, p.view, v)...)
	}
	if p.focused {
		r.objects = append(r.objects, r.ring)
	}
}
