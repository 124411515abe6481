package insulation

import "math"

// UnbiasedPlace is the true place of a leak of known ohms from one pair of two
// equal meters at once, which pull the equivalent to the middle: with c = U1/Vb at
// the negative pole,
//
//	x = c + (Rth/Rv)·(2c − 1)
//
// One pair alone is one equation for two unknowns: asked with several sizes, this
// gives the place as a function of them.
func UnbiasedPlace(p Pair, leak Value) (Result, error) {
	if !(leak.X >= 0) || math.IsInf(leak.X, 1) {
		return Result{}, refuse(NotPositive, "the leak must be zero ohms or above")
	}
	if err := first(numbers(p.Negative, p.Positive), inputAbove0(p.Negative, p.Positive), betweenPoles(p.Negative.V, p.Positive.V)); err != nil {
		return Result{}, err
	}
	if !sameInput(p.Negative, p.Positive) {
		return Result{}, refuse(InputUnknown, "the two meters load the pack differently: without a test resistor the place cannot be freed of them")
	}
	v1, v2 := p.magnitudes(NegativePole)
	if noLarger(sum(v1, v2)) {
		return Result{}, refuse(TooSmall, "the two meters read no more than their own error")
	}
	return place(func(x []float64) float64 {
		c := x[0] / (x[0] + x[1])
		return c + x[2]/x[3]*(2*c-1)
	}, v1, v2, leak, p.Negative.Input), nil
}
