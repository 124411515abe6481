package locate

import (
	"math"
	"slices"
)

// What one section's readings have against each other, nothing elsewhere can mend.
// With r the residuals of all readings and C their covariance, those of a part p of
// them satisfy
//
//	r_pᵀ·C_pp⁻¹·r_p ≤ rᵀ·C⁻¹·r
//
// and whatever leaks, a section shows no more than its two numbers: the least of the
// left side over these is a floor under χ² of every explanation that leaves the
// section's circuits as they are.

// clashes is that floor for every section, 0 where there is none.
func (a *analysis) clashes() []float64 {
	if a.floors != nil {
		return a.floors
	}
	a.floors = make([]float64, len(a.d.slots))
	for s := range a.floors {
		if a.d.live[s] && a.numbers[s].ok {
			a.floors[s] = leastOwn(a.d.only(s), s, a.numbers[s])
		}
	}
	return a.floors
}

// leastOwn is the least χ² of a section's own readings: along a ladder over all
// sizes, the place being linear, then climbed from its best rung.
func leastOwn(d *data, s int, n twoNumbers) float64 {
	g, q := make([]float64, len(d.slots)), make([]float64, len(d.slots))
	for i := range g {
		g[i] = 1e-8
	}
	g[s], q[s] = n.g, n.g*n.u
	m, err := newModel(d, g, q)
	if err != nil || len(m.bounds) > 0 {
		return 0
	}
	f := newFit(m)
	f.xLo, f.xHi = -math.Log(sectionHigh), -math.Log(sectionLow)
	src := &source{u: d.nowhere(), sd: math.Inf(1)}
	src.u[s] = n.u
	f.src = []*source{src}
	const rungs = 60
	least, p := math.Inf(1), []float64{0, bLow}
	for k := 0; k <= rungs; k++ {
		x := f.xLo + (f.xHi-f.xLo)*float64(k)/rungs
		if f.value([]float64{x, bLow}); f.chi2 < least {
			least, p[0] = f.chi2, x
		}
	}
	f.climb(p, []bool{true, false})
	return math.Min(least, f.chi2) + m.fixed
}

// surely is how far beyond its limit a floor must lie to count: the covariance is
// taken at another point in every fit.
const surely = 2.0

// hopelessFor says that a slip which must make all readings fit cannot, since the
// readings of a section that it leaves alone do not fit each other.
func (a *analysis) hopelessFor(where []int) bool {
	if len(where) == 0 {
		return false
	}
	for s, floor := range a.clashes() {
		if !slices.Contains(where, s) && floor > surely*chiLimit(len(a.d.obs)) {
			return true
		}
	}
	return false
}

// slotsWith lists the sections that hold a module.
func (d *data) slotsWith(module int) []int {
	var out []int
	for s := range d.slots {
		if sec := d.slots[s].sec; sec != nil && slices.Contains(sec.Modules, module) {
			out = append(out, s)
		}
	}
	return out
}
