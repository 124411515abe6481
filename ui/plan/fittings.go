package plan

import (
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/ui/scene"
)

// Fittings are what a pack has beside modules and links: monitoring boards, chassis
// pieces with their bonds, and mechanical parts. A layout says what they sense, join,
// cover and hold, not where they lie; they are drawn where that can be read: a board
// beside the modules that it senses, a part around what it lies over, and the chassis
// pieces in a row below the pack.
type Fittings struct {
	Boards  []BoardPlace
	Chassis []ChassisPlace
	Bonds   []BondPlace
	Parts   []PartPlace
	Bounds  scene.Rect // around them all; of no size where there are none
}

// A BoardPlace is a board beside its modules.
type BoardPlace struct {
	ID      string
	Box     scene.Rect
	Modules []int        // that it senses
	Taps    []mgl64.Vec2 // on the side of their module that is nearer to the board
}

// A ChassisPlace is a piece of chassis as its symbol.
type ChassisPlace struct {
	ID string
	At mgl64.Vec2
}

// A BondPlace is a bond's way between the symbols of two pieces.
type BondPlace struct {
	Bond int // index into Layout.Bonds
	Way  []mgl64.Vec2
}

// A PartPlace is the rectangle around what a part lies over, or holds where it lies over
// nothing.
type PartPlace struct {
	ID    string
	Box   scene.Rect // around those modules; the outline is drawn outside it
	Deep  int        // how many parts lie over each other here, this one the topmost; from 1
	Cover bool       // it lies over what is inside
	Over  []int      // modules under it
	Holds []int      // modules that it holds
}

// Sizes of fittings, in parts of a module's size.
const (
	boardLong   = 0.62
	boardShort  = 0.32
	boardClear  = 0.10 // from what it stands beside
	chassisStep = 1.30
	bondDeep    = 0.34
)

// mostPlaced is how many boards seek a place of their own; of more, each lies on the
// middle of its modules.
const mostPlaced = 400

// fittings places them all.
func (g *Geometry) fittings(n *topology.Net) *Fittings {
	f := &Fittings{}
	l := n.Layout
	if len(g.Modules) == 0 || g.Schematic || len(l.Boards)+len(l.Chassis)+len(l.Parts) == 0 {
		return f
	}
	around := g.Bounds
	s := seeker{g: g, n: n, ob: newObstacles(g.Modules), all: around}
	for i, b := range l.Boards {
		if p, ok := s.board(b, i < mostPlaced); ok {
			f.Boards = append(f.Boards, p)
			s.taken = append(s.taken, p.Box)
			around = around.Union(p.Box)
		}
	}
	f.parts(g, n)
	for _, p := range f.Parts {
		around = around.Union(p.Box)
	}
	f.chassis(g, l, around)
	f.Bounds = around
	low := around.Max.Y()
	for _, c := range f.Chassis {
		f.Bounds = f.Bounds.Union(scene.Rect{Min: c.At, Max: c.At}.Grown(0.5 * g.Size))
	}
	for _, b := range f.Bonds {
		f.Bounds = f.Bounds.Union(scene.Around(b.Way...))
	}
	if len(f.Bonds) > 0 && f.Bounds.Max.Y() > low {
		f.Bounds.Max[1] += 0.3 * g.Size // the words below the lowest
	}
	return f
}

// A seeker finds free places beside modules.
type seeker struct {
	g     *Geometry
	n     *topology.Net
	ob    *obstacles
	all   scene.Rect
	taken []scene.Rect
}

