package insulation

import "math"

// Tau is the time constant of a pole's volts to chassis, in seconds: the leak and
// the meter in parallel charge every farad between section and chassis,
//
//	τ = (Rth ∥ Rv)·C
//
// An infinite resistance is none.
func Tau(leak, input, farads float64) float64 { return farads / (1/leak + 1/input) }

// SettleTime is how long, in seconds, an exponential takes until only a fraction of
// its first distance is left: t = τ·ln(1/fraction).
func SettleTime(tau, fraction float64) float64 { return tau * math.Log(1/fraction) }

// Settled says whether two readings of one thing, 10 s apart, may be taken as
// settled: they agree within two counts.
func Settled(before, after Volt) bool {
	return math.Abs(before.V.X-after.V.X) <= 2*math.Max(before.Count, after.Count)*(1+1e-9)
}

// A Settling is where three timed readings are heading.
type Settling struct {
	Final Value // V at the end of the exponential
	Tau   Value // s
}

// Extrapolate finds the end value of one exponential from three readings equally
// far apart, every seconds:
//
//	V∞ = (V0·V2 − V1²)/(V0 + V2 − 2·V1),  τ = every / ln((V1 − V0)/(V2 − V1))
//
// since each step is e^(−every/τ) of the one before. Steps that do not shrink are
// no capacitor: a straight line is a leak that drifts, a swing a monitor that still
// injects.
func Extrapolate(v0, v1, v2 Volt, every float64) (Settling, error) {
	if err := first(above0("the time between readings", every, "s"), numbers(v0, v1, v2)); err != nil {
		return Settling{}, err
	}
	one, two := difference(v1.V, v0.V), difference(v2.V, v1.V)
	noise := beyond * math.Max(one.U(), two.U())
	switch {
	case math.Abs(one.X) <= noise && math.Abs(two.X) <= noise:
		return Settling{}, refuse(Unresolved, "the three readings agree within the meter's own error: they have settled, the last one stands")
	case one.X*two.X < 0 && math.Abs(two.X) > noise:
		return Settling{}, refuse(NotSettling, "the three readings turn round (%.4g, %.4g, %.4g V), which no capacitor does: "+
			"look for a monitor that still injects", v0.V.X, v1.V.X, v2.V.X)
	}
	// How much the second step is shorter than the first, along the first.
	shorter := difference(one, two).times(math.Copysign(1, one.X))
	if noLarger(shorter) || one.X == 0 {
		return Settling{}, refuse(NotSettling, "the steps between the readings do not shrink (%.3g V, then %.3g V): "+
			"a leak that drifts, not a capacitor that charges. Take them further apart or read on", one.X, two.X)
	}
	if math.Abs(two.X) <= noise {
		return Settling{}, refuse(Unresolved, "the last two readings agree within the meter's own error: they have settled, the last one stands")
	}
	in := []Value{v0.V, v1.V, v2.V}
	return Settling{
		Final: propagate(func(x []float64) float64 { return (x[0]*x[2] - x[1]*x[1]) / (x[0] + x[2] - 2*x[1]) }, in...),
		Tau:   propagate(func(x []float64) float64 { return every / math.Log((x[1]-x[0])/(x[2]-x[1])) }, in...),
	}, nil
}
