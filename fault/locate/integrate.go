package locate

import "math"

// gaussLegendre8 on [−1, 1]: nodes and weights (Abramowitz and Stegun, table 25.4).
var gaussLegendre8 = [8][2]float64{
	{-0.9602898564975363, 0.1012285362903763}, {-0.7966664774136267, 0.2223810344533745},
	{-0.5255324099163290, 0.3137066458778873}, {-0.1834346424956498, 0.3626837833783620},
	{0.1834346424956498, 0.3626837833783620}, {0.5255324099163290, 0.3137066458778873},
	{0.7966664774136267, 0.2223810344533745}, {0.9602898564975363, 0.1012285362903763}}

var gaussLegendre5 = [5][2]float64{
	{-0.9061798459386640, 0.2369268850561891}, {-0.5384693101056831, 0.4786286704993665}, {0, 0.5688888888888889},
	{0.5384693101056831, 0.4786286704993665}, {0.9061798459386640, 0.2369268850561891}}

const (
	wideSD   = 0.12 // beyond this spread of ln G the Gaussian form is not trusted
	narrowSD = 0.02 // below this Laplace's formula is exact to a hundredth of a nat
	clearOf  = 4.0  // standard deviations that a maximum must keep from its bounds
	fallNats = 14.0 // how far down the integrand is followed
	flatNats = 3.0  // a profile that falls less than this across its bounds is level

	climbNats = 1e-4 // a climb ends where a step would gain less
)

// climb maximises ψ from p over the free parameters, within their bounds:
// Gauss–Newton with a Levenberg shift and an active set. p is changed in place,
// and the fit is left as evaluated there.
func (f *fit) climb(p []float64, free []bool) float64 {
	k := f.dims()
	best := f.at(p)
	shift := 1e-4
	missed := false // the step before this one did not gain: the next is tried by its value first
	var keep state
	var step, trial [maxSources + 1]float64
	for it := 0; it < 40 && shift < 1e9; it++ {
		if !f.newton(p, free, shift, step[:k]) {
			break
		}
		move, slope := 0.0, 0.0
		for i := 0; i < k; i++ {
			lo, hi := f.bounds(i)
			s := math.Max(-3, math.Min(3, step[i]))
			trial[i] = math.Max(lo, math.Min(hi, p[i]+s))
			move = math.Max(move, math.Abs(trial[i]-p[i]))
			slope += f.grad[i] * (trial[i] - p[i])
		}
		if move < 1e-9 || slope < climbNats {
			break
		}
		keep = f.state
		v := math.Inf(-1)
		if !missed || f.value(trial[:k]) > best {
			v = f.at(trial[:k])
		}
		if v > best {
			gain := v - best
			best, missed = v, false
			copy(p, trial[:k])
			shift = math.Max(shift/10, 1e-9)
			if gain < climbNats {
				return best
			}
			continue
		}
		shift *= 10
		missed = true
		f.state = keep
	}
	if missed {
		f.forward(p) // the sections' numbers as at p, too
	}
	return best
}

// newton solves (H + shift·(diag H + 1e-9))·step = grad over the parameters that
// are free and not pressed against a bound. It reports whether any is left.
func (f *fit) newton(p []float64, free []bool, shift float64, step []float64) bool {
	k := len(step)
	var idx [maxSources + 1]int
	n := 0
	for i := 0; i < k; i++ {
		step[i] = 0
		lo, hi := f.bounds(i)
		if !free[i] || (p[i] <= lo && f.grad[i] <= 0) || (p[i] >= hi && f.grad[i] >= 0) {
			continue
		}
		idx[n] = i
		n++
	}
	if n == 0 {
		return false
	}
	var a [maxSources + 1][maxSources + 2]float64
	for i := 0; i < n; i++ {
		for j := 0; j < n; j++ {
			a[i][j] = f.hess[idx[i]][idx[j]]
		}
		a[i][i] += shift*a[i][i] + 1e-9
		a[i][n] = f.grad[idx[i]]
	}
	for c := 0; c < n; c++ {
		if a[c][c] <= 0 {
			return false
		}
		for i := c + 1; i < n; i++ {
			w := a[i][c] / a[c][c]
			for j := c; j <= n; j++ {
				a[i][j] -= w * a[c][j]
			}
		}
	}
	for c := n - 1; c >= 0; c-- {
		s := a[c][n]
		for j := c + 1; j < n; j++ {
			s -= a[c][j] * step[idx[j]]
		}
		step[idx[c]] = s / a[c][c]
	}
	return true
}

// leastPivot is below what a pivot of the Gauss–Newton matrix counts as none.
const leastPivot = 1e-12

