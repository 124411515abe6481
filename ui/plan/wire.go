package plan

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

const wireWidth = 3.0

// symbolic kinds have a symbol of IEC 60617 in the middle of their way.
var symbolic = map[string]bool{topology.Disconnect: true, topology.Fuse: true, topology.Contactor: true, topology.Sensor: true}

// half is half the length of a wire's symbol or gap, in pixels.
func (f *frame) half(length float64) float64 {
	return math.Max(3, math.Min(15, 0.36*length*f.v.ScaleX))
}

// wires draws the links under the modules: copper, a cable with wide bends, an
// open one as two stubs with a gap.
func (f *frame) wires() {
	win := f.v.Window().Grown(20 / f.v.ScaleX)
	for _, w := range f.Geo.Wires {
		if len(w.Way) < 2 || !scene.Around(w.Way...).Overlaps(win) || !f.solidLink(w.Link) {
			continue
		}
		l := f.Pack.Net.Layout.Links[w.Link]
		id := "link:" + l.ID
		at, dir, length := w.Seat, w.Dir, w.Length
		bend := math.Min(10/f.v.ScaleX, 0.5*f.Geo.Size)
		if l.Kind == topology.Cable {
			bend = 0.6 * f.Geo.Size
		}
		open := f.Pack.IsOpen(w.Link)
		if !open && !symbolic[l.Kind] {
			f.line(id, rounded(w.Way, bend, f.tier))
			f.targetWire(id, w.Way)
			continue
		}
		cut := dir.Mul(f.half(length) / f.v.ScaleX)
		before, after := split(w.Way, at, at.Sub(cut), at.Add(cut))
		f.line(id, rounded(before, bend, f.tier))
		f.line(id, rounded(after, bend, f.tier))
		f.targetWire(id, w.Way)
	}
}

func (f *frame) line(id string, way []mgl64.Vec2) {
	if len(way) > 1 {
		f.l.Line(id, scene.Ink(theme.Copper), wireWidth, worlds(way...)...)
	}
}

func (f *frame) targetWire(id string, way []mgl64.Vec2) {
	for i := 1; i < len(way); i++ {
		f.runs = append(f.runs, scene.Around(f.v.Screen(world(way[i-1])), f.v.Screen(world(way[i]))).Grown(2))
		f.l.Target(id, 14, world(way[i-1]), world(way[i]))
	}
}

// split cuts a way in two around a seat on it.
func split(way []mgl64.Vec2, at, a, b mgl64.Vec2) (before, after []mgl64.Vec2) {
	for i := 1; i < len(way); i++ {
		if scene.SegmentDistance(way[i-1], way[i], at) < 0.01 {
			before = append(append([]mgl64.Vec2{}, way[:i]...), a)
			after = append([]mgl64.Vec2{b}, way[i:]...)
			return before, after
		}
	}
	return way, nil
}

// square says that a way runs across and down only; short bends at an angle
// look ragged on a screen.
func square(way []mgl64.Vec2) bool {
	for i := 1; i < len(way); i++ {
		d := way[i].Sub(way[i-1])
		if math.Abs(d.X()) > 0.6 && math.Abs(d.Y()) > 0.6 {
			return false
		}
	}
	return true
}

// rounded bends the corners of a way; far off it leaves them.
func rounded(way []mgl64.Vec2, radius float64, t tier) []mgl64.Vec2 {
	if len(way) < 3 || t != near || !square(way) {
		return way
	}
	const steps = 5
	out := []mgl64.Vec2{way[0]}
	for i := 1; i < len(way)-1; i++ {
		in, next := way[i-1].Sub(way[i]), way[i+1].Sub(way[i])
		r := math.Min(radius, 0.45*math.Min(in.Len(), next.Len()))
		a, b := way[i].Add(in.Normalize().Mul(r)), way[i].Add(next.Normalize().Mul(r))
		for k := 0; k <= steps; k++ {
			t := float64(k) / steps // a quadratic Bezier with the corner as its control point
			out = append(out, a.Mul((1-t)*(1-t)).Add(way[i].Mul(2*t*(1-t))).Add(b.Mul(t*t)))
		}
	}
	return append(out, way[len(way)-1])
}

// terminals marks the named ones, and makes all of them pressable: a module's
// own where it is drawn so large that its middle stays free.
func (f *frame) terminals() {
	const room, half = 84.0, 11.0
	for _, m := range f.visible {
		o := f.Geo.Modules[m]
		if o.Length*f.v.ScaleX < room || f.Pack.Modules[m].Removed {
			continue
		}
		for u, sign := range [2]string{"-", "+"} {
			// Reaching outwards, so that the module keeps its inside.
			c := world(o.At(float64(u), 0.5)).Moved(o.Axis.X()*float64(2*u-1)*half/2, o.Axis.Y()*float64(2*u-1)*half/2)
			f.l.Target("node:"+f.id(m)+sign, 0, c.Moved(-half, -half), c.Moved(half, -half), c.Moved(half, half), c.Moved(-half, half))
		}
	}
	for _, t := range f.Geo.Terminals {
		c := world(t.At)
		f.l.Target("node:"+t.Name, 10, c.Moved(-8, -8), c.Moved(8, -8), c.Moved(8, 8), c.Moved(-8, 8))
		f.l.Rect("", c.Moved(-4, -4), c.Moved(4, 4), scene.Ink(theme.Raised), scene.Ink(theme.Copper), 2, 4)
		p := f.v.Screen(c)
		f.taken = append(f.taken, scene.Rect{Min: p, Max: p}.Grown(5))
	}
}

// terminalNames writes the terminals' names where they cover nothing.
func (f *frame) terminalNames() {
	for _, t := range f.Geo.Terminals {
		f.placeLines(pen{f: f, c: world(t.At)}, []labelLine{{t.Name, scene.Ink(theme.Soft), false}}, 0, true, false)
	}
}
