package form

import (
	"fyne.io/fyne/v2"
)

const gap = 6

// Flow puts buttons in rows, as many in each as fit.
type Flow struct{}

var _ fyne.Layout = (*Flow)(nil)

// NewFlow is a container of buttons in rows.
func NewFlow(objects ...fyne.CanvasObject) *fyne.Container {
	return &fyne.Container{Layout: &Flow{}, Objects: objects}
}

// Layout places the buttons.
func (f *Flow) Layout(objects []fyne.CanvasObject, s fyne.Size) { f.place(objects, s.Width, true) }

// HighFor is the height that the buttons need at a width.
func HighFor(c *fyne.Container, width float32) float32 {
	return c.Layout.(*Flow).place(c.Objects, width, false)
}

func (f *Flow) place(objects []fyne.CanvasObject, width float32, move bool) float32 {
	x, y, row := float32(gap), float32(gap), float32(0)
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		m := o.MinSize()
		if x > gap && x+m.Width+gap > width {
			x, y, row = gap, y+row+gap, 0
		}
		if move {
			o.Move(fyne.NewPos(x, y))
			o.Resize(fyne.NewSize(fyne.Min(m.Width, fyne.Max(0, width-2*gap)), m.Height))
		}
		x += m.Width + gap
		row = fyne.Max(row, m.Height)
	}
	if row == 0 {
		return 0
	}
	return y + row + gap
}

// MinSize is that of the widest button: who lays the row out asks HighFor.
func (f *Flow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	var m fyne.Size
	for _, o := range objects {
		if o.Visible() {
			m = m.Max(o.MinSize())
		}
	}
	return fyne.NewSize(m.Width+2*gap, m.Height+2*gap)
}

// A High is something whose height follows the width that it gets.
type High interface{ Prepare(width float32) float32 }

// Column puts things under each other in the full width: boards as high as their
// content, rows of buttons as high as they wrap, others as high as they need.
type Column struct{ Pad float32 }

var _ fyne.Layout = (*Column)(nil)

// Layout places them.
func (c *Column) Layout(objects []fyne.CanvasObject, s fyne.Size) {
	c.place(objects, s.Width, true)
}

// HighAt is the height that they need at a width.
func (c *Column) HighAt(objects []fyne.CanvasObject, width float32) float32 {
	return c.place(objects, width, false)
}

func (c *Column) place(objects []fyne.CanvasObject, width float32, move bool) float32 {
	y := float32(0)
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		x, w, h, after := c.Pad, width-2*c.Pad, float32(0), float32(8)
		if b, ok := o.(High); ok {
			x, w, after = 0, width, 0
			h = b.Prepare(w)
		} else if row, ok := o.(*fyne.Container); ok && isFlow(row) {
			x, w, after = c.Pad-gap, width-2*c.Pad+2*gap, 0
			h = HighFor(row, w)
		} else {
			h = o.MinSize().Height
		}
		if move {
			o.Move(fyne.NewPos(x, y))
			o.Resize(fyne.NewSize(fyne.Max(0, w), h))
		}
		y += h + after
	}
	return y + 8
}

func isFlow(c *fyne.Container) bool { _, ok := c.Layout.(*Flow); return ok }

// MinSize is the height at the width laid out last; a Page asks HighAt.
func (c *Column) MinSize(objects []fyne.CanvasObject) fyne.Size { return fyne.NewSize(200, 100) }
