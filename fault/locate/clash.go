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

// ownFloor is a section's floor, its numbers taken to lie where least squares have
// them; 0 where it has too few readings of its own.
func (d *data) ownFloor(s int) float64 {
	sub := d.only(s)
	if independent(sub) < 2 {
		return 0
	}
	g, u := guess(sub, s)
	return leastOwn(sub, s, twoNumbers{g: g, u: u})
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

// A neighbour is what a fit to nearly the same readings tells of another: where it ended,
// and the floors of the sections whose readings are the same in both.
type neighbour struct {
	p      []float64
	floors []float64 // by section; NaN = its readings are others
	all    bool      // of use only where every reading fits

	roughly bool // where all will not fit, what it says need not be exact
}

// near is what the fit to all readings tells of one to all but some, or to all of
// which some are mended. Of sections that hold none of those the floors are known.
func (a *analysis) near(as *general, gone ...string) *neighbour {
	out := &neighbour{p: as.p, floors: slices.Clone(a.clashes())}
	for i := range a.d.obs {
		if o := &a.d.obs[i]; slices.Contains(gone, o.id) {
			for _, s := range o.slots() {
				out.floors[s] = math.NaN()
			}
		}
	}
	return out
}

// hopeless says that some section's readings do not fit each other, so that no sizes
// will make all fit, however they are sought.
func (e *general) hopeless() bool {
	d, limit := e.d, surely*chiLimit(len(e.d.obs))
	floors := e.near.floors
	if len(floors) != len(d.slots) {
		floors = make([]float64, len(d.slots))
		for s := range floors {
			floors[s] = math.NaN()
		}
	}
	if slices.ContainsFunc(floors, func(least float64) bool { return least > limit }) {
		return true
	}
	for s, least := range floors {
		if math.IsNaN(least) && d.live[s] && d.ownFloor(s) > limit {
			return true
		}
	}
	return false
}

// stillClash says that a section's readings do not fit each other without those
// either, so that nothing entered for them will make all fit.
func (a *analysis) stillClash(gone ...*observation) bool {
	limit := surely * chiLimit(len(a.d.obs))
	for _, s := range gone[0].slots() {
		if !(a.clashes()[s] > limit) {
			continue
		}
		rest := *a.d
		rest.obs = slices.DeleteFunc(slices.Clone(a.d.obs), func(o observation) bool {
			return slices.ContainsFunc(gone, func(g *observation) bool { return g.id == o.id })
		})
		if rest.ownFloor(s) > limit {
			return true
		}
	}
	return false
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
