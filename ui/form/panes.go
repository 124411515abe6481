package form

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/ui/easel"
	"halfsplit/ui/theme"
)

// Head lays a page's ground and its buttons on top; it returns how high these are.
func Head(ground *canvas.Rectangle, buttons *fyne.Container, s fyne.Size) (top float32) {
	ground.FillColor = theme.Colour(theme.Paper, easel.Variant())
	ground.Resize(s)
	top = HighFor(buttons, s.Width)
	Put(buttons, 0, 0, s.Width, top)
	return top
}

// Side puts the first of a page's two panes below top: at the left, a share of the
// width and no wider than widest, or above the other, a share of the height, where the
// window is narrow. It returns the place that is left for the other.
func Side(first fyne.CanvasObject, s fyne.Size, top, share, widest, above float32) (x, y, w, h float32) {
	if Stacked(s) {
		high := (s.Height - top) * above
		Put(first, 0, top, s.Width, high)
		return 0, top + high, s.Width, s.Height - top - high
	}
	wide := fyne.Min(widest, s.Width*share)
	Put(first, 0, top, wide, s.Height-top)
	return wide, top, s.Width - wide, s.Height - top
}
