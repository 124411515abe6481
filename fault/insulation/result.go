package insulation

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"

	"halfsplit/fault"
)

// beyond is how many standard uncertainties a difference must have before this
// package takes it as real.
const beyond = 3

// z95 holds 95 % of a normal distribution within ± z95.
const z95 = 1.959963984540054

// Unknown is the relation of a place that the readings do not give.
const Unknown = "?"

// leastOhms is the smallest leak that is told from none at all.
const leastOhms = 1.0

// A Result is a value with its 95 % interval, or a bound. Relation fault.Less:
// Low is 0, X and High are the 97.5 % point. Relation fault.Greater: X and Low are
// the 2.5 % point, High is +Inf. U is then the standard uncertainty at the bound.
// Relation Unknown: the readings do not say; Low and High are all there could be.
type Result struct {
	Value
	Low, High float64
	Relation  string
}

// Bounded is the result as a finding writes it: a bound has no mid.
func (r Result) Bounded() fault.Bounded {
	b := fault.Bounded{Low: fault.Number(r.Low), Mid: fault.Number(r.X), High: fault.Number(r.High), Relation: r.Relation}
	switch r.Relation {
	case fault.Less:
		b.Low, b.Mid = 0, fault.NoNumber
	case fault.Greater:
		b.Mid, b.High = fault.NoNumber, fault.NoNumber
	}
	return b
}

// over is the result divided by an exact number above 0.
func (r Result) over(divisor float64) Result {
	return Result{Value: r.times(1 / divisor), Low: r.Low / divisor, High: r.High / divisor, Relation: r.Relation}
}

// resistance is a formula for ohms as a result.
//
// Near zero ohms a formula's error is even in ohms, near infinity it is even in
// siemens, and in both places the formula's own value may come out on the wrong
// side. Between them it runs over k = R/(R + scale), from 0 at no ohms to 1 at no
// leak, with scale a resistance of the circuit (the test resistor, the meter): k is
// smooth through both ends, so the interval is taken there and carried back. Where
// it reaches 1 ohm the result is the bound below which R lies, where it reaches
// infinity the bound above. Both at once is a refusal, as is a value beyond an end
// by more than its errors.
func resistance(f func(x []float64) float64, scale float64, in ...Value) (Result, error) {
	k := propagate(func(x []float64) float64 { return 1 / (1 + scale/f(x)) }, in...)
	u := k.U()
	low, high := k.X-z95*u, k.X+z95*u
	least, most := 1/(1+scale/leastOhms), 1-1e-9
	hard, soft := !(low > least), !(high < most)
	ohms := func(k float64) float64 { return scale * k / (1 - k) }
	bound := func(at float64) Value {
		return Value{X: ohms(at), shifts: k.times(scale / ((1 - at) * (1 - at))).shifts}
	}
	switch limit := beyond*u + 1e-9; {
	case k.X < -limit, k.X > 1+limit:
		return Result{}, refuse(Impossible, "the readings ask for a resistance below zero by more than their errors: "+
			"another input resistance than recorded, readings of two states, or a value with a slip")
	case hard && soft:
		return Result{}, refuse(Unresolved, "the errors of the readings are larger than what they would have to show: "+
			"nothing can be said about the resistance from them")
	case hard:
		v := bound(math.Max(least, math.Min(positive(k.X, u), most)))
		return Result{Value: v, High: v.X, Relation: fault.Less}, nil
	case soft:
		v := bound(math.Max(least, math.Min(1-positive(1-k.X, u), most)))
		return Result{Value: v, Low: v.X, High: math.Inf(1), Relation: fault.Greater}, nil
	}
	v := propagate(f, in...)
	return Result{Value: v, Low: math.Min(ohms(low), v.X), High: math.Max(ohms(high), v.X), Relation: fault.Equal}, nil
}

// positive is the 97.5 % point of a quantity that cannot be negative, estimated
// as est ± u: of a normal distribution cut off below 0. It is above 0 however far
// the estimate lies on the wrong side.
func positive(est, u float64) float64 {
	if u == 0 {
		return math.Max(est, 0)
	}
	if est < -30*u { // the cut-off tail is an exponential of mean u²/(−est)
		return u * u / -est * math.Log(40)
	}
	above := distuv.UnitNormal.CDF(est / u) // the probability left above 0
	return est - u*distuv.UnitNormal.Quantile(0.025*above)
}

// place is a formula for a fraction of the section's volts as a result. It stays
// between 0 and 1: a value beyond an end, by counts or by the leak path's own
// potential, is put at that end.
func place(f func(x []float64) float64, in ...Value) Result {
	v := propagate(f, in...)
	u := v.U()
	// Wider than a rectangle over the whole section, it is no place at all.
	if !(u < 1/math.Sqrt(12)) || math.IsNaN(v.X) || math.IsInf(v.X, 0) {
		return Result{Value: WithSD(0.5, 1/math.Sqrt(12), v.LimitedBy()), Low: 0, High: 1, Relation: Unknown}
	}
	r := Result{Value: v, Low: math.Max(0, v.X-z95*u), High: math.Min(1, v.X+z95*u), Relation: fault.Equal}
	switch {
	case v.X < 0:
		r.X, r.Low, r.High = 0, 0, positive(v.X, u)
	case v.X > 1:
		r.X, r.Low, r.High = 1, 1-positive(1-v.X, u), 1
	}
	return r
}
