package form

import "fyne.io/fyne/v2"

// Put places an object; less than nothing is no width or height.
func Put(o fyne.CanvasObject, x, y, w, h float32) {
	o.Move(fyne.NewPos(x, y))
	o.Resize(fyne.NewSize(fyne.Max(0, w), fyne.Max(0, h)))
}

// Sizes at which a page of two panes is laid out another way.
const (
	twoPanes  = 760 // from here on they stand beside each other
	lowHeight = 460 // large text on a small screen: what is drawn needs the height more
	lowPanes  = 480
)

// Low says that a page is too low to have one pane above the other where it is wide
// enough for both.
func Low(s fyne.Size) bool { return s.Height < lowHeight }

// Stacked says that a page of two panes has them one above the other.
func Stacked(s fyne.Size) bool { return s.Width < twoPanes && !(Low(s) && s.Width >= lowPanes) }

// Visible shows or hides an object that is not so already: both make the toolkit
// draw anew.
func Visible(o fyne.CanvasObject, on bool) {
	if on && !o.Visible() {
		o.Show()
	} else if !on && o.Visible() {
		o.Hide()
	}
}
