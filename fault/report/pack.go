package report

import (
	"fmt"
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// A drawing puts the pack on a part of a page.
type drawing struct {
	s     *Sheet
	page  *Page
	lay   lay
	scale float64 // mm of paper a mm of the pack
	off   mgl64.Vec2
	size  float64 // mm on paper, of the smaller side of a usual module
	boxes map[string][2]int
	names []func() // of links, written over everything
}

// stub is how far the outer terminals and FRONT stand off, in mm on paper.
const stub = 9.0

// highFor is how high the drawing is on a part so wide, in mm.
func (s *Sheet) highFor(wide float64) float64 {
	l := layOut(s.net)
	size := l.max.Sub(l.min)
	if len(l.modules) == 0 || size[0] <= 0 {
		return 0
	}
	return size[1]/size[0]*(wide-2*stub) + 2*stub
}

// draw draws the pack into a rectangle of the page.
func (s *Sheet) draw(p *Page, x, y, w, h float64) {
	d := &drawing{s: s, page: p, lay: layOut(s.net), boxes: s.boxesOf()}
	if len(d.lay.modules) == 0 {
		return
	}
	size := d.lay.max.Sub(d.lay.min)
	d.scale = math.Min((w-2*stub)/math.Max(size[0], 1), (h-2*stub)/math.Max(size[1], 1))
	d.off = mgl64.Vec2{x + (w-size[0]*d.scale)/2, y + (h-size[1]*d.scale)/2}.Sub(d.lay.min.Mul(d.scale))
	var sides []float64
	for _, o := range d.lay.modules {
		sides = append(sides, math.Min(o.long, o.deep)*d.scale)
	}
	slices.Sort(sides)
	d.size = sides[len(sides)/2]
	for i := range s.net.Links { // under the modules that they pass
		d.link(i)
	}
	for i := range d.lay.modules {
		d.module(i)
		d.name(i)
	}
	for _, n := range d.names {
		n()
	}
	for _, t := range d.lay.tiers {
		q := d.at(t.at)
		p.text(q[0], q[1], small, -1, fmt.Sprintf("tier %d", t.number))
	}
	d.front(x, y, w, h)
}

func (d *drawing) at(v mgl64.Vec2) [2]float64 { return d.off.Add(v.Mul(d.scale)) }

// boxesOf are the first and last number of the boxes at each place.
func (s *Sheet) boxesOf() map[string][2]int {
	out := map[string][2]int{}
	for i, b := range s.Boxes {
		id := b.Module
		if b.Link != "" {
			id = b.Link
		}
		r, have := out[id]
		if !have {
			r[0] = i + 1
		}
		r[1] = i + 1
		out[id] = r
	}
	return out
}

// module draws an outline with its groups and its two ends; one that is recorded
// removed is hatched.
func (d *drawing) module(i int) {
	o, mod := d.lay.modules[i], d.s.net.Layout.Modules[i]
	var c [][2]float64
	for _, q := range o.corners {
		c = append(c, d.at(q))
	}
	d.page.area(0.3, 1, c...)
	if slices.Contains(d.s.state.Removed, mod.ID) {
		d.page.hatch(1.6, 0.12, c...)
		return
	}
	if o.long*d.scale/float64(max(1, mod.Series)) > 1.2 {
		for k := 1; k < mod.Series; k++ {
			u := float64(k) / float64(mod.Series)
			d.page.Marks = append(d.page.Marks, Mark{Kind: Line, Points: [][2]float64{d.at(o.along(u, 0)), d.at(o.along(u, 0.12))}, Width: 0.12, Grey: 0.4})
		}
	}
	// The positive end is the thicker edge as well as the plus.
	d.page.line(0.9, d.at(o.along(1, 0.25)), d.at(o.along(1, 0.75)))
	d.page.line(0.3, d.at(o.along(0, 0.25)), d.at(o.along(0, 0.75)))
	t := typeface{size: math.Min(9, d.size*0.28/mmPerPoint), bold: true}
	if t.size < 3 {
		return
	}
	inset := 0.62 * t.size * mmPerPoint
	for _, e := range [...]struct {
		end  float64
		sign string
	}{{0, "−"}, {1, "+"}} {
		q := d.off.Add(o.along(e.end, 0.5).Mul(d.scale)).Add(o.axis.Mul((1 - 2*e.end) * inset))
		d.page.text(q[0], q[1]+0.35*t.size*mmPerPoint, t, 0, e.sign)
	}
}

// name writes a module's number and which boxes are its own.
func (d *drawing) name(i int) {
	o, mod := d.lay.modules[i], d.s.net.Layout.Modules[i]
	wide := math.Abs(o.axis[0])*o.long + math.Abs(o.axis[1])*o.deep
	room := wide * d.scale * 0.94
	if math.Abs(o.axis[0]) > 0.7 { // the signs stand beside it
		room *= 0.72
	}
	t := typeface{size: math.Min(13, d.size*0.4/mmPerPoint), bold: true}.fitted(mod.ID, room, 3.2)
	if d.size < 1.6 {
		return // too small to read: the boxes name every place
	}
	c := d.at(o.center)
	words := t.cut(mod.ID, room)
	d.page.box(c[0]-t.width(words)/2-0.2, c[1]-0.45*t.size*mmPerPoint, t.width(words)+0.4, 0.8*t.size*mmPerPoint, 0, 1)
	d.page.text(c[0], c[1]+0.3*t.size*mmPerPoint, t, 0, words)
	under := typeface{size: math.Min(6.5, t.size*0.6), grey: 0.25}
	what := ""
	if r, ok := d.boxes[mod.ID]; ok && d.s.Boxes[r[0]-1].Link == "" {
		what = fmt.Sprintf("boxes %d–%d", r[0], r[1])
		if r[0] == r[1] {
			what = fmt.Sprintf("box %d", r[0])
		}
	}
	if slices.Contains(d.s.state.Removed, mod.ID) {
		what = "removed"
	}
	if what != "" && under.size >= 4 && under.width(what) <= room {
		d.page.text(c[0], c[1]+0.3*t.size*mmPerPoint+1.15*under.size*mmPerPoint, under, 0, what)
	}
}

// port is where a link ends: at a module's end or tap; outer terminals have none.
func (d *drawing) port(n topology.NodeID) (at, out mgl64.Vec2, ok bool) {
	m, k, ok := d.s.net.ModuleAt(n)
	if !ok {
		return at, out, false
	}
	o, series := d.lay.modules[m], d.s.net.Layout.Modules[m].Series
	switch {
	case k == 0:
		return o.along(0, 0.5), o.axis.Mul(-1), true
	case k == series:
		return o.along(1, 0.5), o.axis, true
	}
	return o.along(float64(k)/float64(series), 1), o.across, true
}

// link draws a conductor between its ends, or two stubs with a gap where it is open,
// with its name.
func (d *drawing) link(i int) {
	b := d.s.net.Links[i]
	l := d.s.net.Layout.Links[b.Link]
	from, outA, okA := d.port(b.A)
	to, outB, okB := d.port(b.B)
	if !okA && !okB {
		return
	}
	if !okA || !okB {
		d.outer(l, b, okA)
		return
	}
	way := []mgl64.Vec2{from, to}
	if out := math.Min(1.5/d.scale, to.Sub(from).Len()/3); out > 0 {
		way = []mgl64.Vec2{from, from.Add(outA.Mul(out)), to.Add(outB.Mul(out)), to}
	}
	middle := d.seat(way[(len(way)-1)/2], way[len(way)/2])
	if isOpen(d.s.net, d.s.state, l.ID) {
		d.openWay(way, middle)
	} else {
		var pts [][2]float64
		for _, q := range way {
			pts = append(pts, d.at(q))
		}
		d.page.line(0.55, pts...)
	}
	d.names = append(d.names, func() { d.linkName(l, d.at(middle), to.Sub(from)) })
}

// seat is a place of a link outside the modules, for its gap and its name: the middle
// where that is one.
func (d *drawing) seat(a, b mgl64.Vec2) mgl64.Vec2 {
	at := func(t float64) mgl64.Vec2 { return a.Add(b.Sub(a).Mul(t)) }
	for _, t := range [...]float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9} {
		if !slices.ContainsFunc(d.lay.modules, func(o outline) bool { return o.holds(at(t)) }) {
			return at(t)
		}
	}
	return at(0.5)
}

