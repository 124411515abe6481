package locate

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"halfsplit/fault"
)

// A general fit asks nothing but physics of the readings: that every part of
// the pack which some state sets apart leaks with some size somewhere in it, on
// some background. One wide source stands for all leaks of a part, which is
// exact, since a section shows no more than its two numbers. What this cannot
// fit is no matter of how many leaks there are, but a reading that is wrong, or
// a pack that changed.
type general struct {
	d    *data
	m    *model
	f    *fit
	p    []float64
	deep bool
	ok   bool
	chi2 float64 // of the readings, the places' own prior left out

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

// partHigh is what a sound part has at the most, ohms: several of them together must
// be next to nothing beside a background of gigohms.
const partHigh = 10e12

func (d *data) makeParts() []*source {
	byCell := map[int][]*candidate{}
	var cells []int
	for _, c := range d.candidates() {
		if c.unseen || c.beside {
			continue
		}
		if byCell[c.cell] == nil {
			cells = append(cells, c.cell)
		}
		byCell[c.cell] = append(byCell[c.cell], c)
	}
	slices.Sort(cells)
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

// fitGeneral fits the general explanation to a case's readings.
func fitGeneral(d *data) *general { return fitWithin(d, math.Inf(1)) }

// fitDeep is fitGeneral that looks at every two sizes together before it calls the
// readings odd: whether anything is in doubt hangs on it.
func fitDeep(d *data) *general { return (&general{d: d, deep: true}).fit(math.Inf(1)) }

// fitWithin is fitGeneral, given up early where the misfit is beyond a limit of
// χ²: the result is then not ok.
func fitWithin(d *data, limit float64) *general { return (&general{d: d}).fit(limit) }

func (e *general) fit(limit float64) *general {
	d := e.d
	src := append(slices.Clone(d.parts()), d.standing()...)
	if len(src) == 0 || len(src) > maxSources || len(d.obs) == 0 {
		return e
	}
	g, q := d.guesses()
	for pass := 0; pass < 3; pass++ { // the covariance is taken at the fit itself
		m, err := newModel(d, g, q)
		if err != nil {
			return e
		}
		e.m, e.f = m, newFit(m)
		e.f.src = src
		if pass == 0 {
			e.p = e.start(g)
		}
		if e.climb(pass == 0); pass == 0 && e.f.chi2+e.m.fixed > limit {
			return e
		}
		g, q = clone(e.f.g), e.centred()
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
func (e *general) climb(far bool) {
	e.f.climb(e.p, allFree[:len(e.p)])
	for round := 0; far && round < 3 && !e.fits(); round++ {
		before := e.score()
		if e.search(); e.score() < before+0.1 {
			break
		}
	}
	e.f.at(e.p)
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

// observe is what a reading would be in the fit's circuit, without making it one
// of the fitted; a section that no fitted reading touches has nothing to say of it.
func (e *general) observe(r fault.Reading) (observation, string) {
	d := *e.d
	d.slots, d.slotAt = slices.Clone(e.d.slots), maps.Clone(e.d.slotAt)
	o, why := d.observe(r)
	if why == "" && len(d.slots) > len(e.d.slots) {
		why = "it lies in a section that no other reading touches"
	}
	return o, why
}

// A forecast is what the other readings say that one should be.
type forecast struct{ mean, sd float64 }

// forecast predicts observations from the fit, the errors that they share with
// the fitted readings included (kriging with trend, e.g. Cressie 1993, 3.4; the
// sizes and places are the trend). others holds the observations to predict;
// they must not be among those fitted.
func (e *general) forecast(others []observation) []forecast {
	if !e.ok {
		return nil
	}
	joint := *e.d
	joint.obs = append(append([]observation{}, e.d.obs...), others...)
	m, err := newModel(&joint, e.f.g, e.centred())
	if err != nil {
		return nil
	}
	f := newFit(m)
	f.src = e.f.src
	f.at(e.p)
	n, fitted := len(m.order), len(e.d.obs)
	k := len(f.src)
	cov := m.rows.covariance()
	pred, jac := mat.NewVecDense(n, nil), mat.NewDense(n, 2*k+1, nil)
	for i, oi := range m.order {
		o := &joint.obs[oi]
		if i < m.nWith {
			pred.SetVec(i, o.red.volts-o.black.volts)
			continue
		}
		var t turn
		f.turnOf(&m.probes[i-m.nWith], &t)
		v := t.value
		for a := 0; a < k; a++ {
			v += t.delta[a] * e.f.dMean[a]
			jac.Set(i, a, t.size[a])
			jac.Set(i, k+1+a, t.delta[a])
		}
		jac.Set(i, k, t.size[k])
		pred.SetVec(i, v)
	}
	var in, out []int
	for i, oi := range m.order {
		if oi < fitted {
			in = append(in, i)
		} else {
			out = append(out, i)
		}
	}
	fc := krige(cov, jac, pred, in, out, e.looseness(), func(i int) float64 { return joint.obs[m.order[i]].value })
	if fc == nil {
		return nil
	}
	res := make([]forecast, len(others))
	for i, at := range out {
		res[m.order[at]-fitted] = fc[i]
	}
	return res
}

// centred is the sections' Q at the places' best potentials.
func (e *general) centred() []float64 {
	q := clone(e.f.q)
	for s := range q {
		for i, src := range e.f.src {
			if u := src.u[s]; u == u {
				q[s] += e.f.cond[i] * src.many(s) * e.f.dMean[i]
			}
		}
	}
	return q
}

// looseness is the prior precision of every size, the background and every
// place: those that the readings do not hold keep their range.
func (e *general) looseness() []float64 {
	k := len(e.f.src)
	prec := make([]float64, 2*k+1)
	for i := 0; i <= k; i++ {
		lo, hi := e.f.bounds(i)
		prec[i] = 12 / ((hi - lo) * (hi - lo))
	}
	for i, s := range e.f.src {
		prec[k+1+i] = 1 / (s.sd * s.sd)
	}
	return prec
}

// krige predicts the rows out from the rows in.
func krige(cov *mat.SymDense, jac *mat.Dense, pred *mat.VecDense, in, out []int, prec []float64, value func(int) float64) []forecast {
	n, p := len(in), len(prec)
	if n == 0 {
		return nil
	}
	c := mat.NewSymDense(n, nil)
	j, r := mat.NewDense(n, p, nil), mat.NewVecDense(n, nil)
	for a, i := range in {
		for b := a; b < n; b++ {
			c.SetSym(a, b, cov.At(i, in[b]))
		}
		for t := 0; t < p; t++ {
			j.Set(a, t, jac.At(i, t))
		}
		r.SetVec(a, value(i)-pred.AtVec(i))
	}
	var ch mat.Cholesky
	if !ch.Factorize(c) {
		return nil
	}
	var cj mat.Dense
	if ch.SolveTo(&cj, j) != nil {
		return nil
	}
	info := mat.NewSymDense(p, nil)
	for a := 0; a < p; a++ {
		for b := a; b < p; b++ {
			sum := 0.0
			for i := 0; i < n; i++ {
				sum += j.At(i, a) * cj.At(i, b)
			}
			if a == b {
				sum += prec[a]
			}
			info.SetSym(a, b, sum)
		}
	}
	var ci mat.Cholesky
	if !ci.Factorize(info) {
		return nil
	}
	res := make([]forecast, len(out))
	for x, i := range out {
		k := mat.NewVecDense(n, nil)
		for a, b := range in {
			k.SetVec(a, cov.At(i, b))
		}
		var ck mat.VecDense
		if ch.SolveVecTo(&ck, k) != nil {
			return nil
		}
		e := mat.NewVecDense(p, nil)
		for t := 0; t < p; t++ {
			e.SetVec(t, jac.At(i, t)-mat.Dot(j.ColView(t), &ck))
		}
		var se mat.VecDense
		if ci.SolveVecTo(&se, e) != nil {
			return nil
		}
		v := cov.At(i, i) - mat.Dot(k, &ck) + mat.Dot(e, &se)
		res[x] = forecast{mean: pred.AtVec(i) + mat.Dot(&ck, r), sd: math.Sqrt(math.Max(v, 1e-12))}
	}
	return res
}
