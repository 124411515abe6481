package plan

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/ui/palette"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// A face is a module as it is drawn: a band on top with its number, and below
// it the body with its data. A module that stands askew has no band; its text
// lies on a plate in the middle.
type face struct {
	f      *frame
	m      int
	id     string
	o      Outline
	band   float64     // pixels; 0 = none
	box    scene.Rect  // of the outline, mm
	value  float64     // what the whole module is shaded by
	ground scene.Paint // of the body where it has one colour
	groups bool        // the body shows the groups one by one
}

// at is a point of the body: u from the minus end, w across. The body is the
// outline pressed together from above to make room for the band.
func (c *face) at(u, w float64) scene.Point {
	p := c.o.At(u, w)
	if c.band == 0 {
		return world(p)
	}
	down := (p.Y() - c.box.Min.Y()) / c.box.Size().Y()
	return world(p).Moved(0, c.band*(1-down))
}

// area fills a part of the body.
func (c *face) area(u0, w0, u1, w1 float64, fill, line scene.Paint, width float64) {
	pts := []scene.Point{c.at(u0, w0), c.at(u1, w0), c.at(u1, w1), c.at(u0, w1)}
	if c.o.Upright() {
		lo, hi := pts[0], pts[0]
		for _, p := range pts[1:] {
			a, b, q := c.f.v.Screen(lo), c.f.v.Screen(hi), c.f.v.Screen(p)
			if q.X() <= a.X()+1e-9 && q.Y() <= a.Y()+1e-9 {
				lo = p
			}
			if q.X() >= b.X()-1e-9 && q.Y() >= b.Y()-1e-9 {
				hi = p
			}
		}
		c.f.l.Rect(c.id, lo, hi, fill, line, width, 0)
		return
	}
	c.f.l.Add(scene.Shape{Kind: scene.Area, ID: c.id, Points: pts, Fill: fill, Line: line, Width: width})
}

func (c *face) line(p scene.Paint, width float64, pts ...scene.Point) {
	c.f.l.Line(c.id, p, width, pts...)
}

// size is the outline on the screen in pixels.
func (c *face) size() mgl64.Vec2 { return c.box.Size().Mul(c.f.v.ScaleX) }

// leastBand is the height from which a module has a band.
const leastBand = 34.0

func (f *frame) newFace(m int) *face {
	c := &face{f: f, m: m, id: "module:" + f.id(m), o: f.Geo.Modules[m], value: f.moduleValue(m)}
	c.box = c.o.Box()
	if s := c.size(); c.o.Upright() && s.Y() >= leastBand && s.X() >= 34 {
		c.band = math.Max(17, math.Min(28, 0.3*s.Y()))
		if s.Y() > 2*s.X() && f.o.Mode != BySuspicion { // narrow: the value has a line of its own
			c.band = math.Max(c.band, 34)
		}
	}
	c.ground = f.paint(c.value)
	return c
}

// module draws one module: its body, its band, its outline and terminals.
func (f *frame) module(m int) {
	if f.tier == farStacks {
		return
	}
	c := f.newFace(m)
	f.l.Target(c.id, 22, worlds(c.o.Corners[:]...)...)
	if f.tier == farModules {
		ground := orRaised(c.ground)
		if f.o.Thin {
			ground = c.ground
		}
		crossed := c.ground.None() && f.o.Mode != BySuspicion && f.o.Mode != ByPath
		if f.sparse && crossed { // a cross alone, in one stroke
			f.l.Line(c.id, scene.Ink(theme.Soft), 1, worlds(c.o.Corners[0], c.o.Corners[2], c.o.Corners[1], c.o.Corners[3])...)
			return
		}
		f.area(c.id, c.o.Corners[:], ground, scene.Ink(theme.Soft), 1, mgl64.Vec2{})
		if crossed { // too small for a hatch: crossed out
			f.l.Line(c.id, scene.Ink(theme.Soft), 1, worlds(c.o.Corners[0], c.o.Corners[2])...)
			f.l.Line(c.id, scene.Ink(theme.Soft), 1, worlds(c.o.Corners[1], c.o.Corners[3])...)
		}
		return
	}
	mod := f.Pack.Modules[m]
	c.groups = f.tier == near && !f.o.Mode.whole() && !mod.Removed && !(f.o.Mode == ByMedian && mod.Measured == 0 && mod.Own) && !(f.o.Mode == ByDifference && (c.band == 0 || !f.o.Differences.ofGroups(mod.Groups)))
	if c.groups || mod.Removed {
		c.ground = scene.Paint{}
	}
	c.back()
	if !c.ground.None() {
		c.area(0, 0, 1, 1, c.ground, scene.Paint{}, 0)
	}
	switch {
	case mod.Removed:
	case c.groups:
		c.strips()
	case f.o.Mode == ByPath:
	case f.o.Mode == BySuspicion:
		c.shareBar()
	case math.IsNaN(c.value):
		c.hatch(0, 1)
	case f.o.Mode == ByInsulation:
		c.bound()
	}
	if c.groups {
		c.dividers()
	}
	if c.band > 0 {
		y := scene.Ink(theme.Hairline)
		c.line(y, 1, world(c.box.Min).Moved(0, c.band), scene.At(c.box.Max.X(), c.box.Min.Y()).Moved(0, c.band))
	}
	f.area(c.id, c.o.Corners[:], scene.Paint{}, scene.Ink(theme.Ink), 2, mgl64.Vec2{})
	c.ends()
	text := len(f.l.Shapes)
	c.text()
	if !c.groups {
		c.ticks(f.l.Shapes[text:])
	}
}

