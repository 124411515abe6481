package insulation

import "math"

// SumRule needs no test resistor: what the two poles fall short of the pack is
// what the leak took from the one meter that was moved,
//
//	Rth = Rv·(Vb/(V1 + V2) − 1)
//
// with each reading's own input resistance in (Vb − V1 − V2)/(V1/Rv1 + V2/Rv2). It
// is a small difference for a leak far below Rv: the result is then wide, or a
// bound. Two meters connected at once always add up to the pack and look like no
// ohms at all; this form alone cannot tell. The standard's printed form does not
// exist here: AsWritten repeats Standard.
func SumRule(p Poles) (Isolation, error) {
	if err := p.check(); err != nil {
		return Isolation{}, err
	}
	if math.IsInf(p.Negative.Input.X, 1) || math.IsInf(p.Positive.Input.X, 1) {
		return Isolation{}, refuse(InputUnknown, "the sum of the two poles says nothing of the leak unless the meter's input resistance is known")
	}
	a := arithmetic{
		form:   "sum of the two poles",
		inputs: []Value{p.Across.V, p.v1(), p.v2(), p.Negative.Input, p.Positive.Input},
		volts:  p.Across.V,
		scale:  p.Negative.Input.X,
		higher: p.Higher(),
		leak:   func(x []float64) float64 { return (x[0] - x[1] - x[2]) / (x[1]/x[3] + x[2]/x[4]) },
	}
	a.place = func(x []float64) float64 {
		leak := a.leak(x)
		v1, v2 := x[1]*(1+leak/x[3]), x[2]*(1+leak/x[4])
		return v1 / (v1 + v2)
	}
	a.written = func(x []float64) float64 {
		if a.higher == NegativePole {
			return a.leak(x) / a.place(x)
		}
		return a.leak(x) / (1 - a.place(x))
	}
	if both := sum(p.v1(), p.v2()); noLarger(both) {
		return Isolation{}, refuse(TooSmall, "the two poles read %.3g V and %.3g V to chassis, no more than the meter's own error: "+
			"the leak is too large for this meter, or the black lead is not on the chassis metal", p.v1().X, p.v2().X).bounded(a.least())
	}
	return a.isolation()
}

// Place is where the equivalent leak sits, from 0 at the negative pole to 1 at the
// positive, by volts:
//
//	x = V1/(V1 + V2)
//
// whatever the leak's ohms and whatever the input resistance, as long as one
// meter was moved; the meter's gain cancels on one range. Where the input
// resistance changed with the range, the leak by the sum rule frees each reading
// of its loading first.
func Place(p Poles) (Result, error) {
	if err := p.check(); err != nil {
		return Result{}, err
	}
	if both := sum(p.v1(), p.v2()); noLarger(both) {
		return Result{}, refuse(TooSmall, "the two poles read %.3g V and %.3g V to chassis, no more than the meter's own error: "+
			"they give no place", p.v1().X, p.v2().X)
	}
	if sameInput(p.Negative, p.Positive) {
		return place(func(x []float64) float64 { return x[0] / (x[0] + x[1]) }, p.v1(), p.v2()), nil
	}
	iso, err := SumRule(p)
	return iso.Position, err
}
