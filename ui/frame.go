package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/ui/easel"
	"halfsplit/ui/theme"
)

// Widths of the window at which it is laid out another way.
const (
	wideSheet = 1200 // the sheet has 360
	oneView   = 880  // plan and ruler share their place
	onePane   = 640  // so does the sheet
)

// A view is what is shown where not all fits.
type view uint8

const (
	planView view = iota
	rulerView
	sheetView
)

// nextView shows the next of the views that share a place.
func (d *Desk) nextView() {
	most := view(2)
	if d.frame.size.Width < onePane {
		most = 3
	}
	d.shown = (d.shown + 1) % most
	d.root.Refresh()
	d.showChips()
}

// viewLabel says what the button for the next view shows.
func (d *Desk) viewLabel() string {
	single := d.frame != nil && d.frame.size.Width < onePane
	switch {
	case d.shown == planView:
		return "Show the ruler"
	case d.shown == rulerView && single:
		return "Show the sheet"
	}
	return "Show the plan"
}

// flow puts buttons in rows, as many as fit.
type flow struct{}

const chipGap = 6

func (f *flow) Layout(objects []fyne.CanvasObject, s fyne.Size) { f.place(objects, s.Width, true) }

func (f *flow) place(objects []fyne.CanvasObject, width float32, move bool) float32 {
	x, y, row := float32(chipGap), float32(chipGap), float32(0)
	for _, o := range objects {
		if !o.Visible() {
			continue
		}
		m := o.MinSize()
		if x > chipGap && x+m.Width+chipGap > width {
			x, y = chipGap, y+row+chipGap
			row = 0
		}
		if move {
			o.Move(fyne.NewPos(x, y))
			o.Resize(m)
		}
		x += m.Width + chipGap
		row = fyne.Max(row, m.Height)
	}
	return y + row + chipGap
}

// highFor is the height that the buttons need at a width.
func (f *flow) highFor(objects []fyne.CanvasObject, width float32) float32 {
	return f.place(objects, width, false)
}

// MinSize is that of one button: the frame asks highFor.
func (f *flow) MinSize(objects []fyne.CanvasObject) fyne.Size {
	w := float32(0)
	for _, o := range objects {
		if o.Visible() {
			w = fyne.Max(w, o.MinSize().Width)
		}
	}
	return fyne.NewSize(w+2*chipGap, theme.Touch+2*chipGap)
}

// A frame lays the window out: strip, plan, buttons, ruler, sheet, foot.
type frame struct {
	d                      *Desk
	size                   fyne.Size
	side, under            *canvas.Rectangle // hairlines
	sheetW                 float32
	sheetX, sheetY, sheetH float32
	ground, page           *canvas.Rectangle
}

func (f *frame) parts() []fyne.CanvasObject {
	f.side, f.under = canvas.NewRectangle(nil), canvas.NewRectangle(nil)
	f.ground, f.page = canvas.NewRectangle(nil), canvas.NewRectangle(nil)
	d := f.d
	return []fyne.CanvasObject{f.ground, d.planPane, d.rulerPane, d.planChips, f.page, d.pageChips, d.paperRoll, d.primary, d.strip, d.foot, d.footChips, f.side, f.under}
}

// MinSize is the least that can still be used.
func (f *frame) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(320, 300) }

func place(o fyne.CanvasObject, x, y, w, h float32) {
	o.Move(fyne.NewPos(x, y))
	o.Resize(fyne.NewSize(fyne.Max(0, w), fyne.Max(0, h)))
}

