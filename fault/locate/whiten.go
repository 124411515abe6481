package locate

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"
)

// A model is the observations with everything that blurs them: count errors,
// common gains, input and resistor tolerances, cell voltages. Its covariance is
// taken once, at the sections' estimated two numbers, since every explanation
// that fits the readings shares those numbers; the leak paths' own potentials
// are not in it, they belong to each hypothesis.
//
// Residuals are whitened: r = L⁻¹(y − v) with C = L·Lᵀ, so that r·r is χ².
// Observations within a section come first; no leak moves them, so their part
// of r·r is the constant fixed.
type model struct {
	d      *data
	order  []int // into d.obs, within-section first
	nWith  int
	probes []probe
	bounds []boundProbe
	inv    []float64 // rows of L⁻¹ for the probes, packed lower triangle
	target []float64 // y less what the within-section readings already explain
	fixed  float64   // χ² of the within-section readings
	logDet float64   // ln det C
	rows   *errorRows
}

// errorRows keeps the observations' sensitivities to every source of error, for
// naming what limits an interval.
type errorRows struct {
	count  []float64            // sd by observation
	common map[string][]float64 // name -> sensitivity × sd, by observation
	names  []string
	cells  *mat.SymDense // independent part of the cell voltages
	groups [][]float64   // sensitivity to every group's volts
}

// A boundProbe is a reading that says where its value lies, not what it is. It
// stays out of the covariance: its own error is in the bound.
type boundProbe struct {
	probe
	allowed bound
}

func newModel(d *data, g, q []float64) (*model, error) {
	m := &model{d: d}
	for i := range d.obs {
		if o := &d.obs[i]; o.allowed.set {
			m.bounds = append(m.bounds, boundProbe{newProbe(o), o.allowed})
		}
	}
	for pass := 0; pass < 2; pass++ {
		for i := range d.obs {
			if d.obs[i].within == (pass == 0) && !d.obs[i].allowed.set {
				m.order = append(m.order, i)
			}
		}
		if pass == 0 {
			m.nWith = len(m.order)
		}
	}
	for _, i := range m.order[m.nWith:] {
		m.probes = append(m.probes, newProbe(&d.obs[i]))
	}
	m.rows = m.sensitivities(g, q)
	return m, m.whiten(m.rows.covariance())
}

// sensitivities gives every observation's response to every error.
func (m *model) sensitivities(g, q []float64) *errorRows {
	n := len(m.order)
	e := &errorRows{count: make([]float64, n), common: map[string][]float64{}}
	put := func(name string, i int, v float64) {
		if e.common[name] == nil {
			e.common[name] = make([]float64, n)
			e.names = append(e.names, name)
		}
		e.common[name][i] += v
	}
	rows := make([][]float64, n)
	for i, oi := range m.order {
		o := &m.d.obs[oi]
		e.count[i] = o.countSD
		put("gain of "+o.gain, i, o.gainError)
		if o.within {
			rows[i] = m.withinRow(oi)
		} else {
			p := &m.probes[i-m.nWith]
			rows[i] = m.probeRow(oi, p, g, q)
			for k, el := range o.elements {
				put(el.nuisance, i, tolerance(o, k, g, q)*el.relSD)
			}
			if dr, ok := m.d.driftOf(o); ok {
				put(fmt.Sprint("drift in state ", m.d.c.States[dr.state].ID), i, m.resized(p, g, q)*dr.rate*(o.minute-dr.zero))
				e.count[i] = math.Hypot(e.count[i], dr.jitter)
			}
		}
		m.commonCells(oi, rows[i], func(name string, v float64) { put(name, i, v) })
	}
	sort.Strings(e.names)
	e.groups, e.cells = rows, m.independentCells(rows)
	return e
}

// tolerance is the reading's response to element k's conductance, V per relative change.
func tolerance(o *observation, k int, g, q []float64) float64 {
	const h = 1e-3
	changed := *o
	changed.elements = append([]element(nil), o.elements...)
	changed.elements[k].siemens *= 1 + h
	a, b := newProbe(o), newProbe(&changed)
	buf := make([]float64, 2*len(a.slots))
	return (b.eval(g, q, buf, buf[len(a.slots):]) - a.eval(g, q, buf, buf[len(a.slots):])) / h
}

// resized is a reading's response to the leaks of its sections all growing at
// once, per change of ln G; what is known and fixed does not grow.
func (m *model) resized(p *probe, g, q []float64) float64 {
	k := len(p.slots)
	dG, dQ := make([]float64, k), make([]float64, k)
	p.eval(g, q, dG, dQ)
	sum := 0.0
	for i, s := range p.slots {
		if sl := &m.d.slots[s]; sl.sec != nil {
			sum += dG[i]*(g[s]-sl.fixedG) + dQ[i]*(q[s]-sl.fixedGU)
		}
	}
	return sum
}

func (m *model) withinRow(oi int) []float64 {
	o := &m.d.obs[oi]
	sl := &m.d.slots[o.red.slot]
	row := m.d.path(sl, o.red.node)
	for g, w := range m.d.path(sl, o.black.node) {
		row[g] -= w
	}
	return row
}

