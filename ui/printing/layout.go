package printing

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/form"
)

// layout puts the buttons on top, the choices at left and the page of paper or the
// field at right; in a narrow window the choices lie above, in a low one it is one of them.
type layout struct{ p *Page }

// Layout places the parts.
func (l layout) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	p := l.p
	low, typing := form.Low(s), p.saving.on || p.typing.on
	form.Visible(p.other, low && !typing)
	form.Visible(p.fields.Roll, typing)
	form.Visible(p.words, !low || !typing && !p.drawn)
	form.Visible(p.pane, !typing && (!low || p.drawn))
	p.showButtons(low, typing)
	top := form.Head(p.ground, p.buttons, s)
	x, y, w, h := float32(0), top, s.Width, s.Height-top
	if low {
		form.Put(p.words, x, y, w, h)
	} else {
		x, y, w, h = form.Side(p.words, s, top, 0.42, 440, 0.45)
	}
	p.fields.Place(fyne.NewPos(x, y), fyne.NewSize(w-6, h-6))
	form.Put(p.pane, x, y, w-6, h-6)
}

// showButtons shows in a low window only the buttons of what is shown, without their
// keys, so that they take one row.
func (p *Page) showButtons(low, typing bool) {
	for i, b := range p.plain {
		form.Visible(b, !typing && (!low || !p.drawn || i == 0))
	}
	for _, b := range p.turning {
		form.Visible(b, !typing && len(p.pages) > 1 && (!low || p.drawn))
	}
	for _, o := range p.buttons.Objects {
		if b := o.(*command.Chip); b.Compact != low {
			b.Compact = low
			b.Refresh()
		}
	}
}

// MinSize is small: the page shows what fits.
func (layout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 200) }
