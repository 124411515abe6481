package ui

import (
	"slices"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
)

// folded says that the sheet is shown alone in a low window. Then its buttons stand in
// a column at its left and the one at its foot stands in the window's foot, so that the
// height is the sheet's.
func (f *frame) folded() bool { return f.low() && f.d.shown == sheetView }

// primaryWide is the width of the sheet's own button at the foot of a low window.
func (f *frame) primaryWide() float32 { return fyne.Min(240, f.size.Width*0.42) }

// folding are the buttons of the column in the order in which they are given room;
// those that have none are on the page More.
func (f *frame) folding() []*command.Chip {
	d := f.d
	if d.inRun() { // the pad has their ways
		return nil
	}
	chips := []*command.Chip{d.moreChip, d.viewChip}
	for _, o := range d.pageChips.Objects {
		if c := o.(*command.Chip); c.Command.Name == "Finding" {
			chips = append([]*command.Chip{c}, chips...)
		} else if c != d.runChip && c != d.aboutChip {
			chips = append(chips, c)
		}
	}
	return chips
}

// fold lays out the sheet of a low window.
func (f *frame) fold() {
	d := f.d
	knob := fyne.Max(d.primary.MinSize().Height, easel.Sizes().Touch())
	place(f.page, f.sheetX, f.sheetY, f.sheetW, f.sheetH)
	place(d.primary, f.size.Width-f.primaryWide()-chipGap, f.sheetY+f.sheetH+3, f.primaryWide(), knob)
	shown, wide := f.foldButtons()
	high := d.pageChips.Layout.(*flow).highFor(d.pageChips.Objects, wide)
	if !slices.ContainsFunc(shown, func(c *command.Chip) bool { return slices.Contains(d.pageChips.Objects, fyne.CanvasObject(c)) }) {
		high = 0
	}
	place(d.pageChips, f.sheetX, f.sheetY, wide, high)
	place(d.planChips, f.sheetX, f.sheetY+fyne.Max(0, high-chipGap), wide, f.sheetH-high)
	d.paper.Prepare(f.sheetW - wide)
	place(d.paperRoll, f.sheetX+wide, f.sheetY, f.sheetW-wide, f.sheetH)
}

// foldButtons shows those of the buttons that have room in the column.
func (f *frame) foldButtons() (shown []*command.Chip, wide float32) {
	shown, wide = columnFor(f.folding(), f.sheetH)
	for _, row := range []*fyne.Container{f.d.pageChips, f.d.planChips} {
		for _, o := range row.Objects {
			show(o, slices.Contains(shown, o.(*command.Chip)))
		}
	}
	return shown, wide
}

// columnFor are the first of the buttons that have room below each other in a height,
// and the width that they need; none need none.
func columnFor(chips []*command.Chip, height float32) (shown []*command.Chip, wide float32) {
	y := float32(chipGap)
	for _, c := range chips {
		m := c.MinSize()
		if y += m.Height + chipGap; y > height {
			break
		}
		shown, wide = append(shown, c), fyne.Max(wide, m.Width+2*chipGap)
	}
	return shown, wide
}
