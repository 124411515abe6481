package plan

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// A pen draws in pixels about a point of the world, along a direction.
type pen struct {
	f    *frame
	id   string
	c    scene.Point
	d, n mgl64.Vec2 // along the wire, and to its left on screen
}

func (p pen) at(along, aside float64) scene.Point {
	q := p.d.Mul(along).Add(p.n.Mul(aside))
	return p.c.Moved(q.X(), q.Y())
}

func (p pen) line(width float64, pts ...scene.Point) {
	p.f.l.Line(p.id, scene.Ink(theme.Ink), width, pts...)
}

// symbols draws what sits in the middle of special or open links, and writes
// beside it what is recorded and what is expected.
func (f *frame) symbols() {
	win := f.v.Window().Grown(60 / f.v.ScaleX)
	var labels []func()
	for _, w := range f.Geo.Wires {
		if len(w.Way) < 2 || !scene.Around(w.Way...).Overlaps(win) || !f.solidLink(w.Link) {
			continue
		}
		l := f.Pack.Net.Layout.Links[w.Link]
		at, dir, length := w.Seat, w.Dir, w.Length
		h := f.half(length)
		p := pen{f: f, id: "link:" + l.ID, c: world(at), d: dir, n: mgl64.Vec2{dir.Y(), -dir.X()}}
		open := f.Pack.IsOpen(w.Link)
		if (open || symbolic[l.Kind]) && f.beside(p, -h) < f.beside(p, h) { // the blade swings to where there is room
			p.n = p.n.Mul(-1)
		}
		f.symbol(p, l.Kind, open, h)
		if open || symbolic[l.Kind] {
			q := f.v.Screen(p.c)
			f.seats = append(f.seats, q)
			f.taken = append(f.taken, scene.Around(q.Add(dir.Mul(h)), q.Sub(dir.Mul(h)), q.Add(dir.Mul(h)).Add(p.n.Mul(h))))
		}
		labels = append(labels, func() { f.wireLabel(p, w.Link, open, h) })
	}
	f.terminalNames()
	for _, write := range labels { // when every symbol has its room
		write()
	}
}

// beside is how much a symbol's blade would hide on one side.
func (f *frame) beside(p pen, aside float64) float64 {
	q := f.v.Screen(p.at(0, aside))
	return f.covered(scene.Rect{Min: q, Max: q}.Grown(math.Abs(aside) * 0.6))
}

// symbol draws the sign of a link: for a disconnect the blade with a bar at the
// fixed contact, for a contactor the blade with the arc, for a fuse the long
// rectangle (IEC 60617: disconnector, contactor, fuse).
func (f *frame) symbol(p pen, kind string, open bool, h float64) {
	switch kind {
	case topology.Fuse:
		p.line(1.5, p.at(-h, -h/2.6), p.at(h, -h/2.6), p.at(h, h/2.6), p.at(-h, h/2.6), p.at(-h, -h/2.6))
		if !open {
			f.l.Line(p.id, scene.Ink(theme.Copper), wireWidth, p.at(-h, 0), p.at(h, 0))
		}
	case topology.Disconnect, topology.Contactor:
		tip := p.at(h, 0)
		if open {
			tip = p.at(h*0.78, h*0.95)
		}
		p.line(2.5, p.at(-h, 0), tip)
		if kind == topology.Disconnect {
			p.line(2, p.at(h, -h/2.2), p.at(h, h/2.2))
		} else {
			arc := []scene.Point{}
			for k := 0; k <= 8; k++ {
				a := math.Pi * float64(k) / 8
				arc = append(arc, p.at(h-h/3.2*(1-math.Cos(a)), -h/3.2*math.Sin(a)))
			}
			p.line(2, arc...)
		}
	case topology.Sensor:
		ring := []scene.Point{}
		for k := 0; k <= 14; k++ {
			a := 2 * math.Pi * float64(k) / 14
			ring = append(ring, p.at(h*0.7*math.Cos(a), h*0.7*math.Sin(a)))
		}
		f.l.Line(p.id, scene.Ink(theme.Copper), wireWidth, p.at(-h, 0), p.at(h, 0))
		p.line(1.5, ring...)
	default:
		if open { // the two bare ends
			p.line(2, p.at(-h, -5), p.at(-h, 5))
			p.line(2, p.at(h, -5), p.at(h, 5))
		}
	}
}

// A line of a wire's label.
type labelLine struct {
	text   string
	paint  scene.Paint
	italic bool
}

