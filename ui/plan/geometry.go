package plan

import (
	"math"
	"sort"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/ui/scene"
)

// A Geometry is where everything of a layout lies, in mm. It depends on the
// layout alone and is worked out once.
type Geometry struct {
	Modules   []Outline
	Stacks    []Stack
	Wires     []Wire // by link of the Net
	Terminals []Terminal
	Bounds    scene.Rect
	Schematic bool // the layout gives no outlines: shown in string order
	Size      float64
	Fittings  *Fittings
}

// A Stack is the ground under its modules.
type Stack struct {
	ID      string
	Tier    int
	Corners [4]mgl64.Vec2
	Modules []int
}

// A Wire is a link's way.
type Wire struct {
	Link   int // index into Layout.Links
	Way    []mgl64.Vec2
	Seat   mgl64.Vec2 // where its symbol or its gap sits
	Dir    mgl64.Vec2 // along the wire there
	Length float64    // of the straight part that the seat lies on
}

// A Terminal is a named one, outside the modules.
type Terminal struct {
	Node topology.NodeID
	Name string
	At   mgl64.Vec2
	Out  mgl64.Vec2
}

// NewGeometry places a compiled layout.
func NewGeometry(n *topology.Net) *Geometry {
	g := &Geometry{}
	g.Modules, g.Schematic = outlines(n.Layout, n.Strings)
	return g.around(n)
}

// NewDrawn places a compiled layout that is being drawn: everything stands where
// it was put, and is never laid out in another order.
func NewDrawn(n *topology.Net) *Geometry { return (&Geometry{Modules: asDrawn(n.Layout)}).around(n) }

// around places what hangs on the modules.
func (g *Geometry) around(n *topology.Net) *Geometry {
	if len(g.Modules) == 0 {
		return g
	}
	var pts []mgl64.Vec2
	var deep []float64
	for _, o := range g.Modules {
		pts = append(pts, o.Corners[:]...)
		deep = append(deep, math.Min(o.Length, o.Deep))
	}
	sort.Float64s(deep)
	g.Size = deep[len(deep)/2]
	g.Bounds = scene.Around(pts...)
	g.stacks(n.Layout)
	g.wires(n)
	for _, w := range g.Wires {
		if len(w.Way) > 0 {
			g.Bounds = g.Bounds.Union(scene.Around(w.Way...))
		}
	}
	for _, t := range g.Terminals {
		g.Bounds = g.Bounds.Union(scene.Rect{Min: t.At, Max: t.At})
	}
	g.Fittings = g.fittings(n)
	return g
}

// stacks draws each stack's ground: the rectangle around its modules in the
// stack's own frame.
func (g *Geometry) stacks(l topology.Layout) {
	if g.Schematic {
		return
	}
	for _, s := range l.Stacks {
		back := turn(-s.Angle)
		var pts []mgl64.Vec2
		st := Stack{ID: s.ID, Tier: s.Tier}
		for i, m := range l.Modules {
			if m.Stack == s.ID {
				st.Modules = append(st.Modules, i)
				for _, c := range g.Modules[i].Corners {
					pts = append(pts, back.Mul3x1(c.Vec3(1)).Vec2())
				}
			}
		}
		if len(pts) == 0 {
			continue
		}
		r := scene.Around(pts...).Grown(g.Size * 0.07)
		to := turn(s.Angle)
		for i, c := range [4]mgl64.Vec2{r.Min, {r.Max.X(), r.Min.Y()}, r.Max, {r.Min.X(), r.Max.Y()}} {
			st.Corners[i] = to.Mul3x1(c.Vec3(1)).Vec2()
		}
		g.Stacks = append(g.Stacks, st)
	}
	sort.SliceStable(g.Stacks, func(i, j int) bool { return g.Stacks[i].Tier < g.Stacks[j].Tier })
}

// wires places the named terminals, then finds every link's way.
func (g *Geometry) wires(n *topology.Net) {
	ob := newObstacles(g.Modules)
	reach := g.reach()
	ports := map[topology.NodeID]port{}
	for m, o := range g.Modules {
		lo, hi := n.Tap(m, 0), n.Tap(m, n.Layout.Modules[m].Series)
		ports[lo] = port{o.Minus(), o.Axis.Mul(-1), m}
		ports[hi] = port{o.Plus(), o.Axis, m}
	}
	g.placeTerminals(n, ob, ports)
	ends := make([][2]port, len(n.Links))
	g.Wires = make([]Wire, len(n.Links))
	order := []int{}
	for i, b := range n.Links {
		g.Wires[i].Link = b.Link
		a, okA := g.portOf(n, ports, b.A)
		c, okC := g.portOf(n, ports, b.B)
		if okA && okC {
			ends[i] = [2]port{a.towards(c), c.towards(a)}
			order = append(order, i)
		}
	}
	// Short ones first: the long ones then go round them.
	far := func(i int) float64 { return ends[i][0].at.Sub(ends[i][1].at).Len() }
	sort.SliceStable(order, func(i, j int) bool { return far(order[i]) < far(order[j]) })
	for _, i := range order {
		w := &g.Wires[i]
		w.Way = ob.route(ends[i][0], ends[i][1], reach)
		ob.lay(w.Way)
		w.sit(ob)
	}
}

