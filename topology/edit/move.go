package edit

import (
	"fmt"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// Move shifts a selection by dx, dy mm in the pack, however its stacks are turned.
// A stack goes with its modules. Links, boards and parts have no place of their own.
func Move(l topology.Layout, sel Selection, dx, dy float64) (topology.Layout, error) {
	p, err := pick(l, sel)
	if err != nil {
		return l, err
	}
	us := units(l, p)
	by := make([]mgl64.Vec2, len(us))
	for i := range by {
		by[i] = mgl64.Vec2{dx, dy}
	}
	return shift(l, us, by)
}

// shift moves each unit by its own way.
func shift(l topology.Layout, us []unit, by []mgl64.Vec2) (topology.Layout, error) {
	if err := unlocked(l, us); err != nil {
		return l, err
	}
	out := own(l, us)
	for k, u := range us {
		d := turned(by[k], -u.turn)
		x, y := out.corner(u)
		nx, ny := *x+tidy(d.X()), *y+tidy(d.Y())
		if err := inReach(u.id, nx, ny); err != nil {
			return l, err
		}
		*x, *y = tidy(nx), tidy(ny)
	}
	return out.Layout, nil
}

// owned is a layout whose stacks, modules and photos may be written to.
type owned struct{ topology.Layout }

// own clones what the units of a selection are kept in.
func own(l topology.Layout, us []unit) owned {
	seen := map[Kind]bool{}
	for _, u := range us {
		seen[u.kind] = true
	}
	if seen[ModuleKind] || seen[StackKind] {
		l.Modules = slices.Clone(l.Modules)
	}
	if seen[StackKind] {
		l.Stacks = slices.Clone(l.Stacks)
	}
	if seen[UnderlayKind] {
		l.Underlays = slices.Clone(l.Underlays)
	}
	return owned{l}
}

// corner is where a unit keeps its x and y.
func (o owned) corner(u unit) (x, y *float64) {
	switch u.kind {
	case StackKind:
		return &o.Stacks[u.i].X, &o.Stacks[u.i].Y
	case UnderlayKind:
		return &o.Underlays[u.i].X, &o.Underlays[u.i].Y
	}
	return &o.Modules[u.i].X, &o.Modules[u.i].Y
}

// Rotate turns a selection clockwise about its centre, the mean of the centres of
// all that is in it. Angles are kept to 0.01 degree, from 0 to below 360.
func Rotate(l topology.Layout, sel Selection, degrees float64) (topology.Layout, error) {
	at, ok := Center(l, sel)
	if !ok {
		_, err := pick(l, sel)
		return l, err
	}
	return RotateAbout(l, sel, at, degrees)
}

// Center is the point that Rotate turns a selection about; ok is false where
// nothing in it has a place.
func Center(l topology.Layout, sel Selection) (at mgl64.Vec2, ok bool) {
	p, err := pick(l, sel)
	if err != nil {
		return at, false
	}
	us := units(l, p)
	return middle(us), len(us) > 0
}

// RotateAbout turns a selection clockwise about a point of the pack.
func RotateAbout(l topology.Layout, sel Selection, at mgl64.Vec2, degrees float64) (topology.Layout, error) {
	p, err := pick(l, sel)
	if err != nil {
		return l, err
	}
	if !finite(degrees) || !finite(at[:]...) {
		return l, fmt.Errorf("an angle is a number of degrees")
	}
	degrees = round01(degrees)
	us := units(l, p)
	if err := unlocked(l, us); err != nil {
		return l, err
	}
	out := own(l, us)
	round := func(c mgl64.Vec2) mgl64.Vec2 { return turned(c.Sub(at), degrees).Add(at) }
	stacks := stacksOf(l)
	for _, u := range us {
		switch u.kind {
		case StackKind:
			s := &out.Stacks[u.i]
			o := round(mgl64.Vec2{s.X, s.Y})
			s.X, s.Y, s.Angle = tidy(o.X()), tidy(o.Y()), round01(s.Angle+degrees)
		case ModuleKind:
			m := &out.Modules[u.i]
			stack := *m // Put names the stack; a stack that is not there stays as it was
			*m = Put(*m, stacks[m.Stack], round(u.centers[0]), 0)
			m.Stack, m.Angle = stack.Stack, round01(stack.Angle+degrees)
		case UnderlayKind:
			p := &out.Underlays[u.i]
			c := round(u.centers[0])
			p.X, p.Y, p.Angle = tidy(c.X()-p.W/2), tidy(c.Y()-p.H/2), round01(p.Angle+degrees)
		}
		x, y := out.corner(u)
		if err := inReach(u.id, *x, *y); err != nil {
			return l, err
		}
	}
	return out.Layout, nil
}

// MinSize is the least that a module is wide or deep here, in mm.
const MinSize = 10

// Resize gives modules a width and a depth in mm; 0 leaves that one as it is. hold
// is the point of each outline that stays where it is in the pack: 0, 0 the unturned
// top left, 1, 1 the bottom right.
func Resize(l topology.Layout, sel Selection, w, h float64, hold mgl64.Vec2) (topology.Layout, error) {
	at, err := only(l, sel, ModuleKind)
	if err != nil {
		return l, err
	}
	for _, c := range []struct {
		what string
		mm   float64
	}{{"wide", w}, {"deep", h}} {
		if c.mm != 0 && !(c.mm >= MinSize && c.mm <= furthest) {
			return l, fmt.Errorf("a module is from %d mm to a kilometre %s, not %s mm", MinSize, c.what, figure(c.mm))
		}
	}
	if !finite(hold[:]...) {
		return l, fmt.Errorf("no point of the outline was named to stay")
	}
	out := l
	out.Modules = slices.Clone(l.Modules)
	stacks := stacksOf(l)
	for _, i := range at {
		m := &out.Modules[i]
		kept := PlaceOf(*m, stacks[m.Stack]).At(hold.X(), hold.Y())
		stack, angle := m.Stack, m.Angle
		if w != 0 {
			m.W = tidy(w)
		}
		if h != 0 {
			m.H = tidy(h)
		}
		now := PlaceOf(*m, stacks[stack])
		*m = Put(*m, stacks[stack], now.Center.Add(kept.Sub(now.At(hold.X(), hold.Y()))), 0)
		m.Stack, m.Angle = stack, angle
		if err := inReach(m.ID, m.X, m.Y); err != nil {
			return l, err
		}
	}
	return out, nil
}