// wireLabel writes a link's name, that it is recorded open, and the volts that
// are expected across the gap.
func (f *frame) wireLabel(p pen, link int, open bool, h float64) {
	l := f.Pack.Net.Layout.Links[link]
	share := f.Pack.Share[l.ID]
	shown := f.o.Mode == BySuspicion && share >= 0.005
	if !open && !symbolic[l.Kind] && !shown && f.o.Selected != p.id {
		return
	}
	ink, soft := scene.Ink(theme.Ink), scene.Ink(theme.Soft)
	lines := []labelLine{{l.ID, ink, false}}
	switches := l.Kind == topology.Contactor || l.Kind == topology.Disconnect
	switch {
	case switches && (!f.Pack.Known || l.Kind == topology.Contactor && f.Pack.State.Contactors == ""):
		lines[0].text += " not recorded"
	case open:
		lines[0].text += " recorded open"
	}
	if shown {
		lines = append(lines, labelLine{words.Share(share), scene.Ink(theme.Plum), false})
	}
	if open && l.Kind != topology.Contactor {
		lines = append(lines, f.gapLines(link, soft)...)
	}
	// Where the whole label would cover something, its name alone may find room;
	// the ruler and the sheet have the rest. What is selected is written anyway.
	must := f.o.Selected == p.id
	swings := open || switches
	if !f.placeLines(p, lines, h, swings, must) && open {
		f.placeLines(p, []labelLine{{l.ID, ink, false}}, h, swings, false)
	}
}

// gapLines says what is expected across an open link.
func (f *frame) gapLines(link int, soft scene.Paint) []labelLine {
	g := f.Pack.GapOf(link)
	if !g.Known {
		return []labelLine{{"gap volts not known", soft, true}}
	}
	out := []labelLine{{"gap " + words.Range(g.Low, g.High, "V"), soft, true}}
	return append(out, labelLine{"expected, not measured", soft, true})
}

// placeLines puts a label beside its symbol where it covers neither modules nor
// other labels, with a leader to it from further away. Where there is no such
// place, it is left out unless it must be written; ok says that it was.
func (f *frame) placeLines(p pen, lines []labelLine, h float64, swings, must bool) (ok bool) {
	wide, high := 0.0, float64(len(lines))*theme.Small*lineFactor
	for _, l := range lines {
		wide = math.Max(wide, f.measure(l.text, theme.Small, false))
	}
	c := f.v.Screen(p.c)
	steps := 4
	if len(lines) > 1 {
		steps = 40 // worth a leader
	}
	best, cost := f.seek(c, wide, high, clearOf(p, h, swings), steps)
	if cost > 400 && !must {
		return false
	}
	over := f.covered(best)
	f.taken = append(f.taken, best.Grown(3))
	from := func(x, y float64) scene.Point { return p.c.Moved(x-c.X(), y-c.Y()) }
	f.leader(p, c, best, h)
	if over > 300 { // it lies over something: on a plate
		pad := best.Grown(3)
		f.l.Rect("", from(pad.Min.X(), pad.Min.Y()), from(pad.Max.X(), pad.Max.Y()), scene.Ink(theme.Raised), scene.Ink(theme.Hairline), 1, 4)
	}
	side, x := scene.Middle, (best.Min.X()+best.Max.X())/2
	switch {
	case best.Min.X() >= c.X():
		side, x = scene.Start, best.Min.X()
	case best.Max.X() <= c.X():
		side, x = scene.End, best.Max.X()
	}
	for i, l := range lines {
		y := best.Min.Y() + (float64(i)+0.5)*theme.Small*lineFactor
		f.l.Add(scene.Shape{Kind: scene.Label, ID: p.id, Points: []scene.Point{from(x, y)},
			Fill: l.paint, Size: theme.Small, Italic: l.italic, Text: l.text, H: side, V: scene.Middle})
	}
	return true
}

// clearOf is how far from the middle of a symbol its label begins, across and down:
// less beside a symbol that has no blade.
func clearOf(p pen, h float64, swings bool) mgl64.Vec2 {
	along, aside := h+7, h+7
	if !swings {
		aside = h/2.6 + 6
	}
	if math.Abs(p.d.X()) > math.Abs(p.d.Y()) {
		return mgl64.Vec2{along, aside}
	}
	return mgl64.Vec2{aside, along}
}

