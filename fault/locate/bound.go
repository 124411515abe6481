package locate

import "math"

// A bound says where a predicted value must lie for a reading that is an
// inequality: between low and high, or outside them, known to within sd.
type bound struct {
	set       bool
	low, high float64
	outside   bool
	sd        float64
}

// likelihood is ln P(the value lies where the bound has it), for a prediction v
// of variance extra, with its first derivative by v and the curvature that a
// Newton step may use (never negative).
func (b bound) likelihood(v, extra float64) (logP, slope, curve float64) {
	s := math.Sqrt(b.sd*b.sd + extra)
	zl, zh := (b.low-v)/s, (b.high-v)/s
	in := 0.5 * (math.Erfc(-zh/math.Sqrt2) - math.Erfc(-zl/math.Sqrt2))
	if zl > 0 { // both in the upper tail: the complements keep the digits
		in = 0.5 * (math.Erfc(zl/math.Sqrt2) - math.Erfc(zh/math.Sqrt2))
	}
	first := (phi(zl) - phi(zh)) / s
	second := (xphi(zl) - xphi(zh)) / (s * s)
	if b.outside {
		in, first, second = 1-in, -first, -second
		if zl > -5 && zh < 5 { // 1 − in keeps no digits where in is nearly one
			in = 0.5*math.Erfc(-zl/math.Sqrt2) + 0.5*math.Erfc(zh/math.Sqrt2)
		}
	}
	if in < 1e-280 {
		return b.far(v, s)
	}
	slope = first / in
	return math.Log(in), slope, math.Max(0, slope*slope-second/in)
}

// far is the tail of the normal distribution beyond what a float holds: nearly
// −z²/2 by the distance to where the value may lie.
func (b bound) far(v, s float64) (logP, slope, curve float64) {
	to := b.low
	if math.IsInf(b.low, 0) || (!math.IsInf(b.high, 0) && math.Abs(v-b.high) < math.Abs(v-b.low)) {
		to = b.high
	}
	z := (to - v) / s
	return -z*z/2 - math.Log(math.Abs(z)*math.Sqrt(2*math.Pi)), z / s, 1 / (s * s)
}

func phi(z float64) float64 {
	if math.IsInf(z, 0) {
		return 0
	}
	return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi)
}

func xphi(z float64) float64 {
	if math.IsInf(z, 0) {
		return 0
	}
	return z * phi(z)
}
