package edit

import (
	"fmt"
	"math"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// A Place is where a rectangle lies in the pack: a module or a photo, turned as it
// lies. Angle is the whole turn, that of its stack included.
type Place struct {
	Center mgl64.Vec2 // mm
	Angle  float64    // degrees clockwise
	W, H   float64    // mm, of the unturned outline
}

// turn is a clockwise turn in a frame whose y points down.
func turn(degrees float64) mgl64.Mat3 {
	quarter := math.Mod(degrees, 360) / 90
	if quarter == math.Trunc(quarter) { // no digits that nobody meant
		q := ((int(quarter) % 4) + 4) % 4
		c, s := [4]float64{1, 0, -1, 0}[q], [4]float64{0, 1, 0, -1}[q]
		return mgl64.Mat3{c, s, 0, -s, c, 0, 0, 0, 1}
	}
	return mgl64.HomogRotate2D(degrees * math.Pi / 180)
}

// turned is a vector turned clockwise.
func turned(v mgl64.Vec2, degrees float64) mgl64.Vec2 {
	return turn(degrees).Mul3x1(v.Vec3(0)).Vec2()
}

// PlaceOf is a module's place in the pack, given its stack; the zero Stack is the
// pack's own frame.
func PlaceOf(m topology.Module, s topology.Stack) Place {
	center := turned(mgl64.Vec2{m.X + m.W/2, m.Y + m.H/2}, s.Angle).Add(mgl64.Vec2{s.X, s.Y})
	return Place{Center: center, Angle: around(s.Angle + m.Angle), W: m.W, H: m.H}
}

// Put is the inverse of PlaceOf: the module in a stack, with its centre and its
// whole turn in the pack as given. Its size stays.
func Put(m topology.Module, s topology.Stack, center mgl64.Vec2, angle float64) topology.Module {
	in := turned(center.Sub(mgl64.Vec2{s.X, s.Y}), -s.Angle)
	m.Stack, m.X, m.Y = s.ID, tidy(in.X()-m.W/2), tidy(in.Y()-m.H/2)
	m.Angle = around(angle - s.Angle)
	return m
}

// UnderlayPlace is where a photo lies.
func UnderlayPlace(u topology.Underlay) Place {
	return Place{Center: mgl64.Vec2{u.X + u.W/2, u.Y + u.H/2}, Angle: around(u.Angle), W: u.W, H: u.H}
}

// Places are those of all modules, in the order of the layout.
func Places(l topology.Layout) []Place {
	stacks := stacksOf(l)
	all := make([]Place, len(l.Modules))
	for i, m := range l.Modules {
		all[i] = PlaceOf(m, stacks[m.Stack])
	}
	return all
}

func stacksOf(l topology.Layout) map[string]topology.Stack {
	of := make(map[string]topology.Stack, len(l.Stacks))
	for _, s := range l.Stacks {
		of[s.ID] = s
	}
	return of
}

// At is a point of the rectangle: u, v from 0 to 1 across and down it as unturned.
func (p Place) At(u, v float64) mgl64.Vec2 {
	return p.Center.Add(turned(mgl64.Vec2{(u - 0.5) * p.W, (v - 0.5) * p.H}, p.Angle))
}

// Corners are clockwise from the unturned top left.
func (p Place) Corners() [4]mgl64.Vec2 {
	return [4]mgl64.Vec2{p.At(0, 0), p.At(1, 0), p.At(1, 1), p.At(0, 1)}
}

// Box is the upright rectangle around it.
func (p Place) Box() Box {
	b := Box{p.Center, p.Center}
	for _, c := range p.Corners() {
		b = b.with(Box{c, c})
	}
	return b
}

// A Box is an upright rectangle in the pack.
type Box struct{ Min, Max mgl64.Vec2 } // mm

// Center is its middle.
func (b Box) Center() mgl64.Vec2 { return b.Min.Add(b.Max).Mul(0.5) }

// Size is how wide and how deep it is.
func (b Box) Size() mgl64.Vec2 { return b.Max.Sub(b.Min) }

func (b Box) with(c Box) Box {
	return Box{
		mgl64.Vec2{math.Min(b.Min.X(), c.Min.X()), math.Min(b.Min.Y(), c.Min.Y())},
		mgl64.Vec2{math.Max(b.Max.X(), c.Max.X()), math.Max(b.Max.Y(), c.Max.Y())},
	}
}

// Bounds is the upright rectangle around a selection. Links, boards and parts have
// no place of their own; ok is false where nothing in the selection has one.
func Bounds(l topology.Layout, sel Selection) (b Box, ok bool) {
	p, err := pick(l, sel)
	if err != nil {
		return Box{}, false
	}
	us := units(l, p)
	if len(us) == 0 {
		return Box{}, false
	}
	return boundsOf(us), true
}

func boundsOf(us []unit) Box {
	b := us[0].box
	for _, u := range us[1:] {
		b = b.with(u.box)
	}
	return b
}

// A unit is what moves as one: a stack with all its modules, a module by itself, or
// a photo.
type unit struct {
	kind    Kind
	i       int // among its kind
	id      string
	box     Box
	centers []mgl64.Vec2 // of everything in it
	turn    float64      // degrees of the frame that its own x and y are in
}

// units are what a selection moves. A module whose stack is selected goes with it.
func units(l topology.Layout, p picked) []unit {
	var us []unit
	stacks := stacksOf(l)
	at := map[string]int{}
	for _, i := range p.of[StackKind] {
		s := l.Stacks[i]
		at[s.ID] = len(us)
		us = append(us, unit{kind: StackKind, i: i, id: s.ID})
	}
	for i, m := range l.Modules {
		k, whole := at[m.Stack]
		if !whole && !p.has[m.ID] {
			continue
		}
		place := PlaceOf(m, stacks[m.Stack])
		if !whole {
			us = append(us, unit{ModuleKind, i, m.ID, place.Box(), []mgl64.Vec2{place.Center}, stacks[m.Stack].Angle})
			continue
		}
		u := &us[k]
		if len(u.centers) == 0 {
			u.box = place.Box()
		}
		u.box = u.box.with(place.Box())
		u.centers = append(u.centers, place.Center)
	}
	for k := range us {
		if u := &us[k]; len(u.centers) == 0 { // an empty stack is its origin
			s := l.Stacks[u.i]
			o := mgl64.Vec2{s.X, s.Y}
			u.box, u.centers = Box{o, o}, []mgl64.Vec2{o}
		}
	}
	for _, i := range p.of[UnderlayKind] {
		place := UnderlayPlace(l.Underlays[i])
		us = append(us, unit{UnderlayKind, i, l.Underlays[i].ID, place.Box(), []mgl64.Vec2{place.Center}, 0})
	}
	return us
}

// middle is the mean of all centres: a point that turning about it leaves where it
// is.
func middle(us []unit) mgl64.Vec2 {
	var sum mgl64.Vec2
	n := 0
	for _, u := range us {
		for _, c := range u.centers {
			sum = sum.Add(c)
			n++
		}
	}
	return sum.Mul(1 / float64(max(1, n)))
}

// unlocked refuses where a photo of the selection is locked.
func unlocked(l topology.Layout, us []unit) error {
	for _, u := range us {
		if u.kind == UnderlayKind && l.Underlays[u.i].Locked {
			return fmt.Errorf("the photo %s is locked; unlock it before it is moved", u.id)
		}
	}
	return nil
}

// inReach refuses coordinates that no pack has.
func inReach(id string, all ...float64) error {
	for _, v := range all {
		if !(math.Abs(v) <= furthest) {
			return fmt.Errorf("%s would come to lie more than a kilometre away", id)
		}
	}
	return nil
}