// openWay draws the two ends of an open link with a gap between them.
func (d *drawing) openWay(way []mgl64.Vec2, middle mgl64.Vec2) {
	half := len(way) / 2
	ends := [2][]mgl64.Vec2{way[:half], {}}
	for i := len(way) - 1; i >= half; i-- {
		ends[1] = append(ends[1], way[i])
	}
	for _, e := range ends {
		last := e[len(e)-1]
		if to := middle.Sub(last); to.Len()*d.scale > 3 {
			e = append(e, last.Add(to.Mul(1-1.2/(to.Len()*d.scale))))
		} else {
			e = append(e, last.Add(to.Mul(0.5)))
		}
		var pts [][2]float64
		for _, q := range e {
			pts = append(pts, d.at(q))
		}
		d.page.line(0.55, pts...)
		q := pts[len(pts)-1]
		d.page.area(0.3, 1, [2]float64{q[0] - 0.5, q[1] - 0.5}, [2]float64{q[0] + 0.5, q[1] - 0.5}, [2]float64{q[0] + 0.5, q[1] + 0.5}, [2]float64{q[0] - 0.5, q[1] + 0.5})
	}
}

// outer draws a link to a terminal outside the modules: a short end that sticks out,
// named inside the module that it hangs on, under the sign of that end.
func (d *drawing) outer(l topology.Link, b topology.Branch, fromOuter bool) {
	inner, name := b.A, d.s.net.Name(b.B)
	if !fromOuter {
		inner, name = b.B, d.s.net.Name(b.A)
	}
	at, out, _ := d.port(inner)
	d.names = append(d.names, func() { d.outerName(l, inner, name) })
	d.page.line(0.55, d.at(at), d.at(at.Add(out.Mul(2/d.scale))))
}

