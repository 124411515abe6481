package listing

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/form"
)

// layout puts the buttons on top, the lines at left and the rows at right; in a narrow
// or low window it is the lines or the rows.
type layout struct{ p *Page }

// Layout places the parts.
func (l layout) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	p := l.p
	top := form.Head(p.ground, p.buttons, s)
	form.Visible(p.path, p.choosing)
	x, y, w, h := float32(0), top, s.Width, s.Height-top
	p.low = form.Low(s) || form.Stacked(s)
	form.Visible(p.left, !p.low || !p.over && !p.choosing)
	form.Visible(p.right, !p.low || p.over || p.choosing)
	if p.low {
		form.Put(p.left, 0, top, s.Width, h)
	} else {
		x = fyne.Min(470, s.Width*0.45)
		form.Put(p.left, 0, top, x, h)
		w -= x
	}
	if p.choosing {
		high := p.path.MinSize().Height + 12
		form.Put(p.path, x+14, y+h-high, w-28, high-12)
		h -= high
	}
	form.Put(p.right, x, y, w-6, h-6)
}

// MinSize is small: the page shows what fits.
func (layout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 200) }
