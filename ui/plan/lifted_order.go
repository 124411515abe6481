package plan

import (
	"cmp"
	"container/heap"
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"
)

// order is that in which blocks are drawn, so that what is nearer covers what is farther.
//
// All that lies on one ray of the projection has the same X and the same tilt·y − z: on it
// the height grows with the nearness. A block of a lower tier is therefore never in front
// of one of a higher tier, and tiers are drawn from the lowest up. Within a tier blocks
// stand on one ground and are alike high: of two that share some X the nearer one there is
// in front, and where they do not overlap that is the same one at every X that they share,
// since both are convex. This order of convex figures has no circles; in blocks that
// overlap it may have, and there the middles decide.
func (g *lifted) order() (out []int) {
	tiers := map[float64][]int{}
	var bases []float64
	for m := range g.f.Geo.Modules {
		if len(tiers[g.base[m]]) == 0 {
			bases = append(bases, g.base[m])
		}
		tiers[g.base[m]] = append(tiers[g.base[m]], m)
	}
	slices.Sort(bases)
	for _, b := range bases {
		out = append(out, g.farthestFirst(tiers[b])...)
	}
	return out
}

// A foot is what a block stands on, turned as it is seen: Y grows towards the viewer.
type foot struct {
	module  int
	corners [4]mgl64.Vec2
	lo, hi  float64 // of X
	far     float64 // the least Y
	near    float64 // the greatest
	depth   float64 // Y of the middle
	after   []int   // feet that are in front of it
	before  int     // how many that are behind it are not drawn yet
}

// farthestFirst orders the blocks of one tier.
func (g *lifted) farthestFirst(modules []int) (out []int) {
	feet := make([]foot, len(modules))
	for i, m := range modules {
		o := g.f.Geo.Modules[m]
		ft := &feet[i]
		ft.module, ft.lo, ft.hi, ft.far, ft.near = m, math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
		for k, c := range o.Corners {
			p := g.turn.Mul2x1(c.Add(g.shift[m]))
			ft.corners[k] = p
			ft.lo, ft.hi = min(ft.lo, p.X()), max(ft.hi, p.X())
			ft.far, ft.near = min(ft.far, p.Y()), max(ft.near, p.Y())
		}
		ft.depth = g.turn.Mul2x1(o.Center.Add(g.shift[m])).Y()
	}
	slices.SortStableFunc(feet, func(a, b foot) int { return cmp.Compare(a.lo, b.lo) })
	for i := range feet {
		for k := i + 1; k < len(feet) && feet[k].lo < feet[i].hi-1e-6; k++ {
			if feet[i].behind(&feet[k]) {
				feet[i].after, feet[k].before = append(feet[i].after, k), feet[k].before+1
			} else {
				feet[k].after, feet[i].before = append(feet[k].after, i), feet[i].before+1
			}
		}
	}
	ready := &byDepth{feet: feet}
	for i := range feet {
		if feet[i].before == 0 {
			heap.Push(ready, i)
		}
	}
	drawn := make([]bool, len(feet))
	for len(out) < len(feet) {
		if ready.Len() == 0 { // a circle: the farthest middle of what is left
			heap.Push(ready, farthestLeft(feet, drawn))
		}
		i := heap.Pop(ready).(int)
		if drawn[i] {
			continue
		}
		drawn[i] = true
		out = append(out, feet[i].module)
		for _, k := range feet[i].after {
			if feet[k].before--; feet[k].before == 0 && !drawn[k] {
				heap.Push(ready, k)
			}
		}
	}
	return out
}

func farthestLeft(feet []foot, drawn []bool) int {
	best := -1
	for i := range feet {
		if !drawn[i] && (best < 0 || feet[i].depth < feet[best].depth) {
			best = i
		}
	}
	return best
}

// behind says that a foot is farther from the viewer than another, in the middle of the X
// that they share.
func (a *foot) behind(b *foot) bool {
	switch {
	case a.near <= b.far:
		return true
	case b.near <= a.far:
		return false
	}
	x := (math.Max(a.lo, b.lo) + math.Min(a.hi, b.hi)) / 2
	alo, ahi := a.across(x)
	blo, bhi := b.across(x)
	switch {
	case ahi <= blo+1e-6:
		return true
	case bhi <= alo+1e-6:
		return false
	}
	return a.depth < b.depth // they overlap
}

// across is the stretch of Y that a foot covers at an X.
func (a *foot) across(x float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for i, p := range a.corners {
		q := a.corners[(i+1)%4]
		if (p.X()-x)*(q.X()-x) > 0 {
			continue
		}
		ys := []float64{p.Y(), q.Y()}
		if d := q.X() - p.X(); math.Abs(d) > 1e-9 {
			y := p.Y() + (q.Y()-p.Y())*(x-p.X())/d
			ys = []float64{y}
		}
		for _, y := range ys {
			lo, hi = math.Min(lo, y), math.Max(hi, y)
		}
	}
	return lo, hi
}

// byDepth are feet that nothing undrawn is behind, the farthest first.
type byDepth struct {
	feet []foot
	at   []int
}

func (q *byDepth) Len() int           { return len(q.at) }
func (q *byDepth) Less(i, j int) bool { return q.feet[q.at[i]].depth < q.feet[q.at[j]].depth }
func (q *byDepth) Swap(i, j int)      { q.at[i], q.at[j] = q.at[j], q.at[i] }
func (q *byDepth) Push(x any)         { q.at = append(q.at, x.(int)) }
func (q *byDepth) Pop() any {
	last := q.at[len(q.at)-1]
	q.at = q.at[:len(q.at)-1]
	return last
}
