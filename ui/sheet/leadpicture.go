package sheet

import (
	"math"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// Sizes of a lead picture, in pixels.
const (
	probeWide = 136.0 // of a lead's box at most
	probeHigh = 46.0
	tipHigh   = 13.0
	bandHigh  = 18.0
	frameRoom = 34.0 // that the chassis symbol takes at the right
	gapRoom   = 44.0 // between two sections
)

// lead draws a proposed reading from above: the meter between the leads, the test
// resistor across them, each lead's box, and below the sections with the places
// that the leads touch. RED is square with a pointed tip, BLACK is round with a
// blunt one: the words and the shapes tell them apart, not a colour.
func (s *setter) lead(l *Lead) {
	wide := math.Min(probeWide, math.Floor((s.room()-44)/2))
	red, black := margin+wide/2, s.width-margin-wide/2
	if l.crossing() {
		red, black = black, red
	}
	left, right := math.Min(red, black), math.Max(red, black)
	s.y += 6
	s.centred(l.Meter, s.room(), theme.Text, true, theme.Ink)
	rung := s.y + 17
	s.rungMeter(left, right, rung)
	s.y = rung + 19
	s.rungResistor(l, left, right)
	top := s.y + 8
	ink := scene.Ink(theme.Ink)
	s.l.Line("", ink, 2, scene.At(red, rung), scene.At(red, top))
	s.l.Line("", ink, 2, scene.At(black, rung), scene.At(black, top))
	s.probeBox(red, top, wide, "RED", l.Red.Name, 0)
	s.probeBox(black, top, wide, "BLACK", l.Black.Name, 14)
	s.l.Add(scene.Shape{Kind: scene.Area, Points: []scene.Point{scene.At(red-7, top+probeHigh), scene.At(red+7, top+probeHigh), scene.At(red, top+probeHigh+tipHigh)}, Fill: ink})
	s.l.Rect("", scene.At(black-5, top+probeHigh-1), scene.At(black+5, top+probeHigh+tipHigh), ink, scene.Paint{}, 0, 5)
	s.y = top + probeHigh + tipHigh
	s.ends(l, red, black)
}

// crossing says that the leads would cross with RED at the left.
func (l *Lead) crossing() bool {
	if l.Red.Chassis() || l.Red.Band < 0 || l.Black.Band < 0 {
		return l.Red.Chassis()
	}
	return l.Black.Band < l.Red.Band || l.Black.Band == l.Red.Band && l.Black.At < l.Red.At
}

// centred sets a text in the middle of the page.
func (s *setter) centred(text string, width, size float64, bold bool, role theme.Role) {
	for _, line := range scene.Wrap(text, math.Max(40, width), size, bold, s.measure) {
		s.l.Text("", scene.At(s.width/2, s.y+size*leading/2), scene.Middle, scene.Middle, scene.Ink(role), size, bold, line)
		s.y += size * leading
	}
}

// rungMeter is the meter on its wire.
func (s *setter) rungMeter(x0, x1, y float64) {
	const r = 15.0
	ink, mid := scene.Ink(theme.Ink), s.width/2
	s.l.Line("", ink, 2, scene.At(x0, y), scene.At(mid-r, y))
	s.l.Line("", ink, 2, scene.At(mid+r, y), scene.At(x1, y))
	s.l.Rect("", scene.At(mid-r, y-r), scene.At(mid+r, y+r), scene.Ink(theme.Paper), ink, 2, r)
	s.l.Text("", scene.At(mid, y), scene.Middle, scene.Middle, ink, 16, true, "V")
}

// rungResistor is the test resistor across the leads as a box on its wire, with
// its ratings and its load; without one the picture says so.
func (s *setter) rungResistor(l *Lead, x0, x1 float64) {
	room := x1 - x0 - 16
	switch {
	case l.Resistor == "":
		s.centred("no test resistor", room, theme.Small+1, false, theme.Soft)
		return
	case l.From != "":
		s.centred("no resistor across the probes", room, theme.Small+1, false, theme.Soft)
		return
	}
	ink, y, mid := scene.Ink(theme.Ink), s.y+8, s.width/2
	half := math.Min(26, (x1-x0)/4)
	s.l.Line("", ink, 2, scene.At(x0, y), scene.At(mid-half, y))
	s.l.Line("", ink, 2, scene.At(mid+half, y), scene.At(x1, y))
	for _, x := range []float64{x0, x1} {
		s.l.Rect("", scene.At(x-3.5, y-3.5), scene.At(x+3.5, y+3.5), ink, scene.Paint{}, 0, 3.5)
	}
	s.l.Rect("", scene.At(mid-half, y-8), scene.At(mid+half, y+8), scene.Ink(theme.Raised), ink, 2, 0)
	s.y += 20
	s.centred(l.Resistor, room, theme.Small+1, true, theme.Ink)
	s.centred(l.Load, room, theme.Small+1, false, theme.Ink)
}

// probeBox is a lead's box: its name, and where it goes.
func (s *setter) probeBox(x, top, wide float64, name, place string, round float64) {
	ink := scene.Ink(theme.Ink)
	s.l.Rect("", scene.At(x-wide/2, top), scene.At(x+wide/2, top+probeHigh), scene.Ink(theme.Raised), ink, 2, round)
	s.l.Text("", scene.At(x, top+13), scene.Middle, scene.Middle, ink, theme.Small, true, name)
	size := 20.0
	for s.measure(place, size, true) > wide-12 && size > 10 {
		size--
	}
	s.l.Text("", scene.At(x, top+31), scene.Middle, scene.Middle, ink, size, true, place)
}

// ends are the sections below the tips, the wires from the tips to their places,
// and the frame symbol where a lead goes to the chassis.
func (s *setter) ends(l *Lead, red, black float64) {
	tip := s.y
	top := tip + 24
	x0, x1 := margin, s.width-margin
	for _, p := range []struct {
		probe Probe
		x     float64
	}{{l.Red, red}, {l.Black, black}} {
		switch {
		case p.probe.Chassis():
			s.frame(p.x, tip, top+4)
			x1 = math.Min(x1, p.x-frameRoom)
		case p.probe.Band < 0: // a terminal of no section
			s.l.Line("", scene.Ink(theme.Ink), 2, scene.At(p.x, tip), scene.At(p.x, top+4))
			s.l.Rect("", scene.At(p.x-4, top+4), scene.At(p.x+4, top+12), scene.Ink(theme.Raised), scene.Ink(theme.Copper), 2, 4)
			if p.x > s.width/2 {
				x1 = math.Min(x1, p.x-frameRoom)
			} else {
				x0 = math.Max(x0, p.x+frameRoom)
			}
		}
	}
	spans := l.spans(x0, x1)
	s.y = top + bandHigh + 4
	if len(spans) > 0 {
		s.sectionBands(l, spans, top)
	}
	level := tip + 8
	for _, p := range []struct {
		probe Probe
		x     float64
	}{{l.Red, red}, {l.Black, black}} {
		if p.probe.Band < 0 {
			continue
		}
		span := spans[p.probe.Band]
		at := span[0] + (span[1]-span[0])*p.probe.At
		at = math.Max(span[0]+4, math.Min(span[1]-4, at))
		s.l.Line("", scene.Ink(theme.Ink), 2, scene.At(p.x, tip), scene.At(p.x, level), scene.At(at, level), scene.At(at, top))
		s.l.Rect("", scene.At(at-5, top-5), scene.At(at+5, top+5), scene.Ink(theme.Ink), scene.Ink(theme.Raised), 1, 5)
		level += 8
	}
	s.y = math.Max(s.y, top+30) + 6
	if l.From != "" {
		s.resistorApart(l.From, l.To)
		s.centred(l.Resistor, s.room(), theme.Small+1, true, theme.Ink)
		s.centred(l.Load, s.room(), theme.Small+1, false, theme.Ink)
		s.y += 4
	}
}

// resistorApart is a test resistor that goes elsewhere than the probes, between its
// two places.
func (s *setter) resistorApart(from, to string) {
	ink, mid := scene.Ink(theme.Ink), s.width/2
	half := math.Min(26, s.room()/8)
	wire := half + math.Min(22, s.room()/10)
	s.y += 12
	s.l.Rect("", scene.At(mid-half, s.y-8), scene.At(mid+half, s.y+8), scene.Ink(theme.Raised), ink, 2, 0)
	for _, e := range []struct {
		name string
		way  float64
	}{{from, -1}, {to, 1}} {
		s.l.Line("", ink, 2, scene.At(mid+e.way*half, s.y), scene.At(mid+e.way*wire, s.y))
		size := float64(theme.Text)
		for s.measure(e.name, size, true) > s.room()/2-wire-6 && size > 6 {
			size--
		}
		s.l.Text("", scene.At(mid+e.way*(wire+6), s.y), scene.Alignment(-e.way), scene.Middle, ink, size, true, e.name)
	}
	s.y += 14
}

// spans divide the room among the bands by their volts, none too short for its
// names.
func (l *Lead) spans(x0, x1 float64) [][2]float64 {
	n := float64(len(l.Bands))
	if n == 0 {
		return nil
	}
	gap := math.Min(gapRoom, (x1-x0)/(3*n))
	room := x1 - x0 - gap*(n-1)
	sum, parts := 0.0, make([]float64, len(l.Bands))
	for _, b := range l.Bands {
		sum += b.Volts
	}
	total := 0.0
	for i, b := range l.Bands {
		parts[i] = 0.3
		if sum > 0 {
			parts[i] = math.Max(0.3, b.Volts/sum)
		}
		total += parts[i]
	}
	out, x := make([][2]float64, len(l.Bands)), x0
	for i := range parts {
		w := room * parts[i] / total
		out[i] = [2]float64{x, x + w}
		x += w + gap
	}
	return out
}

// sectionBands draws the sections with the names of their ends below, and the
// open links between them.
func (s *setter) sectionBands(l *Lead, spans [][2]float64, top float64) {
	ink := scene.Ink(theme.Ink)
	line := top + bandHigh + 10
	twoLines, gaps := false, false
	for i, b := range l.Bands {
		w := spans[i][1] - spans[i][0]
		twoLines = twoLines || s.measure(b.From+b.To, theme.Small, true)+10 > w
		gaps = gaps || b.Gap != ""
	}
	for i, b := range l.Bands {
		a, z := spans[i][0], spans[i][1]
		s.l.Rect("", scene.At(a, top), scene.At(z, top+bandHigh), scene.Ink(theme.Tint), ink, 2, 0)
		s.l.Rect("", scene.At(z-5, top), scene.At(z, top+bandHigh), ink, scene.Paint{}, 0, 0) // the plus end
		s.l.Text("", scene.At(a, line), scene.Start, scene.Middle, ink, theme.Small, true, b.From)
		y := line
		if twoLines {
			y += 15
		}
		s.l.Text("", scene.At(z, y), scene.End, scene.Middle, ink, theme.Small, true, b.To)
		if i+1 == len(l.Bands) {
			continue
		}
		mid, y := top+bandHigh/2, line+15
		if twoLines {
			y += 15
		}
		next := spans[i+1][0]
		for _, e := range [2][2]float64{{z, 1}, {next, -1}} {
			stub := e[0] + e[1]*math.Min(10, (next-z)/4)
			s.l.Line("", scene.Ink(theme.Copper), 3, scene.At(e[0], mid), scene.At(stub, mid))
			s.l.Line("", ink, 2, scene.At(stub, mid-6), scene.At(stub, mid+6))
		}
		if b.Gap != "" {
			s.l.Text("", scene.At((z+next)/2, y), scene.Middle, scene.Middle, ink, theme.Small, false, b.Gap)
		}
	}
	s.y = line + 10
	if twoLines {
		s.y += 15
	}
	if gaps {
		s.y += 15
	}
}

// frame is the standard symbol of frame or chassis, on its wire.
func (s *setter) frame(x, from, y float64) {
	ink := scene.Ink(theme.Ink)
	s.l.Line("", ink, 2, scene.At(x, from), scene.At(x, y))
	s.l.Line("", ink, 2, scene.At(x-14, y), scene.At(x+14, y))
	for _, dx := range []float64{-13, 0, 13} {
		s.l.Line("", ink, 2, scene.At(x+dx, y), scene.At(x+dx-8, y+11))
	}
}

// step is one of the steps in their order: its number in a ring, what is done, and
// for a change of the pack its symbol.
func (s *setter) step(b Block) {
	s.y += 5
	top := s.y
	const ring = 12.0
	sym := 0.0
	if b.Unit != "" {
		sym = 58
	}
	s.text(b.ID, b.Text, margin+2*ring+9, s.room()-2*ring-9-sym, theme.Text, true, theme.Ink)
	s.y = math.Max(s.y, top+2*ring)
	ink := scene.Ink(theme.Ink)
	mid := top + ring - 1
	s.l.Rect("", scene.At(margin, mid-ring), scene.At(margin+2*ring, mid+ring), scene.Ink(theme.Paper), ink, 2, ring)
	s.l.Text("", scene.At(margin+ring, mid), scene.Middle, scene.Middle, ink, theme.Text, true, b.Value)
	x := s.width - margin - 25
	switch b.Unit {
	case stepOpen:
		s.l.Line("", scene.Ink(theme.Copper), 3, scene.At(x-24, mid+3), scene.At(x-11, mid+3))
		s.l.Line("", scene.Ink(theme.Copper), 3, scene.At(x+11, mid+3), scene.At(x+24, mid+3))
		s.l.Line("", ink, 2, scene.At(x-11, mid+3), scene.At(x+8, mid-9))
		s.l.Rect("", scene.At(x-14, mid), scene.At(x-8, mid+6), scene.Ink(theme.Raised), ink, 2, 3)
		s.l.Rect("", scene.At(x+8, mid), scene.At(x+14, mid+6), scene.Ink(theme.Raised), ink, 2, 3)
	case stepUnplug:
		s.l.Line("", ink, 2, scene.At(x-24, mid), scene.At(x-8, mid))
		s.l.Rect("", scene.At(x-8, mid-5), scene.At(x+1, mid+5), ink, scene.Paint{}, 0, 2)
		s.l.Line("", ink, 2, scene.At(x+8, mid-9), scene.At(x+20, mid-9), scene.At(x+20, mid+9), scene.At(x+8, mid+9))
	}
	s.y += 3
}

// Symbols of a step.
const (
	stepOpen   = "open"
	stepUnplug = "unplug"
)
