package shell

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

var _ fyne.Focusable = (*focus)(nil)

// A focus holds the page of the look of things and gives its keys to the page
// while no button of it has the focus.
type focus struct {
	widget.BaseWidget
	l    *look
	back *canvas.Rectangle
}

func newFocus(l *look) *focus {
	f := &focus{l: l, back: canvas.NewRectangle(nil)}
	f.ExtendBaseWidget(f)
	return f
}

// FocusGained does nothing: the buttons show where the focus goes.
func (f *focus) FocusGained() {}

// FocusLost does nothing.
func (f *focus) FocusLost() {}

// TypedRune gives a character to the page.
func (f *focus) TypedRune(r rune) { f.l.set.Rune(r) }

// TypedKey gives a key to the page.
func (f *focus) TypedKey(k *fyne.KeyEvent) {
	f.l.set.Key(k)
}

// CreateRenderer makes the renderer.
func (f *focus) CreateRenderer() fyne.WidgetRenderer { return focusRenderer{f} }

type focusRenderer struct{ f *focus }

func (r focusRenderer) Destroy()           {}
func (r focusRenderer) MinSize() fyne.Size { return fyne.NewSize(200, 100) }
func (r focusRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.f.back, r.f.l.page.Roll}
}

func (r focusRenderer) Layout(s fyne.Size) {
	r.f.back.FillColor = theme.Colour(theme.Paper, easel.Variant())
	r.f.back.Resize(s)
	r.f.l.page.Place(fyne.NewPos(0, 0), fyne.NewSize(fyne.Min(s.Width, 760), s.Height))
}

func (r focusRenderer) Refresh() { r.Layout(r.f.Size()); canvas.Refresh(r.f) }

func drawn(b []sheet.Block) func(float64) (*scene.List, float64) {
	return func(w float64) (*scene.List, float64) {
		l, h := sheet.Draw(b, w, easel.Measure)
		return l, h - 12
	}
}
