package ui

import (
	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/report"
	"halfsplit/ui/command"
	"halfsplit/ui/entry"
	"halfsplit/ui/printing"
	"halfsplit/ui/sheet"
)

// paperID is the line of the sheet that opens the bench sheets.
const paperID = "paper"

func paperAction() sheet.Block {
	return sheet.Block{Kind: sheet.Action, ID: paperID, Text: "A bench sheet on paper …", Value: "Print one, or type one in by its number: Shift F12."}
}

func (d *Desk) paperCommand() {
	d.set.Add(&command.Command{Name: "Bench sheet", Help: "Print a bench sheet to write readings on, or type one in by its number", Keys: "Shift F12", Named: []fyne.KeyName{fyne.KeyF12}, Shift: true, Do: d.openPrinting})
}

// newPrinting makes the page of bench sheets.
func (d *Desk) newPrinting() *printing.Page {
	p := printing.New(printing.Deps{
		Case: func() fault.Case { return d.deps.Case }, Finding: func() *fault.Finding {
			if d.result.Stale {
				return nil
			}
			return d.result.Finding
		}, Head: d.logHead, Now: d.deps.Now,
		Go: d.deps.Go, Do: d.deps.Do, Enter: d.enterSheet, Back: func() { d.unlay("Back from the bench sheets.") }, Folder: d.deps.Folder,
		Key:    func(k *fyne.KeyEvent) bool { return d.aroundKey != nil && d.aroundKey(k) },
		Canvas: d.canvas, Modifier: d.deps.Modifier, Shortcut: func(s fyne.Shortcut) { d.Shortcut(s) },
	})
	p.Content().Hide()
	return p
}

// logHead is the head of the casebook's log in its short form, for paper; "" where the
// case is in no casebook.
func (d *Desk) logHead() string {
	if h, ok := d.store.(interface{ Head() string }); ok {
		return h.Head()
	}
	return ""
}

func (d *Desk) openPrinting() {
	d.stopTimer("")
	d.lay(d.printing, d.printing.Open)
}

// enterSheet types a printed sheet in: a run through its boxes, for the state that it
// was printed for.
func (d *Desk) enterSheet(number string, m report.Match) {
	d.unlay("")
	d.series.begun++
	d.series.run = entry.OfSheet(d.pack, entry.Run{Number: d.series.begun, Sheet: number, Kind: m.Kind, Order: m.Order, Stack: m.Stack, Resistor: m.Resistor, Chassis: m.Chassis, State: m.State})
	d.series.setup = entry.NewSetup(d.pack, d.series.run, d.series.begun)
	d.toSheet()
	said := "Entering sheet " + number + ", from its first box."
	if m.OtherNow {
		said = "Entering sheet " + number + " for state " + m.State + ", which is not the present one."
	}
	d.enterRun(said)
}
