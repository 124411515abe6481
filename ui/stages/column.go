package stages

import (
	"strconv"

	"halfsplit/ui/facts"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// Wide is the column's width in pixels.
const Wide = 148

// ID is the id of a stage's line.
func ID(stage int) string { return "stage:" + strconv.Itoa(stage) }

// Column draws the stages under each other, each of at least touch height; the
// one that is shown has a bar at its left. The stages whose records are not kept
// yet are written soft.
func Column(p *facts.Pack, shown int, width, least float64, measure scene.Measurer) (*scene.List, float64) {
	const pad = 12.0
	l := &scene.List{}
	y := 6.0
	for i, s := range All {
		standing := Standing(p, i)
		ink, bold := theme.Soft, false
		if s.Works || i == 2 {
			ink = theme.Ink
		}
		if i == shown {
			l.Rect("", scene.At(0, y), scene.At(width, y+least), scene.Ink(theme.Raised), scene.Paint{}, 0, 0)
			l.Rect("", scene.At(0, y), scene.At(4, y+least), scene.Ink(theme.Accent), scene.Paint{}, 0, 0)
			ink, bold = theme.Ink, true
		}
		size := float64(theme.Text)
		for measure(s.Name, size, true) > width-pad-4 && size > 11 {
			size -= 0.5
		}
		mid := y + least/2
		l.Text(ID(i), scene.At(pad, mid-8), scene.Start, scene.Middle, scene.Ink(ink), size, bold, s.Name)
		l.Text(ID(i), scene.At(pad, mid+9), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, standing)
		l.Target(ID(i), 0, scene.At(0, y), scene.At(width, y), scene.At(width, y+least), scene.At(0, y+least))
		y += least
	}
	return l, y + 6
}
