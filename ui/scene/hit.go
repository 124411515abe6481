package scene

import (
	"math"

	"github.com/go-gl/mathgl/mgl64"
)

// Hit is the id of the target at a place of the screen: the topmost that holds
// it, else the nearest within its margin, else "".
func (l *List) Hit(v View, at mgl64.Vec2) string {
	best, bestDist := "", math.Inf(1)
	for i := len(l.Targets) - 1; i >= 0; i-- {
		t := l.Targets[i]
		d := t.distance(v, at)
		if d == 0 {
			return t.ID
		}
		if d <= t.Grow && d < bestDist {
			best, bestDist = t.ID, d
		}
	}
	return best
}

// distance is how far a place lies outside a target, in pixels; a line has no
// inside.
func (t Target) distance(v View, at mgl64.Vec2) float64 {
	pts := make([]mgl64.Vec2, len(t.Area))
	for i, p := range t.Area {
		pts[i] = v.Screen(p)
	}
	if len(pts) > 2 && Contains(pts, at) {
		return 0
	}
	d := math.Inf(1)
	for i := range pts {
		if len(pts) == 2 && i == 1 {
			break
		}
		d = math.Min(d, SegmentDistance(pts[i], pts[(i+1)%len(pts)], at))
	}
	return math.Max(d, 1e-9)
}

// Contains says that a convex polygon, in either direction, holds a point.
func Contains(poly []mgl64.Vec2, p mgl64.Vec2) bool {
	sign := 0.0
	for i := range poly {
		a, b := poly[i], poly[(i+1)%len(poly)]
		c := (b.X()-a.X())*(p.Y()-a.Y()) - (b.Y()-a.Y())*(p.X()-a.X())
		if c*sign < 0 {
			return false
		}
		if c != 0 {
			sign = c
		}
	}
	return sign != 0
}

// SegmentDistance is the distance of p from the segment from a to b.
func SegmentDistance(a, b, p mgl64.Vec2) float64 {
	ab := b.Sub(a)
	t := 0.0
	if n := ab.Dot(ab); n > 0 {
		t = math.Max(0, math.Min(1, p.Sub(a).Dot(ab)/n))
	}
	return p.Sub(a.Add(ab.Mul(t))).Len()
}
