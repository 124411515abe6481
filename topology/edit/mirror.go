package edit

import (
	"fmt"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// An Axis is a direction of the drawing.
type Axis int

// Axes: across is x, from left to right; down is y, from top to bottom.
const (
	Across Axis = iota
	Down
)

// ends of a module as a mirror shows them.
var swapped = [2]map[string]string{
	Across: {"left": "right", "right": "left", "top": "top", "bottom": "bottom", "": "right"},
	Down:   {"left": "left", "right": "right", "top": "bottom", "bottom": "top", "": ""},
}

// Mirror shows a selection as a mirror does: across swaps left and right, down top
// and bottom, about the middle of its bounds. Angles turn the other way and minus ends
// change sides with it. What is joined stays joined. Photos are refused, for what they
// would show is not there.
func Mirror(l topology.Layout, sel Selection, axis Axis) (topology.Layout, error) {
	p, err := pick(l, sel)
	if err != nil {
		return l, err
	}
	if axis != Across && axis != Down {
		return l, fmt.Errorf("a mirror swaps left and right or top and bottom")
	}
	if at := p.of[UnderlayKind]; len(at) > 0 {
		return l, fmt.Errorf("%s is a photo; mirrored it would show a pack that is not there", l.Underlays[at[0]].ID)
	}
	us := units(l, p)
	if len(us) == 0 {
		return l, nil
	}
	c := boundsOf(us).Center()
	reflect := func(v mgl64.Vec2) mgl64.Vec2 { v[axis] = 2*c[axis] - v[axis]; return v }
	out := own(l, us)
	stacks := stacksOf(l)
	for _, u := range us {
		switch u.kind {
		case StackKind:
			s := &out.Stacks[u.i]
			o := reflect(mgl64.Vec2{s.X, s.Y})
			s.X, s.Y, s.Angle = tidy(o.X()), tidy(o.Y()), around(-s.Angle)
		case ModuleKind:
			m := &out.Modules[u.i]
			stack, place := m.Stack, PlaceOf(*m, stacks[m.Stack])
			*m = Put(*m, stacks[stack], reflect(place.Center), -place.Angle)
			m.Stack, m.Minus = stack, swapped[axis][m.Minus]
		}
		x, y := out.corner(u)
		if err := inReach(u.id, *x, *y); err != nil {
			return l, err
		}
	}
	for i := range out.Modules { // modules of whole stacks, in the stack's own frame
		m := &out.Modules[i]
		if m.Stack != "" && p.has[m.Stack] {
			center := mgl64.Vec2{m.X + m.W/2, m.Y + m.H/2}
			center[axis] = -center[axis]
			m.X, m.Y = tidy(center.X()-m.W/2), tidy(center.Y()-m.H/2)
			m.Angle, m.Minus = around(-m.Angle), swapped[axis][m.Minus]
		}
	}
	return out.Layout, nil
}

// Flipped is a layout as it is seen from the other side, for drawing alone: x becomes
// −x, the words that say from where it is seen and where the front lies change with
// it. A place picked in the flipped drawing is a place of the layout with its x
// negated. Flipped twice is the layout, save that a minus end that is not given, which
// is drawn as left, is named.
func Flipped(l topology.Layout) topology.Layout {
	l.SeenFrom = map[string]string{"above": "below", "below": "above"}[l.SeenFrom]
	l.Front = front(l.Front)
	l.Stacks = slices.Clone(l.Stacks)
	for i := range l.Stacks {
		s := &l.Stacks[i]
		s.X, s.Angle = 0-s.X, 0-s.Angle
	}
	l.Modules = slices.Clone(l.Modules)
	for i := range l.Modules {
		m := &l.Modules[i]
		m.X, m.Angle = 0-m.X-m.W, 0-m.Angle
		m.Minus = swapped[Across][m.Minus]
	}
	l.Underlays = slices.Clone(l.Underlays)
	for i := range l.Underlays {
		u := &l.Underlays[i]
		u.X, u.Angle = 0-u.X-u.W, 0-u.Angle
		c := u.Corners
		u.Corners = [4][2]float64{c[1], c[0], c[3], c[2]}
	}
	l.Sketch = slices.Clone(l.Sketch)
	for i := range l.Sketch {
		s := &l.Sketch[i]
		s.Points = slices.Clone(s.Points)
		for k := range s.Points {
			s.Points[k][0] = 0 - s.Points[k][0]
		}
	}
	return l
}

// front is the way the front lies as seen from the other side.
func front(way string) string {
	switch way {
	case "left":
		return "right"
	case "right":
		return "left"
	}
	return way
}
