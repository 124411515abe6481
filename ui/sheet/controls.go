package sheet

import (
	"math"
	"strings"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// ring is the line around what can be pressed; thick where the keyboard is.
func ring(on bool) (scene.Paint, float64) {
	if on {
		return scene.Ink(theme.Accent), 3
	}
	return scene.Ink(theme.Soft), 1
}

// target makes a rectangle of the page pressable.
func (s *setter) target(id string, x0, y0, x1, y1 float64) {
	if id != "" {
		s.l.Target(id, 0, scene.At(x0, y0), scene.At(x1, y0), scene.At(x1, y1), scene.At(x0, y1))
	}
}

// input is the field: what was typed with a caret, its name while that is
// nothing, the unit at its end.
func (s *setter) input(b Block) {
	high := math.Max(48, s.size.Number*1.4)
	line, width := ring(b.On)
	top := s.y
	s.l.Rect(b.ID, scene.At(margin, top), scene.At(s.width-margin, top+high), scene.Ink(theme.Paper), line, width, 6)
	if b.Hatched {
		s.hatch(margin+1, top+1, s.width-margin-1, top+high-1)
	}
	size := math.Max(24, s.size.Number-4)
	for s.measure(b.Value, size, false) > s.room()-70 && size > theme.Small {
		size -= 2
	}
	mid := top + high/2
	s.l.Text(b.ID, scene.At(margin+12, mid), scene.Start, scene.Middle, scene.Ink(theme.Ink), size, false, b.Value)
	if b.On {
		x := margin + 14 + s.measure(b.Value, size, false)
		s.l.Line("", scene.Ink(theme.Accent), 2, scene.At(x, mid-14), scene.At(x, mid+14))
	}
	s.l.Text("", scene.At(s.width-margin-12, mid), scene.End, scene.Middle, scene.Ink(theme.Soft), theme.Section, false, b.Unit)
	if b.Value == "" { // what belongs here
		s.l.Text("", scene.At(margin+24, mid), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Text, false, b.Text)
	}
	s.target(b.ID, margin, top, s.width-margin, top+high)
	s.y = top + high + 6
}

// doubt is hatched at its left and starts with a question mark, so that it is
// seen without colour.
func (s *setter) doubt(b Block) {
	top := s.y
	s.text(b.ID, b.Text, margin+30, s.room()-30, theme.Text, false, theme.Ink)
	s.y = math.Max(s.y, top+26)
	s.l.Rect("", scene.At(margin, top), scene.At(margin+22, s.y), scene.Ink(theme.Raised), scene.Ink(theme.Soft), 1, 3)
	for y := top + 8; y < s.y+14; y += 7 {
		a, z := scene.At(margin, math.Min(y, s.y)), scene.At(margin+math.Min(22, y-top), math.Max(top, y-22))
		if y > s.y {
			a = scene.At(margin+math.Min(22, y-s.y), s.y)
		}
		s.l.Line("", scene.Ink(theme.Hairline), 1, a, z)
	}
	s.l.Text("", scene.At(margin+11, (top+s.y)/2), scene.Middle, scene.Middle, scene.Ink(theme.Ink), theme.Section, true, "?")
	s.y += 6
}

// leads draws where the two leads are: RED in a box with square corners and a
// pointed tip, BLACK in a round one with a blunt tip, the meter between them and
// the test resistor across it.
func (s *setter) leads(b Block) {
	high := math.Max(56, s.size.Touch)
	top := s.y + 2
	wide := math.Floor((s.room() - 76) / 2)
	for i, t := range b.Tiles[:min(2, len(b.Tiles))] {
		x0 := margin
		if i == 1 {
			x0 = s.width - margin - wide
		}
		line, w := ring(t.On)
		round := 0.0
		if i == 1 {
			round = 16
		}
		s.l.Rect(t.ID, scene.At(x0, top), scene.At(x0+wide, top+high), scene.Ink(theme.Raised), line, math.Max(w, 2), round)
		name := []string{"RED", "BLACK"}[i]
		s.l.Text("", scene.At(x0+wide/2, top+16), scene.Middle, scene.Middle, scene.Ink(theme.Ink), theme.Small, true, name)
		size := 20.0
		for s.measure(t.Value, size, true) > wide-10 && size > 11 {
			size--
		}
		s.l.Text(t.ID, scene.At(x0+wide/2, top+37), scene.Middle, scene.Middle, scene.Ink(theme.Ink), size, true, t.Value)
		s.target(t.ID, x0, top, x0+wide, top+high)
	}
	s.meter(margin+wide, s.width-margin-wide, top+22, b.Text)
	s.y = top + high + 6
	switch {
	case b.Value == "":
	case b.Ends[0] != "":
		s.resistorApart(b.Ends[0], b.Ends[1])
		s.centred(b.Value, s.room(), theme.Text, false, theme.Ink)
		s.y += 4
	default:
		s.resistor(margin+wide/2, s.width-margin-wide/2, b.Value)
	}
}

// meter is a circle with its letter on the wire between the boxes.
func (s *setter) meter(x0, x1, y float64, letter string) {
	const r = 15.0
	mid := (x0 + x1) / 2
	ink := scene.Ink(theme.Ink)
	s.l.Line("", ink, 2, scene.At(x0, y), scene.At(mid-r, y))
	s.l.Line("", ink, 2, scene.At(mid+r, y), scene.At(x1, y))
	s.l.Add(scene.Shape{Kind: scene.Area, Points: []scene.Point{scene.At(x0, y-5), scene.At(x0+9, y), scene.At(x0, y+5)}, Fill: ink}) // red: pointed
	s.l.Rect("", scene.At(x1-7, y-5), scene.At(x1, y+5), ink, scene.Paint{}, 0, 5)                                                    // black: blunt
	s.l.Rect("", scene.At(mid-r, y-r), scene.At(mid+r, y+r), scene.Ink(theme.Paper), ink, 2, r)
	s.l.Text("", scene.At(mid, y), scene.Middle, scene.Middle, ink, 16, true, letter)
}

// resistor is the test resistor across both places, as a box on a wire, with its
// words below.
func (s *setter) resistor(x0, x1 float64, text string) {
	ink, y, mid := scene.Ink(theme.Ink), s.y+8, s.width/2
	s.l.Line("", ink, 2, scene.At(x0, s.y-5), scene.At(x0, y), scene.At(mid-24, y))
	s.l.Line("", ink, 2, scene.At(mid+24, y), scene.At(x1, y), scene.At(x1, s.y-5))
	s.l.Rect("", scene.At(mid-24, y-7), scene.At(mid+24, y+7), scene.Ink(theme.Raised), ink, 2, 0)
	s.y += 20
	for _, line := range scene.Wrap(text, s.room(), theme.Text, false, s.measure) {
		s.l.Text("", scene.At(mid, s.y+theme.Text*leading/2), scene.Middle, scene.Middle, ink, theme.Text, false, line)
		s.y += theme.Text * leading
	}
	s.y += 4
}

// tiles stand in two columns; what has no other option has no ring.
func (s *setter) tiles(b Block) {
	const gap = 5.0
	high := s.size.Touch
	wide := math.Floor((s.room() - gap) / 2)
	for i, t := range b.Tiles {
		x, y := margin+float64(i%2)*(wide+gap), s.y+float64(i/2)*(high+gap)
		line, w := ring(t.On)
		ink := scene.Ink(theme.Accent)
		if t.Fixed {
			ink = scene.Ink(theme.Ink)
			if !t.On {
				line = scene.Ink(theme.Hairline)
			}
		}
		s.l.Rect(t.ID, scene.At(x, y), scene.At(x+wide, y+high), scene.Ink(theme.Raised), line, w, 6)
		s.l.Text("", scene.At(x+10, y+12), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, t.Name)
		size := float64(theme.Text)
		for s.measure(t.Value, size, true) > wide-18 && size > 10 {
			size -= 0.5
		}
		s.l.Text(t.ID, scene.At(x+10, y+30), scene.Start, scene.Middle, ink, size, true, t.Value)
		s.target(t.ID, x, y, x+wide, y+high)
	}
	s.y += math.Ceil(float64(len(b.Tiles))/2)*(high+gap) + 2
}

// pad is rows of keys, each of touch height.
func (s *setter) pad(b Block) {
	const gap = 6.0
	for _, row := range b.Keys {
		wide := (s.room() - gap*float64(len(row)-1)) / float64(len(row))
		for i, key := range row {
			x := margin + float64(i)*(wide+gap)
			s.l.Rect(PadKey(key), scene.At(x, s.y), scene.At(x+wide, s.y+s.size.Touch), scene.Ink(theme.Raised), scene.Ink(theme.Hairline), 1, 6)
			size := 20.0
			for s.measure(key, size, false) > wide-8 && size > theme.Small {
				size--
			}
			s.keyName(key, x+wide/2, wide-6, size)
			s.target(PadKey(key), x, s.y, x+wide, s.y+s.size.Touch)
		}
		s.y += s.size.Touch + gap
	}
}

// keyName writes what a key of the pad does about the middle x: in one line, or where
// that is wider than the key and has two words, in two.
func (s *setter) keyName(key string, x, room, size float64) {
	mid := s.y + s.size.Touch/2
	above, below, two := strings.Cut(key, " ")
	if !two || s.measure(key, size, false) <= room {
		s.l.Text(PadKey(key), scene.At(x, mid), scene.Middle, scene.Middle, scene.Ink(theme.Ink), size, false, key)
		return
	}
	for i, word := range []string{above, below} {
		size := []float64{18, theme.Small}[i]
		for s.measure(word, size, false) > room && size > 10 {
			size -= 0.5
		}
		s.l.Text(PadKey(key), scene.At(x, mid+float64(i*20-9)), scene.Middle, scene.Middle, scene.Ink(theme.Ink), size, false, word)
	}
}

// action is a line that does something: what it does, and a remark below.
func (s *setter) action(b Block) {
	s.y += 3
	top := s.y
	lines := scene.Wrap(b.Text, s.room()-24, theme.Text, true, s.measure)
	var remark []string
	if b.Value != "" {
		remark = scene.Wrap(b.Value, s.room()-24, 13, false, s.measure)
	}
	need := float64(len(lines))*theme.Text*leading + float64(len(remark))*13*leading
	high := math.Max(s.size.Touch, need+14)
	line, w := ring(b.On)
	if !b.On {
		line = scene.Ink(theme.Hairline)
	}
	s.l.Rect(b.ID, scene.At(margin, top), scene.At(s.width-margin, top+high), scene.Ink(theme.Raised), line, w, 6)
	y := top + (high-need)/2
	for _, t := range lines {
		s.l.Text(b.ID, scene.At(margin+12, y+theme.Text*leading/2), scene.Start, scene.Middle, scene.Ink(theme.Accent), theme.Text, true, t)
		y += theme.Text * leading
	}
	for _, t := range remark {
		s.l.Text(b.ID, scene.At(margin+12, y+13*leading/2), scene.Start, scene.Middle, scene.Ink(theme.Soft), 13, false, t)
		y += 13 * leading
	}
	s.y = top + high + 3
}
