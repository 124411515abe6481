package ui

import (
	"fmt"
	"math"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/sheet"
	"halfsplit/ui/words"
)

// Panes are how a person divides the window. The zero value divides it by what
// there is to show.
type Panes struct {
	Ruler int // the ruler's share of the height that it has with the plan, per cent; 0 = what it needs
	Sheet int // the sheet's width, pixels; 0 = by the window's width
}

// Limits of the panes, and how far a key moves them.
const (
	leastSheet = 260
	leastPlan  = 150 // height
	leastWide  = 340 // width of the drawings
	leastRuler = 96
	rulerStep  = 5 // per cent
	sheetStep  = 40
)

// Ids on the page of the panes.
const (
	panesID       = "panes:"
	rulerHigherID = panesID + "ruler higher"
	rulerLowerID  = panesID + "ruler lower"
	sheetWiderID  = panesID + "sheet wider"
	sheetNarrowID = panesID + "sheet narrower"
	panesFirstID  = panesID + "as at first"
)

// paneCommands move the edges between the panes by key.
func (d *Desk) paneCommands() {
	add := func(name, help, keys, runes string, do func()) {
		d.set.Add(&command.Command{Name: name, Help: help, Keys: keys, Runes: runes, Do: do})
	}
	add("Panes", "Divide the window: the ruler's height, the sheet's width; a press on a handle does the same", "P", "p", d.openPanes)
	add("Ruler lower", "The ruler lower or higher; dragging its handle does the same", ", .", ",", func() { d.moveRuler(-rulerStep) })
	add("Ruler higher", "", "", ".", func() { d.moveRuler(rulerStep) })
	add("Sheet narrower", "The sheet narrower or wider; dragging its handle does the same", "Shift , .", "<;", func() { d.moveSheet(-sheetStep) })
	add("Sheet wider", "", "", ">:", func() { d.moveSheet(sheetStep) })
}

// moveRuler makes the ruler higher by so many per cent, from what it has now.
func (d *Desk) moveRuler(by int) {
	if d.frame.one() {
		d.say("Plan and ruler share their place here: there is no edge to move.")
		return
	}
	now := 100 * d.frame.rulerHigh / d.frame.drawHigh
	// To a round number, so that the way back meets the same ones.
	d.setRuler(rulerStep * int(math.Round(float64(now+float32(by))/rulerStep)))
	d.panesMoved()
}

// setRuler gives the ruler so many per cent, within the limits.
func (d *Desk) setRuler(percent int) {
	d.panes.Ruler = max(1, percent)
	d.root.Refresh()
	d.panes.Ruler = int(math.Round(float64(100 * d.frame.rulerHigh / d.frame.drawHigh)))
}

// moveSheet makes the sheet wider by so many pixels.
func (d *Desk) moveSheet(by int) {
	if d.frame.single() {
		d.say("The sheet shares its place with the drawings here: there is no edge to move.")
		return
	}
	d.setSheet(int(d.frame.sheetW) + by)
	d.panesMoved()
}

// setSheet gives the sheet so many pixels, within the limits.
func (d *Desk) setSheet(wide int) {
	d.panes.Sheet = max(1, wide)
	d.root.Refresh()
	d.panes.Sheet = int(d.frame.sheetW)
}

// panesMoved tells and keeps how the window is divided now.
func (d *Desk) panesMoved() {
	d.say(fmt.Sprintf("The ruler has %s, the sheet %s.", d.rulerWords(), d.sheetWords()))
	if d.page == panesPage {
		d.showSheet(false)
	}
	if d.deps.SavePanes != nil {
		d.deps.SavePanes(d.panes)
	}
}

func (d *Desk) rulerWords() string {
	if d.panes.Ruler == 0 {
		return "the height that it needs"
	}
	return fmt.Sprintf("%d%s%% of the height", d.panes.Ruler, words.Thin)
}

func (d *Desk) sheetWords() string {
	if d.panes.Sheet == 0 {
		return "its usual width"
	}
	return fmt.Sprintf("a width of %d", d.panes.Sheet)
}

func (d *Desk) openPanes() {
	if d.page == panesPage {
		d.showFinding()
		return
	}
	d.toSheet()
	d.page = panesPage
	d.showSheet(true)
	d.showChips()
	d.say("Choose how the window is divided.")
}

// panesBlocks are the ways to move the edges without dragging.
func (d *Desk) panesBlocks() []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Divide the window", Bold: true}}
	if d.frame.single() {
		return append(b, sheet.Block{Kind: sheet.Para, Text: "The window is too small to be divided: plan, ruler and sheet take turns. A larger window, or smaller text, shows them together."})
	}
	act := func(id, text, value string) sheet.Block {
		return sheet.Block{Kind: sheet.Action, ID: id, Text: text, Value: value}
	}
	if d.frame.one() {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: "Plan and ruler take turns in a window as narrow as this."})
	} else {
		b = append(b, act(rulerHigherID, "Ruler higher", "Now "+d.rulerWords()+"."), act(rulerLowerID, "Ruler lower", "The plan has the rest."))
	}
	return append(b, act(sheetWiderID, "Sheet wider", "Now "+d.sheetWords()+"."), act(sheetNarrowID, "Sheet narrower", "The drawings have the rest."),
		act(panesFirstID, "As at first", "Each has what it needs."),
		sheet.Block{Kind: sheet.Soft, Text: "The handles between the panes can be dragged as well. The window keeps how it is divided."})
}

// pickPanes is a press on the page.
func (d *Desk) pickPanes(id string) {
	switch id {
	case rulerHigherID:
		d.moveRuler(rulerStep)
	case rulerLowerID:
		d.moveRuler(-rulerStep)
	case sheetWiderID:
		d.moveSheet(sheetStep)
	case sheetNarrowID:
		d.moveSheet(-sheetStep)
	case panesFirstID:
		d.panes = Panes{}
		d.root.Refresh()
		d.panesMoved()
	}
}

// grips makes the handles of both edges: one along the whole edge, and a larger
// one in its middle, which can be seen and hit with a glove.
func (d *Desk) grips() {
	ruler := edge{
		at:   func() float32 { return d.frame.rulerHigh },
		move: func(deep float32) { d.setRuler(int(math.Round(float64(100 * deep / d.frame.drawHigh)))) },
		done: d.panesMoved,
	}
	side := edge{
		at:   func() float32 { return d.frame.sheetW },
		move: func(deep float32) { d.setSheet(int(deep)) },
		done: d.panesMoved,
	}
	d.rulerGrips = []fyne.CanvasObject{newGrip(false, false, ruler, d.openPanes), newGrip(false, true, ruler, d.openPanes)}
	d.sheetGrips = []fyne.CanvasObject{newGrip(true, false, side, d.openPanes), newGrip(true, true, side, d.openPanes)}
}
