package locate

import (
	"math"
	"sort"

	"gonum.org/v1/gonum/mat"
)

// errorRows keeps the observations' sensitivities to every source of error, for
// naming what limits an interval. The cells' part is by paths: how a reading
// moves with every group's volts is a sum of a few paths along the string.
type errorRows struct {
	count  []float64            // sd by observation
	common map[string][]float64 // name -> sensitivity × sd, by observation
	names  []string
	cells  *mat.SymDense // independent part of the cell voltages
	paths  []*groupPath
	takes  [][]take  // by observation
	spare  []float64 // for more rows of common
}

// A take is what an observation takes of one path, V per V.
type take struct {
	path int // into errorRows.paths
	by   float64
}

func (e *errorRows) put(name string, i int, v float64) {
	row := e.common[name]
	if row == nil {
		n := len(e.count)
		if len(e.spare) < n {
			e.spare = make([]float64, 12*n)
		}
		row, e.spare = e.spare[:n:n], e.spare[n:]
		e.common[name] = row
		e.names = append(e.names, name)
	}
	row[i] += v
}

// sensitivities gives every observation's response to every error.
func (m *model) sensitivities(g, q []float64) *errorRows {
	n := len(m.order)
	e := &errorRows{count: make([]float64, n), common: make(map[string][]float64, 12), takes: make([][]take, n)}
	at := m.layPaths(e, g, q)
	var room room
	takes := make([]take, 0, 8*n)
	for i, oi := range m.order {
		o := &m.d.obs[oi]
		e.count[i] = o.countSD
		e.put(o.gain, i, o.gainError)
		if o.within {
			takes = append(takes, take{at.end(&o.red), 1}, take{at.end(&o.black), -1})
			e.takes[i] = takes[len(takes)-2:]
		} else {
			p := &m.probes[i-m.nWith]
			dG, dQ := room.split(len(p.slots))
			v := p.eval(g, q, dG, dQ)
			first := len(takes)
			takes = m.appendTakes(takes, o, p, &at, g, dQ)
			e.takes[i] = takes[first:]
			if dr, ok := m.d.driftOf(o); ok {
				e.put("drift in state "+m.d.c.States[dr.state].ID, i, m.resized(p, g, q, dG, dQ)*dr.rate*(o.minute-dr.zero))
				e.count[i] = math.Hypot(e.count[i], dr.jitter)
			}
			for k := range o.elements {
				e.put(o.elements[k].nuisance, i, p.tolerance(&o.elements[k], g, q, v)*o.elements[k].relSD)
			}
		}
		m.commonCells(e, i)
	}
	sort.Strings(e.names)
	e.cells = m.independentCells(e)
	return e
}

// room is scratch for a probe's derivatives.
type room struct{ v []float64 }

func (r *room) split(k int) (dG, dQ []float64) {
	if len(r.v) < 2*k {
		r.v = make([]float64, 2*k)
	}
	return r.v[:k], r.v[k : 2*k]
}

// tolerance is the reading's response to an element's conductance, V per
// relative change, by a small change of it from the reading v.
func (p *probe) tolerance(el *element, g, q []float64, v float64) float64 {
	const h = 1e-3
	k := len(p.slots)
	var buf [32]float64
	var r []float64
	if n := k*k + 3*k; n <= len(buf) {
		r = buf[:n]
	} else {
		r = make([]float64, n)
	}
	changed := *p
	changed.m, changed.b = r[:k*k], r[k*k:k*k+k]
	copy(changed.m, p.m)
	copy(changed.b, p.b)
	changed.join(el, el.siemens*h)
	return (changed.eval(g, q, r[k*k+k:k*k+2*k], r[k*k+2*k:]) - v) / h
}

// resized is a reading's response to the leaks of its sections all growing at
// once, per change of ln G; what is known and fixed does not grow.
func (m *model) resized(p *probe, g, q, dG, dQ []float64) float64 {
	sum := 0.0
	for i, s := range p.slots {
		if sl := &m.d.slots[s]; sl.sec != nil {
			sum += dG[i]*(g[s]-sl.fixedG) + dQ[i]*(q[s]-sl.fixedGU)
		}
	}
	return sum
}

// appendTakes adds the reading's response to every group's volts: through the
// potentials of the probes and elements, and through the leak's own potential.
func (m *model) appendTakes(out []take, o *observation, p *probe, at *pathIndex, g, dQ []float64) []take {
	add := func(e *end, c float64) {
		if !e.chassis() && c != 0 && m.d.slots[e.slot].sec != nil {
			out = append(out, take{at.end(e), c})
		}
	}
	respond := func(e *end) float64 {
		if i := p.indexOf(e); i >= 0 {
			return dQ[i]
		}
		return 0
	}
	add(&o.red, o.scale)
	add(&o.black, -o.scale)
	for i := range o.elements {
		el := &o.elements[i]
		c := el.siemens * (respond(&el.a) - respond(&el.b))
		add(&el.a, c)
		add(&el.b, -c)
	}
	for i, s := range p.slots {
		if m.d.slots[s].sec != nil {
			out = append(out, take{at.leak[s], dQ[i] * g[s]})
		}
	}
	return out
}

// cellsOf is the state's cell volts that an observation looks at.
func (m *model) cellsOf(oi int) *cellVolts {
	return m.d.cells[max(0, m.d.stateOf(&m.d.obs[oi]))]
}

func (m *model) commonCells(e *errorRows, i int) {
	cv := m.cellsOf(m.order[i])
	for src, list := range cv.common {
		v := 0.0
		for _, t := range e.takes[i] {
			v += t.by * e.paths[t.path].bySource[src]
		}
		for _, ce := range list {
			e.put(ce.name, i, v*ce.sd)
		}
	}
}

// independentCells is Σ over groups of two readings' responses times the group's
// variance: with the responses rows of T·P, P the paths, it is T·K·Tᵀ, where K
// has the paths' own sums and is worked out once.
func (m *model) independentCells(e *errorRows) *mat.SymDense {
	n, np := len(e.takes), len(e.paths)
	c := mat.NewSymDense(max(n, 1), nil)
	k := m.d.kernels(e.paths)
	row := make([]float64, np)
	for i := range e.takes {
		clear(row)
		for _, t := range e.takes[i] {
			for j, v := range k[t.path*np : (t.path+1)*np] {
				row[j] += t.by * v
			}
		}
		for j := i; j < n; j++ {
			sum := 0.0
			for _, t := range e.takes[j] {
				sum += t.by * row[t.path]
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
	raw := c.RawSymmetric()
	for _, name := range e.names {
		v := e.common[name]
		for i, vi := range v {
			if vi == 0 {
				continue
			}
			row := raw.Data[i*raw.Stride+i : i*raw.Stride+n]
			for j, vj := range v[i:] {
				row[j] += vi * vj
			}
		}
	}
	for i, sd := range e.count {
		raw.Data[i*raw.Stride+i] += sd*sd + 1e-12
	}
	return c
}
