package plan

import (
	"fmt"
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// A Lift says how the lifted view is seen: how far it is turned, and how far stacks
// and tiers are lifted apart.
type Lift struct {
	Turn  float64 // degrees clockwise about the vertical
	Apart float64 // 0 = as they lie, 1 = far apart
}

// FirstLift is how it is seen until somebody turns it.
var FirstLift = Lift{Turn: 30, Apart: 0.5}

// tilt is how deep the ground is drawn for how deep it is: the pack is looked at from
// 37 degrees above it, the sine of which this is.
const tilt = 0.6

// a lifted is the geometry of one lifted view, in mm of its drawing.
type lifted struct {
	f     *frame
	l     Lift
	turn  mgl64.Mat2
	high  float64 // of a block
	step  float64 // from one tier to the next
	tiers []int
	shift []mgl64.Vec2 // of every module, from where it lies
	base  []float64    // height of every module's underside

	chosen []scene.Point // along the link that is selected
}

// newLifted works out where everything comes to lie. Stacks move away from the middle
// of the pack, tiers up.
func (f *frame) newLifted(l Lift) *lifted {
	g := &lifted{f: f, l: l, turn: mgl64.Rotate2D(l.Turn * math.Pi / 180), high: 0.35 * f.Geo.Size,
		shift: make([]mgl64.Vec2, len(f.Geo.Modules)), base: make([]float64, len(f.Geo.Modules))}
	g.step = g.high + (0.3+2.2*l.Apart)*f.Geo.Size
	for _, s := range f.Geo.Stacks {
		if !slices.Contains(g.tiers, s.Tier) {
			g.tiers = append(g.tiers, s.Tier)
		}
	}
	slices.Sort(g.tiers)
	mid := f.Geo.Bounds.Min.Add(f.Geo.Bounds.Max).Mul(0.5)
	for _, s := range f.Geo.Stacks {
		away := s.Corners[0].Add(s.Corners[2]).Mul(0.5).Sub(mid).Mul(0.5 * l.Apart)
		for _, m := range s.Modules {
			g.shift[m] = away
			g.base[m] = g.step * float64(slices.Index(g.tiers, s.Tier))
		}
	}
	return g
}

// at projects a place of the pack at a height, in mm: turned about the vertical, the
// ground foreshortened by tilt, heights as they are, straight up:
//
//	X = x cos a - y sin a,  Y = tilt (x sin a + y cos a) - z
//
// an oblique projection: the ground is seen from 37 degrees above it, and heights are
// not shortened.
func (g *lifted) at(p mgl64.Vec2, z float64) mgl64.Vec2 {
	q := g.turn.Mul2x1(p)
	return mgl64.Vec2{q.X(), tilt*q.Y() - z}
}

// of is a place of a module, so high above its underside.
func (g *lifted) of(m int, p mgl64.Vec2, z float64) mgl64.Vec2 {
	return g.at(p.Add(g.shift[m]), g.base[m]+z)
}

// top is a module's upper face.
func (g *lifted) top(m int) (out []mgl64.Vec2) {
	for _, c := range g.f.Geo.Modules[m].Corners {
		out = append(out, g.of(m, c, g.high))
	}
	return out
}

// sides are the faces that are seen: those that look towards the viewer, who stands
// where Y grows.
func (g *lifted) sides(m int) (out [][]mgl64.Vec2) {
	o := g.f.Geo.Modules[m]
	for i := range o.Corners {
		a, b := o.Corners[i], o.Corners[(i+1)%4]
		outward := a.Add(b).Mul(0.5).Sub(o.Center)
		if g.turn.Mul2x1(outward).Y() <= 1e-9 {
			continue
		}
		out = append(out, []mgl64.Vec2{g.of(m, a, g.high), g.of(m, b, g.high), g.of(m, b, 0), g.of(m, a, 0)})
	}
	return out
}

// bounds are those of everything that is drawn.
func (g *lifted) bounds() scene.Rect {
	var pts []mgl64.Vec2
	for m := range g.f.Geo.Modules {
		pts = append(pts, g.top(m)...)
		for _, c := range g.f.Geo.Modules[m].Corners {
			pts = append(pts, g.of(m, c, 0))
		}
	}
	return scene.Around(pts...)
}

// LiftedFit shows the whole lifted pack.
func (d *Drawing) LiftedFit(w, h float64, l Lift) scene.View {
	if len(d.Geo.Modules) == 0 {
		return d.Fit(w, h)
	}
	f := &frame{Drawing: d}
	bottom := legendHigh + 40.0
	if h < tinyPane {
		bottom = 12
	}
	return scene.Fit(f.newLifted(l).bounds(), w, h, 40, frontHigh+6, 40, bottom)
}

// Lifted draws the pack with stacks and tiers lifted apart, shaded as the plan is, with
// the same targets and the same selection.
func (d *Drawing) Lifted(v scene.View, o Options, l Lift, measure scene.Measurer) *scene.List {
	f := &frame{Drawing: d, o: o.locked(d), v: v, l: &scene.List{}, measure: measure}
	if len(d.Geo.Modules) == 0 {
		f.empty()
		return f.l
	}
	f.tier, f.lifted = middle, true
	g := f.newLifted(l)
	for _, m := range g.order() {
		if f.solid(m) {
			g.block(m)
		} else {
			top := worlds(g.top(m)...)
			f.l.Line("", scene.Ink(theme.Hairline), 1, append(top, top[0])...)
		}
	}
	g.links()
	g.ring()
	g.tierNames()
	g.front()
	if !f.o.Bare {
		f.legend()
	}
	return f.l
}

// block draws one module: its seen sides, its shaded top, its number and value.
func (g *lifted) block(m int) {
	f := g.f
	c := f.newFace(m)
	id := c.id
	for _, s := range g.sides(m) {
		f.l.Add(scene.Shape{Kind: scene.Area, ID: id, Points: worlds(s...), Fill: scene.Ink(theme.Tint), Line: scene.Ink(theme.Ink), Width: 1})
		f.l.Target(id, 0, worlds(s...)...)
	}
	top := g.top(m)
	removed := f.Pack.Modules[m].Removed
	ground := c.ground
	if removed {
		ground = scene.Paint{}
	}
	f.l.Add(scene.Shape{Kind: scene.Area, ID: id, Points: worlds(top...), Fill: orRaised(ground), Line: scene.Ink(theme.Ink), Width: 1.5})
	if math.IsNaN(c.value) && f.o.Mode != BySuspicion && f.o.Mode != ByPath && !removed {
		g.hatch(m, id)
	}
	f.l.Target(id, 4, worlds(top...)...)
	o := f.Geo.Modules[m]
	f.l.Line(id, scene.Ink(theme.Ink), 4, worlds(g.of(m, o.At(1, 0), g.high), g.of(m, o.At(1, 1), g.high))...)
	g.label(m, c, orRaised(ground))
}

// hatch crosses a top that has no value.
func (g *lifted) hatch(m int, id string) {
	o := g.f.Geo.Modules[m]
	const lines = 6
	for k := 1; k < lines; k++ {
		t := float64(k) / lines
		for _, s := range [2][2]mgl64.Vec2{{o.At(t, 0), o.At(0, t)}, {o.At(t, 1), o.At(1, t)}} {
			g.f.l.Line(id, scene.Ink(theme.Hairline), 1, worlds(g.of(m, s[0], g.high), g.of(m, s[1], g.high))...)
		}
		for _, s := range [2][2]mgl64.Vec2{{o.At(1-t, 0), o.At(1, t)}, {o.At(1-t, 1), o.At(0, t)}} {
			g.f.l.Line(id, scene.Ink(theme.Hairline), 1, worlds(g.of(m, s[0], g.high), g.of(m, s[1], g.high))...)
		}
	}
}

// label writes number and value onto the top, or the number alone, as large as they
// lie wholly on it.
func (g *lifted) label(m int, c *face, ground scene.Paint) {
	f := g.f
	var poly []mgl64.Vec2
	for _, p := range g.top(m) {
		poly = append(poly, f.v.Screen(world(p)))
	}
	mid := world(g.of(m, f.Geo.Modules[m].Center, g.high))
	at := f.v.Screen(mid)
	fits := func(text string, px, down float64) bool {
		half := mgl64.Vec2{f.measure(text, px, true)/2 + 1, px/2 + 1}
		for _, s := range [4]mgl64.Vec2{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
			if !scene.Contains(poly, at.Add(mgl64.Vec2{s.X() * half.X(), down + s.Y()*half.Y()})) {
				return false
			}
		}
		return true
	}
	number := f.id(m)
	ink := scene.On(ground)
	for _, px := range []float64{theme.Text, theme.Small, 10} {
		for _, value := range c.valueTexts() {
			if apart := 0.62 * px; fits(number, px, -apart) && fits(value, px, apart) {
				f.l.Text(c.id, mid.Moved(0, -apart), scene.Middle, scene.Middle, ink, px, true, number)
				f.l.Text(c.id, mid.Moved(0, apart), scene.Middle, scene.Middle, ink, px, true, value)
				return
			}
		}
		if len(c.valueTexts()) == 0 && fits(number, px, 0) {
			f.l.Text(c.id, mid, scene.Middle, scene.Middle, ink, px, true, number)
			return
		}
	}
	for _, px := range []float64{theme.Small, 10} { // no room for both
		if fits(number, px, 0) {
			f.l.Text(c.id, mid, scene.Middle, scene.Middle, ink, px, true, number)
			return
		}
	}
}

// links are drawn straight from terminal to terminal; an open one has a gap.
func (g *lifted) links() {
	f := g.f
	net := f.Pack.Net
	spot := func(name string) (mgl64.Vec2, bool) {
		n, ok := net.Node(name)
		if !ok {
			return mgl64.Vec2{}, false
		}
		m, k, ok := net.ModuleAt(n)
		if !ok {
			return mgl64.Vec2{}, false
		}
		u := float64(k) / float64(max(1, net.Layout.Modules[m].Series))
		return g.of(m, f.Geo.Modules[m].At(u, 0.5), g.high), true
	}
	for i, k := range net.Layout.Links {
		a, okA := spot(k.From)
		b, okB := spot(k.To)
		if !f.solidLink(i) || !okA && !okB {
			continue
		}
		id := "link:" + k.ID
		if !okA || !okB { // to a terminal outside the modules: a stub with its name
			end, name := a, k.To
			if okB {
				end, name = b, k.From
			}
			up := world(end).Moved(0, -22)
			f.l.Target(id, 2, world(end).Moved(-6, 0), world(end).Moved(6, 0), up.Moved(6, 0), up.Moved(-6, 0))
			if id == f.o.Selected {
				g.chosen = []scene.Point{world(end), up}
			}
			f.l.Line(id, scene.Ink(theme.Copper), wireWidth, world(end), up)
			f.l.Text(id, up, scene.Middle, scene.End, scene.Ink(theme.Soft), theme.Small, false, name)
			continue
		}
		g.linkTarget(id, a, b)
		if !f.Pack.IsOpen(i) {
			f.l.Line(id, scene.Ink(theme.Copper), wireWidth, worlds(a, b)...)
			continue
		}
		d := b.Sub(a)
		f.l.Line(id, scene.Ink(theme.Copper), wireWidth, worlds(a, a.Add(d.Mul(0.38)))...)
		f.l.Line(id, scene.Ink(theme.Copper), wireWidth, worlds(b, b.Sub(d.Mul(0.38)))...)
	}
}

// linkTarget is where a link is pressed: a strip, which lies over the faces below it as the
// link does.
func (g *lifted) linkTarget(id string, a, b mgl64.Vec2) {
	const half = 6.0 // pixels
	d := g.f.v.Screen(world(b)).Sub(g.f.v.Screen(world(a)))
	n := mgl64.Vec2{half, 0}
	if d.Len() > 1e-9 {
		n = mgl64.Vec2{-d.Y(), d.X()}.Mul(half / d.Len())
	}
	p, q := world(a), world(b)
	g.f.l.Target(id, 2, p.Moved(n.X(), n.Y()), q.Moved(n.X(), n.Y()), q.Moved(-n.X(), -n.Y()), p.Moved(-n.X(), -n.Y()))
	if id == g.f.o.Selected {
		g.chosen = []scene.Point{p, q}
	}
}

// ring marks what is selected.
func (g *lifted) ring() {
	f := g.f
	for m := range f.Geo.Modules {
		if "module:"+f.id(m) != f.o.Selected || !f.solid(m) {
			continue
		}
		top := worlds(g.top(m)...)
		top = append(top, top[0])
		f.l.Line("", scene.Ink(theme.Raised), 9, top...)
		f.l.Line("", scene.Ink(theme.Accent), 5, top...)
	}
	if len(g.chosen) > 0 {
		f.l.Line("", scene.Ink(theme.Raised), 9, g.chosen...)
		f.l.Line("", scene.Ink(theme.Accent), 5, g.chosen...)
	}
}

// tierNames stand beside the tiers, where there are several.
func (g *lifted) tierNames() {
	if len(g.tiers) < 2 {
		return
	}
	for i, tier := range g.tiers {
		left, found := mgl64.Vec2{}, false
		for m := range g.f.Geo.Modules {
			if g.base[m] != g.step*float64(i) {
				continue
			}
			for _, p := range g.top(m) {
				if !found || p.X() < left.X() {
					left, found = p, true
				}
			}
		}
		if found {
			name, at := fmt.Sprintf("Tier %d", tier), world(left).Moved(-10, 0)
			wide := g.f.measure(name, theme.Text, true)
			g.f.l.Rect("", at.Moved(-wide-4, -10), at.Moved(4, 10), scene.Ink(theme.Paper), scene.Ink(theme.Hairline), 1, 4)
			g.f.l.Text("", at, scene.End, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, name)
		}
	}
}

// front is FRONT, turned with the pack, and from where it is seen.
func (g *lifted) front() {
	f := g.f
	words := f.seen() + ", lifted; heights are not to scale"
	f.l.Rect("", f.pinned(8, 6), f.pinned(72+f.measure(words, theme.Small, false), 52), scene.Ink(theme.Paper), scene.Paint{}, 0, 4)
	x := 14.0
	if way, ok := f.Drawing.front(); ok {
		to := g.turn.Mul2x1(way)
		to = mgl64.Vec2{to.X(), tilt * to.Y()}.Normalize()
		f.arrow(f.pinned(28, 29), to, 15)
		f.l.Text("", f.pinned(52, 21), scene.Start, scene.Middle, scene.Ink(theme.Ink), theme.Text, true, "FRONT")
		x = 52
	}
	f.l.Text("", f.pinned(x, 39), scene.Start, scene.Middle, scene.Ink(theme.Soft), theme.Small, false, words)
}
