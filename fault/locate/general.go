package locate

import (
	"maps"
	"math"
	"slices"
)

// A general fit asks nothing but physics of the readings: that every part of
// the pack which some state sets apart leaks with some size somewhere in it, on
// some background. One wide source stands for all leaks of a part, which is
// exact, since a section shows no more than its two numbers. What this cannot
// fit is no matter of how many leaks there are, but a reading that is wrong, or
// a pack that changed.
type general struct {
	d     *data
	m     *model
	f     *fit
	p     []float64
	deep  bool
	begin []float64  // where to begin; nil = by the sections' own numbers
	brief bool       // to be compared with its like: at most one look from further off
	near  *neighbour // what is known of a fit to nearly the same readings; nil = nothing
	ok    bool
	chi2  float64 // of the readings, the places' own prior left out

	inside  float64 // ln of what an even prior over every part changes in the evidence
	outside float64 // ln of the probability that the places lie within their parts
}

// parts makes one wide source of every cell of candidates.
func (d *data) parts() []*source {
	if d.partsMemo != nil {
		return d.partsMemo
	}
	d.partsMemo = d.makeParts()
	return d.partsMemo
}

// partCells are the cells of candidates that make a part each, in the parts' order.
func (d *data) partCells() (cells []int, by map[int][]*candidate) {
	by = map[int][]*candidate{}
	for _, c := range d.candidates() {
		if !c.unseen && !c.beside {
			by[c.cell] = append(by[c.cell], c)
		}
	}
	return slices.Sorted(maps.Keys(by)), by
}

// partHigh is what a sound part has at the most, ohms: several of them together must
// be next to nothing beside a background of gigohms.
const partHigh = 10e12

func (d *data) makeParts() []*source {
	cells, byCell := d.partCells()
	var out []*source
	for _, cell := range cells {
		u, span := middle(byCell[cell])
		out = append(out, &source{u: u, sd: span/math.Sqrt(12) + pathSD*nominalCell,
			xLo: -math.Log(partHigh), xHi: xHigh})
	}
	return out
}

// middle is the potential midway between the outermost candidates of one cell in
// every section, and how far those lie apart, V, which is the same in every section
// that has them.
func middle(list []*candidate) (u []float64, span float64) {
	u = make([]float64, len(list[0].u))
	for s := range u {
		lo, hi := math.Inf(1), math.Inf(-1)
		for _, c := range list {
			lo, hi = math.Min(lo, c.u[s]), math.Max(hi, c.u[s])
		}
		u[s] = (lo + hi) / 2
		if span == 0 && hi > lo {
			span = hi - lo
		}
	}
	return u, span
}

// fitDeep fits the general explanation to a case's readings, and looks at every two sizes
// together before it calls them odd: whether anything is in doubt hangs on it.
func fitDeep(d *data) *general { return (&general{d: d, deep: true}).fit(math.Inf(1)) }

// fitNear fits it beside another fit, where sizes are not sought further off once a
// section's own readings clash. It gives up where the misfit is beyond a limit of χ²: the
// result is then not ok.
func fitNear(d *data, by *neighbour, limit float64) *general {
	return (&general{d: d, near: by}).fit(limit)
}

func (e *general) fit(limit float64) *general {
	d := e.d
	src := append(slices.Clone(d.parts()), d.standing()...)
	if len(src) == 0 || len(src) > maxSources || len(d.obs) == 0 {
		return e
	}
	g, q := d.guesses()
	hopeless := false
	for pass := 0; pass < 3; pass++ { // the covariance is taken at the fit itself
		m, err := newModel(d, g, q)
		if err != nil || pass == 0 && m.fixed > limit {
			return e
		}
		e.m, e.f = m, newFit(m)
		e.f.src = src
		if pass == 0 && len(e.begin) > 0 {
			e.p = clone(e.begin)
		} else if pass == 0 {
			e.p = e.start(g)
		}
		if hopeless = e.climb(pass == 0) || hopeless; pass == 0 && (e.f.chi2+e.m.fixed > limit || hopeless && e.near.all) {
			return e
		}
		g, q = clone(e.f.g), e.centred()
		if hopeless && e.near.roughly {
			break
		}
	}
	e.inside, e.outside = e.settled()
	e.ok, e.chi2 = true, e.f.chi2+e.m.fixed-2*e.outside
	return e
}

// odd says that physics alone fits the readings too badly for chance, at p = 0.001.
func (e *general) odd() bool {
	return chiBad(e.chi2, max(1, e.m.dof()-len(e.f.src)))
}

