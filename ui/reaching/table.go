package reaching

import (
	"fmt"
	"strings"

	"halfsplit/fault/reach"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// A column of the table: as wide as this share of it; from is the width of the table
// from which it is shown.
type column struct {
	head  string
	share float64
	from  float64
	left  bool
	of    func(ohms float64, c reach.Cell) string
}

var columns = []column{
	{"leak", 1, 0, false, func(r float64, _ reach.Cell) string { return reach.Size(r) }},
	{"± groups", 1.1, 0, false, func(_ float64, c reach.Cell) string { return reach.Groups(c.Half.Median) }},
	{"9 of 10", 1, 420, false, func(_ float64, c reach.Cell) string { return reach.Groups(c.Half.P90) }},
	{"modules", 1, 0, false, func(_ float64, c reach.Cell) string { return fmt.Sprintf("%.1f", c.Modules) }},
	{"first", 0.9, 0, false, func(_ float64, c reach.Cell) string { return fmt.Sprint(c.First) }},
	{"in set", 0.9, 340, false, func(_ float64, c reach.Cell) string { return fmt.Sprint(c.Inside) }},
	{"ohms", 1.5, 520, true, func(_ float64, c reach.Cell) string { return c.OhmsWords() }},
	{"limited by", 2.2, 560, true, func(_ float64, c reach.Cell) string { return reach.Most(c.Limited, c.Trials) }},
}

const (
	tableWide = 780.0 // as wide as a table is read across with ease
	side      = 18.0
	rowHigh   = 24.0
)

// drawTable is the answer as a table, one part for every state.
func (p *Page) drawTable(width float64) (*scene.List, float64) {
	l := &scene.List{}
	if p.answer == nil {
		return l, 0
	}
	a, wide, y := *p.answer, min(width, tableWide)-2*side, 12.0
	text := func(s string, size float64, bold bool, role theme.Role) {
		for _, line := range scene.Wrap(words.Plain(s), wide, size, bold, easel.Measure) {
			l.Text("", scene.At(side, y+size*0.7), scene.Start, scene.Middle, scene.Ink(role), size, bold, line)
			y += size * 1.4
		}
	}
	text("Expected, not measured. Half the width of the place in half of the packs and in 9 of 10; the mean number of modules in the 95 % set; in how many of "+fmt.Sprint(a.Trials)+" the true module leads it, and is in it.", theme.Text, false, theme.Soft)
	for s, state := range a.States {
		y += 10
		head := strings.ToUpper(state.Name[:1]) + state.Name[1:]
		if s > 0 {
			head += ": " + state.MinutesWords()
		}
		text(fmt.Sprintf("%s; %.3g readings", head, a.Cells[s][len(a.Cells[s])-1].Readings), theme.Text, true, theme.Ink)
		row(l, y, wide, theme.Soft, func(c column) string { return c.head })
		y += rowHigh
		l.Line("", scene.Ink(theme.Hairline), 1, scene.At(side, y), scene.At(side+wide, y))
		for k, cell := range a.Cells[s] {
			row(l, y, wide, theme.Ink, func(c column) string { return c.of(a.Ohms[k], cell) })
			y += rowHigh
		}
	}
	return l, y + 14
}

// row writes one row, numbers to the right of their column and words to its left.
func row(l *scene.List, y, wide float64, role theme.Role, of func(column) string) {
	sum := 0.0
	for _, c := range columns {
		if c.from <= wide {
			sum += c.share
		}
	}
	x := side
	for _, c := range columns {
		if c.from > wide {
			continue
		}
		w := c.share / sum * wide
		s := words.Plain(of(c))
		if c.left {
			l.Text("", scene.At(x+14, y+rowHigh/2), scene.Start, scene.Middle, scene.Ink(role), theme.Text, false, scene.Shorten(s, w-14, theme.Text, false, easel.Measure))
		} else {
			l.Text("", scene.At(x+w, y+rowHigh/2), scene.End, scene.Middle, scene.Ink(role), theme.Text, false, s)
		}
		x += w
	}
}
