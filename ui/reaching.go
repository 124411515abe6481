package ui

import (
	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/reaching"
	"halfsplit/ui/sheet"
	"halfsplit/ui/stages"
)

// tableID is the line of the sheet that opens the drawing table.
const tableID = "drawing table"

// openTable opens the drawing of the case's layout.
func (d *Desk) openTable() {
	if d.deps.Draw == nil {
		d.say("This case is in no casebook; its drawing cannot be opened.")
		return
	}
	d.deps.Draw()
}

// reachID is the line of the sheet that opens what can be reached on the pack.
const reachID = "reach"

// drawn says that the sheet of the drawn pack is shown: what can be reached on it is
// what its foot offers.
func (d *Desk) drawn() bool {
	return d.page == stagePage && d.stage == stages.Draw && len(d.pack.Net.Layout.Modules) > 0
}

func reachAction() sheet.Block {
	return sheet.Block{Kind: sheet.Action, ID: reachID, Text: "What can be reached on this pack …", Value: "How small a place, from which states, how often right: simulated. Enter"}
}

// newReaching makes the page of what can be reached; it lies over the desk while it is
// open.
func (d *Desk) newReaching() *reaching.Page {
	p := reaching.New(reaching.Deps{
		Case: func() fault.Case { return d.deps.Case }, Run: d.deps.Reach, Go: d.deps.Go, Do: d.deps.Do, Back: d.closeReaching, Copy: d.deps.Copy, Folder: d.deps.Folder,
		Modifier: d.deps.Modifier, Shortcut: func(s fyne.Shortcut) { d.Shortcut(s) },
		Key:    func(k *fyne.KeyEvent) bool { return d.aroundKey != nil && d.aroundKey(k) },
		Canvas: d.canvas,
	})
	p.Content().Hide()
	return p
}

// openReaching shows the page; a timer would run on behind it.
func (d *Desk) openReaching() {
	d.stopTimer("")
	d.lay(d.reaching, d.reaching.Open)
}

// closeReaching ends what is under way and goes back to the sheet.
func (d *Desk) closeReaching() { d.unlay("Back from what can be reached. Nothing was recorded.") }
