package locate

import "math"

// Bounds of the sizes that hypotheses range over, ohms.
const (
	leakLow        = 1.0
	leakHigh       = 10e6
	backgroundLow  = 8e6 // of the whole pack
	backgroundHigh = 2e9
)

// Logarithmic bounds of a leak's and of the background's conductance, ln S.
var (
	xLow, xHigh = -math.Log(leakHigh), -math.Log(leakLow)
	bLow, bHigh = -math.Log(backgroundHigh), -math.Log(backgroundLow)
)

// A source is one leak of a hypothesis: where it sits in every slot, and how
// far its path's own potential may shift it.
type source struct {
	u        []float64 // V above the slot's negative end; NaN = not in this slot
	sd       float64   // V, standard deviation of its own potential; +Inf = free
	times    []float64 // by slot: how many such resistors lie there; nil = one
	xLo, xHi float64   // bounds of ln G; both 0 = a leak's
}

// many is how many resistors of the source lie in a slot.
func (s *source) many(slot int) float64 {
	if s.times == nil {
		return 1
	}
	return s.times[slot]
}

// A fit evaluates one hypothesis: sources of conductance exp(x), background
// exp(b) spread evenly over the pack, each source's own potential δ.
//
// The δ enter linearly once the conductances are fixed, so they are integrated
// in closed form: with whitened residual r and responses D, and priors
// δ ~ N(0, S),
//
//	ψ = −½(r·r − (Dᵀr)ᵀ(S⁻¹ + DᵀD)⁻¹(Dᵀr)) − ½ ln det(1 + S·DᵀD)
//
// and the same elimination gives the gradient and the Gauss–Newton matrix for
// the logarithms of the conductances.
type fit struct {
	m   *model
	src []*source

	n, slots int
	xLo, xHi float64 // bounds of ln G
	g, q     []float64
	raw, r   []float64
	cols     [][]float64 // whitened ∂r/∂x…, ∂r/∂b, ∂r/∂δ…
	rawCols  [][]float64
	dG, dQ   []float64
	cond     [maxSources + 1]float64 // S, by source, the background's last

	lnLen  []float64 // of the pieces of a run; nil = sources are independent
	invVar float64   // 1/τ² of their scatter about a common level

	psi         float64
	grad        []float64   // of ψ by x…, b
	hess        [][]float64 // −∂²ψ, Gauss–Newton
	dMean, dVar []float64   // δ given the conductances: mean and variance
	chi2        float64     // r·r with δ at its best, their own prior included
	gram        [][]float64
}

const maxSources = 10

func newFit(m *model) *fit {
	n := len(m.probes)
	f := &fit{m: m, n: n, slots: len(m.d.slots), xLo: xLow, xHi: xHigh}
	f.g, f.q = make([]float64, f.slots), make([]float64, f.slots)
	f.raw, f.r = make([]float64, n), make([]float64, n)
	cols := 2*maxSources + 1
	for i := 0; i < cols; i++ {
		f.cols = append(f.cols, make([]float64, n))
		f.rawCols = append(f.rawCols, make([]float64, n))
	}
	f.dG, f.dQ = make([]float64, f.slots), make([]float64, f.slots)
	f.grad = make([]float64, maxSources+1)
	f.dMean, f.dVar = make([]float64, maxSources), make([]float64, maxSources)
	for i := 0; i <= maxSources; i++ {
		f.hess = append(f.hess, make([]float64, maxSources+1))
	}
	for i := 0; i <= cols; i++ {
		f.gram = append(f.gram, make([]float64, cols+1))
	}
	return f
}

// dims is the number of conductances: one a source, and the background.
func (f *fit) dims() int { return len(f.src) + 1 }

func (f *fit) bounds(i int) (lo, hi float64) {
	if i == len(f.src) {
		return bLow, bHigh
	}
	if s := f.src[i]; s.xLo != s.xHi {
		return s.xLo, s.xHi
	}
	return f.xLo, f.xHi
}

// at evaluates ψ, its gradient and its Gauss–Newton matrix at p = (x…, b).
// Time: O(readings² · sources).
func (f *fit) at(p []float64) float64 {
	f.forward(p)
	k := len(f.src)
	nc := 2*k + 1
	f.m.apply(f.raw, f.r)
	for i := 0; i < nc; i++ {
		f.m.apply(f.rawCols[i], f.cols[i])
	}
	vec := func(i int) []float64 {
		if i == 0 {
			return f.r
		}
		return f.cols[i-1]
	}
	for i := 0; i <= nc; i++ {
		vi := vec(i)
		for j := 0; j <= i; j++ {
			vj, sum := vec(j), 0.0
			for t, w := range vi {
				sum += w * vj[t]
			}
			f.gram[i][j], f.gram[j][i] = sum, sum
		}
	}
	f.eliminate(k)
	for i := 0; i <= k; i++ {
		f.grad[i] = -f.gram[0][1+i]
		for j := 0; j <= k; j++ {
			f.hess[i][j] = f.gram[1+i][1+j]
		}
	}
	f.addScatter(p)
	if len(f.m.bounds) > 0 {
		f.addBounds()
	}
	return f.psi
}

