package locate

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// cellShift is what the readings say of the true volts at a potential u of a
// section, beyond the listed group volts: the list has a common error, and volts
// read over the section correct it. It returns the shift at u, V, and the
// variance that it adds to u's own, V².
//
// u counts in listed volts, T is the list's error up to u, with prior variance
// σ² and covariance k with the observations' errors; the readings are
// y = v + J·β + errors with covariance C, β the fitted numbers with u among
// them. Predicting u + T (kriging with unknown trend, e.g. Cressie 1993, 3.4):
//
//	shift    = kᵀC⁻¹r
//	variance = σ² − kᵀC⁻¹k + (e − JᵀC⁻¹k)ᵀ(JᵀC⁻¹J)⁻¹(e − JᵀC⁻¹k) − (JᵀC⁻¹J)⁻¹[u,u]
func (m *model) cellShift(f *fit, s int, u float64) (shift, variance float64) {
	n := len(m.order)
	if n == 0 {
		return 0, 0
	}
	sl := &m.d.slots[s]
	sigma2, k := m.errorUpTo(m.d.newPath(sl.state, m.d.pathTo(sl, u)))
	var ch mat.Cholesky
	if !ch.Factorize(m.rows.covariance()) {
		return 0, sigma2
	}
	var ck mat.VecDense
	if ch.SolveVecTo(&ck, k) != nil {
		return 0, sigma2
	}
	r, j := m.residual(f)
	shift = mat.Dot(&ck, r)
	variance = sigma2 - mat.Dot(k, &ck)
	var cj, info, inv mat.Dense
	if ch.SolveTo(&cj, j) != nil {
		return shift, math.Max(0, variance)
	}
	info.Mul(j.T(), &cj)
	if inv.Inverse(&info) != nil {
		return shift, math.Max(0, variance)
	}
	var w mat.VecDense
	w.MulVec(j.T(), &ck)
	e := mat.NewVecDense(2, []float64{-w.AtVec(0), 1 - w.AtVec(1)})
	variance += mat.Inner(e, &inv, e) - inv.At(1, 1)
	return shift, math.Max(0, variance)
}

// errorUpTo gives the variance of the listed volts' error along a path, and its
// covariance with every observation's errors.
func (m *model) errorUpTo(path *groupPath) (variance float64, k *mat.VecDense) {
	common := map[string]float64{}
	var names []string
	for src, list := range m.d.cells[path.state].common {
		for _, ce := range list {
			if _, seen := common[ce.name]; !seen {
				names = append(names, ce.name)
			}
			common[ce.name] += path.bySource[src] * ce.sd
		}
	}
	variance = m.d.kernel(path, path)
	k = mat.NewVecDense(len(m.order), nil)
	for _, name := range names {
		variance += common[name] * common[name]
		if row := m.rows.common[name]; row != nil {
			for i, v := range row {
				k.SetVec(i, k.AtVec(i)+common[name]*v)
			}
		}
	}
	shared := make([]float64, len(m.rows.paths))
	for i, p := range m.rows.paths {
		shared[i] = m.d.kernel(path, p)
	}
	for i, takes := range m.rows.takes {
		for _, t := range takes {
			k.SetVec(i, k.AtVec(i)+t.by*shared[t.path])
		}
	}
	return variance, k
}

// residual gives what is left of the readings at a fit's best place, and their
// slopes by its first source's size and place.
func (m *model) residual(f *fit) (*mat.VecDense, *mat.Dense) {
	n := len(m.order)
	r, j := mat.NewVecDense(n, nil), mat.NewDense(n, 2, nil)
	for i := 0; i < n; i++ {
		o := &m.d.obs[m.order[i]]
		if i < m.nWith {
			r.SetVec(i, o.value-(o.red.volts-o.black.volts))
			continue
		}
		var t turn
		f.turnOf(&m.probes[i-m.nWith], &t)
		r.SetVec(i, o.value-t.value-t.delta[0]*f.dMean[0])
		j.Set(i, 0, t.size[0])
		j.Set(i, 1, t.delta[0])
	}
	return r, j
}