// board places a board beside the modules that it senses: along a side of the rectangle
// around them, where it hides least, near rather than far.
func (s *seeker) board(b topology.Board, seek bool) (p BoardPlace, ok bool) {
	p = BoardPlace{ID: b.ID}
	var pts []mgl64.Vec2
	var taps []tapAt
	defer func() {
		at := p.Box.Min.Add(p.Box.Max).Mul(0.5)
		for _, t := range taps {
			p.Taps = append(p.Taps, t.beside(s.g.Modules[t.module], at))
		}
	}()
	for _, tap := range b.Taps {
		node, ok := s.n.Node(tap)
		if !ok {
			continue
		}
		m, k, ok := s.n.ModuleAt(node)
		if !ok {
			continue
		}
		o := s.g.Modules[m]
		if !slices.Contains(p.Modules, m) {
			p.Modules = append(p.Modules, m)
			pts = append(pts, o.Corners[:]...)
		}
		taps = append(taps, tapAt{m, float64(k) / float64(max(1, s.n.Layout.Modules[m].Series))})
	}
	if len(pts) == 0 {
		return p, false
	}
	box := scene.Around(pts...)
	mid := box.Min.Add(box.Max).Mul(0.5)
	size := mgl64.Vec2{boardLong, boardShort}.Mul(s.g.Size)
	p.Box = scene.Rect{Min: mid.Sub(size.Mul(0.5)), Max: mid.Add(size.Mul(0.5))}
	if !seek {
		return p, true
	}
	wires := s.wiresNear(box.Grown(4 * s.g.Size))
	best := math.Inf(1)
	for _, c := range s.beside(box, size) {
		if k := s.cost(c, mid, wires); k < best-1e-6 {
			best, p.Box = k, c
		}
	}
	return p, true
}

// A tapAt is a tap of a module, from its minus end (0) to its plus end (1).
type tapAt struct {
	module int
	along  float64
}

// beside is the tap's place just inside the side of its module that is nearer to a point.
func (t tapAt) beside(o Outline, to mgl64.Vec2) mgl64.Vec2 {
	const in = 0.05
	a, b := o.At(t.along, in), o.At(t.along, 1-in)
	if a.Sub(to).Len() < b.Sub(to).Len() {
		return a
	}
	return b
}

// beside are rectangles of a size along the four sides of a box, the middle of each side
// first, then further along it and further out.
func (s *seeker) beside(box scene.Rect, size mgl64.Vec2) (out []scene.Rect) {
	mid, half := box.Min.Add(box.Max).Mul(0.5), box.Size().Mul(0.5)
	for _, off := range []float64{boardClear, 0.45, 0.8} {
		off *= s.g.Size
		for _, along := range []float64{0, -0.5, 0.5, -0.9, 0.9} {
			x, y := mid.X()+along*math.Max(0, half.X()-size.X()/2), mid.Y()+along*math.Max(0, half.Y()-size.Y()/2)
			for _, c := range []mgl64.Vec2{
				{box.Min.X() - off - size.X()/2, y}, {box.Max.X() + off + size.X()/2, y},
				{x, box.Min.Y() - off - size.Y()/2}, {x, box.Max.Y() + off + size.Y()/2},
			} {
				out = append(out, scene.Rect{Min: c.Sub(size.Mul(0.5)), Max: c.Add(size.Mul(0.5))})
			}
		}
	}
	return out
}

func (s *seeker) wiresNear(area scene.Rect) (out []Wire) {
	for _, w := range s.g.Wires {
		if len(w.Way) > 1 && scene.Around(w.Way...).Overlaps(area) {
			out = append(out, w)
		}
	}
	return out
}

// cost is what it costs a board to lie there: to hide modules, boards, the signs of
// links or named terminals, to lie over wires, and to be far from the middle.
func (s *seeker) cost(r scene.Rect, mid mgl64.Vec2, wires []Wire) float64 {
	at := r.Min.Add(r.Max).Mul(0.5)
	sum := at.Sub(mid).Len() / s.g.Size
	clear := r.Grown(0.04 * s.g.Size)
	for _, i := range s.ob.near(clear) {
		if s.g.Modules[i].Box().Overlaps(clear) {
			sum += 40
		}
	}
	for _, t := range s.taken {
		if t.Overlaps(clear) {
			sum += 40
		}
	}
	for _, w := range wires {
		for i := 1; i < len(w.Way); i++ {
			if clear.Meets(w.Way[i-1], w.Way[i]) {
				sum += 1.5
			}
		}
		if symbolic[s.n.Layout.Links[w.Link].Kind] && r.Grown(0.3*s.g.Size).Holds(w.Seat) {
			sum += 20
		}
	}
	for _, t := range s.g.Terminals {
		if r.Grown(0.25 * s.g.Size).Holds(t.At) {
			sum += 20
		}
	}
	return sum
}

