package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/ui/easel"
	"halfsplit/ui/stages"
	"halfsplit/ui/theme"
)

// Widths of the window at which it is laid out another way.
const (
	wideSheet   = 1200 // the sheet has 360
	benchSheet  = 540  // that it has at most for a run in the glove view
	wideBench   = 660  // and where the window is too low for its pad below the field
	stageColumn = 1120 // the stages have a column
	oneView     = 900  // plan and ruler share their place
	onePane     = 640  // so does the sheet
	lowHeight   = 500  // below this height as well: large text on a small screen
	barHeight   = 560  // the stages have a bar, where they have no column
)

// low says that the window is too low for a drawing beside anything.
func (f *frame) low() bool { return f.size.Height < lowHeight && f.size.Width < stageColumn }

// one says that plan and ruler share their place, single that the sheet does too.
func (f *frame) one() bool    { return f.size.Width < oneView || f.low() }
func (f *frame) single() bool { return f.size.Width < onePane || f.low() }

// bar says that the stages are a bar on top; in windows that are smaller still
// they are a page of the sheet.
func (f *frame) bar() bool {
	return f.size.Width >= oneView && f.size.Width < stageColumn && f.size.Height >= barHeight
}

// toSheet shows the sheet where it shares its place with the drawings.
func (d *Desk) toSheet() {
	if d.frame.single() && d.shown != sheetView {
		d.shown = sheetView
		d.root.Refresh()
	}
}

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
	if d.frame.single() {
		most = 3
	}
	d.shown = (d.shown + 1) % most
	d.root.Refresh()
	d.showChips()
}

