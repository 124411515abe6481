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
		small := float64(theme.Small)
		for measure(standing, small, false) > width-pad-4 && small > 9 {
			small -= 0.5
		}
		l.Text(ID(i), scene.At(pad, mid+9), scene.Start, scene.Middle, scene.Ink(theme.Soft), small, false, standing)
		l.Target(ID(i), 0, scene.At(0, y), scene.At(width, y), scene.At(width, y+least), scene.At(0, y+least))
		y += least
	}
	return l, y + 6
}

// Bar draws the stages beside each other in short words, each of at least touch
// height; the one that is shown has a bar below it.
func Bar(p *facts.Pack, shown int, width, high float64, measure scene.Measurer) (*scene.List, float64) {
	l := &scene.List{}
	wide := width / float64(len(All))
	for i, s := range All {
		ink, bold := theme.Soft, false
		if s.Works || i == 2 {
			ink = theme.Ink
		}
		x := wide * float64(i)
		if i == shown {
			l.Rect("", scene.At(x, 0), scene.At(x+wide, high), scene.Ink(theme.Raised), scene.Paint{}, 0, 0)
			l.Rect("", scene.At(x, high-4), scene.At(x+wide, high), scene.Ink(theme.Accent), scene.Paint{}, 0, 0)
			ink, bold = theme.Ink, true
		}
		line := func(y, size float64, ink theme.Role, bold bool, text string) {
			for measure(text, size, bold) > wide-6 && size > 10 {
				size -= 0.5
			}
			text = scene.Shorten(text, wide-6, size, bold, measure)
			l.Text(ID(i), scene.At(x+wide/2, y), scene.Middle, scene.Middle, scene.Ink(ink), size, bold, text)
		}
		line(high/2-9, theme.Text, ink, bold, s.Short)
		line(high/2+8, theme.Small, theme.Soft, false, Standing(p, i))
		l.Target(ID(i), 0, scene.At(x, 0), scene.At(x+wide, 0), scene.At(x+wide, high), scene.At(x, high))
	}
	return l, high
}