// parts lays an outline around what every part covers or holds; one that lies over
// another part lies around that one.
func (f *Fittings) parts(g *Geometry, n *topology.Net) {
	l := n.Layout
	under := map[string]int{} // how many parts lie one over the other below it
	var depth func(id string, seen []string) int
	depth = func(id string, seen []string) int {
		if d, ok := under[id]; ok {
			return d
		}
		i := slices.IndexFunc(l.Parts, func(p topology.Part) bool { return p.ID == id })
		if i < 0 || slices.Contains(seen, id) { // a ring of parts over each other is said elsewhere
			return 0
		}
		d := 1
		for _, o := range l.Parts[i].Over {
			d = max(d, 1+depth(o, append(seen, id)))
		}
		under[id] = d
		return d
	}
	for _, p := range l.Parts {
		place := PartPlace{ID: p.ID, Over: f.modulesOf(g, n, p.Over, nil), Holds: f.modulesOf(g, n, p.Holds, nil)}
		place.Cover = len(place.Over) > 0
		of := place.Over
		if !place.Cover {
			of = place.Holds
		}
		if len(of) == 0 {
			continue
		}
		var pts []mgl64.Vec2
		for _, m := range of {
			pts = append(pts, g.Modules[m].Corners[:]...)
		}
		place.Box, place.Deep = scene.Around(pts...), depth(p.ID, nil)
		f.Parts = append(f.Parts, place)
	}
}

// modulesOf are the modules that ids stand for: modules, all of a stack, those at the
// ends of a link, those that a board senses, and what a part lies over.
func (f *Fittings) modulesOf(g *Geometry, n *topology.Net, ids, seen []string) (out []int) {
	add := func(m int) {
		if !slices.Contains(out, m) {
			out = append(out, m)
		}
	}
	l := n.Layout
	for _, id := range ids {
		if m, ok := n.Module(id); ok {
			add(m)
			continue
		}
		for _, s := range g.Stacks {
			if s.ID == id {
				for _, m := range s.Modules {
					add(m)
				}
			}
		}
		for _, b := range f.Boards {
			if b.ID == id {
				for _, m := range b.Modules {
					add(m)
				}
			}
		}
		if i, ok := n.Link(id); ok {
			for _, end := range []string{l.Links[i].From, l.Links[i].To} {
				if node, ok := n.Node(end); ok {
					if m, _, ok := n.ModuleAt(node); ok {
						add(m)
					}
				}
			}
		}
		if i := slices.IndexFunc(l.Parts, func(p topology.Part) bool { return p.ID == id }); i >= 0 && !slices.Contains(seen, id) {
			for _, m := range f.modulesOf(g, n, l.Parts[i].Over, append(seen, id)) {
				add(m)
			}
		}
	}
	return out
}

// chassis puts the pieces in a row below everything, and the bonds below them, each on a
// line of its own where two would meet.
func (f *Fittings) chassis(g *Geometry, l topology.Layout, around scene.Rect) {
	at := map[string]mgl64.Vec2{}
	for i, c := range l.Chassis {
		p := mgl64.Vec2{around.Min.X() + (0.5+chassisStep*float64(i))*g.Size, around.Max.Y() + 0.78*g.Size}
		at[c.ID] = p
		f.Chassis = append(f.Chassis, ChassisPlace{c.ID, p})
	}
	deep := 0
	for i, b := range l.Bonds {
		from, okFrom := at[b.From]
		to, okTo := at[b.To]
		if !okFrom || !okTo || b.From == b.To {
			continue
		}
		deep++
		y := from.Y() + (0.5+bondDeep*float64(deep))*g.Size
		f.Bonds = append(f.Bonds, BondPlace{Bond: i, Way: []mgl64.Vec2{from, {from.X(), y}, {to.X(), y}, to}})
	}
}
