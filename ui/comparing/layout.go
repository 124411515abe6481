package comparing

import (
	"slices"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
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
	p.showButtons(two, low)
	form.Visible(p.words, !two || !low || !p.drawn)
	shown := p.shown()
	for _, side := range p.drawings() {
		on := two && (!low || p.drawn) && slices.Contains(shown, side)
		form.Visible(side.pane, on)
		form.Visible(side.head, on)
	}
	top := form.Head(p.ground, p.buttons, s)
	x, y, w, h := float32(0), top, s.Width, s.Height-top
	if !two || low {
		form.Put(p.words, x, y, w, h)
	} else {
		x, y, w, h = form.Side(p.words, s, top, 0.42, 520, 0.45)
	}
	if !two {
		form.Visible(p.scale, false)
		return
	}
	besides := p.besides(w, h)
	high, wide := h, w
	if len(shown) == 2 && besides {
		wide = w / 2
	} else if len(shown) == 2 {
		high = h / 2
	}
	// Where a drawing is too low for a legend, all have one scale below them.
	ruled := high-headHigh-4 < legendFrom
	if ruled {
		h -= scaleHigh
		if len(shown) == 1 || besides {
			high = h
		} else {
			high = h / 2
		}
	}
	form.Visible(p.scale, ruled && (!low || p.drawn))
	p.scale.Prepare(w)
	form.Put(p.scale, x, y+h, w, scaleHigh)
	for i, side := range shown {
		left, up := x, y
		if besides {
			left += float32(i) * wide
		} else {
			up += float32(i) * high
		}
		side.head.Prepare(wide)
		form.Put(side.head, left, up, wide-4, headHigh)
		form.Put(side.pane, left, up+headHigh, wide-4, high-headHigh-4)
	}
}

// showButtons shows the buttons that mean something; in a low window only those of what
// is shown, so that they take one row. The other set is taken by a press on its line.
func (p *Page) showButtons(two, low bool) {
	for _, b := range p.two {
		on := two
		if low && two {
			on = b.Command.Name == "Difference" || !p.drawn && slices.Contains(p.tabled, b) || p.drawn && slices.Contains(p.shaded, b)
		}
		form.Visible(b, on)
	}
	form.Visible(p.other, two && low)
	form.Visible(p.ownSpan, len(p.sets) > 0 && !(low && p.drawn))
	for _, o := range p.buttons.Objects {
		if b := o.(*command.Chip); b.Compact != (low && two) {
			b.Compact = low && two
			b.Refresh()
		}
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
