package ui

import (
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/sheet"
)

// foldCommands are one key a part of the finding's page.
func (d *Desk) foldCommands() {
	for _, p := range sheet.Parts {
		d.set.Add(&command.Command{Name: p.Name, Help: "Open or close " + p.Help, Keys: p.Key, Runes: strings.ToLower(p.Key), Do: func() { d.toggleFold(p) }})
	}
}

// pickFold is a press on a part's line.
func (d *Desk) pickFold(id string) bool {
	p, ok := sheet.PartOf(id)
	if ok {
		d.toggleFold(p)
	}
	return ok
}

// toggleFold opens or closes a part; from another page it opens it. Where the
// finding has nothing of it, that is said.
func (d *Desk) toggleFold(p sheet.Part) {
	d.folds[p.ID] = !d.folds[p.ID]
	if d.page != findingPage {
		d.toSheet()
		d.folds[p.ID] = true
		d.page = findingPage
	}
	d.showSheet(false)
	d.showChips()
	top, ok := foldTop(d.paper, p.ID)
	switch {
	case !ok:
		d.folds[p.ID] = false
		d.say("This finding has nothing to show of that: " + strings.ToLower(p.Name[:1]) + p.Name[1:] + ".")
	case d.folds[p.ID]:
		most := fyne.Max(0, d.paper.MinSize().Height-d.paperRoll.Size().Height)
		d.paperRoll.Offset = fyne.NewPos(0, fyne.Min(fyne.Max(0, top-8), most))
		d.paperRoll.Refresh()
		d.say(p.Name + ": open.")
	default:
		d.say(p.Name + ": closed.")
	}
}

// foldTop is where a part starts on the sheet.
func foldTop(b *easel.Board, id string) (float32, bool) {
	for _, t := range b.List().Targets {
		if t.ID == id {
			return float32(t.Area[0].World.Y()), true
		}
	}
	return 0, false
}