// seek tries the places about a symbol, then further and further away, and
// gives the one that hides least.
func (f *frame) seek(c mgl64.Vec2, wide, high float64, near mgl64.Vec2, steps int) (best scene.Rect, cost float64) {
	cost = math.Inf(1)
	const over = 8 // of a label that stands to one side, above or below
	for step := 0.0; step < float64(steps); step++ {
		x, y := near.X()+10*step, near.Y()+10*step
		for i, q := range []mgl64.Vec2{ // top left corners of the label about the symbol
			{-wide / 2, -y - high}, {x, -high / 2}, {-x - wide, -high / 2}, {-wide / 2, y},
			{x, -y - high}, {-x - wide, -y - high}, {x, y}, {-x - wide, y},
			{-over, -y - high}, {over - wide, -y - high}, {-over, y}, {over - wide, y},
		} {
			r := scene.Rect{Min: c.Add(q), Max: c.Add(q).Add(mgl64.Vec2{wide, high})}
			k := f.covered(r) + float64(i) + away(step) + f.mistaken(c, r)
			if k < cost {
				k += f.crossed(c, leaderEnd(c, r))
			}
			if k < cost {
				best, cost = r, k
			}
		}
		if cost < away(step+1) {
			break // nothing further away can be better
		}
	}
	return best, cost
}

// mistaken is what it costs a label to stand nearer to another symbol than to
// its own, whose it would seem to be.
func (f *frame) mistaken(c mgl64.Vec2, r scene.Rect) float64 {
	off := func(q mgl64.Vec2) float64 {
		return q.Sub(mgl64.Vec2{math.Max(r.Min.X(), math.Min(q.X(), r.Max.X())), math.Max(r.Min.Y(), math.Min(q.Y(), r.Max.Y()))}).Len()
	}
	own := off(c)
	for _, q := range f.seats {
		if q != c && off(q) < own {
			return 120
		}
	}
	return 0
}

// away is what it costs to stand so many steps away: near is much better, and
// far hardly worse than not so far.
func away(step float64) float64 { return 15*math.Min(step, 12) + 4*math.Max(0, step-12) }

// leader is the thin line from a symbol to its label.
func (f *frame) leader(p pen, c mgl64.Vec2, label scene.Rect, h float64) {
	d := leaderEnd(c, label).Sub(c)
	if d.Len() < h+14 {
		return
	}
	start := d.Normalize().Mul(h * 0.8)
	f.l.Line(p.id, scene.Ink(theme.Soft), 1, p.c.Moved(start.X(), start.Y()), p.c.Moved(d.X(), d.Y()))
}

// leaderEnd is where the leader from c meets a label.
func leaderEnd(c mgl64.Vec2, label scene.Rect) mgl64.Vec2 {
	return mgl64.Vec2{math.Max(label.Min.X()-3, math.Min(c.X(), label.Max.X()+3)), math.Max(label.Min.Y()-1, math.Min(c.Y(), label.Max.Y()+1))}
}

// crossed is what it costs a leader to run over modules, by its pixels there,
// and across other symbols and labels, which would seem to be meant.
func (f *frame) crossed(a, b mgl64.Vec2) float64 {
	wa, wb := f.v.World(a), f.v.World(b)
	sum := 0.0
	for _, m := range f.visible {
		sum += 8 * f.v.ScaleX * clipped(f.Geo.Modules[m], wa, wb)
	}
	for _, t := range f.taken {
		if !t.Grown(1).Holds(a) && t.Meets(a, b) {
			sum += 60
		}
	}
	return sum
}

// covered is how much a label at r would hide: square pixels of modules and of
// other labels, wires lightly, and of what leaves the screen.
func (f *frame) covered(r scene.Rect) float64 {
	share := func(o scene.Rect) float64 {
		w := math.Min(r.Max.X(), o.Max.X()) - math.Max(r.Min.X(), o.Min.X())
		h := math.Min(r.Max.Y(), o.Max.Y()) - math.Max(r.Min.Y(), o.Min.Y())
		return math.Max(0, w) * math.Max(0, h)
	}
	area := r.Size().X() * r.Size().Y()
	sum := 60 * (area - share(scene.Rect{Max: mgl64.Vec2{f.v.W, f.v.H}}.Grown(-4)))
	for _, m := range f.visible {
		b := f.Geo.Modules[m].Box()
		sum += 4 * share(scene.Rect{Min: f.v.Screen(world(b.Min)), Max: f.v.Screen(world(b.Max))}.Grown(3)) // with its terminals
	}
	for _, t := range f.taken {
		sum += 6 * share(t)
	}
	for _, w := range f.runs {
		if w.Overlaps(r) {
			sum += 50
		}
	}
	return sum
}