// Layout places the parts.
func (f *frame) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	f.size = s
	f.colour()
	f.showWhat()
	d := f.d
	top := d.strip.Prepare(s.Width)
	if top > s.Height*0.4 { // a low window keeps room for the drawing
		top = s.Height * 0.4
	}
	place(d.strip, 0, 0, s.Width, top)
	chips := f.footWidth(s.Width)
	foot := d.foot.Prepare(s.Width)
	place(d.foot, 0, s.Height-foot, s.Width, foot)
	place(d.footChips, 0, s.Height-foot+3-chipGap, chips, foot)
	bottom := s.Height - foot
	f.sheetW = 0
	switch {
	case s.Width >= wideSheet:
		f.sheetW = 360
	case s.Width >= onePane:
		f.sheetW = 320
		if s.Width < oneView {
			f.sheetW = 280
		}
	}
	left := s.Width - f.sheetW
	f.drawings(left, top, bottom)
	f.sheetX, f.sheetY, f.sheetH = left, top, bottom-top
	if f.sheetW == 0 {
		f.sheetX, f.sheetW = 0, s.Width
		row := d.planChips.Layout.(*flow).highFor(d.planChips.Objects, s.Width)
		f.sheetH -= row
	}
	place(f.side, f.sheetX-1, top, 1, f.sheetH)
	f.layoutSheet()
}

// drawings places plan, buttons and ruler in the left part.
func (f *frame) drawings(w, top, bottom float32) {
	d := f.d
	place(f.ground, 0, top, w, bottom-top)
	row := d.planChips.Layout.(*flow).highFor(d.planChips.Objects, w)
	if f.size.Width < oneView {
		for _, p := range []*easel.Pane{d.planPane, d.rulerPane} {
			place(p, 0, top, w, bottom-top-row)
		}
		place(d.planChips, 0, bottom-row, w, row)
		place(f.under, 0, bottom-row, w, 1)
		return
	}
	high := float32(d.ruler.High()) + 12
	if most := (bottom - top - row) * 0.5; high > most {
		high = most
	}
	if high < 90 {
		high = 90
	}
	place(d.planPane, 0, top, w, bottom-top-row-high)
	place(d.planChips, 0, bottom-high-row, w, row)
	place(d.rulerPane, 0, bottom-high, w, high)
	place(f.under, 0, bottom-high-row, w, 1)
}

// layoutSheet places the sheet's buttons and its page; the page's height
// follows its content.
func (f *frame) layoutSheet() {
	d := f.d
	if f.sheetW <= 0 {
		return
	}
	row := d.pageChips.Layout.(*flow).highFor(d.pageChips.Objects, f.sheetW)
	place(f.page, f.sheetX, f.sheetY, f.sheetW, f.sheetH)
	place(d.pageChips, f.sheetX, f.sheetY, f.sheetW, row)
	d.paper.Prepare(f.sheetW)
	high := d.primary.MinSize().Height
	place(d.paperRoll, f.sheetX, f.sheetY+row, f.sheetW, f.sheetH-row-high-2*chipGap)
	place(d.primary, f.sheetX+12, f.sheetY+f.sheetH-high-chipGap, f.sheetW-24, high)
}

// footWidth is what the buttons at the foot need.
func (f *frame) footWidth(most float32) float32 {
	w := float32(chipGap)
	for _, o := range f.d.footChips.Objects {
		w += o.MinSize().Width + chipGap
	}
	return fyne.Min(w, most)
}

// showWhat hides what does not fit the window's width.
func (f *frame) showWhat() {
	d, w := f.d, f.size.Width
	if w == 0 {
		return
	}
	one, single := w < oneView, w < onePane
	if !single && d.shown == sheetView || !one {
		d.shown = planView
	}
	show := func(o fyne.CanvasObject, on bool) {
		if on != o.Visible() {
			if on {
				o.Show()
			} else {
				o.Hide()
			}
		}
	}
	show(d.planPane, !one || d.shown == planView)
	show(d.rulerPane, !one || d.shown == rulerView)
	sheet := !single || d.shown == sheetView
	show(d.paperRoll, sheet)
	show(d.pageChips, sheet)
	show(d.primary, sheet)
	show(f.page, sheet)
	show(f.side, !single)
	show(d.viewChip, one)
}

func (f *frame) colour() {
	v := easel.Variant()
	f.side.FillColor, f.under.FillColor = theme.Colour(theme.Hairline, v), theme.Colour(theme.Hairline, v)
	f.ground.FillColor, f.page.FillColor = theme.Colour(theme.Paper, v), theme.Colour(theme.Raised, v)
}
