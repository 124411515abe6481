package probing

import "math"

// An Exponential is where a series that settles is heading:
//
//	v = End + A·exp(−(t − T0)/Tau)
//
// T0 is the time of the first value.
type Exponential struct {
	T0, End, A, Tau float64
	EndSD           float64 // what the counts and the choice of Tau leave open
	Chi2            float64
	DF              int // values less three
}

// steps of the ladder of time constants, from a twentieth to twice the whole time.
const steps = 120

// FitExponential fits an exponential by least squares: for one time constant the
// end and the amplitude are linear, and the time constant runs over a fixed ladder,
// then between its best steps. Times ascend. ok is false for fewer than four values,
// and where the best time constant is so long that the series is as well a straight
// line: a leak that drifts, not a capacitor that charges.
//
// It needs O(n) for each step of the ladder.
func FitExponential(points []Point) (e Exponential, ok bool) {
	n := len(points)
	if n < 4 || !(points[n-1].T > points[0].T) {
		return e, false
	}
	span := points[n-1].T - points[0].T
	sd := typical(points)
	tau := func(k float64) float64 { return span / 20 * math.Pow(40, k/steps) }
	best, least := -1.0, math.Inf(1)
	for k := range steps + 1 {
		if x, ok := at(points, sd, tau(float64(k))); ok && x.Chi2 < least {
			best, least = float64(k), x.Chi2
		}
	}
	if best < 0 {
		return e, false
	}
	best = between(best-1, best+1, func(k float64) float64 {
		x, ok := at(points, sd, tau(k))
		if !ok {
			return math.Inf(1)
		}
		return x.Chi2
	})
	e, ok = at(points, sd, tau(best))
	if !ok || e.Tau > 1.5*span || e.A == 0 {
		return e, false
	}
	e.DF = n - 3
	for k := range steps + 1 { // ends that fit within one unit of χ²
		if x, ok := at(points, sd, tau(float64(k))); ok && x.Chi2 < e.Chi2+1 {
			e.EndSD = math.Max(e.EndSD, math.Abs(x.End-e.End))
		}
	}
	return e, true
}

// at is the least-squares end and amplitude for one time constant.
func at(points []Point, sd, tau float64) (e Exponential, ok bool) {
	e = Exponential{T0: points[0].T, Tau: tau}
	var w, we, wee, wv, wev float64
	for _, p := range points {
		k, x := weight(p, sd), math.Exp(-(p.T-e.T0)/tau)
		w, we, wee, wv, wev = w+k, we+k*x, wee+k*x*x, wv+k*p.V, wev+k*x*p.V
	}
	det := w*wee - we*we
	if !(det > 1e-12*w*wee) {
		return e, false
	}
	e.End, e.A = (wee*wv-we*wev)/det, (w*wev-we*wv)/det
	e.EndSD = math.Sqrt(wee / det)
	for _, p := range points {
		r := p.V - e.Value(p.T)
		e.Chi2 += weight(p, sd) * r * r
	}
	return e, true
}

// Value is the exponential at a time.
func (e Exponential) Value(t float64) float64 { return e.End + e.A*math.Exp(-(t-e.T0)/e.Tau) }

// Left is how far the value still is from its end at a time.
func (e Exponential) Left(t float64) float64 { return math.Abs(e.Value(t) - e.End) }

// Fits says that no more is left beside it than the uncertainties allow.
func (e Exponential) Fits() bool { return e.Chi2 <= limit(max(1, e.DF)) }

// between is where a function of one valley is least, by golden section.
func between(lo, hi float64, f func(float64) float64) float64 {
	const g = 0.6180339887498949
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	fa, fb := f(a), f(b)
	for range 40 {
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - g*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + g*(hi-lo)
			fb = f(b)
		}
	}
	return (lo + hi) / 2
}