// back is what lies behind a module's data: paper, or where the drawing is thin
// only behind its number.
func (c *face) back() {
	paper := scene.Ink(theme.Raised)
	switch {
	case !c.f.o.Thin:
		c.f.area(c.id, c.o.Corners[:], paper, scene.Paint{}, 0, mgl64.Vec2{})
	case c.band > 0:
		c.f.l.Rect(c.id, world(c.box.Min), scene.At(c.box.Max.X(), c.box.Min.Y()).Moved(0, c.band), paper, scene.Paint{}, 0, 0)
	}
}

func orRaised(p scene.Paint) scene.Paint {
	if p.None() {
		return scene.Ink(theme.Raised)
	}
	return p
}

// upperSide is the side of the outline (w 0 or 1) that lies higher on screen, or
// for a module that stands upright the left one.
func upperSide(o Outline) float64 {
	if o.Across.Y() < -1e-9 || (math.Abs(o.Across.Y()) <= 1e-9 && o.Across.X() < 0) {
		return 1
	}
	return 0
}

// roomForBar is the width from which a module has room for a bar beside its
// number.
const roomForBar = 46.0

// shareBar is the bar whose height is the share: at the left of the body, from
// its lower edge up.
func (c *face) shareBar() {
	if math.IsNaN(c.value) || c.value < 0.005 || !c.o.Upright() || c.band == 0 || c.size().X() < roomForBar {
		return
	}
	left := c.box.Min.X()
	foot, top := scene.At(left, c.box.Max.Y()).Moved(2, -2), scene.At(left, c.box.Min.Y()).Moved(2, c.band+1)
	high := (c.f.v.Screen(foot).Y() - c.f.v.Screen(top).Y()) * c.value
	c.f.l.Rect(c.id, foot.Moved(0, -high), foot.Moved(7, 0), scene.Ink(theme.Plum), scene.Ink(theme.Raised), 1, 0)
}

// bound marks an insulation reading that is a bound with an arrow along the
// lower edge: to the right for more than, to the left for less than.
func (c *face) bound() {
	way := map[string]float64{fault.Greater: 1, fault.Less: -1}[c.f.Pack.Modules[c.m].Insulation.Relation]
	if way == 0 || !c.o.Upright() || c.band == 0 {
		return
	}
	mid := scene.At(c.o.Center.X(), c.box.Max.Y()).Moved(0, -9)
	ink := scene.On(c.ground)
	tip := mid.Moved(way*14, 0)
	c.line(ink, 2, mid.Moved(-way*14, 0), tip)
	c.line(ink, 2, tip.Moved(-way*6, -5), tip, tip.Moved(-way*6, 5))
}

