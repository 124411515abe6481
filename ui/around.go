package ui

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/easel"
	"halfsplit/ui/sheet"
)

// Around gives the desk's keys to the window around it first; true = taken.
func (d *Desk) Around(key func(*fyne.KeyEvent) bool) {
	d.set.Around, d.aroundKey = key, key
	for _, p := range []*easel.Pane{d.planPane, d.rulerPane} { // before the page that is typed into
		own := p.OnKey
		p.OnKey = func(k *fyne.KeyEvent) bool { return key(k) || own(k) }
	}
}

// Keys is the list of the desk's keys, for the help of the window around it.
func (d *Desk) Keys() []sheet.Block {
	if o := d.over(); o != nil {
		return o.Keys()
	}
	return sheet.Keys(d.set.Helped())
}

// canvas is what the window is drawn on; nil before it is shown.
func (d *Desk) canvas() fyne.Canvas {
	if d.deps.Canvas == nil {
		return nil
	}
	return d.deps.Canvas()
}
