package ui

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/listing"
	"halfsplit/ui/photos"
	"halfsplit/ui/sheet"
	"halfsplit/ui/stages"
)

// photosID is the line of the sheet that opens the photos.
const photosID = "photos"

func photosAction() sheet.Block {
	return sheet.Block{Kind: sheet.Action, ID: photosID, Text: "Photos …", Value: "Kept with the case. O"}
}

// newPhotos makes the page of photos; it lies over the desk while it is open.
func (d *Desk) newPhotos() *photos.Page {
	p := photos.New(photos.Deps{
		Keep: func() photos.Keeper { return d.store },
		Undo: func() string { return d.store.Steps().Undo }, TakeBack: d.takeBack,
		Besides: d.photoBesides,
		Added:   d.afterCommand, Back: d.closePhotos, Folder: d.deps.Folder,
		Go: d.deps.Go, Do: d.deps.Do, Modifier: d.deps.Modifier, Shortcut: func(s fyne.Shortcut) { d.Shortcut(s) },
		Key:    func(k *fyne.KeyEvent) bool { return d.aroundKey != nil && d.aroundKey(k) },
		Canvas: d.canvas,
	})
	p.Content().Hide()
	return p
}

// photoOf is what a new photo belongs to: what is selected, or the stage whose page
// is open.
func (d *Desk) photoOf() string {
	switch d.page {
	case stagePage:
		return "stage:" + stages.All[d.stage].Name
	case entryPage:
		return ""
	}
	return d.selected
}

// photoBesides are the present state and the reading that was recorded last.
func (d *Desk) photoBesides() (out []string) {
	c := d.store.Case()
	if c.Now != "" {
		out = append(out, "state:"+c.Now)
	}
	if n := len(c.Readings); n > 0 {
		out = append(out, "reading:"+c.Readings[n-1].ID)
	}
	return out
}

func (d *Desk) openPhotos() { d.lay(d.photos, func() { d.photos.Open(d.photoOf()) }) }

func (d *Desk) closePhotos() { d.unlay("Back from the photos.") }

// Dropped takes a file that was dropped on the window: a list to be read, or a photo to
// be looked at before it is added.
func (d *Desk) Dropped(path string) {
	if d.listing.Busy() {
		return
	}
	if listing.Takes(path) {
		d.openListing()
		d.listing.Open(path)
		return
	}
	if !d.photos.Content().Visible() {
		d.openPhotos()
	}
	d.photos.Offer(path)
}
