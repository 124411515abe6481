package plan

import (
	"math"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// stacks draws the ground of every stack, a tier above with a shadow, and far
// off the stack's colour.
func (f *frame) stacks() {
	win := f.v.Window()
	for _, s := range f.Geo.Stacks {
		if !scene.Around(s.Corners[:]...).Overlaps(win) {
			continue
		}
		if f.o.Thin && f.tier != farStacks {
			f.area("", s.Corners[:], scene.Paint{}, scene.Ink(theme.Soft), 1, mgl64.Vec2{})
			continue
		}
		if s.Tier > 0 {
			f.area("", s.Corners[:], scene.Ink(theme.Shadow), scene.Paint{}, 0, mgl64.Vec2{4 * float64(s.Tier), 4 * float64(s.Tier)})
		}
		f.area("", s.Corners[:], scene.Ink(theme.Paper), scene.Ink(theme.Hairline), 1, mgl64.Vec2{})
		if f.tier == farStacks && (f.o.Tier == nil || *f.o.Tier == s.Tier) {
			f.farStack(s)
		}
	}
}

// farStack shades a stack by its module with the largest value.
func (f *frame) farStack(s Stack) {
	worst, at := math.NaN(), -1
	for _, m := range s.Modules {
		if v := f.moduleValue(m); !math.IsNaN(v) && (at < 0 || math.Abs(v) > math.Abs(worst)) {
			worst, at = v, m
		}
	}
	fill := f.paint(worst)
	f.area("stack:"+s.ID, s.Corners[:], fill, scene.Ink(theme.Ink), 1, mgl64.Vec2{})
	mid := s.Corners[0].Add(s.Corners[2]).Mul(0.5)
	wide := 0.0
	for _, c := range s.Corners {
		wide = math.Max(wide, 2*math.Abs(f.v.Screen(world(c)).X()-f.v.Screen(world(mid)).X()))
	}
	for _, name := range []string{"Stack " + s.ID, s.ID} { // narrow stacks side by side would cover each other's names
		if f.measure(name, theme.Text, true) <= wide {
			f.l.Text("", world(mid), scene.Middle, scene.Middle, scene.On(fill), theme.Text, true, name)
			break
		}
	}
	if at >= 0 {
		f.l.Target("module:"+f.id(at), 0, worlds(s.Corners[:]...)...)
	}
}

// area adds a polygon; an upright one becomes a box, which draws faster.
func (f *frame) area(id string, c []mgl64.Vec2, fill, line scene.Paint, width float64, px mgl64.Vec2) {
	pts := worlds(c...)
	for i := range pts {
		pts[i].Px = px
	}
	if r := scene.Around(c...); len(c) == 4 && upright(c) {
		f.l.Rect(id, world(r.Min).Moved(px.X(), px.Y()), world(r.Max).Moved(px.X(), px.Y()), fill, line, width, 0)
		return
	}
	f.l.Add(scene.Shape{Kind: scene.Area, ID: id, Points: pts, Fill: fill, Line: line, Width: width})
}

func upright(c []mgl64.Vec2) bool {
	d := c[1].Sub(c[0])
	return math.Abs(d.X()*d.Y()) < 1e-6
}

// selection rings what is selected: the accent on a paper line of its own, so
// that it stands out against every data colour.
func (f *frame) selection() {
	f.selected(f.o.Selected)
	for _, id := range f.o.Many {
		f.selected(id)
	}
}

func (f *frame) selected(id string) {
	net := f.Pack.Net
	if name, ok := strings.CutPrefix(id, "module:"); ok {
		if m, ok := net.Module(name); ok {
			f.ring(f.Geo.Modules[m], scene.Ink(theme.Raised), 2, 5)
			f.ring(f.Geo.Modules[m], scene.Ink(theme.Accent), 4.5, 3.5)
		}
		return
	}
	if name, ok := f.Pack.TapOf(id); ok {
		if at, ok := f.place(name); ok {
			f.l.Rect("", at.Moved(-11, -11), at.Moved(11, 11), scene.Paint{}, scene.Ink(theme.Raised), 7, 11)
			f.l.Rect("", at.Moved(-10, -10), at.Moved(10, 10), scene.Paint{}, scene.Ink(theme.Accent), 3.5, 10)
		}
		return
	}
	if f.selectedFitting(id) {
		return
	}
	for _, w := range f.Geo.Wires {
		if "link:"+net.Layout.Links[w.Link].ID == id && len(w.Way) > 1 {
			f.l.Line("", scene.Ink(theme.Raised), 9, worlds(w.Way...)...)
			f.l.Line("", scene.Ink(theme.Accent), 5, worlds(w.Way...)...)
		}
	}
}

// place is where a tap or a named terminal lies.
func (f *frame) place(name string) (scene.Point, bool) {
	n, ok := f.Pack.Net.Node(name)
	if !ok {
		return scene.Point{}, false
	}
	if m, k, ok := f.Pack.Net.ModuleAt(n); ok {
		series := max(1, f.Pack.Net.Layout.Modules[m].Series)
		return world(f.Geo.Modules[m].At(float64(k)/float64(series), 0.5)), true
	}
	for _, t := range f.Geo.Terminals {
		if t.Node == n {
			return world(t.At), true
		}
	}
	return scene.Point{}, false
}

// ring draws an outline round a module, so many pixels outside it.
func (f *frame) ring(o Outline, p scene.Paint, out, width float64) {
	var pts []scene.Point
	for _, c := range [4][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
		d := o.Axis.Mul((2*c[0] - 1) * out).Add(o.Across.Mul((2*c[1] - 1) * out))
		pts = append(pts, world(o.At(c[0], c[1])).Moved(d.X(), d.Y()))
	}
	f.l.Line("", p, width, append(pts, pts[0])...)
}