// strips draws the groups along the axis, with a bar along the edge where the
// scale ends, and their numbers where they fit.
func (c *face) strips() {
	groups := c.f.Pack.Modules[c.m].Groups
	n := float64(len(groups))
	texts, size := c.cellTexts()
	from := -1 // of a run of groups without a value
	for k := 0; k <= len(groups); k++ {
		v := math.NaN()
		if k < len(groups) {
			v = c.f.groupValue(groups[k])
		}
		if math.IsNaN(v) && k < len(groups) {
			if from < 0 {
				from = k
			}
			continue
		}
		if from >= 0 {
			c.hatch(float64(from)/n, float64(k)/n)
			from = -1
		}
		if k == len(groups) {
			break
		}
		u0, u1 := float64(k)/n, float64(k+1)/n
		fill := c.f.paint(v)
		c.area(u0, 0, u1, 1, fill, scene.Paint{}, 0)
		if math.Abs(fill.Value) > 1 {
			c.overEnd(u0, u1, fill)
		}
		if size > 0 {
			c.f.l.Text(c.id, c.at((u0+u1)/2, 0.5), scene.Middle, scene.Middle, scene.On(fill), size, false, texts[k])
		}
	}
	if c.f.o.Mode == ByPotential {
		c.zeroCrossing()
	}
}

// overEnd marks a value beyond the scale: a bar along the upper edge for above,
// along the lower for below.
func (c *face) overEnd(u0, u1 float64, ground scene.Paint) {
	w := math.Min(0.12, 5/c.f.v.ScaleX/c.o.Deep)
	up := upperSide(c.o)
	if ground.Value < 0 {
		up = 1 - up
	}
	in := w
	if up == 1 {
		in = 1 - w
	}
	c.area(u0, math.Min(up, in), u1, math.Max(up, in), scene.On(ground), scene.Paint{}, 0)
}

// zeroCrossing draws the line where the potential to chassis is zero.
func (c *face) zeroCrossing() {
	groups := c.f.Pack.Modules[c.m].Groups
	for k, g := range groups {
		lo, hi := c.f.Pack.Chassis[c.f.Pack.Net.Groups[g].Lo], c.f.Pack.Chassis[c.f.Pack.Net.Groups[g].Hi]
		if lo < 0 && hi >= 0 {
			u := (float64(k) + lo/(lo-hi)) / float64(len(groups))
			c.line(scene.Ink(theme.Ink), 3, c.at(u, 0), c.at(u, 1))
		}
	}
}

// apart says that the lines between groups would stand far enough from each
// other to be told apart.
func (c *face) apart() bool {
	n := len(c.f.Pack.Modules[c.m].Groups)
	return c.f.tier == near && c.o.Length*c.f.v.ScaleX/float64(max(1, n)) >= 5
}

// dividers are the lines between strips of data.
func (c *face) dividers() {
	if !c.apart() {
		return
	}
	n := len(c.f.Pack.Modules[c.m].Groups)
	for k := 1; k < n; k++ {
		u := float64(k) / float64(n)
		c.line(scene.Ink(theme.Hairline), 1, c.at(u, 0), c.at(u, 1))
	}
}

// ticks mark the groups at the edges of a body that has one colour and text on
// it: shorter where they would touch the text, and none where they still would.
func (c *face) ticks(text []scene.Shape) {
	if !c.apart() {
		return
	}
	ink := scene.Ink(theme.Soft)
	if c.ground.Scale == palette.Suspicion && c.ground.Value > 0.3 {
		ink = scene.On(c.ground)
	}
	n := len(c.f.Pack.Modules[c.m].Groups)
	for _, long := range [...]float64{5, 3} {
		w := math.Min(0.14, long/c.f.v.ScaleX/c.o.Deep)
		var marks [][2]scene.Point
		for k := 1; k < n; k++ {
			u := float64(k) / float64(n)
			marks = append(marks, [2]scene.Point{c.at(u, 0), c.at(u, w)}, [2]scene.Point{c.at(u, 1-w), c.at(u, 1)})
		}
		if c.f.touches(marks, text) {
			continue
		}
		for _, m := range marks {
			c.line(ink, 1, m[0], m[1])
		}
		return
	}
}

// touches says that one of the lines runs into one of the texts.
func (f *frame) touches(lines [][2]scene.Point, text []scene.Shape) bool {
	for _, s := range text {
		if s.Kind != scene.Label {
			continue
		}
		at := f.v.Screen(s.Points[0])
		wide, high := f.measure(s.Text, s.Size, s.Bold), s.Size
		mid := at.Sub(mgl64.Vec2{wide * float64(s.H) / 2, high * float64(s.V) / 2})
		half := mgl64.Vec2{wide / 2, high / 2}
		r := scene.Rect{Min: mid.Sub(half), Max: mid.Add(half)}.Grown(3)
		for _, l := range lines {
			if r.Meets(f.v.Screen(l[0]), f.v.Screen(l[1])) {
				return true
			}
		}
	}
	return false
}

