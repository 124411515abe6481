package ui

import (
	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/command"
	"halfsplit/ui/comparing"
	"halfsplit/ui/sheet"
)

// compareID is the line of the sheet that opens two sets of readings side by side.
const compareID = "compare"

func compareAction() sheet.Block {
	return sheet.Block{Kind: sheet.Action, ID: compareID, Text: "Before and after …", Value: "Two sets of readings side by side, and what differs by more than the instruments can err: Shift F7."}
}

func (d *Desk) compareCommand() {
	d.set.Add(&command.Command{Name: "Before and after", Help: "Two sets of readings side by side on one scale, and what differs beyond measurement error", Keys: "Shift F7",
		Named: []fyne.KeyName{fyne.KeyF7}, Shift: true, Do: d.openComparing})
}

// newComparing makes the page; it records nothing.
func (d *Desk) newComparing() *comparing.Page {
	p := comparing.New(comparing.Deps{
		Case: func() fault.Case { return d.deps.Case }, Back: func() { d.unlay("Back from before and after. Nothing was recorded.") }, Copy: d.deps.Copy,
		Key:    func(k *fyne.KeyEvent) bool { return d.aroundKey != nil && d.aroundKey(k) },
		Canvas: d.canvas, Modifier: d.deps.Modifier,
	})
	p.Content().Hide()
	return p
}

func (d *Desk) openComparing() {
	d.stopTimer("")
	d.lay(d.comparing, d.comparing.Open)
}
