package ui

import (
	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/sheet"
	"halfsplit/ui/stages"
	"halfsplit/ui/timeline"
)

// newOverTime makes the page of the readings over time; it lies over the desk while
// it is open.
func (d *Desk) newOverTime() *timeline.Page {
	p := timeline.New(timeline.Deps{
		Pack: func() *facts.Pack { return d.pack }, Back: func() { d.unlay("Back from the readings over time.") }, Modifier: d.deps.Modifier, Copy: d.deps.Copy,
		Show: func(id string) {
			d.unlay("")
			d.choose(id)
			d.details()
		},
		Again: func(s timeline.Series) {
			d.unlay("")
			d.readAgain(s)
		},
		Key:    func(k *fyne.KeyEvent) bool { return d.aroundKey != nil && d.aroundKey(k) },
		Canvas: d.canvas,
	})
	p.Content().Hide()
	return p
}

func overTimeAction() sheet.Block {
	return sheet.Block{Kind: sheet.Action, ID: overTimeID, Text: "Readings over time …", Value: "Drying, drift, steps, settling: F7."}
}

// openOverTime shows the readings over time, from what is selected or entered.
func (d *Desk) openOverTime() {
	of := d.selected
	if d.page == entryPage && d.form.Corrects == "" {
		of = d.form.Selected()
	}
	d.stopTimer("")
	d.lay(d.overTime, func() { d.overTime.Open(of) })
}

// readAgain opens the entry page with the leads of a series.
func (d *Desk) readAgain(s timeline.Series) {
	if len(s.Values) == 0 {
		d.enter()
		return
	}
	r := s.Like
	f := entry.Begin(d.pack, "node:"+r.Red, entry.Form{Instrument: r.Instrument, Range: r.Range, Resistor: d.form.Resistor, Force: r.TestVolts, Millivolts: d.form.Millivolts, Comma: d.form.Comma, Last: d.form.Last})
	switch {
	case r.Quantity == fault.Insulation:
		f.Kind = entry.Insulation
	case f.Module != "" && r.Red == f.Module+"+" && r.Black == f.Module+"-":
		f.Kind = entry.ModuleVolts
	case r.Resistor != nil && r.AcrossProbes():
		f.Kind, f.Resistor = entry.WithResistor, r.Resistor.ID
	default:
		f.Kind = entry.ToChassis
	}
	f.Black = r.Black
	d.toSheet()
	d.form = f
	d.page = entryPage
	d.follow()
	d.showSheet(true)
	d.showChips()
	d.say("Entering: " + f.Title() + ".")
}

// stageActions are what can be done on the page of a stage besides.
func (d *Desk) stageActions() []sheet.Block {
	b := []sheet.Block{photosAction()}
	if d.drawn() {
		b = append([]sheet.Block{reachAction()}, b...)
	}
	if d.page == stagePage && d.stage == stages.Draw && d.deps.Draw != nil {
		b = append([]sheet.Block{{Kind: sheet.Action, ID: tableID, Text: "Draw or change the pack …", Value: "The drawing table. Readings stay with the version of the drawing that they were taken on. Key: Shift F11."}}, b...)
	}
	if stages.All[d.stage].Name == "Isolate and prove" {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: socketID, Text: "Locate at the socket, pack in the vehicle …", Value: "The two poles of the open disconnect give a half and a place in it."})
	}
	return b
}
