package ui

import (
	"slices"

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
	if f.folded() {
		f.foldButtons()
	}
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
	if d.onBench() && !f.low() { // the pad has their ways
		show(d.pageChips, false)
	}
	show(f.side, !single)
	for i := range d.rulerGrips {
		show(d.rulerGrips[i], !one)
		show(d.sheetGrips[i], !single)
	}
}

// viewWide is about the width of the button for the next view.
const viewWide = 130

// few says that the foot has no room for every button: some go to the page More,
// and those that stay are short.
func (f *frame) few() bool {
	if f.low() {
		return true
	}
	wide := float32(message)
	for _, row := range []*fyne.Container{f.d.planChips, f.d.footChips} {
		wide += chipGap
		for _, o := range row.Objects {
			switch c := o.(*command.Chip); {
			case c != f.d.viewChip:
				wide += c.Wide() + chipGap
			case c == f.d.viewChip && f.one(): // what it says depends on this
				wide += viewWide + chipGap
			}
		}
	}
	return wide > f.size.Width
}

// stayFew are the buttons at the foot that stay there.
var stayFew = map[string]bool{"-": true, "+": true, "Whole": true, "More": true, "Undo": true}

// showButtons shows the buttons that belong to what is shown and have room.
func (f *frame) showButtons() {
	d, few := f.d, f.few()
	drawings := !f.single() || d.shown != sheetView
	for _, c := range d.planChips.Objects {
		show(c, drawings && (!few || stayFew[c.(*command.Chip).Command.Name]))
	}
	for _, c := range d.footChips.Objects {
		show(c, !few || stayFew[c.(*command.Chip).Command.Name])
	}
	show(d.moreChip, true)    // much has no other button
	show(d.runChip, !f.low()) // on the page More there
	show(d.viewChip, f.one())
	for _, c := range d.chips {
		ofPage := slices.Contains(d.pageChips.Objects, fyne.CanvasObject(c))
		if compact := c != d.primary && (few && (f.low() || !ofPage) || ofPage && f.size.Width < wideSheet); c.Compact != compact {
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
