package probing

import (
	"math"
	"sort"
)

// Levels are two values between which a series steps.
type Levels struct {
	Low, High float64 // medians of either part
	Cut       float64 // values above it belong to High
	Steps     int     // how often the series goes from one to the other
}

// FitLevels splits values at their widest gap. ok says that both parts are level,
// with at least two values each and nothing in between, and that the gap is far
// beyond the uncertainties: a path that comes and goes. A single step without a
// return counts as well.
//
// It needs O(n·log n).
func FitLevels(points []Point) (l Levels, ok bool) {
	if len(points) < 4 {
		return l, false
	}
	v := make([]float64, len(points))
	for i, p := range points {
		v[i] = p.V
	}
	sort.Float64s(v)
	cut, wide := 0, 0.0
	for i := 1; i < len(v); i++ {
		if gap := v[i] - v[i-1]; gap > wide {
			cut, wide = i, gap
		}
	}
	sd := typical(points)
	tight := func(part []float64) bool { return part[len(part)-1]-part[0] <= math.Max(6*sd, wide/20) }
	if cut < 2 || len(v)-cut < 2 || wide < 12*sd || !tight(v[:cut]) || !tight(v[cut:]) {
		return l, false
	}
	l = Levels{Low: middle(v[:cut]), High: middle(v[cut:]), Cut: (v[cut-1] + v[cut]) / 2}
	for i := 1; i < len(points); i++ {
		if (points[i].V > l.Cut) != (points[i-1].V > l.Cut) {
			l.Steps++
		}
	}
	return l, true
}

// middle is the median of sorted values.
func middle(v []float64) float64 { return (v[(len(v)-1)/2] + v[len(v)/2]) / 2 }

// Turns is how often a series turns round by more than its counts: steps of five
// standard uncertainties that change sign.
func Turns(points []Point) (n int) {
	before, sd := 0.0, typical(points)
	for i := 1; i < len(points); i++ {
		step := points[i].V - points[i-1].V
		if math.Abs(step) < 5*math.Sqrt2*sd {
			continue
		}
		if step*before < 0 {
			n++
		}
		before = step
	}
	return n
}
