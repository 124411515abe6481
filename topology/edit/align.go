package edit

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// A Side is what Align brings onto one line.
type Side int

// Sides: the middles are lines down and across through the middle of the bounds.
const (
	Left Side = iota
	Middle
	Right
	Top
	Waist // the middle between top and bottom
	Bottom
)

// Align brings one side of everything selected onto the outermost of them, or the
// middles onto that of the bounds. Stacks selected whole move as one.
func Align(l topology.Layout, sel Selection, side Side) (topology.Layout, error) {
	us, err := several(l, sel, 2)
	if err != nil {
		return l, err
	}
	if side < Left || side > Bottom {
		return l, fmt.Errorf("there is no such side to align")
	}
	axis, part := int(side)/3, int(side)%3
	of := func(b Box) float64 { return []float64{b.Min[axis], b.Center()[axis], b.Max[axis]}[part] }
	to := of(boundsOf(us))
	by := make([]mgl64.Vec2, len(us))
	for i, u := range us {
		by[i][axis] = to - of(u.box)
	}
	return shift(l, us, by)
}

// Distribute makes the gaps between what is selected equal, across or down; the first
// and the last stay.
func Distribute(l topology.Layout, sel Selection, axis Axis) (topology.Layout, error) {
	us, err := several(l, sel, 3)
	if err != nil {
		return l, err
	}
	if axis != Across && axis != Down {
		return l, fmt.Errorf("gaps are made equal across or down")
	}
	slices.SortStableFunc(us, func(a, b unit) int { return cmp.Compare(a.box.Center()[axis], b.box.Center()[axis]) })
	first, last := us[0].box, us[len(us)-1].box
	gap := last.Min[axis] - first.Max[axis]
	for _, u := range us[1 : len(us)-1] {
		gap -= u.box.Size()[axis]
	}
	gap /= float64(len(us) - 1)
	by := make([]mgl64.Vec2, len(us))
	at := first.Max[axis]
	for i, u := range us[1 : len(us)-1] {
		by[i+1][axis] = at + gap - u.box.Min[axis]
		at += gap + u.box.Size()[axis]
	}
	return shift(l, us, by)
}

// SameSize makes modules as wide and as deep as the first one selected; their middles
// stay.
func SameSize(l topology.Layout, sel Selection) (topology.Layout, error) {
	if _, err := only(l, sel, ModuleKind); err != nil {
		return l, err
	}
	if len(sel) < 2 {
		return l, fmt.Errorf("two modules or more are wanted, the one with the right size first")
	}
	i, err := one(l, sel[0], ModuleKind)
	if err != nil {
		return l, err
	}
	return Resize(l, sel[1:], l.Modules[i].W, l.Modules[i].H, mgl64.Vec2{0.5, 0.5})
}

// several are the units of a selection, at least so many.
func several(l topology.Layout, sel Selection, least int) ([]unit, error) {
	p, err := pick(l, sel)
	if err != nil {
		return nil, err
	}
	us := units(l, p)
	if len(us) < least {
		return nil, fmt.Errorf("%s or more are wanted: stacks, modules or photos", map[int]string{2: "two", 3: "three"}[least])
	}
	return us, nil
}
