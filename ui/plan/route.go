package plan

import (
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/scene"
)

// A port is where a link leaves a module or a named terminal, and in which
// direction.
type port struct {
	at, out mgl64.Vec2
	owner   int // module; -1 = a named terminal
}

// obstacles are the outlines that links go round, in a grid of cells for quick
// look-up.
type obstacles struct {
	all   []Outline
	boxes []scene.Rect // of all
	cell  float64
	grid  map[[2]int][]int
	laid  map[[2]int][]segment // parts of wires by cell
}

// A segment is a straight part of a wire that is laid already.
type segment struct{ a, b mgl64.Vec2 }

func newObstacles(all []Outline) *obstacles {
	ob := &obstacles{all: all, boxes: make([]scene.Rect, len(all)), cell: 1, grid: map[[2]int][]int{}, laid: map[[2]int][]segment{}}
	for _, o := range all {
		ob.cell = math.Max(ob.cell, math.Max(o.Length, o.Deep))
	}
	for i, o := range all {
		ob.boxes[i] = o.Box()
		ob.cells(ob.boxes[i], func(c [2]int) { ob.grid[c] = append(ob.grid[c], i) })
	}
	return ob
}

func (ob *obstacles) cells(r scene.Rect, f func([2]int)) {
	x0, y0 := int(math.Floor(r.Min.X()/ob.cell)), int(math.Floor(r.Min.Y()/ob.cell))
	x1, y1 := int(math.Floor(r.Max.X()/ob.cell)), int(math.Floor(r.Max.Y()/ob.cell))
	for x := x0; x <= x1; x++ {
		for y := y0; y <= y1; y++ {
			f([2]int{x, y})
		}
	}
}

// near lists the outlines whose boxes touch r, in order.
func (ob *obstacles) near(r scene.Rect) []int {
	var out []int
	ob.cells(r, func(c [2]int) {
		for _, i := range ob.grid[c] {
			if ob.boxes[i].Overlaps(r) && !slices.Contains(out, i) { // few are near
				out = append(out, i)
			}
		}
	})
	return out
}

// inside is the length of the segment from a to b that lies within outlines.
func (ob *obstacles) inside(a, b mgl64.Vec2) float64 {
	sum := 0.0
	for _, i := range ob.near(scene.Around(a, b).Grown(0.5)) {
		sum += clipped(ob.all[i], a, b)
	}
	return sum
}

// clipped is the length of a segment inside one outline, its very edge not
// counting (Liang and Barsky's clipping in the outline's own frame).
func clipped(o Outline, a, b mgl64.Vec2) float64 {
	const edge = 0.25 // mm
	local := func(p mgl64.Vec2) (float64, float64) {
		d := p.Sub(o.Center)
		return d.Dot(o.Axis), d.Dot(o.Across)
	}
	ax, ay := local(a)
	bx, by := local(b)
	t0, t1 := 0.0, 1.0
	for _, s := range [4][2]float64{
		{ax - bx, ax + o.Length/2 - edge}, {bx - ax, o.Length/2 - edge - ax},
		{ay - by, ay + o.Deep/2 - edge}, {by - ay, o.Deep/2 - edge - ay},
	} {
		p, q := s[0], s[1]
		switch {
		case p == 0 && q < 0:
			return 0
		case p < 0:
			t0 = math.Max(t0, q/p)
		case p > 0:
			t1 = math.Min(t1, q/p)
		}
	}
	if t1 <= t0 {
		return 0
	}
	return (t1 - t0) * b.Sub(a).Len()
}

// lay remembers a wire, so that later ones keep off it.
func (ob *obstacles) lay(way []mgl64.Vec2) {
	for i := 1; i < len(way); i++ {
		s := segment{way[i-1], way[i]}
		ob.cells(scene.Around(s.a, s.b), func(c [2]int) { ob.laid[c] = append(ob.laid[c], s) })
	}
}

// Costs of running beside a wire or across it, in mm.
const (
	apart      = 9.0 // nearer than this two wires look like one
	besideCost = 6.0 // for each mm beside
	acrossCost = 25.0
)

// crowded is what it costs to run from a to b for the wires that lie there.
func (ob *obstacles) crowded(a, b mgl64.Vec2) float64 {
	d := b.Sub(a)
	length := d.Len()
	if length < 1e-9 {
		return 0
	}
	u := d.Mul(1 / length)
	seen := map[segment]bool{}
	sum := 0.0
	ob.cells(scene.Around(a, b).Grown(apart), func(c [2]int) {
		for _, s := range ob.laid[c] {
			if seen[s] {
				continue
			}
			seen[s] = true
			sum += clash(a, u, length, s)
		}
	})
	return sum
}

// clash is the cost of one laid segment for a run of a length from a along u.
func clash(a, u mgl64.Vec2, length float64, s segment) float64 {
	local := func(p mgl64.Vec2) (float64, float64) {
		q := p.Sub(a)
		return q.Dot(u), q.Dot(mgl64.Vec2{-u.Y(), u.X()})
	}
	x0, y0 := local(s.a)
	x1, y1 := local(s.b)
	if math.Abs(y0-y1) < 0.2*math.Abs(x0-x1) { // about parallel
		if math.Abs(y0) > apart || math.Abs(y1) > apart {
			return 0
		}
		return besideCost * math.Max(0, math.Min(math.Max(x0, x1), length)-math.Max(math.Min(x0, x1), 0))
	}
	if y0*y1 < 0 {
		if x := x0 + (x1-x0)*y0/(y0-y1); x > 0 && x < length {
			return acrossCost
		}
	}
	return 0
}

