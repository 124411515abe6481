package printing

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/theme"
)

// layout puts the buttons on top, the choices at left and the page of paper or the
// field at right; in a narrow window the choices lie above.
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
		high := (s.Height - top) * 0.45
		form.Put(p.words, 0, top, s.Width, high)
		y += high
	} else {
		x = fyne.Min(440, s.Width*0.42)
		form.Put(p.words, 0, top, x, s.Height-top)
	}
	typing := p.saving.on || p.typing.on
	form.Visible(p.fields.Roll, typing)
	form.Visible(p.pane, !typing)
	p.fields.Place(fyne.NewPos(x, y), fyne.NewSize(s.Width-x-6, s.Height-y-6))
	form.Put(p.pane, x, y, s.Width-x-6, s.Height-y-6)
}

// MinSize is small: the page shows what fits.
func (layout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 200) }
