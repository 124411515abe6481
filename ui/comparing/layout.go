package comparing

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/form"
)

// layout puts the buttons on top, the words and the table at left and the two
// drawings at right: beside each other for a pack that is drawn high, above each
// other for one that is drawn wide. In a narrow window the words lie above, in a low one it is the words or the drawings.
type layout struct{ p *Page }

// Layout places the parts.
func (l layout) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	p := l.p
	two, low := len(p.sets) >= 2, form.Low(s)
	form.Visible(p.other, two && low)
	form.Visible(p.words, !two || !low || !p.drawn)
	for _, side := range p.sides {
		form.Visible(side.pane, two && (!low || p.drawn))
		form.Visible(side.head, two && (!low || p.drawn))
	}
	top := form.Head(p.ground, p.buttons, s)
	x, y, w, h := float32(0), top, s.Width, s.Height-top
	if !two || low {
		form.Put(p.words, x, y, w, h)
	} else {
		x, y, w, h = form.Side(p.words, s, top, 0.42, 520, 0.45)
	}
	if !two {
		return
	}
	for i, side := range p.sides {
		left, up, wide, high := x, y, w, h
		if p.besides(w, h) {
			wide = w / 2
			left += float32(i) * wide
		} else {
			high = h / 2
			up += float32(i) * high
		}
		side.head.Prepare(wide)
		form.Put(side.head, left, up, wide-4, headHigh)
		form.Put(side.pane, left, up+headHigh, wide-4, high-headHigh-4)
	}
}

// besides says that the drawings are larger beside each other than above each other.
func (p *Page) besides(w, h float32) bool {
	if p.sides[0].plan == nil {
		return true
	}
	size := p.sides[0].plan.Geo.Bounds.Size()
	if size.X() <= 0 || size.Y() <= 0 {
		return true
	}
	fit := func(w, h float32) float64 { return min(float64(w)/size.X(), float64(h)/size.Y()) }
	return fit(w/2, h-headHigh) >= fit(w, h/2-headHigh)
}

// MinSize is small: the page shows what fits.
func (layout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 200) }