// probeRow is the reading's response to every group's volts: through the
// potentials of the probes and elements, and through the leak's own potential.
func (m *model) probeRow(oi int, p *probe, g, q []float64) []float64 {
	d, o := m.d, &m.d.obs[oi]
	k := len(p.slots)
	dG, dQ := make([]float64, k), make([]float64, k)
	p.eval(g, q, dG, dQ)
	row := make([]float64, len(d.net.Groups))
	addAt := func(e end, c float64) {
		if e.chassis() || c == 0 || d.slots[e.slot].sec == nil {
			return
		}
		for i, w := range d.path(&d.slots[e.slot], e.node) {
			row[i] += c * w
		}
	}
	respond := func(e end) float64 {
		for i, s := range p.slots {
			if !e.chassis() && s == e.slot {
				return dQ[i]
			}
		}
		return 0
	}
	addAt(o.red, o.scale)
	addAt(o.black, -o.scale)
	for _, el := range o.elements {
		c := el.siemens * (respond(el.a) - respond(el.b))
		addAt(el.a, c)
		addAt(el.b, -c)
	}
	for i, s := range p.slots {
		if d.slots[s].sec == nil {
			continue
		}
		for j, w := range d.pathTo(&d.slots[s], q[s]/g[s]) {
			row[j] += dQ[i] * g[s] * w
		}
	}
	return row
}

// cellsOf is the state's cell volts that an observation looks at.
func (m *model) cellsOf(oi int) *cellVolts {
	return m.d.cells[max(0, m.d.stateOf(&m.d.obs[oi]))]
}

func (m *model) commonCells(oi int, row []float64, put func(string, float64)) {
	cv := m.cellsOf(oi)
	bySource := make([]float64, len(cv.common))
	for g, w := range row {
		if w != 0 {
			bySource[cv.source[g]] += w * cv.mean[g]
		}
	}
	for src, v := range bySource {
		for _, ce := range cv.common[src] {
			put(ce.name, v*ce.sd)
		}
	}
}

func (m *model) independentCells(rows [][]float64) *mat.SymDense {
	n := len(rows)
	c := mat.NewSymDense(max(n, 1), nil)
	for i := 0; i < n; i++ {
		a := m.cellsOf(m.order[i])
		for j := i; j < n; j++ {
			b := m.cellsOf(m.order[j])
			sum := 0.0
			for g, w := range rows[i] {
				if x := rows[j][g]; w != 0 && x != 0 && a.list[a.source[g]] == b.list[b.source[g]] {
					sum += w * x * a.sd[g] * b.sd[g]
				}
			}
			c.SetSym(i, j, sum)
		}
	}
	return c
}

func (e *errorRows) covariance() *mat.SymDense {
	n := len(e.count)
	c := mat.NewSymDense(max(n, 1), nil)
	if n == 0 {
		c.SetSym(0, 0, 1)
		return c
	}
	c.CopySym(e.cells)
	for _, name := range e.names {
		v := e.common[name]
		for i := range v {
			for j := i; j < n; j++ {
				c.SetSym(i, j, c.At(i, j)+v[i]*v[j])
			}
		}
	}
	for i, sd := range e.count {
		c.SetSym(i, i, c.At(i, i)+sd*sd+1e-12)
	}
	return c
}

// whiten factors the covariance and folds the within-section readings away.
func (m *model) whiten(c *mat.SymDense) error {
	var ch mat.Cholesky
	if !ch.Factorize(c) {
		return fmt.Errorf("the readings' errors cannot be told apart (covariance of %d readings is singular)", len(m.order))
	}
	m.logDet = ch.LogDet()
	var l mat.TriDense
	ch.LTo(&l)
	n := len(m.order)
	z := make([]float64, n) // whitened within-section residuals
	for i := 0; i < m.nWith; i++ {
		o := &m.d.obs[m.order[i]]
		r := o.value - (o.red.volts - o.black.volts)
		for j := 0; j < i; j++ {
			r -= l.At(i, j) * z[j]
		}
		z[i] = r / l.At(i, i)
		m.fixed += z[i] * z[i]
	}
	np := n - m.nWith
	m.target = make([]float64, np)
	for i := range m.target {
		o := &m.d.obs[m.order[m.nWith+i]]
		m.target[i] = o.value
		for j := 0; j < m.nWith; j++ {
			m.target[i] -= l.At(m.nWith+i, j) * z[j]
		}
	}
	m.inv = invertLower(&l, m.nWith, np)
	return nil
}

// invertLower inverts the trailing np×np block of a lower triangle, packed by rows.
func invertLower(l *mat.TriDense, off, np int) []float64 {
	inv := make([]float64, np*(np+1)/2)
	at := func(i, j int) int { return i*(i+1)/2 + j }
	for j := 0; j < np; j++ {
		inv[at(j, j)] = 1 / l.At(off+j, off+j)
		for i := j + 1; i < np; i++ {
			sum := 0.0
			for k := j; k < i; k++ {
				sum += l.At(off+i, off+k) * inv[at(k, j)]
			}
			inv[at(i, j)] = -sum / l.At(off+i, off+i)
		}
	}
	return inv
}

// apply multiplies by L⁻¹.
func (m *model) apply(in, out []float64) {
	at := 0
	for i := range out {
		sum := 0.0
		row := m.inv[at : at+i+1]
		for j, w := range row {
			sum += w * in[j]
		}
		out[i] = sum
		at += i + 1
	}
}

// dof is how many readings there are to fit.
func (m *model) dof() int { return len(m.order) }

// chiBad says whether a χ² with that many degrees of freedom is beyond p = 0.001.
func chiBad(chi2 float64, dof int) bool {
	if dof < 1 {
		dof = 1
	}
	return chi2 > chiLimit(dof)
}

// chiLimit is the 99.9 % point of χ² by Wilson and Hilferty (1931).
func chiLimit(dof int) float64 {
	k := float64(dof)
	const z = 3.0902 // 99.9 % point of the normal distribution
	return k * math.Pow(1-2/(9*k)+z*math.Sqrt(2/(9*k)), 3)
}