// stub is how far a link runs straight out before it may turn: a quarter of the
// room to what stands opposite, so that both sides of a narrow aisle have a lane
// and one is left between them.
func (ob *obstacles) stub(p port, want float64) mgl64.Vec2 {
	clear, hit := 0.0, 3*want
	if ob.inside(p.at, p.at.Add(p.out.Mul(hit))) > 0 {
		for range 12 {
			if mid := (clear + hit) / 2; ob.inside(p.at, p.at.Add(p.out.Mul(mid))) > 0 {
				hit = mid
			} else {
				clear = mid
			}
		}
		want = math.Min(want, clear/4)
	}
	return p.at.Add(p.out.Mul(want))
}

// route finds a way from port a to port b that leaves both along their outward
// direction and goes round modules: straight, with one or two corners, or by a
// search over the lines between the modules near by.
func (ob *obstacles) route(a, b port, reach float64) []mgl64.Vec2 {
	if b.at.Sub(a.at).Dot(a.out) > 0 && a.out.Dot(b.out) < -0.99 {
		across := b.at.Sub(a.at).Dot(mgl64.Vec2{-a.out.Y(), a.out.X()})
		if math.Abs(across) < 1 && ob.inside(a.at, b.at) == 0 && ob.crowded(a.at, b.at) == 0 {
			return []mgl64.Vec2{a.at, b.at}
		}
	}
	sa, sb := ob.stub(a, reach), ob.stub(b, reach)
	best, cost := ob.corners(sa, sb, a, b)
	if cost > 0 {
		if found := ob.search(sa, sb); found != nil {
			best = found
		}
	}
	way := append([]mgl64.Vec2{a.at}, best...)
	return straighten(append(way, b.at))
}

// corners tries the ways with at most two corners between the stubs and gives
// the shortest that enters no module; cost is the length inside modules.
func (ob *obstacles) corners(a, b mgl64.Vec2, pa, pb port) ([]mgl64.Vec2, float64) {
	ways := [][]mgl64.Vec2{{a, {b.X(), a.Y()}, b}, {a, {a.X(), b.Y()}, b}}
	if pa.out.Dot(pb.out) > 0.99 { // a bracket: both go as far out as the further one
		far := math.Max(a.Dot(pa.out), b.Dot(pa.out))
		lift := func(p mgl64.Vec2) mgl64.Vec2 { return p.Add(pa.out.Mul(far - p.Dot(pa.out))) }
		ways = append([][]mgl64.Vec2{{a, lift(a), lift(b), b}}, ways...)
	}
	mid := a.Add(b).Mul(0.5)
	ways = append(ways, []mgl64.Vec2{a, {mid.X(), a.Y()}, {mid.X(), b.Y()}, b}, []mgl64.Vec2{a, {a.X(), mid.Y()}, {b.X(), mid.Y()}, b})
	best, bestCost, bestLen := ways[0], math.Inf(1), math.Inf(1)
	for _, w := range ways {
		cost, length := 0.0, 0.0
		for i := 1; i < len(w); i++ {
			cost += ob.inside(w[i-1], w[i]) + ob.crowded(w[i-1], w[i])
			length += w[i].Sub(w[i-1]).Len()
		}
		// A way that turns back over its own stub looks like a knot.
		cost += backwards(w, pa.out) + backwards(reversed(w), pb.out)
		if cost < bestCost-1e-9 || (cost < bestCost+1e-9 && length < bestLen-1e-9) {
			best, bestCost, bestLen = w, cost, length
		}
	}
	return best, bestCost
}

func backwards(w []mgl64.Vec2, out mgl64.Vec2) float64 {
	for i := 1; i < len(w); i++ {
		d := w[i].Sub(w[i-1])
		if d.Len() > 1e-6 {
			if d.Dot(out) < -1e-6 {
				return d.Len()
			}
			return 0
		}
	}
	return 0
}

func reversed(w []mgl64.Vec2) []mgl64.Vec2 {
	r := make([]mgl64.Vec2, len(w))
	for i, p := range w {
		r[len(w)-1-i] = p
	}
	return r
}

// straighten drops points that repeat or lie on the line between their
// neighbours.
func straighten(w []mgl64.Vec2) []mgl64.Vec2 {
	var out []mgl64.Vec2
	for _, p := range w {
		if len(out) > 0 && out[len(out)-1].Sub(p).Len() < 0.01 {
			continue
		}
		if n := len(out); n > 1 {
			u, v := out[n-1].Sub(out[n-2]), p.Sub(out[n-1])
			if math.Abs(u.X()*v.Y()-u.Y()*v.X()) < 1e-6*u.Len()*v.Len() && u.Dot(v) > 0 {
				out[n-1] = p
				continue
			}
		}
		out = append(out, p)
	}
	return out
}
