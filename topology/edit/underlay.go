package edit

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// mostPixels bounds where a corner of a photo may be.
const mostPixels = 1e6

// AddUnderlay lays a photo of so many pixels under a tier, as wide as the drawing is
// or a metre, its middle in the drawing's. photo is its SHA-256 in hex.
func AddUnderlay(l topology.Layout, photo, name string, wide, high, tier int) (out topology.Layout, id string, err error) {
	switch {
	case !hash(photo):
		return l, "", fmt.Errorf("a photo is named by its SHA-256 in 64 of the digits 0 to 9 and a to f, and not %q", photo)
	case wide < 1 || high < 1 || wide > mostPixels || high > mostPixels:
		return l, "", fmt.Errorf("a photo of %d by %d pixels cannot be laid under the drawing", wide, high)
	}
	if err := tierOK(tier); err != nil {
		return l, "", err
	}
	w, c := 1000.0, mgl64.Vec2{500, 500 * float64(high) / float64(wide)}
	var all Selection
	for _, m := range l.Modules {
		all = append(all, m.ID)
	}
	if b, ok := Bounds(l, all); ok {
		c = b.Center()
		if b.Size().X() >= 100 {
			w = b.Size().X()
		}
	}
	h := w * float64(high) / float64(wide)
	x, y := float64(wide), float64(high)
	u := topology.Underlay{Photo: photo, Name: name, Tier: tier, Opacity: 0.6,
		Corners: [4][2]float64{{0, 0}, {x, 0}, {x, y}, {0, y}},
		X:       tidy(c.X() - w/2), Y: tidy(c.Y() - h/2), W: tidy(w), H: tidy(h)}
	if err := photoOK(u); err != nil {
		return l, "", err
	}
	u.ID = idsOf(l).from("photo", 1, 0, "", UnderlayKind)
	l.Underlays = append(slices.Clone(l.Underlays), u)
	return l, u.ID, nil
}

// hash says whether a text is a SHA-256 as a casebook keeps it.
func hash(s string) bool {
	return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == ""
}

// photoOK refuses a place that no photo can have.
func photoOK(u topology.Underlay) error {
	if !(u.W >= 1 && u.H >= 1 && u.W <= furthest && u.H <= furthest) {
		return fmt.Errorf("a photo is from 1 mm to a kilometre wide and deep; this would be %s by %s mm", figure(tidy(u.W)), figure(tidy(u.H)))
	}
	return inReach("the photo", u.X, u.Y)
}

// loosened is a layout in which a photo may be written to, unless it is locked.
func loosened(l topology.Layout, id string) (topology.Layout, *topology.Underlay, error) {
	i, err := one(l, id, UnderlayKind)
	if err != nil {
		return l, nil, err
	}
	if l.Underlays[i].Locked {
		return l, nil, fmt.Errorf("the photo %s is locked; unlock it before it is changed", id)
	}
	l.Underlays = slices.Clone(l.Underlays)
	return l, &l.Underlays[i], nil
}

// ScaleUnderlay scales a photo so that two places picked on it, in mm where they are
// drawn now, come to lie as far apart as they are in the pack. The first stays where it
// is.
func ScaleUnderlay(l topology.Layout, id string, first, second mgl64.Vec2, apart float64) (topology.Layout, error) {
	out, u, err := loosened(l, id)
	if err != nil {
		return l, err
	}
	drawn := second.Sub(first).Len()
	switch {
	case !finite(first[:]...) || !finite(second[:]...) || drawn < 1e-6:
		return l, fmt.Errorf("the two points are one; pick two that lie apart")
	case !(apart > 0 && apart <= furthest):
		return l, fmt.Errorf("the length between the two points is more than 0 mm, up to a kilometre, and not %s mm", figure(apart))
	}
	by := apart / drawn
	c := UnderlayPlace(*u).Center.Sub(first).Mul(by).Add(first)
	u.W, u.H = tidy(u.W*by), tidy(u.H*by)
	u.X, u.Y = tidy(c.X()-u.W/2), tidy(c.Y()-u.H/2)
	if err := photoOK(*u); err != nil {
		return l, err
	}
	return out, nil
}

// Straighten takes four places of a photo, in its pixels, clockwise from what is the
// top left of something with square corners. They become the corners of the rectangle
// that the photo is drawn in. Its middle stays, and its sides are as long as they were
// drawn, the mean of opposite ones; ScaleUnderlay makes them true.
func Straighten(l topology.Layout, id string, at [4][2]float64) (topology.Layout, error) {
	out, u, err := loosened(l, id)
	if err != nil {
		return l, err
	}
	if err := clockwise(at); err != nil {
		return l, err
	}
	for _, c := range at {
		if math.Abs(c[0]) > mostPixels || math.Abs(c[1]) > mostPixels {
			return l, fmt.Errorf("a corner lies more than a million pixels away")
		}
	}
	m, err := PhotoToPack(*u)
	if err != nil {
		return l, err
	}
	var p [4]mgl64.Vec2
	for i := range at {
		p[i] = Through(m, at[i])
		if !finite(p[i][:]...) {
			return l, fmt.Errorf("one of the four points lies beyond the photo's horizon")
		}
	}
	side := func(a, b, c, d int) float64 { return (p[a].Sub(p[b]).Len() + p[c].Sub(p[d]).Len()) / 2 }
	c := p[0].Add(p[1]).Add(p[2]).Add(p[3]).Mul(0.25)
	u.Corners = at
	u.W, u.H = tidy(side(0, 1, 2, 3)), tidy(side(1, 2, 3, 0))
	u.X, u.Y = tidy(c.X()-u.W/2), tidy(c.Y()-u.H/2)
	if err := photoOK(*u); err != nil {
		return l, err
	}
	return out, nil
}

// LockUnderlays locks photos where they lie, or unlocks them.
func LockUnderlays(l topology.Layout, sel Selection, locked bool) (topology.Layout, error) {
	at, err := only(l, sel, UnderlayKind)
	if err != nil {
		return l, err
	}
	l.Underlays = slices.Clone(l.Underlays)
	for _, i := range at {
		l.Underlays[i].Locked = locked
	}
	return l, nil
}