// reach is how far links run out of a terminal, in mm, where there is room.
func (g *Geometry) reach() float64 { return math.Max(8, math.Min(40, 0.11*g.Size)) }

// sit finds the place for a wire's symbol: on a straight part that is long and
// has room beside it; the middle of the part where that is no worse.
func (w *Wire) sit(ob *obstacles) {
	best := -1.0
	for i := 1; i < len(w.Way); i++ {
		d := w.Way[i].Sub(w.Way[i-1])
		length := d.Len()
		for _, t := range [...]float64{0.5, 0.35, 0.65, 0.2, 0.8} {
			p := w.Way[i-1].Add(d.Mul(t))
			free := 0.8 * length * math.Min(t, 1-t)
			if score := math.Min(free, 1.5*ob.room(p, length)); score > best+1 {
				best, w.Seat, w.Dir, w.Length = score, p, d.Mul(1/length), 2*length*math.Min(t, 1-t)
			}
		}
	}
}

// room is how far a place lies from the nearest outline, at most so far.
func (ob *obstacles) room(p mgl64.Vec2, most float64) float64 {
	for _, i := range ob.near(scene.Rect{Min: p, Max: p}.Grown(most)) {
		c := ob.all[i].Corners
		for k := range c {
			most = math.Min(most, scene.SegmentDistance(c[k], c[(k+1)%4], p))
		}
	}
	return most
}

// towards turns a named terminal's port to the side that the other end lies on;
// a module's terminal has but one side.
func (p port) towards(o port) port {
	if p.owner < 0 && o.at.Sub(p.at).Dot(p.out) < 0 {
		p.out = p.out.Mul(-1)
	}
	return p
}

// portOf is a node's port: a terminal's own, or for a tap inside a module the
// middle of the module's side at that tap.
func (g *Geometry) portOf(n *topology.Net, ports map[topology.NodeID]port, id topology.NodeID) (port, bool) {
	if p, ok := ports[id]; ok {
		return p, true
	}
	m, k, ok := n.ModuleAt(id)
	if !ok {
		return port{}, false
	}
	o := g.Modules[m]
	return port{o.At(float64(k)/float64(n.Layout.Modules[m].Series), 1), o.Across, m}, true
}

// placeTerminals puts pack, load and rail terminals outside the modules, each
// as far out along the nearest free side as it is links away from a module.
func (g *Geometry) placeTerminals(n *topology.Net, ob *obstacles, ports map[topology.NodeID]port) {
	step := g.Size * 1.25
	taken := []mgl64.Vec2{}
	free := func(p mgl64.Vec2) bool {
		for _, t := range taken {
			if t.Sub(p).Len() < g.Size*0.5 {
				return false
			}
		}
		return true
	}
	for placed := true; placed; {
		placed = false
		for _, b := range n.Links {
			from, to := b.A, b.B
			if _, ok := ports[from]; !ok {
				from, to = to, from
			}
			p, known := ports[from]
			if _, done := ports[to]; done || !known {
				continue
			}
			if _, _, tap := n.ModuleAt(to); tap {
				continue
			}
			at, out := p.at.Add(p.out.Mul(step)), p.out
			if p.owner >= 0 {
				at, out = g.exit(ob, p, step)
			}
			for tries := 0; tries < 8 && !free(at); tries++ {
				at = at.Add(mgl64.Vec2{-out.Y(), out.X()}.Mul(g.Size * 0.6))
			}
			taken = append(taken, at)
			ports[to] = port{at, out, -1}
			g.Terminals = append(g.Terminals, Terminal{Node: to, Name: n.Name(to), At: at, Out: out})
			placed = true
		}
	}
}

// exit is a place outside all modules for what hangs on a module's terminal:
// straight out if nothing is in the way, else beyond the nearest side, and there
// over its own module, so that two that come out of one gap keep apart.
func (g *Geometry) exit(ob *obstacles, p port, step float64) (at, out mgl64.Vec2) {
	straight := p.at.Add(p.out.Mul(step))
	if ob.inside(p.at, p.at.Add(p.out.Mul(1.6*step))) == 0 {
		return straight, p.out
	}
	p.at = ob.stub(p, g.reach())
	best := math.Inf(1)
	r := g.Bounds.Grown(step * 0.6)
	own := p.out.Mul(-0.8 * g.Size)
	if math.Abs(own.X()) > math.Abs(own.Y()) {
		own[1] = 0
	} else {
		own[0] = 0
	}
	for _, c := range []struct{ at, out mgl64.Vec2 }{
		{mgl64.Vec2{r.Min.X(), p.at.Y()}, mgl64.Vec2{-1, 0}}, {mgl64.Vec2{r.Max.X(), p.at.Y()}, mgl64.Vec2{1, 0}},
		{mgl64.Vec2{p.at.X(), r.Min.Y()}, mgl64.Vec2{0, -1}}, {mgl64.Vec2{p.at.X(), r.Max.Y()}, mgl64.Vec2{0, 1}},
	} {
		d := c.at.Sub(p.at).Len() + 10*ob.inside(p.at, c.at)
		if d >= best {
			continue
		}
		best, at, out = d, c.at, c.out
		if math.Abs(own.Dot(out)) < 1e-6 { // out along the gap, then to the side
			at, out = at.Add(own), own.Normalize()
		}
	}
	return at, out
}
