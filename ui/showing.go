package ui

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
)

// show shows or hides; what stays as it is costs nothing.
func show(o fyne.CanvasObject, on bool) {
	switch {
	case on == o.Visible():
	case on:
		o.Show()
	default:
		o.Hide()
	}
}

// showWhat hides what does not fit the window.
func (f *frame) showWhat() {
	if f.size.Width == 0 {
		return
	}
	if !f.single() && f.d.shown == sheetView || !f.one() {
		f.d.shown = planView
	}
	f.showPanes()
	f.showButtons()
	f.showStages()
}

// showPanes shows those of plan, ruler and sheet that have a place, and the
// handles between them.
func (f *frame) showPanes() {
	d, one, single := f.d, f.one(), f.single()
	show(d.planPane, !one || d.shown == planView)
	show(d.rulerPane, !one || d.shown == rulerView)
	sheet := !single || d.shown == sheetView
	for _, o := range []fyne.CanvasObject{d.paperRoll, d.pageChips, d.primary, f.page} {
		show(o, sheet)
	}
	show(f.side, !single)
	for i := range d.rulerGrips {
		show(d.rulerGrips[i], !one)
		show(d.sheetGrips[i], !single)
	}
}

// stayLow are the buttons at the foot that a low window keeps; the others are on
// the page More.
var stayLow = map[string]bool{"-": true, "+": true, "Whole": true, "More": true, "Undo": true}

// showButtons shows the buttons that belong to what is shown and have room.
func (f *frame) showButtons() {
	d, low := f.d, f.low()
	drawings := !f.single() || d.shown != sheetView
	for _, c := range d.planChips.Objects {
		show(c, drawings && (!low || stayLow[c.(*command.Chip).Command.Name]))
	}
	for _, c := range d.footChips.Objects {
		show(c, !low || stayLow[c.(*command.Chip).Command.Name])
	}
	show(d.moreChip, low)
	show(d.viewChip, f.one())
	for _, c := range d.chips {
		if compact := low && c != d.primary; c.Compact != compact {
			c.Compact = compact
			c.Refresh()
		}
	}
}

// showStages shows the stages as a column, a bar, or a button that opens a page.
func (f *frame) showStages() {
	d, column, bar := f.d, f.size.Width >= stageColumn, f.bar()
	show(d.stageRoll, column)
	show(d.stageBar, bar)
	show(f.stageSide, column || bar)
	show(d.stageChip, !column && !bar)
	show(d.aboutChip, column || bar || f.single() && !f.low()) // a press on the drawing does the same
}
