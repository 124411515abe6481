package start

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/theme"
)

// Widths at which the view is laid out another way.
const (
	twoPanes = 880

	leastSearch = 210 // that the search needs beside buttons
	wideSheet   = 1200
	lowPanes    = 480 // from which list and page stand beside each other in a low window
)

// A frame lays the view out: buttons and search on top, the list at left, the
// sheet at right, the foot. Where both do not fit, the list gives way to the sheet
// while a page is open.
type frame struct {
	v                  *View
	size               fyne.Size
	side, under        *canvas.Rectangle
	ground, page, over *canvas.Rectangle
}

func (f *frame) parts() []fyne.CanvasObject {
	r := func() *canvas.Rectangle { return canvas.NewRectangle(nil) }
	f.side, f.under, f.ground, f.page, f.over = r(), r(), r(), r(), r()
	v := f.v
	// Tab goes from the list to the page beside it, then to the buttons on top.
	return []fyne.CanvasObject{f.ground, v.list, v.pane, f.page, v.sheet.Roll, f.over, v.top, v.search, v.foot, f.side, f.under}
}

// MinSize is the least that can still be used.
func (f *frame) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(320, 300) }

// narrow says that list and sheet share one place.
func (f *frame) narrow() bool { return f.size.Width > 0 && f.size.Width < twoPanes }

// Layout places the parts.
func (f *frame) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	f.size = s
	f.colour()
	v := f.v
	foot := v.foot.Prepare(s.Width)
	form.Put(v.foot, 0, s.Height-foot, s.Width, foot)
	bottom := s.Height - foot
	sheet := float32(320)
	if s.Width >= wideSheet {
		sheet = 380
	}
	alone := f.narrow()
	preview, files := v.page == makerPage, v.page == filesPage
	besides := alone && (preview || files) && form.Low(s) && s.Width >= lowPanes
	left := s.Width
	switch {
	case besides: // too low for one above the other
		sheet = s.Width * 0.55
		left = s.Width - sheet
	case alone:
		sheet = s.Width
	default:
		left = s.Width - sheet
	}
	showSheet := !alone || v.page != detailsPage || v.status == troubled || v.detail
	showMain := !alone || !showSheet
	top := float32(0)
	for _, c := range v.chips { // what needs a casebook
		form.Visible(c, v.status != troubled || c.Command.Name == "Keys")
	}
	form.Visible(v.top, showMain)
	form.Visible(v.search, showMain && v.status == ready && !preview && !files)
	if showMain {
		top = f.bar(left)
	}
	form.Visible(f.over, showMain)
	form.Visible(f.under, showMain)
	form.Visible(v.list, (showMain || files) && !preview)
	form.Visible(v.pane, preview)
	form.Visible(v.sheet.Roll, showSheet)
	form.Visible(f.page, showSheet)
	form.Visible(f.side, !alone || besides)
	form.Put(f.ground, 0, 0, s.Width, bottom)
	form.Put(v.list, 0, top, left, bottom-top)
	sheetTop := float32(0)
	form.Put(v.pane, 0, top, left, bottom-top)
	switch { // what belongs to the page stays in sight above it, or beside it
	case besides:
	case preview && alone:
		sheetTop = bottom * 0.34
		form.Put(v.pane, 0, 0, s.Width, sheetTop)
	case files && alone:
		sheetTop = bottom * 0.45
		form.Put(v.list, 0, 0, s.Width, sheetTop)
	}
	form.Put(f.page, s.Width-sheet, sheetTop, sheet, bottom-sheetTop)
	v.sheet.Place(fyne.NewPos(s.Width-sheet, sheetTop), fyne.NewSize(sheet, bottom-sheetTop))
	form.Put(f.side, left-1, 0, 1, bottom)
}

// bar places buttons and search, beside each other where they fit, and says
// where they end.
func (f *frame) bar(width float32) float32 {
	v := f.v
	need := float32(12)
	low := form.Low(f.size)
	for _, o := range v.top.Objects {
		if b, ok := o.(*command.Chip); ok && b.Compact != low { // the keys are in the list of keys
			b.Compact = low
			b.Refresh()
		}
		if o.Visible() {
			need += o.MinSize().Width + 6
		}
	}
	touch := v.search.MinSize().Height
	high := float32(0)
	if need+leastSearch <= width {
		high = form.HighFor(v.top, need)
		form.Put(v.top, 0, 0, need, high)
		form.Put(v.search, need, 6, width-need-12, touch)
	} else {
		row := form.HighFor(v.top, width)
		form.Put(v.top, 0, 0, width, row)
		high = row
		if x := f.rowEnd(); v.search.Visible() && width-x >= leastSearch { // in what the last row has left
			form.Put(v.search, x+6, row-touch-6, width-x-18, touch)
		} else if v.search.Visible() {
			form.Put(v.search, 12, row, width-24, touch)
			high = row + touch + 6
		}
	}
	form.Put(f.over, 0, 0, width, high)
	form.Put(f.under, 0, high-1, width, 1)
	return high
}

// rowEnd is where the last row of the buttons ends, once they are placed.
func (f *frame) rowEnd() (x float32) {
	last := float32(-1)
	for _, o := range f.v.top.Objects {
		if !o.Visible() {
			continue
		}
		if y := o.Position().Y; y > last+1 {
			last, x = y, 0
		}
		x = fyne.Max(x, o.Position().X+o.Size().Width)
	}
	return x
}

func (f *frame) colour() {
	c := easel.Variant()
	f.side.FillColor, f.under.FillColor = theme.Colour(theme.Hairline, c), theme.Colour(theme.Hairline, c)
	f.ground.FillColor, f.page.FillColor, f.over.FillColor = theme.Colour(theme.Paper, c), theme.Colour(theme.Raised, c), theme.Colour(theme.Paper, c)
}