// addBounds adds what the readings that are bounds say, at the leak paths' mean
// potentials, their variance widening the bound.
func (f *fit) addBounds() {
	k := len(f.src)
	for i := range f.m.bounds {
		b := &f.m.bounds[i]
		var t turn
		f.turnOf(&b.probe, &t)
		v, extra := t.value, 0.0
		for e := 0; e < k; e++ {
			v += t.delta[e] * f.dMean[e]
			extra += t.delta[e] * t.delta[e] * f.dVar[e]
		}
		logP, slope, curve := b.allowed.likelihood(v, extra)
		f.psi += logP
		f.chi2 -= 2 * logP
		for a := 0; a <= k; a++ {
			f.grad[a] += slope * t.size[a]
			for c := 0; c <= k; c++ {
				f.hess[a][c] += curve * t.size[a] * t.size[c]
			}
		}
	}
}

// level ties the sources' sizes together: ln G less ln length scatters by tau
// about a level that is itself unknown. nil lengths untie them.
func (f *fit) level(lens []float64, tau float64) {
	f.lnLen = nil
	for _, l := range lens {
		f.lnLen = append(f.lnLen, math.Log(l))
	}
	f.invVar = 1 / (tau * tau)
}

func (f *fit) addScatter(p []float64) {
	m := float64(len(f.lnLen))
	if m == 0 {
		return
	}
	mean := 0.0
	for i, l := range f.lnLen {
		mean += (p[i] - l) / m
	}
	for i, l := range f.lnLen {
		dev := p[i] - l - mean
		f.psi -= 0.5 * dev * dev * f.invVar
		f.grad[i] -= dev * f.invVar
		for j := range f.lnLen {
			f.hess[i][j] -= f.invVar / m
		}
		f.hess[i][i] += f.invVar
	}
}

// forward fills the raw residual and its derivatives.
func (f *fit) forward(p []float64) {
	d, k := f.m.d, len(f.src)
	bg := math.Exp(p[k])
	for s := range d.slots {
		sl := &d.slots[s]
		f.g[s] = sl.fixedG + bg*sl.share
		f.q[s] = sl.fixedGU + bg*sl.share*sl.middle
	}
	for e, src := range f.src {
		f.cond[e] = math.Exp(p[e])
		for s, u := range src.u {
			if u == u {
				c := f.cond[e] * src.many(s)
				f.g[s] += c
				f.q[s] += c * u
			}
		}
	}
	f.cond[k] = bg
	for i := range f.m.probes {
		var t turn
		f.turnOf(&f.m.probes[i], &t)
		f.raw[i] = f.m.target[i] - t.value
		for e := 0; e < k; e++ {
			f.rawCols[e][i] = -t.size[e]
			f.rawCols[k+1+e][i] = -t.delta[e]
		}
		f.rawCols[k][i] = -t.size[k]
	}
}

// A turn is what a probe reads and how that moves: with the logarithm of every
// size, the background's last, and with every source's own potential.
type turn struct {
	value float64
	size  [maxSources + 1]float64
	delta [maxSources]float64
}

func (f *fit) turnOf(pr *probe, t *turn) {
	k := len(f.src)
	t.value = pr.eval(f.g, f.q, f.dG, f.dQ)
	for e, src := range f.src {
		var dx, dd float64
		for i, s := range pr.slots {
			if u := src.u[s]; u == u {
				n := src.many(s)
				dx += n * (f.dG[i] + f.dQ[i]*u)
				dd += n * f.dQ[i]
			}
		}
		t.size[e], t.delta[e] = dx*f.cond[e], dd*f.cond[e]
	}
	for i, s := range pr.slots {
		sl := &f.m.d.slots[s]
		t.size[k] += sl.share * (f.dG[i] + f.dQ[i]*sl.middle) * f.cond[k]
	}
}

// eliminate integrates the δ out of the Gram matrix, last first, and leaves
// their conditional means and variances.
func (f *fit) eliminate(k int) {
	f.psi = 0
	var pivot [maxSources]float64
	var row [maxSources][2*maxSources + 2]float64
	for e := k - 1; e >= 0; e-- {
		c := k + 2 + e
		sd := f.src[e].sd
		piv := f.gram[c][c]
		if math.IsInf(sd, 1) {
			// a free position: flat over a volt, no prior
			if piv < 1e-300 {
				piv = 1e-300
			}
			f.psi -= 0.5 * math.Log(piv/(2*math.Pi))
		} else {
			f.psi -= 0.5 * math.Log1p(piv*sd*sd)
			piv += 1 / (sd * sd)
		}
		pivot[e] = piv
		copy(row[e][:c], f.gram[c][:c])
		for i := 0; i < c; i++ {
			w := f.gram[c][i] / piv
			if w == 0 {
				continue
			}
			for j := 0; j < c; j++ {
				f.gram[i][j] -= w * row[e][j]
			}
		}
	}
	f.chi2 = f.gram[0][0]
	f.psi -= 0.5 * f.gram[0][0]
	for e := 0; e < k; e++ {
		sum := row[e][0]
		for j := 0; j < e; j++ {
			sum += row[e][k+2+j] * f.dMean[j]
		}
		f.dMean[e] = -sum / pivot[e]
		v := 1 / pivot[e]
		for j := 0; j < e; j++ {
			w := row[e][k+2+j] / pivot[e]
			v += w * w * f.dVar[j]
		}
		f.dVar[e] = v
	}
}
