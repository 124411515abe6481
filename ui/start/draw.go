package start

import (
	"fmt"

	"halfsplit/fault/casebook"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// moreID is the press that shows more rows; copyID begins that of a copy.
const (
	moreID = "more"
	copyID = "copy:"
)

// draw is the list's drawing: rows, or in words why there are none.
func (v *View) draw(width float64) (*scene.List, float64) {
	if v.page == filesPage {
		return v.files.draw(width)
	}
	switch v.status {
	case opening:
		return notice("Opening the casebook …", "The file is looked through before it is opened: "+v.deps.Path, width, easel.Measure)
	case troubled:
		return v.drawCopies(width)
	}
	rows := v.rows()
	if len(rows) == 0 {
		return v.drawEmpty(width)
	}
	left := len(rows) - v.most
	if left > 0 {
		rows = rows[:v.most]
	}
	l, y := DrawRows(rows, v.chosen, width, easel.Measure)
	if left > 0 {
		y = action(l, moreID, fmt.Sprintf("Show %d more of %d that are not shown", min(left, mostRows), left), y, width)
	}
	return l, y
}

// rows are those of the tab.
func (v *View) rows() []Row {
	var out []Row
	if v.tab == casesTab {
		for _, c := range v.cases {
			out = append(out, CaseRow(c, v.now(), v.thumbs[caseThumb(c)]))
		}
		return out
	}
	for _, l := range v.layouts {
		out = append(out, LayoutRow(l, v.now(), v.thumbs[layoutThumb(l)]))
	}
	return out
}

func (v *View) drawEmpty(width float64) (*scene.List, float64) {
	what := "cases"
	if v.tab == layoutsTab {
		what = "layouts"
	}
	switch {
	case v.loading:
		return notice("Reading the casebook …", "", width, easel.Measure)
	case v.search.Text != "":
		where := "title, pack label, symptom and the places of the last finding"
		if v.tab == layoutsTab {
			where = "the layout's name"
		}
		return notice("No "+what+" with “"+v.search.Text+"”", "The search looks at "+where+". Every word must be there.", width, easel.Measure)
	case v.tab == layoutsTab:
		return notice("No layouts yet", "A layout describes a pack once, for every repair of that kind of pack. “Make a layout” draws one from a few numbers; “Import” takes one from a file.", width, easel.Measure)
	}
	return notice("No cases yet", "A case is one repair: a pack's layout, the states it was brought into, and every reading. Begin with “Make a layout”, or open the demo case to look around.", width, easel.Measure)
}

// drawCopies lists the copies of a casebook that cannot be opened.
func (v *View) drawCopies(width float64) (*scene.List, float64) {
	copies := v.copies()
	if len(copies) == 0 {
		text := "The page beside this list says what is wrong, and what can be done."
		if casebook.KindOf(v.err) == casebook.Damaged {
			text = "There are no daily copies beside it either. " + text
		}
		return notice("No casebook is open", text, width, easel.Measure)
	}
	l, y := notice("Daily copies of this casebook", "Each is a casebook of its own and can be opened. The newest is first.", width, easel.Measure)
	for _, path := range copies {
		y = action(l, copyID+path, "Open the copy of "+copyDay(path), y, width)
	}
	return l, y
}

// notice is a heading and a sentence in the middle of the list's width.
func notice(title, text string, width float64, measure scene.Measurer) (*scene.List, float64) {
	l, y := &scene.List{}, 28.0
	room := min(width-48, 560)
	y = set(l, "", scene.Wrap(words.Plain(title), room, theme.Section, true, measure), 24, y, theme.Section, true, theme.Ink) + 6
	y = set(l, "", scene.Wrap(words.Plain(text), room, theme.Text, false, measure), 24, y, theme.Text, false, theme.Soft)
	return l, y + 20
}

// action is a line that is pressed, as high as a finger needs.
func action(l *scene.List, id, text string, y, width float64) float64 {
	high := float64(easel.Sizes().Touch())
	l.Rect(id, scene.At(rowSide, y), scene.At(width-rowSide, y+high), scene.Ink(theme.Raised), scene.Ink(theme.Hairline), 1, 8)
	text = scene.Shorten(words.Plain(text), width-2*rowSide-24, theme.Text, false, easel.Measure)
	l.Text(id, scene.At(rowSide+12, y+high/2), scene.Start, scene.Middle, scene.Ink(theme.Accent), theme.Text, false, text)
	l.Target(id, 0, scene.At(rowSide, y), scene.At(width-rowSide, y), scene.At(width-rowSide, y+high), scene.At(rowSide, y+high))
	return y + high + rowGap
}
