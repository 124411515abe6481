package plan

import (
	"container/heap"
	"math"
	"sort"

	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/ui/scene"
)

// Weights of the search: a corner costs as much as so many mm, and a mm inside
// a module as much as so many outside.
const (
	cornerCost = 60.0
	insideCost = 40.0
	mostLines  = 120 // in each direction
)

// search is a shortest path with few corners over the lattice of lines beside
// and between the modules near by; nil when the lattice does not join the ends.
// Time is the number of crossings times its logarithm.
func (ob *obstacles) search(a, b mgl64.Vec2) []mgl64.Vec2 {
	area := scene.Around(a, b).Grown(1.2 * ob.cell)
	var xs, ys []float64
	for _, i := range ob.near(area) {
		r := ob.boxes[i]
		xs = append(xs, r.Min.X(), r.Max.X())
		ys = append(ys, r.Min.Y(), r.Max.Y())
	}
	xs, ys = lines(xs, a.X(), b.X()), lines(ys, a.Y(), b.Y())
	if len(xs) > mostLines || len(ys) > mostLines {
		return nil
	}
	l := lattice{ob: ob, xs: xs, ys: ys}
	return l.path(a, b)
}

// lines are the coordinates a link may run on: beside every edge, halfway
// between neighbouring edges, and those of its ends.
func lines(edges []float64, ends ...float64) []float64 {
	beside := [...]float64{14, 28} // mm
	sort.Float64s(edges)
	out := append([]float64(nil), ends...)
	for i, e := range edges {
		for _, d := range beside {
			out = append(out, e-d, e+d)
		}
		if i > 0 && e-edges[i-1] > 2 {
			out = append(out, (e+edges[i-1])/2)
		}
	}
	sort.Float64s(out)
	kept := out[:0]
	for _, v := range out {
		if len(kept) == 0 || v-kept[len(kept)-1] > 0.5 {
			kept = append(kept, v)
		}
	}
	return kept
}

type lattice struct {
	ob     *obstacles
	xs, ys []float64
}

// A crossing of the lattice, reached across (0) or down (1); hope is its cost
// and the least that the rest can cost.
type crossing struct {
	x, y, way  int
	cost, hope float64
}

type queue []crossing

func (q queue) Len() int           { return len(q) }
func (q queue) Less(i, j int) bool { return q[i].hope < q[j].hope }
func (q queue) Swap(i, j int)      { q[i], q[j] = q[j], q[i] }
func (q *queue) Push(x any)        { *q = append(*q, x.(crossing)) }
func (q *queue) Pop() any {
	old := *q
	c := old[len(old)-1]
	*q = old[:len(old)-1]
	return c
}

func (l lattice) at(x, y int) mgl64.Vec2 { return mgl64.Vec2{l.xs[x], l.ys[y]} }

func (l lattice) index(x, y, way int) int { return (x*len(l.ys)+y)*2 + way }

// path is the A* search with the distance across and down as what is hoped for;
// the state is a crossing and the direction of arrival, so that corners can
// cost.
func (l lattice) path(a, b mgl64.Vec2) []mgl64.Vec2 {
	ax, ay := nearest(l.xs, a.X()), nearest(l.ys, a.Y())
	bx, by := nearest(l.xs, b.X()), nearest(l.ys, b.Y())
	n := len(l.xs) * len(l.ys) * 2
	best, from := make([]float64, n), make([]int, n)
	for i := range best {
		best[i], from[i] = math.Inf(1), -1
	}
	q := &queue{{ax, ay, 0, 0, 0}, {ax, ay, 1, 0, 0}}
	steps := map[[4]int]float64{} // the cost of each piece of a line
	best[l.index(ax, ay, 0)], best[l.index(ax, ay, 1)] = 0, 0
	for q.Len() > 0 {
		c := heap.Pop(q).(crossing)
		here := l.index(c.x, c.y, c.way)
		if c.cost > best[here] {
			continue
		}
		if c.x == bx && c.y == by {
			return l.walkBack(from, here)
		}
		for _, d := range [4][3]int{{1, 0, 0}, {-1, 0, 0}, {0, 1, 1}, {0, -1, 1}} {
			x, y := c.x+d[0], c.y+d[1]
			if x < 0 || y < 0 || x >= len(l.xs) || y >= len(l.ys) {
				continue
			}
			piece := [4]int{min(c.x, x), min(c.y, y), max(c.x, x), max(c.y, y)}
			step, known := steps[piece]
			if !known {
				p, r := l.at(c.x, c.y), l.at(x, y)
				step = r.Sub(p).Len() + insideCost*l.ob.inside(p, r) + l.ob.crowded(p, r)
				steps[piece] = step
			}
			cost := c.cost + step
			if d[2] != c.way {
				cost += cornerCost
			}
			if to := l.index(x, y, d[2]); cost < best[to] {
				best[to], from[to] = cost, here
				rest := math.Abs(l.xs[x]-l.xs[bx]) + math.Abs(l.ys[y]-l.ys[by])
				heap.Push(q, crossing{x, y, d[2], cost, cost + rest})
			}
		}
	}
	return nil
}

func (l lattice) walkBack(from []int, at int) []mgl64.Vec2 {
	var way []mgl64.Vec2
	for ; at >= 0; at = from[at] {
		way = append(way, l.at(at/2/len(l.ys), at/2%len(l.ys)))
	}
	return reversed(way)
}

func nearest(sorted []float64, v float64) int {
	best := 0
	for i, s := range sorted {
		if math.Abs(s-v) < math.Abs(sorted[best]-v) {
			best = i
		}
	}
	return best
}
