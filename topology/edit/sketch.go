package edit

import (
	"fmt"
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
)

// What a sketch holds at most: a drawing that nobody reads any more, and that still
// opens at once.
const (
	mostStrokes = 2000
	mostPoints  = 200000 // of all strokes together
)

// AddStroke adds a freehand line to the sketch of a tier, in mm. Points that say
// nothing new are left out.
func AddStroke(l topology.Layout, tier int, points [][2]float64) (topology.Layout, error) {
	if err := tierOK(tier); err != nil {
		return l, err
	}
	var kept [][2]float64
	for _, p := range points {
		if err := inReach("a point of the sketch", p[0], p[1]); err != nil {
			return l, err
		}
		p = [2]float64{tidy(p[0]), tidy(p[1])}
		if len(kept) == 0 || kept[len(kept)-1] != p {
			kept = append(kept, p)
		}
	}
	if len(kept) == 0 {
		return l, fmt.Errorf("a line of the sketch has a point at least")
	}
	out := l
	out.Sketch = append(slices.Clone(l.Sketch), topology.Stroke{Tier: tier, Points: kept})
	if err := sketchOK(out); err != nil {
		return l, err
	}
	return out, nil
}

// sketchOK refuses more than a sketch holds.
func sketchOK(l topology.Layout) error {
	points := 0
	for _, s := range l.Sketch {
		points += len(s.Points)
	}
	if len(l.Sketch) > mostStrokes || points > mostPoints {
		return fmt.Errorf("the sketch would have %d lines and %d points; it holds up to %d and %d", len(l.Sketch), points, mostStrokes, mostPoints)
	}
	return nil
}

// Erase takes out of a tier's sketch what lies within radius mm of a point; a stroke
// that it cuts becomes several. changed is how many strokes it touched.
func Erase(l topology.Layout, tier int, at mgl64.Vec2, radius float64) (out topology.Layout, changed int, err error) {
	if !finite(at[:]...) || !(radius > 0 && radius <= furthest) {
		return l, 0, fmt.Errorf("the sketch is erased near a point, within more than 0 mm")
	}
	out = l
	out.Sketch = nil
	for _, s := range l.Sketch {
		if s.Tier != tier {
			out.Sketch = append(out.Sketch, s)
			continue
		}
		runs, cut := erased(s.Points, at, radius)
		if !cut {
			out.Sketch = append(out.Sketch, s)
			continue
		}
		changed++
		for _, r := range runs {
			out.Sketch = append(out.Sketch, topology.Stroke{Tier: tier, Points: r, Extra: s.Extra})
		}
	}
	if err := sketchOK(out); err != nil && changed > 0 {
		return l, 0, err
	}
	return out, changed, nil
}

// erased is what of a line lies outside a circle.
func erased(points [][2]float64, at mgl64.Vec2, radius float64) (runs [][][2]float64, cut bool) {
	if len(points) == 1 {
		if mgl64.Vec2(points[0]).Sub(at).Len() < radius {
			return nil, true
		}
		return nil, false
	}
	var run [][2]float64
	flush := func() {
		if len(run) > 1 {
			runs = append(runs, run)
		}
		run = nil
	}
	add := func(p mgl64.Vec2) {
		if q := [2]float64{tidy(p.X()), tidy(p.Y())}; len(run) == 0 || run[len(run)-1] != q {
			run = append(run, q)
		}
	}
	for i := 1; i < len(points); i++ {
		a, b := mgl64.Vec2(points[i-1]), mgl64.Vec2(points[i])
		in, out, hit := chord(a, b, at, radius)
		if !hit {
			add(a)
			add(b)
			continue
		}
		cut = true
		if in > 0 {
			add(a)
			add(a.Add(b.Sub(a).Mul(in)))
		}
		flush()
		if out < 1 {
			add(a.Add(b.Sub(a).Mul(out)))
			add(b)
		}
	}
	flush()
	return runs, cut
}

// chord is the part of a segment that lies in a circle, as shares of its length.
func chord(a, b, c mgl64.Vec2, radius float64) (in, out float64, hit bool) {
	d, f := b.Sub(a), a.Sub(c)
	if d.Len() == 0 {
		return 0, 1, f.Len() < radius
	}
	mid := -f.Dot(d) / d.Dot(d)
	half2 := (radius*radius - f.Add(d.Mul(mid)).LenSqr()) / d.Dot(d)
	if half2 <= 0 {
		return 0, 0, false
	}
	half := math.Sqrt(half2)
	in, out = math.Max(0, mid-half), math.Min(1, mid+half)
	return in, out, in < out
}

// ClearSketch takes out the whole sketch of a tier.
func ClearSketch(l topology.Layout, tier int) topology.Layout {
	l.Sketch = without(l.Sketch, func(s topology.Stroke) bool { return s.Tier == tier })
	return l
}
