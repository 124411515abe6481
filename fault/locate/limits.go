package locate

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/mat"
)

// limitedBy names the largest part of a leak's place interval. The place is a
// linear function h of the readings near the maximum,
// h = row of (JᵀC⁻¹J)⁻¹JᵀC⁻¹, so every source of error with covariance K adds
// hᵀKh; what the size and the background add beyond that is the background's.
func (a *analysis) limitedBy(r resolved) string {
	parts := map[string]float64{"leak path": r.cand.sd * r.cand.sd}
	if h := r.gains(a.po.m); h != nil {
		rows := a.po.m.rows
		measured := 0.0
		for i, sd := range rows.count {
			parts["counts"] += math.Pow(h[i]*sd, 2)
		}
		for _, name := range rows.names {
			sum := 0.0
			for i, v := range rows.common[name] {
				sum += h[i] * v
			}
			parts[plainSource(name)] += sum * sum
		}
		v := mat.NewVecDense(len(h), h)
		parts["cell voltages"] += mat.Inner(v, rows.cells, v)
		for k, p := range parts {
			if k != "leak path" {
				measured += p
			}
		}
		parts["background"] = math.Max(0, r.bgSD*r.bgSD-measured)
	}
	best, most := "", -1.0
	for _, k := range []string{"leak path", "counts", "gain", "input resistance", "test resistor", "cell voltages", "drift", "background"} {
		if parts[k] > most {
			best, most = k, parts[k]
		}
	}
	return best
}

// plainSource is the word for a named common error.
func plainSource(name string) string {
	switch {
	case strings.HasPrefix(name, "gain of"):
		return "gain"
	case strings.HasPrefix(name, "input of"):
		return "input resistance"
	case strings.HasPrefix(name, "resistor"):
		return "test resistor"
	case strings.HasPrefix(name, "drift"):
		return "drift"
	}
	return "cell voltages"
}

// gains is how the leak's potential moves with every observation, V per V.
func (r *resolved) gains(m *model) []float64 {
	f := r.fit
	f.at(r.p)
	n, np, k := len(m.order), len(m.probes), len(f.src)
	if np == 0 {
		return nil
	}
	j := mat.NewDense(n, k+1, nil)
	for i := 0; i < np; i++ {
		var t turn
		f.turnOf(&m.probes[i], &t)
		for e := 0; e < k; e++ {
			j.Set(m.nWith+i, e, t.size[e])
		}
		j.Set(m.nWith+i, k, t.delta[r.index])
	}
	var ch mat.Cholesky
	if !ch.Factorize(m.rows.covariance()) {
		return nil
	}
	var cj, info, h mat.Dense
	if ch.SolveTo(&cj, j) != nil {
		return nil
	}
	info.Mul(j.T(), &cj)
	for e := 0; e <= k; e++ { // a size that the readings do not hold must not break the inverse
		info.Set(e, e, info.At(e, e)*(1+1e-9)+1e-12)
	}
	if h.Solve(&info, cj.T()) != nil {
		return nil
	}
	return append([]float64(nil), h.RawRowView(k)...)
}

// referenceProved looks for a reading whose test resistor goes to another
// chassis piece than the meter's black lead, which moved as predicted. A
// resistor on the meter's own clip moves the meter even when that clip touches
// paint, and proves nothing.
func (a *analysis) referenceProved() bool {
	for i := range a.po.m.probes {
		if a.proves(i) {
			return true
		}
	}
	return false
}

func (a *analysis) proves(i int) bool {
	m := a.po.m
	o := &a.d.obs[m.order[m.nWith+i]]
	k := proofElement(o)
	if k < 0 {
		return false
	}
	f := a.po.bestFit()
	without := *o
	without.elements = append(append([]element(nil), o.elements[:k]...), o.elements[k+1:]...)
	p0, p1 := newProbe(&without), &m.probes[i]
	buf := make([]float64, 2*len(a.d.slots)+2)
	v0 := p0.eval(f.g, f.q, buf, buf[len(a.d.slots)+1:])
	v1 := p1.eval(f.g, f.q, buf, buf[len(a.d.slots)+1:])
	sd := math.Sqrt(m.rows.covariance().At(m.nWith+i, m.nWith+i))
	return math.Abs(v1-v0) > 5*sd && math.Abs(o.reading.Value-v1) < 4*sd
}

// proofElement is the test resistor that goes to another named chassis piece
// than the meter does, -1 where there is none.
func proofElement(o *observation) int {
	piece := ""
	for _, e := range []end{o.red, o.black} {
		if e.chassis() {
			piece = e.piece
		}
	}
	for k, el := range o.elements[min(1, len(o.elements)):] {
		for _, e := range []end{el.a, el.b} {
			if e.chassis() && e.piece != "" && piece != "" && e.piece != piece {
				return k + 1
			}
		}
	}
	return -1
}

// bestFit is a fit at the highest peak without or with one leak.
func (po *posterior) bestFit() *fit {
	f := newFit(po.m)
	pk := po.nonePeak
	f.src = po.sources()
	if i := argmax(len(po.cands), func(i int) float64 { return po.onePeak[i].psi + po.lp.one[i] }); i >= 0 && po.onePeak[i].psi > pk.psi && !po.cands[i].unseen && !po.cands[i].beside {
		pk = po.onePeak[i]
		f.src = po.sources(&po.cands[i].source)
	}
	f.at(pk.p)
	return f
}