// settled corrects for what a wide source leaves out: a part's equivalent
// lies within the part, evenly likely from end to end, give or take the leak
// path's own potential. Places far outside cost what they should.
func (e *general) settled() (inside, outside float64) {
	for i, src := range e.f.src {
		half := (src.sd - pathSD*nominalCell) * math.Sqrt(12) / 2
		if half <= 0 || src.times != nil {
			continue
		}
		s := math.Hypot(pathSD*nominalCell, math.Sqrt(e.f.dVar[i]))
		m := e.f.dMean[i]
		in, _, _ := bound{set: true, low: -half, high: half, sd: s}.likelihood(m, 0)
		wide := math.Hypot(src.sd, math.Sqrt(e.f.dVar[i]))
		inside += in - math.Log(2*half) + m*m/(2*wide*wide) + math.Log(wide*math.Sqrt(2*math.Pi))
		outside += math.Min(0, in)
	}
	return inside, outside
}

// climb finds the peak from the present point, and where the readings do not fit
// there, from further off. Readings that miss a section's size leave a plateau, and
// so do two parts of which only the sum is known: a climb does not cross them.
func (e *general) climb(far bool) (hopeless bool) {
	e.f.climb(e.p, allFree[:len(e.p)])
	if far && e.near != nil && !e.fits() && e.hopeless() {
		e.alsoFrom(e.near.p)
		e.f.at(e.p)
		return true
	}
	rounds := 3
	if e.brief {
		rounds = 1
	}
	for round := 0; far && round < rounds && !e.fits(); round++ {
		before := e.score()
		if e.search(); e.score() < before+0.1 {
			break
		}
	}
	e.f.at(e.p)
	return false
}

// alsoFrom climbs from another point too and keeps what scores best.
func (e *general) alsoFrom(p []float64) {
	if len(p) != len(e.p) {
		return
	}
	best, top := clone(e.p), e.score()
	e.p = clone(p)
	e.f.climb(e.p, allFree[:len(p)])
	if !(e.score() > top) {
		e.p = best
	}
}

// score is ψ with what places outside their parts cost.
func (e *general) score() float64 {
	psi := e.f.at(e.p)
	_, outside := e.settled()
	return psi + outside
}

// fits says that no better place is worth looking for.
func (e *general) fits() bool {
	e.f.at(e.p)
	_, outside := e.settled()
	return e.f.chi2+e.m.fixed-2*outside < chiLimit(max(1, e.m.dof()))
}

// search climbs from the best point of a ladder over every size and the background,
// and, where it goes deep, over every two of them, the others as they are, and keeps
// what scores best.
func (e *general) search() {
	n := len(e.p)
	var starts [][]float64
	for i := range n {
		starts = append(starts, e.best(9, i))
		for k := 0; e.deep && k < i; k++ {
			starts = append(starts, e.best(7, i, k))
		}
	}
	best, top := clone(e.p), e.score()
	for _, p := range starts {
		e.f.climb(p, allFree[:n])
		e.p = p
		if s := e.score(); s > top {
			best, top = clone(p), s
		}
	}
	e.p = best
	e.f.at(e.p)
}

// best is the point of the best score with one or two parameters at any rung of
// their ranges.
func (e *general) best(rungs int, which ...int) []float64 {
	from := e.p
	defer func() { e.p = from }()
	var out []float64
	top := math.Inf(-1)
	for k := range int(math.Pow(float64(rungs), float64(len(which)))) {
		trial := clone(from)
		for _, i := range which {
			lo, hi := e.f.bounds(i)
			trial[i] = lo + (hi-lo)*float64(k%rungs)/float64(rungs-1)
			k /= rungs
		}
		e.p = trial
		if s := e.score(); s > top || out == nil {
			out, top = trial, s
		}
	}
	return out
}

// start guesses the sizes from the sections' guessed conductances.
func (e *general) start(g []float64) []float64 {
	p := make([]float64, 0, len(e.f.src)+1)
	for i, src := range e.f.src {
		x, small := -math.Log(1e6), math.Inf(1)
		for s, u := range src.u {
			if u == u && e.d.slots[s].share > 0 && e.d.slots[s].share < small {
				small, x = e.d.slots[s].share, math.Log(g[s])
			}
		}
		lo, hi := e.f.bounds(i)
		p = append(p, math.Max(lo+0.05, math.Min(hi-0.05, x)))
	}
	return append(p, startBackground)
}

// guesses are the sections' two numbers by least squares, the background's
// where a section has too few readings.
func (d *data) guesses() (g, q []float64) {
	g, q = make([]float64, len(d.slots)), make([]float64, len(d.slots))
	for s := range d.slots {
		sl := &d.slots[s]
		g[s], q[s] = 1e-8, 1e-8*sl.middle
		sub := d.only(s)
		if independent(sub) >= 2 {
			var u float64
			g[s], u = guess(sub, s)
			q[s] = g[s] * u
		}
	}
	return g, q
}
