package ui

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/sheet"
)

// An overlay is a page that lies over the whole desk while it is open.
type overlay interface {
	Content() fyne.CanvasObject
	Focus()
	Keys() []sheet.Block
	Refresh()
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

// lay puts an overlay in the desk's place; a timer would run on behind it.
func (d *Desk) lay(o overlay, open func()) {
	d.stopTimer("")
	d.root.Hide()
	d.photos.Content().Hide()
	d.overTime.Content().Hide()
	d.reaching.Close()
	d.reaching.Content().Hide()
	d.listing.Content().Hide()
	d.hideOverlays()
	o.Content().Show()
	open()
	d.Focus()
}

func (d *Desk) hideOverlays() {
	for _, o := range d.overlays {
		o.Content().Hide()
	}
}

// unlay goes back to the desk.
func (d *Desk) unlay(said string) {
	d.hideOverlays()
	d.root.Show()
	if said != "" {
		d.say(said)
	}
	d.Focus()
}