func (d *drawing) outerName(l topology.Link, inner topology.NodeID, name string) {
	at, out, _ := d.port(inner)
	words := l.ID + " to " + name
	if isOpen(d.s.net, d.s.state, l.ID) {
		words += ", open"
	}
	m, _, _ := d.s.net.ModuleAt(inner)
	o := d.lay.modules[m]
	t := typeface{size: math.Min(6.5, d.size*0.16/mmPerPoint)}
	room := 0.48 * o.long * d.scale
	if math.Abs(out[0]) < 0.7 {
		room = 0.9 * o.deep * d.scale
	}
	if t = t.fitted(words, room, 3.2); t.size < 3.2 || d.size < 1.6 {
		return
	}
	q, high := d.at(at), t.size*mmPerPoint
	switch { // inside, away from the end
	case math.Abs(out[0]) < 0.7:
		d.page.text(q[0], q[1]-0.28*d.size*out[1]+0.35*high, t, 0, words)
	case out[0] > 0:
		d.page.text(q[0]-0.8, q[1]+0.28*d.size, t, 1, words)
	default:
		d.page.text(q[0]+0.8, q[1]+0.28*d.size, t, -1, words)
	}
}

// linkName writes what is no plain busbar, what is open, and every link where the
// boxes are the joints: beside the link's middle, so that the signs stay free.
func (d *drawing) linkName(l topology.Link, at [2]float64, along mgl64.Vec2) {
	words := l.ID
	r, boxed := d.boxes[l.ID]
	if boxed {
		words = fmt.Sprintf("%s, box %d", l.ID, r[0]) // a link has one box
	}
	open := isOpen(d.s.net, d.s.state, l.ID)
	switch {
	case open:
		words += " open"
	case !boxed && (l.Kind == topology.Busbar || l.Kind == topology.Cable):
		return
	}
	if d.size < 1.6 {
		return
	}
	t := typeface{size: math.Min(6.5, math.Max(3.2, d.size*0.2/mmPerPoint))}
	w, high := t.width(words), t.size*mmPerPoint
	x, y := at[0]-w/2, at[1]+0.35*high
	if math.Abs(along[0]) > math.Abs(along[1]) {
		y = at[1] - 0.2*d.size
	}
	x = math.Min(math.Max(x, 2), d.page.W-w-2)
	d.page.box(x-0.3, y-0.8*high, w+0.6, high, 0, 1)
	d.page.text(x, y, t, -1, words)
}

// front is the arrow to the vehicle's front, as drawn, at the drawing's edge.
func (d *drawing) front(x, y, w, h float64) {
	const long = 7.0
	var tip, tail [2]float64
	switch d.s.net.Layout.Front {
	case "up":
		tip, tail = [2]float64{x + 4, y}, [2]float64{x + 4, y + long}
	case "down":
		tip, tail = [2]float64{x + 4, y + h}, [2]float64{x + 4, y + h - long}
	case "left":
		tip, tail = [2]float64{x, y + 3}, [2]float64{x + long, y + 3}
	case "right":
		tip, tail = [2]float64{x + w, y + 3}, [2]float64{x + w - long, y + 3}
	default:
		d.page.text(x, y+2.5, small, -1, "Which way is FRONT is not recorded.")
		return
	}
	dx, dy := (tip[0]-tail[0])/long, (tip[1]-tail[1])/long
	d.page.line(0.6, tail, tip)
	d.page.area(0, 0, tip, [2]float64{tip[0] - 2.4*dx - 1.2*dy, tip[1] - 2.4*dy + 1.2*dx}, [2]float64{tip[0] - 2.4*dx + 1.2*dy, tip[1] - 2.4*dy - 1.2*dx})
	t := typeface{size: 8, bold: true}
	if dx < 0 {
		d.page.text(tail[0]+1, tail[1]+1, t, -1, "FRONT")
	} else if dx > 0 {
		d.page.text(tail[0]-1, tail[1]+1, t, 1, "FRONT")
	} else {
		d.page.text(x+6, (tip[1]+tail[1])/2+1, t, -1, "FRONT")
	}
}
