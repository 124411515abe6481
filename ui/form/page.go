package form

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
)

// A Page is a column that rolls when it is higher than its place. Its height
// follows its width, which Fyne's own rolling container cannot say.
type Page struct {
	Roll   *easel.Roll
	column *fyne.Container
	inner  *sized
	pad    float32
}

// NewPage is an empty page whose things stand pad pixels from its sides.
func NewPage(pad float32) *Page {
	p := &Page{pad: pad}
	p.column = &fyne.Container{Layout: &Column{Pad: pad}}
	p.inner = &sized{}
	p.Roll = easel.NewRoll(&fyne.Container{Layout: p.inner, Objects: []fyne.CanvasObject{p.column}})
	return p
}

// Set shows other things, from the top.
func (p *Page) Set(objects ...fyne.CanvasObject) {
	p.column.Objects = objects
	for _, o := range objects {
		p.follow(o, o)
	}
	p.Roll.Offset = fyne.NewPos(0, 0)
	p.Place(p.Roll.Position(), p.Roll.Size())
}

// follow rolls the page so that whatever gets the keyboard is seen: a field with
// its name, a button.
func (p *Page) follow(top, o fyne.CanvasObject) {
	reveal := func() {
		y := top.Position().Y
		if o != top && isRow(top) {
			y += o.Position().Y
		}
		p.Show(y-8, y+fyne.Max(o.Size().Height, 1)+8)
	}
	switch o := o.(type) {
	case *Entry:
		o.reveal = reveal
	case *command.Chip:
		o.OnFocus = reveal
	case *Lines:
		o.reveal = func(from, to float32) {
			y := top.Position().Y
			p.Show(y+from-8, y+to+8)
		}
	case *Labelled:
		p.followField(o, o.Field)
	case *fyne.Container:
		for _, child := range o.Objects {
			p.follow(top, child)
		}
	}
}

// followField follows what stands below a name: the name is seen with it.
func (p *Page) followField(l *Labelled, field fyne.CanvasObject) {
	reveal := func() { p.Show(l.Position().Y-8, l.Position().Y+l.Size().Height+8) }
	switch f := field.(type) {
	case *Entry:
		f.reveal = reveal
	case *command.Chip:
		f.OnFocus = reveal
	case *fyne.Container:
		for _, child := range f.Objects {
			p.followField(l, child)
		}
	}
}

func isRow(o fyne.CanvasObject) bool {
	c, ok := o.(*fyne.Container)
	return ok && isFlow(c)
}

// Objects are the things that are shown.
func (p *Page) Objects() []fyne.CanvasObject { return p.column.Objects }

// Place puts the page somewhere.
func (p *Page) Place(at fyne.Position, s fyne.Size) {
	p.Roll.Move(at)
	p.inner.high = p.column.Layout.(*Column).HighAt(p.column.Objects, s.Width)
	p.Roll.Resize(s)
	p.Roll.Content.Resize(fyne.NewSize(s.Width, fyne.Max(p.inner.high, s.Height)))
	p.column.Layout.Layout(p.column.Objects, fyne.NewSize(s.Width, p.inner.high))
	p.Roll.Refresh()
}

// Again lays the page out once more, after something on it changed its height.
func (p *Page) Again() { p.Place(p.Roll.Position(), p.Roll.Size()) }

// By rolls by a share of the page's height.
func (p *Page) By(share float32) {
	most := fyne.Max(0, p.inner.high-p.Roll.Size().Height)
	p.Roll.Offset.Y = fyne.Max(0, fyne.Min(most, p.Roll.Offset.Y+share*p.Roll.Size().Height))
	p.Roll.Refresh()
}

// Show rolls just so far that the stretch from top to bottom is seen.
func (p *Page) Show(top, bottom float32) {
	high := p.Roll.Size().Height
	switch {
	case top < p.Roll.Offset.Y:
		p.Roll.Offset.Y = top
	case bottom > p.Roll.Offset.Y+high:
		p.Roll.Offset.Y = fyne.Min(top, bottom-high)
	default:
		return
	}
	p.Roll.Refresh()
}

// sized is as high as it was told.
type sized struct{ high float32 }

func (s *sized) Layout(objects []fyne.CanvasObject, to fyne.Size) {
	for _, o := range objects {
		o.Resize(to)
	}
}

func (s *sized) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(80, s.high) }
