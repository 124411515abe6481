package drafting

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/theme"
)

// Widths and shares at which the table is laid out another way.
const (
	twoPanes   = 760
	sheetWide  = 360
	sheetShare = 0.44
	sheetHigh  = 0.48
	lowSheet   = 340
)

// usable says that a tool has a use: none that changes the drawing has where an older
// version is shown.
func (v *View) usable(b *command.Chip) bool {
	return v.draft.AsItWas == "" || !changing[b.Command.Name]
}

// changing are the tools that change a drawing.
var changing = map[string]bool{"Link": true, "Several": true, "Sketch": true, "Turn": true, "Duplicate": true, "Delete": true, "Snap": true}

// A frame lays the table out: tools on top, the drawing at left, the sheet at right
// or below, the foot. In a low window it is the drawing or the sheet.
type frame struct{ v *View }

// MinSize is the least that can still be used.
func (frame) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(320, 280) }

// Layout places the parts.
func (f frame) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	v := f.v
	c := easel.Variant()
	v.ground.FillColor, v.paper.FillColor = theme.Colour(theme.Paper, c), theme.Colour(theme.Raised, c)
	v.side.FillColor, v.under.FillColor = theme.Colour(theme.Hairline, c), theme.Colour(theme.Hairline, c)
	foot := v.foot.Prepare(s.Width)
	bottom := s.Height - foot
	form.Put(v.foot, 0, bottom, s.Width, foot)
	wide := v.stepsWide(s.Width)
	form.Put(v.steps, s.Width-wide, bottom, wide, foot)
	form.Put(v.ground, 0, 0, s.Width, bottom)
	form.Put(v.under, 0, bottom-1, s.Width, 1)
	one := form.Low(s) || s.Width < twoPanes && s.Height < 620 // drawing or sheet
	beside := s.Width >= twoPanes || one
	drawing, paper := !one || !v.sheetFirst(), !one || v.sheetFirst()
	form.Visible(v.pane, drawing)
	form.Visible(v.tools, drawing)
	for _, o := range []fyne.CanvasObject{v.paper, v.pages} {
		form.Visible(o, paper)
	}
	form.Visible(v.sheet.Roll, paper)
	form.Visible(v.list, paper && v.browser.on)
	form.Visible(v.side, paper && drawing && beside)
	form.Visible(v.toSheet, one)
	form.Visible(v.moreTools, one)
	for _, b := range v.toolChips {
		if b != v.toSheet && b != v.leaves && b != v.linker {
			form.Visible(b, !one && v.usable(b))
		}
	}
	form.Visible(v.linker, v.usable(v.linker))
	form.Visible(v.leaves, v.deps.Leave != "" || v.inHand() || v.draft.AsItWas != "")
	form.Visible(v.back, one)
	x, y, w := float32(0), float32(0), s.Width
	switch {
	case !paper:
		f.drawing(0, 0, s.Width, bottom)
		return
	case drawing && beside:
		w = fyne.Min(sheetWide, s.Width*sheetShare)
		x = s.Width - w
		f.drawing(0, 0, x, bottom)
		form.Put(v.side, x-1, 0, 1, bottom)
	case drawing:
		y = bottom * (1 - sheetHigh)
		f.drawing(0, 0, s.Width, y)
	}
	f.sheet(x, y, w, bottom-y)
}

// drawing places the tools and the drawing below them.
func (f frame) drawing(x, y, w, h float32) {
	v := f.v
	v.compact(v.tools, w)
	top := form.HighFor(v.tools, w)
	form.Put(v.tools, x, y, w, top)
	form.Put(v.pane, x, y+top, w, h-top)
}

// compact leaves the keys' names off a row of buttons that would need a second row with
// them.
func (v *View) compact(row *fyne.Container, width float32) {
	for _, keys := range []bool{true, false} {
		for _, o := range row.Objects {
			if b, ok := o.(*command.Chip); ok {
				b.Compact = !keys
				b.Refresh()
			}
		}
		if !keys || form.HighFor(row, width) < 1.5*easel.Sizes().Touch() {
			return
		}
	}
}

// sheet places the pages' buttons and the page; a list of files stands above it.
func (f frame) sheet(x, y, w, h float32) {
	v := f.v
	form.Put(v.paper, x, y, w, h)
	for _, o := range v.pages.Objects { // a low sheet has its height for the page
		if b, ok := o.(*command.Chip); ok {
			b.Compact = h < lowSheet
			b.Refresh()
		}
	}
	v.foldPages(w, h < lowSheet)
	top := form.HighFor(v.pages, w)
	form.Put(v.pages, x, y, w, top)
	if v.browser.on {
		part := (h - top) * 0.5
		form.Put(v.list, x, y+top, w, part)
		top += part
	}
	v.sheet.Place(fyne.NewPos(x, y+top), fyne.NewSize(w, h-top))
}

// foldPages leaves the page that is shown alone of buttons that would need a second row,
// which a low sheet has no height for; the others are one press away, or their keys.
func (v *View) foldPages(w float32, low bool) {
	form.Visible(v.otherPages, false)
	for p, b := range v.pageChips {
		if p != toolsPage { // whether the tools have a page is said already
			form.Visible(b, true)
		}
	}
	v.compact(v.pages, w)
	if !low || v.allPages || form.HighFor(v.pages, w) < 1.5*easel.Sizes().Touch() {
		return
	}
	for p, b := range v.pageChips {
		if p != v.page {
			form.Visible(b, false)
		}
	}
	form.Visible(v.otherPages, true)
}

// sheetFirst says that the sheet has the one place of a low window.
func (v *View) sheetFirst() bool { return v.turned || v.browser.on }

// stepsWide is the room of the buttons at the foot.
func (v *View) stepsWide(width float32) float32 {
	w := float32(6)
	for _, o := range v.steps.Objects {
		w += o.MinSize().Width + 6
	}
	return fyne.Min(w, width*0.6)
}
