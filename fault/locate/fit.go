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
//
// The columns are r, then its derivatives by x…, b and δ…. A fit allocates
// nothing while it evaluates.
type fit struct {
	m   *model
	src []*source

	profile  bool    // a free place is put where it fits best, instead of integrated over
	xLo, xHi float64 // bounds of ln G
	g, q     []float64
	dG, dQ   []float64
	cond     [maxSources + 1]float64 // S, by source, the background's last
	resp, w  []float64               // columns of the folded readings: values and derivatives, plain and whitened
	gram     [maxColumns][maxColumns]float64

	lnLen  []float64 // of the pieces of a run; nil = sources are independent
	invVar float64   // 1/τ² of their scatter about a common level, which is a leak's size

	state
}

// A state is what an evaluation leaves behind.
type state struct {
	psi         float64
	grad        [maxSources + 1]float64                 // of ψ by x…, b
	hess        [maxSources + 1][maxSources + 1]float64 // −∂²ψ, Gauss–Newton
	dMean, dVar [maxSources]float64                     // δ given the conductances: mean and variance
	chi2        float64                                 // r·r with δ at its best, their own prior included
}

const (
	maxSources = 10
	maxColumns = 2*maxSources + 2
)

func newFit(m *model) *fit {
	slots := len(m.d.slots)
	columns := maxColumns * len(m.folded)
	room := make([]float64, 4*slots+2*columns)
	cut := func(n int) (part []float64) {
		part, room = room[:n:n], room[n:]
		return part
	}
	return &fit{m: m, xLo: xLow, xHi: xHigh, g: cut(slots), q: cut(slots), dG: cut(slots), dQ: cut(slots), resp: cut(columns), w: cut(columns)}
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
// Time: O(readings · (readings + sources) · sources).
func (f *fit) at(p []float64) float64 {
	f.forward(p)
	k := len(f.src)
	f.respond(true)
	f.products(2*k + 2)
	f.eliminate(k, k+2)
	for i := 0; i <= k; i++ {
		f.grad[i] = -f.gram[1+i][0]
		for j := 0; j <= i; j++ {
			f.hess[i][j], f.hess[j][i] = f.gram[1+i][1+j], f.gram[1+i][1+j]
		}
	}
	f.addScatter(p)
	if len(f.m.bounds) > 0 {
		f.addBounds()
	}
	return f.psi
}

// value is at without the gradient and the matrix, which it leaves of no use.
func (f *fit) value(p []float64) float64 {
	if len(f.m.bounds) > 0 {
		return f.at(p)
	}
	f.forward(p)
	k := len(f.src)
	f.respond(false)
	f.products(k + 1)
	f.eliminate(k, 1)
	f.addScatter(p)
	return f.psi
}

// level ties the sources' sizes together: ln G less ln part scatters by tau about a
// level that is itself unknown, within a leak's bounds. nil parts untie them.
func (f *fit) level(parts []float64, tau float64) {
	f.lnLen = nil
	for _, l := range parts {
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
	if m > 1 {
		f.addWindow(mean, math.Sqrt(m*f.invVar))
	}
}

// wholly is how many standard deviations within its bounds the level has all of its
// probability, to the last digit of a float.
const wholly = 8.3

// addWindow is what the level's own bounds change where the level has been integrated
// over all numbers: with pieces of mean μ the level is normal about μ with precision
// s², and of it there counts
//
//	ln (Φ(b) − Φ(a)),  a = (lo − μ)·s,  b = (hi − μ)·s
//
// Thus a piece may leak far less than the least leak, and all of them may not.
func (f *fit) addWindow(mean, s float64) {
	a, b := (xLow-mean)*s, (xHigh-mean)*s
	if a < -wholly && b > wholly {
		return
	}
	within := math.Max(1e-300, normalBetween(a, b))
	da, db := math.Exp(-a*a/2)/math.Sqrt(2*math.Pi), math.Exp(-b*b/2)/math.Sqrt(2*math.Pi)
	slope := s * (da - db) / within
	bend := slope*slope - s*s*(a*da-b*db)/within
	f.psi += math.Log(within)
	m := float64(len(f.lnLen))
	for i := range f.lnLen {
		f.grad[i] += slope / m
		for j := range f.lnLen {
			f.hess[i][j] += bend / (m * m)
		}
	}
}

// normalBetween is Φ(b) − Φ(a), by the tails that do not cancel.
func normalBetween(a, b float64) float64 {
	if a+b < 0 {
		a, b = -b, -a
	}
	return 0.5 * (math.Erfc(a/math.Sqrt2) - math.Erfc(b/math.Sqrt2))
}

// forward fills the sections' two numbers.
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
}

// respond fills the columns: every folded reading's value, its derivatives by x…
// and b if sizes are wanted, then by δ….
func (f *fit) respond(sizes bool) {
	k, n := len(f.src), len(f.m.folded)
	delta := 1 // the column of the first δ
	if sizes {
		delta = k + 2
	}
	for i := range f.m.folded {
		pr := &f.m.folded[i]
		f.resp[i] = pr.eval(f.g, f.q, f.dG, f.dQ)
		if sizes {
			bg := 0.0
			for n, s := range pr.slots {
				sl := &f.m.d.slots[s]
				bg += sl.share * (f.dG[n] + f.dQ[n]*sl.middle)
			}
			f.resp[(k+1)*n+i] = bg * f.cond[k]
		}
		for e, src := range f.src {
			var dx, dd float64
			for n, s := range pr.slots {
				if u := src.u[s]; u == u {
					many := src.many(s)
					dx += many * (f.dG[n] + f.dQ[n]*u)
					dd += many * f.dQ[n]
				}
			}
			if sizes {
				f.resp[(1+e)*n+i] = dx * f.cond[e]
			}
			f.resp[(delta+e)*n+i] = dd * f.cond[e]
		}
	}
}

// products whitens the columns and sums their products over readings into the
// lower half of the Gram matrix: r = target − R·value, and −R of every derivative.
func (f *fit) products(width int) {
	n := len(f.m.white)
	for t := range f.m.white {
		line := &f.m.white[t]
		row := f.resp[line.from:]
		j := 0
		for ; j+1 < width; j += 2 {
			x, y := dot2(line.by, row[j*n:], row[(j+1)*n:])
			f.w[j*n+t], f.w[(j+1)*n+t] = -x, -y
		}
		if j < width {
			x, _ := dot2(line.by, row[j*n:], row[j*n:])
			f.w[j*n+t] = -x
		}
		f.w[t] += f.m.target[t]
	}
	for i := 0; i < width; i++ {
		wi, g := f.w[i*n:(i+1)*n], f.gram[i][:]
		for j := 0; j <= i; j += 2 {
			g[j], g[j+1] = dot2(wi, f.w[j*n:], f.w[min(i, j+1)*n:])
		}
	}
}

// dot2 is the products of a with two columns; two at once, since either alone
// would wait for its own sum.
func dot2(a, x, y []float64) (ax, ay float64) {
	x, y = x[:len(a)], y[:len(a)]
	for i, v := range a {
		ax += v * x[i]
		ay += v * y[i]
	}
	return ax, ay
}

// eliminate integrates the δ out of the Gram matrix, last first, and leaves
// their conditional means and variances. first is the column of the first δ.
func (f *fit) eliminate(k, first int) {
	f.psi = 0
	var pivot [maxSources]float64
	for e := k - 1; e >= 0; e-- {
		c := first + e
		sd := f.src[e].sd
		row := f.gram[c][:c+1] // stays as it is from here on
		piv := row[c]
		if math.IsInf(sd, 1) {
			// a free position: flat over a volt, no prior
			if piv < 1e-300 {
				piv = 1e-300
			}
			if !f.profile {
				f.psi -= 0.5 * math.Log(piv/(2*math.Pi))
			}
		} else {
			f.psi -= 0.5 * math.Log1p(piv*sd*sd)
			piv += 1 / (sd * sd)
		}
		pivot[e] = piv
		for i := 0; i < c; i++ {
			w := row[i] / piv
			if w == 0 {
				continue
			}
			g := f.gram[i][:i+1]
			for j := range g {
				g[j] -= w * row[j]
			}
		}
	}
	f.chi2 = f.gram[0][0]
	f.psi -= 0.5 * f.gram[0][0]
	for e := 0; e < k; e++ {
		row := f.gram[first+e][:first+e]
		sum, v := row[0], 1/pivot[e]
		for j := 0; j < e; j++ {
			sum += row[first+j] * f.dMean[j]
			w := row[first+j] / pivot[e]
			v += w * w * f.dVar[j]
		}
		f.dMean[e], f.dVar[e] = -sum/pivot[e], v
	}
}
