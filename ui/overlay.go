package ui

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/sheet"
)

// An overlay is a page that lies over the whole desk while it is open; one at a time.
type overlay interface {
	Content() fyne.CanvasObject
	Focus()
	Keys() []sheet.Block
	Refresh()
	Say(what string) // shows the case as it is now, and what just happened
}

// over is the overlay that is shown; nil for none.
func (d *Desk) over() overlay {
	for _, o := range d.overlays {
		if o.Content().Visible() {
			return o
		}
	}
	return nil
}

// lay puts an overlay in the desk's place.
func (d *Desk) lay(o overlay, open func()) {
	d.uncover()
	d.root.Hide()
	o.Content().Show()
	open()
	d.Focus()
}

// unlay goes back to the desk.
func (d *Desk) unlay(said string) {
	d.uncover()
	d.root.Show()
	if said != "" {
		d.say(said)
	}
	d.Focus()
}

// uncover takes every overlay away; what is simulated is ended with its page.
func (d *Desk) uncover() {
	d.reaching.Close()
	for _, o := range d.overlays {
		o.Content().Hide()
	}
}
