// Package plan draws the pack to scale as it lies on the bench: stacks, modules
// with their groups as strips, links between their terminals, shaded by
// suspicion, by volts from the median or by potential to chassis. The drawing
// is a scene in millimetres, with the level of detail chosen for the view.
//
// It reads facts and computes no electricity; it knows no widget. What is
// expected and not measured says so; what was not measured is cross-hatched.
package plan

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/scene"
)

// An Outline is a module's place in the pack, in mm, turned as it lies.
type Outline struct {
	Corners      [4]mgl64.Vec2 // clockwise from the unturned top left
	Center       mgl64.Vec2
	Axis         mgl64.Vec2 // unit, from its minus to its plus end
	Across       mgl64.Vec2 // unit, a quarter turn clockwise from Axis
	Length, Deep float64    // along and across the axis
}

// Minus and Plus are the middles of the ends.
func (o Outline) Minus() mgl64.Vec2 { return o.At(0, 0.5) }

// Plus is the middle of the positive end.
func (o Outline) Plus() mgl64.Vec2 { return o.At(1, 0.5) }

// At is a point of the outline: u from the minus end (0) to the plus end (1), w
// across it from 0 to 1.
func (o Outline) At(u, w float64) mgl64.Vec2 {
	return o.Center.Add(o.Axis.Mul((u - 0.5) * o.Length)).Add(o.Across.Mul((w - 0.5) * o.Deep))
}

// Box is the upright rectangle around it.
func (o Outline) Box() scene.Rect { return scene.Around(o.Corners[:]...) }

// Upright says that its edges run along the screen's.
func (o Outline) Upright() bool {
	return math.Abs(o.Axis.X()*o.Axis.Y()) < 1e-6
}

// turn is a clockwise turn in a frame whose y points down.
func turn(degrees float64) mgl64.Mat3 { return mgl64.HomogRotate2D(degrees * math.Pi / 180) }

// ends are the directions from minus to plus in a module's own frame.
var ends = map[string]mgl64.Vec2{"left": {1, 0}, "right": {-1, 0}, "top": {0, 1}, "bottom": {0, -1}}

// outline places a module: turned about its own centre, then its stack about
// the stack's origin.
func outline(m topology.Module, s topology.Stack) Outline {
	place := edit.PlaceOf(m, s)
	axis, ok := ends[m.Minus]
	if !ok {
		axis = ends["left"]
	}
	turned := turn(place.Angle)
	to := func(d mgl64.Vec2) mgl64.Vec2 { return turned.Mul3x1(d.Vec3(0)).Vec2() }
	o := Outline{Corners: place.Corners(), Center: place.Center, Axis: to(axis), Across: to(mgl64.Vec2{-axis.Y(), axis.X()})}
	o.Length, o.Deep = m.W, m.H
	if axis.X() == 0 {
		o.Length, o.Deep = m.H, m.W
	}
	return o
}

// outlines places every module. Where the layout gives no usable outlines, the
// modules are laid out in string order instead, and schematic is true.
func outlines(l topology.Layout, strings []topology.String) (all []Outline, schematic bool) {
	stacks := map[string]topology.Stack{}
	for _, s := range l.Stacks {
		stacks[s.ID] = s
	}
	seen := map[[3]float64]bool{}
	for _, m := range l.Modules {
		o := outline(m, stacks[m.Stack])
		at := [3]float64{math.Round(o.Center.X()), math.Round(o.Center.Y()), float64(stacks[m.Stack].Tier)}
		if m.W <= 0 || m.H <= 0 || seen[at] {
			return rows(l, strings), true
		}
		seen[at] = true
		all = append(all, o)
	}
	return all, false
}

// asDrawn places every module where the layout has it, also where several lie on
// one spot. One without an outline is a small square there.
func asDrawn(l topology.Layout) (all []Outline) {
	const least = 10.0 // mm
	stacks := map[string]topology.Stack{}
	for _, s := range l.Stacks {
		stacks[s.ID] = s
	}
	for _, m := range l.Modules {
		m.W, m.H = math.Max(least, m.W), math.Max(least, m.H)
		all = append(all, outline(m, stacks[m.Stack]))
	}
	return all
}

// rows lays the modules out as a snake in string order, each string from its
// own line on.
func rows(l topology.Layout, strings []topology.String) []Outline {
	const w, h, gapX, gapY = 300.0, 150.0, 60.0, 70.0
	all := make([]Outline, len(l.Modules))
	wide := int(math.Max(2, math.Ceil(math.Sqrt(float64(len(l.Modules))*0.8))))
	line := 0
	for _, s := range strings {
		for i, m := range s.Modules {
			col, minus := i%wide, "left"
			if (i/wide)%2 == 1 {
				col, minus = wide-1-col, "right"
			}
			all[m] = outline(topology.Module{
				X: float64(col) * (w + gapX), Y: float64(line+i/wide) * (h + gapY), W: w, H: h, Minus: minus,
			}, topology.Stack{})
		}
		line += (len(s.Modules) + wide - 1) / wide
	}
	return all
}
