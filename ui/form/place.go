package form

import "fyne.io/fyne/v2"

// Put places an object; less than nothing is no width or height.
func Put(o fyne.CanvasObject, x, y, w, h float32) {
	o.Move(fyne.NewPos(x, y))
	o.Resize(fyne.NewSize(fyne.Max(0, w), fyne.Max(0, h)))
}

// Visible shows or hides an object that is not so already: both make the toolkit
// draw anew.
func Visible(o fyne.CanvasObject, on bool) {
	if on && !o.Visible() {
		o.Show()
	} else if !on && o.Visible() {
		o.Hide()
	}
}