// viewLabel says what the button for the next view shows.
func (d *Desk) viewLabel() string {
	single := d.frame != nil && d.frame.single()
	if d.frame != nil && d.frame.few() { // short: the buttons share one row
		if d.shown == rulerView && !single {
			return "Plan"
		}
		return [...]string{planView: "Ruler", rulerView: "Sheet", sheetView: "Plan"}[d.shown]
	}
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

const (
	chipGap = 6
	message = 190 // room at the foot for what just happened
)

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

// A frame lays the window out: strip, stages, plan, ruler, sheet, foot.
type frame struct {
	d                      *Desk
	size                   fyne.Size
	side, under, stageSide *canvas.Rectangle // hairlines
	sheetW                 float32
	sheetX, sheetY, sheetH float32
	footLeft, footRight    float32 // where the buttons at the foot end and begin
	drawHigh, rulerHigh    float32 // of plan and ruler together, and of the ruler
	ground, page           *canvas.Rectangle
}

func (f *frame) parts() []fyne.CanvasObject {
	f.side, f.under, f.stageSide = canvas.NewRectangle(nil), canvas.NewRectangle(nil), canvas.NewRectangle(nil)
	f.ground, f.page = canvas.NewRectangle(nil), canvas.NewRectangle(nil)
	d := f.d
	parts := []fyne.CanvasObject{f.ground, d.planPane, d.rulerPane, f.page, d.paperRoll, f.side, f.under}
	parts = append(append(parts, d.rulerGrips...), d.sheetGrips...)
	return append(parts, d.pageChips, d.strip, d.foot, d.primary, d.planChips, d.footChips, d.stageRoll, d.stageBar, f.stageSide)
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
	if top > s.Height*0.5 { // a low window keeps room for what is worked on
		top = s.Height * 0.5
	}
	place(d.strip, 0, 0, s.Width, top)
	foot := d.foot.Prepare(s.Width)
	place(d.foot, 0, s.Height-foot, s.Width, foot)
	chips, beside := f.footRoom(s.Width)
	f.footLeft, f.footRight = chips, beside
	place(d.footChips, 0, s.Height-foot+3-chipGap, chips, foot)
	bottom := s.Height - foot
	column := float32(0)
	switch {
	case s.Width >= stageColumn:
		column = stages.Wide
		d.column.Prepare(column)
		place(d.stageRoll, 0, top, column, bottom-top)
		place(f.stageSide, column-1, top, 1, bottom-top)
	case f.bar():
		high := d.stageBar.Prepare(s.Width)
		place(d.stageBar, 0, top, s.Width, high)
		top += high
		place(f.stageSide, 0, top-1, s.Width, 1)
	}
	f.sheetW = f.sheetWide(column)
	right := s.Width - f.sheetW
	f.drawings(column, right, top, bottom)
	left := right
	f.sheetX, f.sheetY, f.sheetH = left, top, bottom-top
	if f.sheetW == 0 {
		f.sheetX, f.sheetW = 0, s.Width
		if f.footRight == s.Width && !f.folded() {
			f.sheetH -= d.planChips.Layout.(*flow).highFor(d.planChips.Objects, s.Width)
		}
	}
	place(f.side, f.sheetX-1, top, 1, f.sheetH)
	f.layoutSheet()
}

// sheetWide is the sheet's width beside the drawings; 0 where they share their
// place.
func (f *frame) sheetWide(column float32) float32 {
	w := f.size.Width
	if f.single() {
		return 0
	}
	wide := float32(280)
	switch {
	case w >= wideSheet:
		wide = 360
	case w >= oneView:
		wide = 320
	}
	switch {
	case f.d.wideRun() && f.d.onBench():
		wide = fyne.Min(wideBench, w*0.64)
	case f.d.wideRun():
		wide = benchSheet
	case f.d.onBench():
		wide = fyne.Max(wide, fyne.Min(benchSheet, w*0.48))
	}
	if f.d.panes.Sheet > 0 && !f.d.onBench() && !f.d.wideRun() {
		wide = fyne.Max(leastSheet, fyne.Min(float32(f.d.panes.Sheet), w-column-leastWide))
	}
	return wide
}

// rulerWants is the ruler's height, of what it has together with the plan.
func (f *frame) rulerWants(room float32) float32 {
	if f.d.panes.Ruler > 0 {
		return fyne.Max(leastRuler, fyne.Min(room*float32(f.d.panes.Ruler)/100, room-leastPlan))
	}
	return fyne.Max(leastRuler, float32(f.d.ruler.Wants(float64(room))))
}

// drawings places plan, buttons and ruler between the column and the sheet. The
// buttons lie at the foot where it has room, else between plan and ruler.
func (f *frame) drawings(x, right, top, bottom float32) {
	d, w := f.d, right-x
	place(f.ground, 0, top, right, bottom-top)
	row := float32(0)
	if f.folded() { // the sheet has all of it, and the buttons stand at its side
	} else if _, beside := f.footRoom(f.size.Width); beside < f.size.Width {
		place(d.planChips, beside, bottom+3-chipGap, f.size.Width-beside, f.size.Height-bottom)
	} else {
		row = d.planChips.Layout.(*flow).highFor(d.planChips.Objects, w)
	}
	if f.one() {
		for _, p := range []*easel.Pane{d.planPane, d.rulerPane} {
			place(p, x, top, w, bottom-top-row)
		}
		if row > 0 {
			place(d.planChips, x, bottom-row, w, row)
		}
		place(f.under, x, bottom-row, w, 1)
		return
	}
	f.drawHigh = bottom - top - row
	f.rulerHigh = f.rulerWants(f.drawHigh)
	high := f.rulerHigh
	edge := bottom - high // the handle lies over it, and over no button above it
	if row == 0 {
		edge -= gripDeep / 2
	} else {
		edge -= chipGap
	}
	knob := fyne.Max(theme.Touch, easel.Sizes().Touch())
	place(d.rulerGrips[0], x, edge, w, gripDeep)
	place(d.rulerGrips[1], x+w/2-knob, bottom-high-knob/2, 2*knob, knob)
	if row > 0 {
		place(d.rulerGrips[1], x+w/2-knob, edge, 2*knob, knob)
	}
	place(d.planPane, x, top, w, bottom-top-row-high)
	if row > 0 {
		place(d.planChips, x, bottom-high-row, w, row)
	}
	place(d.rulerPane, x, bottom-high, w, high)
	place(f.under, x, bottom-high-row, w, 1)
}

// layoutSheet places the sheet's buttons and its page; the page's height
// follows its content.
func (f *frame) layoutSheet() {
	d := f.d
	if f.sheetW <= 0 {
		return
	}
	if f.folded() {
		f.fold()
		return
	}
	row := d.pageChips.Layout.(*flow).highFor(d.pageChips.Objects, f.sheetW)
	if !d.pageChips.Visible() {
		row = 0
	}
	place(f.page, f.sheetX, f.sheetY, f.sheetW, f.sheetH)
	place(d.pageChips, f.sheetX, f.sheetY, f.sheetW, row)
	knob := easel.Sizes().Touch()
	place(d.sheetGrips[0], f.sheetX-gripDeep/2, f.sheetY+row, gripDeep, f.sheetH-row)
	place(d.sheetGrips[1], f.sheetX-knob/2, f.sheetY+f.sheetH*0.5-knob, knob, 2*knob)
	d.paper.Prepare(f.sheetW)
	high := d.primary.MinSize().Height
	place(d.paperRoll, f.sheetX, f.sheetY+row, f.sheetW, f.sheetH-row-high-2*chipGap)
	place(d.primary, f.sheetX+12, f.sheetY+f.sheetH-high-chipGap, f.sheetW-24, high)
}

// footRoom is where the buttons at the foot end at its left, and where those at
// its right begin; right is the window's width where they have no room there.
func (f *frame) footRoom(width float32) (left, right float32) {
	wide := func(objects []fyne.CanvasObject) float32 {
		w := float32(chipGap)
		for _, o := range objects {
			if o.Visible() {
				w += o.MinSize().Width + chipGap
			}
		}
		return w
	}
	least := float32(message)
	if f.low() {
		least = 110
	}
	left = fyne.Min(wide(f.d.footChips.Objects), width)
	if f.folded() {
		return left, width - f.primaryWide() - chipGap
	}
	right = width - wide(f.d.planChips.Objects)
	if right-left < least {
		right = width
	}
	return left, right
}

func (f *frame) colour() {
	v := easel.Variant()
	f.stageSide.FillColor = theme.Colour(theme.Hairline, v)
	f.side.FillColor, f.under.FillColor = theme.Colour(theme.Hairline, v), theme.Colour(theme.Hairline, v)
	for _, g := range append(f.d.rulerGrips, f.d.sheetGrips...) {
		g.Refresh()
	}
	f.ground.FillColor, f.page.FillColor = theme.Colour(theme.Paper, v), theme.Colour(theme.Raised, v)
}