// hatchLines is how many lines a hatch has about, each way, for a length of the
// whole module.
var hatchLines = [...]int{farModules: 1, middle: 5, near: 13}

// hatch crosses out what was not measured, from u0 to u1 along the axis.
func (c *face) hatch(u0, u1 float64) {
	length, deep := (u1-u0)*c.o.Length, c.o.Deep
	gap := math.Max(9/c.f.v.ScaleX, math.Max(c.o.Length, deep)/float64(hatchLines[c.f.tier]))
	for _, dir := range []float64{1, -1} {
		lo, hi := 0.0, length+deep
		if dir < 0 {
			lo, hi = -deep, length
		}
		for k := lo + gap/2; k < hi; k += gap {
			if x0, y0, x1, y1, ok := crossRect(length, deep, k, dir); ok {
				c.line(scene.Ink(theme.Hairline), 1, c.at(u0+x0/c.o.Length, y0/deep), c.at(u0+x1/c.o.Length, y1/deep))
			}
		}
	}
}

// crossRect is the part of the line x + dir·y = k inside a rectangle.
func crossRect(length, deep, k, dir float64) (x0, y0, x1, y1 float64, ok bool) {
	if dir > 0 {
		x0, x1 = math.Max(0, k-deep), math.Min(length, k)
	} else {
		x0, x1 = math.Max(0, k), math.Min(length, k+deep)
	}
	return x0, (k - x0) / dir, x1, (k - x1) / dir, x1-x0 > 1e-9
}

// ends marks the terminals: a short bar at each, the plus end thicker, and the
// signs as strokes, which need no font.
func (c *face) ends() {
	px := 1 / c.f.v.ScaleX
	c.f.l.Line(c.id, scene.Ink(theme.Ink), 5, worlds(c.o.At(1, 0), c.o.At(1, 1))...)
	if c.o.Deep < 26*px || c.o.Length < 60*px {
		return
	}
	half := c.o.Across.Mul(7 * px)
	for _, u := range []float64{0, 1} {
		p := c.o.At(u, 0.5)
		c.f.l.Line(c.id, scene.Ink(theme.Copper), 4, worlds(p.Sub(half), p.Add(half))...)
		if c.band > 0 || (!c.o.Upright() && c.o.Deep > 30*px && c.o.Length > 110*px) {
			c.sign(u)
		}
	}
}

// sign draws + or − just inside an end.
func (c *face) sign(u float64) {
	ground := c.ground
	if groups := c.f.Pack.Modules[c.m].Groups; c.groups && len(groups) > 0 {
		g := groups[0]
		if u > 0.5 {
			g = groups[len(groups)-1]
		}
		ground = c.f.paint(c.f.groupValue(g))
	}
	// In the lower right or left corner at its end, out of the text's way; in the
	// body's upper corner where the end is on top.
	e := c.o.At(u, 0.5)
	var p scene.Point
	switch upright := c.o.Upright(); {
	case upright && math.Abs(c.o.Axis.X()) > 0.5:
		in := 11.0
		if e.X() > c.o.Center.X() {
			in = -12
		} else if c.f.o.Mode == BySuspicion && c.value >= 0.005 {
			in = 17 // clear of the share's bar
		}
		p = scene.At(e.X(), c.box.Max.Y()).Moved(in, -10)
	case upright && e.Y() > c.o.Center.Y():
		p = scene.At(c.box.Max.X(), c.box.Max.Y()).Moved(-10, -11)
	case upright:
		p = scene.At(c.box.Max.X(), c.box.Min.Y()).Moved(-10, c.band+10)
	default:
		s := 12 * (1 - 2*u)
		p = world(e).Moved(c.o.Axis.X()*s, c.o.Axis.Y()*s)
	}
	ink := scene.On(ground)
	c.line(ink, 1.5, p.Moved(-4, 0), p.Moved(4, 0))
	if u > 0.5 {
		c.line(ink, 1.5, p.Moved(0, -4), p.Moved(0, 4))
	}
}