// spreads inverts the free part of the Gauss–Newton matrix: the log determinant
// and every free parameter's standard deviation. ok is false where it is not
// positive definite.
func (f *fit) spreads(free []bool, sd []float64) (logDet float64, ok bool) {
	var idx [maxSources + 1]int
	n := 0
	for i := range sd {
		if free[i] {
			idx[n] = i
			n++
		}
	}
	var a, inv [maxSources + 1][maxSources + 1]float64
	for i := 0; i < n; i++ {
		inv[i][i] = 1
		for j := 0; j < n; j++ {
			a[i][j] = f.hess[idx[i]][idx[j]]
		}
	}
	for c := 0; c < n; c++ {
		piv := a[c][c]
		if piv < leastPivot {
			return 0, false
		}
		logDet += math.Log(piv)
		for j := 0; j < n; j++ {
			a[c][j] /= piv
			inv[c][j] /= piv
		}
		for i := 0; i < n; i++ {
			if w := a[i][c]; i != c && w != 0 {
				for j := 0; j < n; j++ {
					a[i][j] -= w * a[c][j]
					inv[i][j] -= w * inv[c][j]
				}
			}
		}
	}
	for i := 0; i < n; i++ {
		if inv[i][i] < 0 {
			return 0, false
		}
		sd[idx[i]] = math.Sqrt(inv[i][i])
	}
	return logDet, true
}

// How many parameters are integrated by quadrature, one inside the other. Each takes
// some ten climbs of what is inside it, so that their number must not grow with the
// explanation: of a wet run over eight sections all may be wide. What is left then is
// wide by its own normal prior about the run's level, for which Laplace's formula is
// made.
const (
	fewDims   = 4 // up to so many parameters all may be
	manyNests = 2 // of more, the two that need it most
)

// logIntegral is ln ∫ exp ψ over the free parameters within their bounds. Where
// the maximum is interior and narrow it is Laplace's formula; a parameter that
// is wide or near a bound is integrated by quadrature instead, the rest inside
// it. floor prunes: a maximum below it returns −Inf, since nothing that wide
// could matter. p is the starting point and is changed.
func (f *fit) logIntegral(p []float64, free []bool, floor float64) float64 {
	nests, dims := fewDims, 0
	for i := range f.dims() {
		if free[i] {
			dims++
		}
	}
	if dims > fewDims {
		nests = manyNests
	}
	return f.logNested(p, free, floor, nests)
}

// logNested is logIntegral with quadrature over so many parameters at the most.
func (f *fit) logNested(p []float64, free []bool, floor float64, nests int) float64 {
	top := f.climb(p, free)
	if top < floor {
		return math.Inf(-1)
	}
	bad, dims := f.worst(p, free)
	if bad >= 0 && nests > 0 {
		return f.quadrature(bad, p, free, top, floor, nests-1)
	}
	var sd [maxSources + 1]float64
	logDet, ok := f.spreads(free, sd[:f.dims()])
	if !ok {
		return top + f.boxes(free)
	}
	gauss := top + 0.5*float64(dims)*math.Log(2*math.Pi) - 0.5*logDet
	if bad < 0 && dims <= 3 && largest(sd[:f.dims()]) > narrowSD {
		return gauss + f.hermite(p, free, top)
	}
	return gauss
}

// boxes is the log volume of the free parameters where the matrix has no inverse: each
// by its own curvature, and no wider than its bounds.
func (f *fit) boxes(free []bool) float64 {
	sum := 0.0
	for i := range f.dims() {
		if !free[i] {
			continue
		}
		lo, hi := f.bounds(i)
		wide := hi - lo
		if h := f.hess[i][i]; h > 0 {
			wide = math.Min(wide, math.Sqrt(2*math.Pi/h))
		}
		sum += math.Log(wide)
	}
	return sum
}

func largest(v []float64) float64 {
	m := 0.0
	for _, x := range v {
		m = math.Max(m, x)
	}
	return m
}

// mostCorrection bounds what one node may add, in nats.
const mostCorrection = 50.0

// hermite corrects Laplace's formula by a three-point Gauss–Hermite product rule
// on the Gaussian that it stands on: ln Σ w·exp(ψ − Gaussian). The Gauss–Newton
// matrix lacks the curvature of what does not fit, which tells where a place is
// some standard deviations off.
func (f *fit) hermite(p []float64, free []bool, top float64) float64 {
	var idx [3]int
	n := 0
	for i := range free[:f.dims()] {
		if free[i] {
			idx[n] = i
			n++
		}
	}
	var r [3][3]float64 // upper triangle, H = RᵀR
	for i := 0; i < n; i++ {
		for j := i; j < n; j++ {
			s := f.hess[idx[i]][idx[j]]
			for k := 0; k < i; k++ {
				s -= r[k][i] * r[k][j]
			}
			if i == j {
				if s < leastPivot {
					return 0 // all but singular: there is nothing to correct
				}
				r[i][i] = math.Sqrt(s)
			} else {
				r[i][j] = s / r[i][i]
			}
		}
	}
	mode := [maxSources + 1]float64{}
	copy(mode[:], p)
	nodes, weights := [3]float64{0, math.Sqrt(3), -math.Sqrt(3)}, [3]float64{2. / 3, 1. / 6, 1. / 6}
	var z [3]float64
	sum := 0.0
	var visit func(at int, w, zz float64)
	visit = func(at int, w, zz float64) {
		if at < n {
			for k, node := range nodes {
				z[at] = node
				visit(at+1, w*weights[k], zz+node*node)
			}
			return
		}
		for i := n - 1; i >= 0; i-- {
			s := z[i]
			for j := i + 1; j < n; j++ {
				s -= r[i][j] * (p[idx[j]] - mode[idx[j]])
			}
			p[idx[i]] = mode[idx[i]] + s/r[i][i]
		}
		sum += w * math.Exp(math.Min(mostCorrection, f.value(p)-top+zz/2)) // beyond it the climb was not at the top
	}
	visit(0, 1, 0)
	copy(p, mode[:len(p)])
	return math.Log(sum)
}

