package locate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// The fit without a reading is worth its time where the straight-line form of the fit
// to all has it so many standard deviations off, or so uncertain beside its own value
// that a slip could have bent the fit towards itself: of a reading that the others
// hardly know a straight line says little.
const (
	worthAFit   = 2.0
	littleKnown = 0.1 // standard deviation beside the value
)

// doubtful says of which readings it is worth knowing what the others, fitted
// without it, say of them. The straight-line form of the fit to all tells where that
// fit is good; where it is not, a slip may have bent it, and every reading is asked.
func (e *general) doubtful() func(int) bool {
	every := func(int) bool { return true }
	if e.chi2 >= 2*float64(max(1, e.m.dof())) {
		return every
	}
	casts := e.deleted()
	if casts == nil {
		return every
	}
	return func(i int) bool {
		o, fc := &e.d.obs[i], casts[i]
		near := math.Abs(o.value-fc.mean) < worthAFit*fc.sd && fc.sd < littleKnown*math.Abs(o.value)
		return !near // one that it does not speak of is asked
	}
}

// deleted is for every reading what the others say of it, by the straight-line form of
// the fit to all of them; nil where the fit has none. NaN stands for a reading that it
// does not speak of.
//
// With errors C, slopes J and parameters of the fit's own precision P, readings vary
// by K = C + J P⁻¹ Jᵀ about their mean, and what the others leave of reading i is
// (K⁻¹y)ᵢ / (K⁻¹)ᵢᵢ with variance 1 / (K⁻¹)ᵢᵢ (e.g. Cressie 1993, 3.2.6). At the
// fit, where Jᵀ C⁻¹ r balances the precision's pull, K⁻¹y is C⁻¹r for residuals r;
// and K⁻¹ = C⁻¹ − C⁻¹J (P + Jᵀ C⁻¹ J)⁻¹ Jᵀ C⁻¹. So one factoring serves all
// readings, where leaving each out costs a fit.
func (e *general) deleted() []forecast {
	m := e.m
	if !e.ok || len(m.bounds) > 0 || len(m.order) == 0 {
		return nil
	}
	pred, jac := e.f.linear(e.d, e.f.dMean[:])
	var ch mat.Cholesky
	if !ch.Factorize(m.rows.covariance()) {
		return nil
	}
	n, p := jac.Dims()
	var cj mat.Dense
	if ch.SolveTo(&cj, jac) != nil {
		return nil
	}
	var inner mat.Dense
	inner.Mul(jac.T(), &cj)
	info := mat.NewSymDense(p, nil)
	for a, prec := range e.looseness() {
		for b := a; b < p; b++ {
			info.SetSym(a, b, inner.At(a, b))
		}
		info.SetSym(a, a, inner.At(a, a)+prec)
	}
	var ci mat.Cholesky
	var back mat.Dense
	if !ci.Factorize(info) || ci.SolveTo(&back, cj.T()) != nil {
		return nil
	}
	r := mat.NewVecDense(n, nil)
	for i, oi := range m.order {
		r.SetVec(i, e.d.obs[oi].value-pred.AtVec(i))
	}
	var cr mat.VecDense
	var inv mat.SymDense
	if ch.SolveVecTo(&cr, r) != nil || ch.InverseTo(&inv) != nil {
		return nil
	}
	out := make([]forecast, len(e.d.obs))
	for i := range out {
		out[i] = forecast{math.NaN(), math.NaN()}
	}
	for i := m.nWith; i < n; i++ {
		kept := inv.At(i, i)
		for a := 0; a < p; a++ {
			kept -= cj.At(i, a) * back.At(a, i)
		}
		if kept > 0 {
			off := cr.AtVec(i) / kept
			out[m.order[i]] = forecast{e.d.obs[m.order[i]].value - off, 1 / math.Sqrt(kept)}
		}
	}
	return out
}
