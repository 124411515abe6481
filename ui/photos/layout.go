package photos

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"halfsplit/ui/form"
)

// twoPanes is the width from which list and picture stand beside each other.
const twoPanes = 720

// layout puts the buttons on top, the list at left and the picture, or the fields
// of a new one, at right; in a narrow window the list lies above.
type layout struct{ p *Page }

func (l layout) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	p := l.p
	for i, o := range p.buttons.Objects {
		form.Visible(o, i == 0 || !p.adding)
	}
	form.Visible(p.buttons.Objects[2], !p.adding && p.large != nil)
	form.Visible(p.undo, strings.HasPrefix(p.deps.Undo(), "photo ") && !p.adding)
	top := form.Head(p.ground, p.buttons, s)
	full := p.full && !p.adding
	form.Visible(p.list, !full)
	form.Visible(p.fields.Roll, p.adding)
	form.Visible(p.caption, !p.adding)
	form.Visible(p.roll, p.large != nil)
	x, y, left := float32(0), top, fyne.Min(480, s.Width*0.42)
	switch {
	case full:
	case s.Width < twoPanes && !(form.Low(s) && !form.Stacked(s)):
		form.Put(p.list, 0, top, s.Width, (s.Height-top)*0.4)
		y += (s.Height - top) * 0.4
	default:
		form.Put(p.list, 0, top, left, s.Height-top)
		x = left
	}
	w := s.Width - x
	if p.adding {
		picture := float32(0)
		if room := (s.Height - y) * 0.36; p.large != nil && s.Height-y-room > 220 { // the fields come first
			picture = room
		}
		form.Put(p.roll, x+18, y+12, w-36, picture-12)
		p.fields.Place(fyne.NewPos(x, y+picture), fyne.NewSize(w, s.Height-y-picture))
	} else {
		words := p.caption.Prepare(w)
		if p.large != nil && s.Height-y < 240 { // the row says the same; the picture has the room
			words = 0
			p.caption.Hide()
		}
		form.Put(p.caption, x, y, w, words)
		form.Put(p.roll, x+12, y+words, w-24, s.Height-y-words-12)
	}
	p.image.FillMode = canvas.ImageFillContain
	p.image.SetMinSize(fyne.NewSize(10, 10))
	if full && p.large != nil { // point for point
		b, scale := p.large.Bounds(), float32(1)
		if p.deps.Canvas != nil && p.deps.Canvas() != nil {
			scale = fyne.Max(0.1, p.deps.Canvas().Scale())
		}
		p.image.FillMode = canvas.ImageFillOriginal
		p.image.SetMinSize(fyne.NewSize(float32(b.Dx())/scale, float32(b.Dy())/scale))
	} else {
		p.roll.Offset = fyne.NewPos(0, 0)
	}
	p.roll.Refresh()
}

func (layout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 200) }

// A shelf is the list's drawing with the small pictures upon it.
type shelf struct {
	widget.BaseWidget
	p      *Page
	images map[string]*canvas.Image
}

var _ form.High = (*shelf)(nil)

func newShelf(p *Page) *shelf {
	s := &shelf{p: p, images: map[string]*canvas.Image{}}
	s.ExtendBaseWidget(s)
	return s
}

// Prepare is the height at a width.
func (s *shelf) Prepare(width float32) float32 { return s.p.list.Board().Prepare(width) }

// CreateRenderer makes the renderer.
func (s *shelf) CreateRenderer() fyne.WidgetRenderer {
	r := &shelfRenderer{s: s}
	r.fill()
	return r
}

type shelfRenderer struct {
	s       *shelf
	objects []fyne.CanvasObject
}

func (r *shelfRenderer) Destroy()                     {}
func (r *shelfRenderer) MinSize() fyne.Size           { return r.s.p.list.Board().MinSize() }
func (r *shelfRenderer) Objects() []fyne.CanvasObject { return r.objects }

// fill puts every small picture that is made on its row.
func (r *shelfRenderer) fill() {
	p := r.s.p
	r.objects = []fyne.CanvasObject{p.list.Board()}
	if p.adding {
		return
	}
	y := float32(headHigh)
	for _, ph := range p.all {
		if s := p.small[ph.ID]; s.small != nil {
			img := r.s.images[ph.ID]
			if img == nil {
				img = canvas.NewImageFromImage(s.small)
				img.FillMode = canvas.ImageFillContain
				r.s.images[ph.ID] = img
			}
			form.Put(img, side+10, y+10, thumbWide, thumbHigh)
			r.objects = append(r.objects, img)
		}
		y += rowHigh + gap
	}
}

func (r *shelfRenderer) Layout(s fyne.Size) {
	r.fill()
	r.s.p.list.Board().Resize(s)
}

func (r *shelfRenderer) Refresh() {
	r.s.p.list.Board().Refresh()
	r.Layout(r.s.Size())
	canvas.Refresh(r.s)
}