// worst is the free parameter that needs quadrature most, -1 when none does.
func (f *fit) worst(p []float64, free []bool) (bad, dims int) {
	k := f.dims()
	var sd [maxSources + 1]float64
	_, ok := f.spreads(free, sd[:k])
	bad = -1
	most := 0.0
	for i := k - 1; i >= 0; i-- {
		if !free[i] {
			continue
		}
		dims++
		lo, hi := f.bounds(i)
		s := sd[i]
		if !ok {
			s = 1e3
			if h := f.hess[i][i]; h > 1e-12 {
				s = 1 / math.Sqrt(h)
			}
		}
		need := s / wideSD
		if room := math.Min(p[i]-lo, hi-p[i]); room < clearOf*s {
			need = math.Max(need, 1)
		}
		if need >= 1 && need > most*1.0001 {
			bad, most = i, need
		}
	}
	if !ok && bad < 0 {
		for i := range sd[:k] {
			if free[i] {
				bad = i
			}
		}
	}
	return bad, dims
}

// quadrature integrates parameter i numerically, everything else inside. It
// follows the profile down both sides of the maximum and lays Gauss–Legendre
// panels over what it finds; inside it so many more parameters are integrated so.
func (f *fit) quadrature(i int, p []float64, free []bool, top, floor float64, nests int) float64 {
	k := f.dims()
	var inner [maxSources + 1]bool
	copy(inner[:], free)
	inner[i] = false
	mode := append([]float64(nil), p[:k]...)
	lo, hi := f.bounds(i)
	h := f.hess[i][i]
	width := 3.0
	if h > 0 {
		width = math.Min(3, 1/math.Sqrt(h))
	}
	profile := func(t float64) float64 {
		copy(p, mode)
		p[i] = t
		return f.climb(p, inner[:k])
	}
	logs, weights := make([]float64, 0, 32), make([]float64, 0, 32)
	panel := func(from, to float64, nodes [][2]float64) {
		if to-from < 1e-9 {
			return
		}
		copy(p, mode)
		for _, nw := range nodes { // each climb begins where the one beside it ended
			p[i] = from + (to-from)*(nw[0]+1)/2
			logs = append(logs, f.logNested(p, inner[:k], floor-fallNats, nests))
			weights = append(weights, nw[1]*(to-from)/2)
		}
	}
	if profile(lo) > top-flatNats && profile(hi) > top-flatNats {
		panel(lo, hi, gaussLegendre5[:]) // nearly level: one panel holds it
	} else {
		panel(f.edge(profile, mode[i], lo, -width, top), mode[i], gaussLegendre8[:])
		panel(mode[i], f.edge(profile, mode[i], hi, width, top), gaussLegendre8[:])
	}
	copy(p, mode)
	return logSum(logs, weights)
}

// edge walks from the mode towards a bound until the profile has fallen by
// fallNats, then halves back once or twice; it returns the bound if it holds up.
func (f *fit) edge(profile func(float64) float64, mode, bound, step, top float64) float64 {
	inside, t := mode, mode
	for {
		t += step
		if (step < 0 && t <= bound) || (step > 0 && t >= bound) {
			if profile(bound) > top-fallNats {
				return bound
			}
			t = bound
			break
		}
		if profile(t) < top-fallNats {
			break
		}
		inside = t
		step *= 2
	}
	for n := 0; n < 3; n++ {
		mid := (inside + t) / 2
		if profile(mid) < top-fallNats {
			t = mid
		} else {
			inside = mid
		}
	}
	return t
}

// logSum is ln Σ wᵢ·exp(lᵢ).
func logSum(logs, weights []float64) float64 {
	top := math.Inf(-1)
	for _, l := range logs {
		top = math.Max(top, l)
	}
	if math.IsInf(top, -1) {
		return top
	}
	sum := 0.0
	for i, l := range logs {
		if math.IsInf(l, -1) {
			continue
		}
		w := 1.0
		if weights != nil {
			w = weights[i]
		}
		sum += w * math.Exp(l-top)
	}
	return top + math.Log(sum)
}
