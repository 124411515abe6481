package reaching

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/form"
)

// layout puts the buttons on top, the words at left and what is shown at right; in a
// narrow window the words lie above.
type layout struct{ p *Page }

// Layout places the parts.
func (l layout) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	p := l.p
	top := form.Head(p.ground, p.buttons, s)
	x, y, w, h := form.Side(p.words, s, top, 0.4, 400, 0.42)
	form.Visible(p.fields.Roll, p.saving.on())
	form.Visible(p.rows, !p.saving.on() && p.table && p.answer != nil)
	form.Visible(p.picture, !p.saving.on() && !p.rows.Visible())
	p.fields.Place(fyne.NewPos(x, y), fyne.NewSize(w-6, h-6))
	form.Put(p.rows, x, y, w-6, h-6)
	p.high = float64(h - 6)
	p.picture.Prepare(w - 6)
	form.Put(p.picture, x, y, w-6, h-6)
}

// MinSize is small: the page shows what fits.
func (layout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 200) }
