package reaching

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/theme"
)

// layout puts the buttons on top, the words at left and what is shown at right; in a
// narrow window the words lie above.
type layout struct{ p *Page }

// Layout places the parts.
func (l layout) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	p := l.p
	p.ground.FillColor = theme.Colour(theme.Paper, easel.Variant())
	p.ground.Resize(s)
	top := form.HighFor(p.buttons, s.Width)
	form.Put(p.buttons, 0, 0, s.Width, top)
	x, y := float32(0), top
	if form.Stacked(s) {
		high := (s.Height - top) * 0.42
		form.Put(p.words, 0, top, s.Width, high)
		y += high
	} else {
		x = fyne.Min(400, s.Width*0.4)
		form.Put(p.words, 0, top, x, s.Height-top)
	}
	w, h := s.Width-x, s.Height-y
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
