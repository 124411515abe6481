package sheet

import (
	"math"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// acrossBench is the least size of what must be read from across a bench.
const acrossBench = 44.0

// route is the point where a run stands, large, an arrow, and the point that comes
// next.
func (s *setter) route(b Block) {
	s.y += 2
	size := math.Max(26, s.size.Number)
	for s.measure(b.Text, size, true) > s.room() && size > theme.Section {
		size--
	}
	y := s.y + size*leading/2
	s.l.Text(b.ID, scene.At(margin, y), scene.Start, scene.Middle, scene.Ink(theme.Ink), size, true, b.Text)
	x := margin + s.measure(b.Text, size, true) + 12
	s.y += size * leading
	if b.Value == "" {
		return
	}
	text := "next " + b.Value
	if x+30+s.measure(text, theme.Section, false) > s.width-margin { // below it
		x, y = margin, s.y+theme.Section*leading/2
		s.y += theme.Section * leading
	}
	ink := scene.Ink(theme.Soft)
	s.l.Line("", ink, 2, scene.At(x, y), scene.At(x+16, y))
	s.l.Add(scene.Shape{Kind: scene.Area, Points: []scene.Point{scene.At(x+14, y-6), scene.At(x+24, y), scene.At(x+14, y+6)}, Fill: ink})
	small := float64(theme.Section)
	for x+30+s.measure(text, small, false) > s.width-margin && small > theme.Small {
		small--
	}
	s.l.Text("", scene.At(x+30, y), scene.Start, scene.Middle, scene.Ink(theme.Ink), small, false, text)
	s.y += 2
}

// echo is a value as large as it must be to be read back without bending over it,
// with how it was understood below.
func (s *setter) echo(b Block) {
	s.text(b.ID, b.Text, margin, s.room(), theme.Text, false, theme.Soft)
	size := math.Max(acrossBench, s.size.Number)
	if b.Value != "" {
		for s.measure(b.Value, size, true) > s.room() && size > theme.Section {
			size--
		}
		s.l.Text(b.ID, scene.At(margin, s.y+size*1.2/2), scene.Start, scene.Middle, scene.Ink(theme.Ink), size, true, b.Value)
		s.y += size * 1.2
	}
	if b.Unit != "" {
		s.text(b.ID, b.Unit, margin, s.room(), theme.Section, false, theme.Ink)
	}
	s.y += 4
}

// hatch lies over a field whose value stands out, so that it is seen without colour.
func (s *setter) hatch(x0, y0, x1, y1 float64) {
	high := y1 - y0
	for x := x0 - high + 6; x < x1; x += 10 {
		a, z := scene.At(math.Max(x, x0), y1-math.Max(0, x0-x)), scene.At(math.Min(x+high, x1), y0+math.Max(0, x+high-x1))
		s.l.Line("", scene.Ink(theme.Hairline), 2, a, z)
	}
}

// benchField is a field at the left, and at its right across the bench what was typed
// there or saved last.
func (s *setter) benchField(b Block) {
	half := math.Floor(s.width * 0.45)
	top, whole := s.y, s.width
	s.width = half
	in := b
	in.Kind, in.Text = Input, "" // what it is stands beside it
	s.input(in)
	bottom := s.y
	s.width = whole
	x, room := half, whole-half-margin
	b.Ends[0] = words.Plain(b.Ends[0])
	small := float64(theme.Text)
	for s.measure(b.Text, small, false) > room && small > 9 {
		small--
	}
	s.l.Text("", scene.At(x, top+8), scene.Start, scene.Middle, scene.Ink(theme.Soft), small, false, b.Text)
	size := math.Max(acrossBench, s.size.Number)
	for s.measure(b.Ends[0], size, true) > room && size > theme.Section {
		size--
	}
	s.l.Text("", scene.At(x, top+18+size*0.6), scene.Start, scene.Middle, scene.Ink(theme.Ink), size, true, b.Ends[0])
	s.y = top + 18 + size*1.2
	if b.Ends[1] != "" {
		s.text("", b.Ends[1], x, room, theme.Text, false, theme.Ink)
	}
	s.y = math.Max(s.y, bottom) + 4
}
