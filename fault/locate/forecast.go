package locate

import (
	"maps"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"

	"halfsplit/fault"
)

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
	joint.obs = slices.Concat(e.d.obs, others)
	m, err := newModel(&joint, e.f.g, e.centred())
	if err != nil {
		return nil
	}
	f := newFit(m)
	f.src = e.f.src
	f.at(e.p)
	fitted := len(e.d.obs)
	cov := m.rows.covariance()
	pred, jac := f.linear(&joint, e.f.dMean[:])
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

// linear is what the readings of d should be at the fit's present point with the
// places' own potentials at mean, V, and how they change with the sizes, the
// background and the places, in the model's order.
func (f *fit) linear(d *data, mean []float64) (pred *mat.VecDense, jac *mat.Dense) {
	m, k := f.m, len(f.src)
	pred, jac = mat.NewVecDense(len(m.order), nil), mat.NewDense(len(m.order), 2*k+1, nil)
	for i, oi := range m.order {
		if o := &d.obs[oi]; i < m.nWith {
			pred.SetVec(i, o.red.volts-o.black.volts)
			continue
		}
		var t turn
		f.turnOf(&m.probes[i-m.nWith], &t)
		v := t.value
		for a := 0; a < k; a++ {
			v += t.delta[a] * mean[a]
			jac.Set(i, a, t.size[a])
			jac.Set(i, k+1+a, t.delta[a])
		}
		jac.Set(i, k, t.size[k])
		pred.SetVec(i, v)
	}
	return pred, jac
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
