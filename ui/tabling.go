package ui

import (
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/command"
	"halfsplit/ui/listing"
	"halfsplit/ui/sheet"
)

// listID is the line of the sheet that opens the taking in of lists.
const listID = "list"

func listAction() sheet.Block {
	return sheet.Block{Kind: sheet.Action, ID: listID, Text: "Take in a list …", Value: "A CSV file or pasted columns. F12, Ctrl V"}
}

func (d *Desk) listCommand() {
	d.set.Add(&command.Command{Name: "Take in a list", Help: "Take in cell volts or readings from a CSV file or from pasted columns", Keys: "F12, Ctrl V",
		Named: []fyne.KeyName{fyne.KeyF12}, Do: d.openListing})
}

// newListing makes the page of lists; it lies over the desk while it is open.
func (d *Desk) newListing() *listing.Page {
	p := listing.New(listing.Deps{
		Case: func() fault.Case { return d.deps.Case }, Store: func() listing.Keeper { return d.store }, Stored: d.listStored, Back: d.closeListing,
		Clipboard: d.deps.Clipboard, Copy: d.deps.Copy, Now: d.now, Folder: d.deps.Folder,
		Go: d.deps.Go, Do: d.deps.Do, Modifier: d.deps.Modifier, Shortcut: func(s fyne.Shortcut) { d.Shortcut(s) },
		Key:    func(k *fyne.KeyEvent) bool { return d.aroundKey != nil && d.aroundKey(k) },
		Canvas: d.canvas,
	})
	p.Content().Hide()
	return p
}

// listed says that the page of lists is shown.
func (d *Desk) listed() bool { return d.listing.Content().Visible() }

// openListing shows the page; a timer would run on behind it.
func (d *Desk) openListing() {
	d.stopTimer("")
	d.lay(d.listing, d.listing.Enter)
}

func (d *Desk) leaveListing(said string) {
	d.unlay("")
	d.sayRecorded(said)
}

func (d *Desk) closeListing() {
	d.leaveListing("Back from the list. Nothing of it was stored.")
}

// listStored shows the case with what a list has brought.
func (d *Desk) listStored(said string) {
	d.afterCommand()
	d.leaveListing(said + " Ctrl Z takes it back.")
}

// pasteList takes in what was copied where no field wants it. On the entry page a field
// wants it, unless it has several lines or columns.
func (d *Desk) pasteList(text string) bool {
	if d.page == entryPage && !d.listed() && !strings.ContainsAny(strings.TrimSpace(text), "\n\r\t") {
		return false
	}
	if d.takesTab() && d.page != entryPage && !d.listed() {
		return false // something else is being typed
	}
	if !d.listed() {
		d.openListing()
	}
	d.listing.Paste(text)
	return true
}
