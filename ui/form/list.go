package form

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

var (
	_ fyne.Widget    = (*List)(nil)
	_ fyne.Focusable = (*List)(nil)
)

// A List is a drawing of rows that rolls, can have the focus, and is pressed row
// by row. A row is a target of the drawing; which of them is chosen is its owner's
// business.
type List struct {
	widget.BaseWidget
	OnKey   func(*fyne.KeyEvent) bool
	OnRune  func(rune) bool
	board   *easel.Board
	page    *Page
	ring    *canvas.Rectangle
	focused bool
}

// NewList shows what draw gives for a width; a press on a target goes to pick.
func NewList(draw func(width float64) (*scene.List, float64), pick func(id string)) *List {
	l := &List{ring: canvas.NewRectangle(nil)}
	l.board = easel.NewBoard(theme.Paper, 200, draw)
	l.board.OnPick = func(id string) {
		if c := fyne.CurrentApp().Driver().CanvasForObject(l); c != nil {
			c.Focus(l)
		}
		pick(id)
	}
	l.page = NewPage(0)
	l.page.Set(l.board)
	l.ring.StrokeWidth = 2
	l.ExtendBaseWidget(l)
	return l
}

// Board is the drawing.
func (l *List) Board() *easel.Board { return l.board }

// Page is the roll that the drawing lies on.
func (l *List) Page() *Page { return l.page }

// Reveal rolls so far that a target is seen.
func (l *List) Reveal(id string) {
	for _, t := range l.board.List().Targets {
		if t.ID != id {
			continue
		}
		top, bottom := t.Area[0].World.Y(), t.Area[0].World.Y()
		for _, p := range t.Area {
			top, bottom = min(top, p.World.Y()), max(bottom, p.World.Y())
		}
		l.page.Show(float32(top)-8, float32(bottom)+8)
		return
	}
}

// FocusGained draws the focus ring.
func (l *List) FocusGained() { l.focused = true; l.colour() }

// FocusLost takes the ring away.
func (l *List) FocusLost() { l.focused = false; l.colour() }

// TypedRune hands a character on.
func (l *List) TypedRune(r rune) {
	if l.OnRune != nil {
		l.OnRune(r)
	}
}

// TypedKey hands a key on.
func (l *List) TypedKey(k *fyne.KeyEvent) {
	if l.OnKey != nil {
		l.OnKey(k)
	}
}

func (l *List) colour() {
	l.ring.StrokeColor, l.ring.FillColor = theme.Colour(theme.None, theme.Light), theme.Colour(theme.None, theme.Light)
	if l.focused {
		l.ring.StrokeColor = theme.Colour(theme.Accent, easel.Variant())
	}
	canvas.Refresh(l.ring)
}

// CreateRenderer makes the list's renderer.
func (l *List) CreateRenderer() fyne.WidgetRenderer { l.colour(); return listRenderer{l} }

type listRenderer struct{ l *List }

func (r listRenderer) Destroy()           {}
func (r listRenderer) MinSize() fyne.Size { return fyne.NewSize(160, 90) }
func (r listRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.l.page.Roll, r.l.ring}
}

func (r listRenderer) Layout(s fyne.Size) {
	r.l.page.Place(fyne.NewPos(0, 0), s)
	r.l.ring.Resize(s)
}

func (r listRenderer) Refresh() {
	r.l.board.Refresh()
	r.l.page.Again()
	r.l.colour()
	canvas.Refresh(r.l)
}
