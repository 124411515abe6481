package insulation

// OwnInput is a meter's input resistance from a known resistor in series with it on
// a steady source: V straight on the source, V' through the resistor,
//
//	Rv = Rs·V'/(V − V')
func OwnInput(straight, through Volt, series Value) (Result, error) {
	v, w := straight.V, through.V
	if v.X < 0 {
		v, w = v.times(-1), w.times(-1)
	}
	if err := first(above0("the series resistor", series.X, "ohm"), numbers(straight, through)); err != nil {
		return Result{}, err
	}
	if noLarger(v) || noLarger(w) {
		return Result{}, refuse(TooSmall, "the readings (%.4g V and %.4g V) are no larger than their own error, or differ in sign", straight.V.X, through.V.X)
	}
	f := func(x []float64) float64 { return x[2] * x[1] / (x[0] - x[1]) }
	fell := difference(v, w)
	if fell.X < -beyond*fell.U()-1e-9*v.X {
		return Result{}, refuse(Raised, "the meter read more through the resistor (%.4g V) than without it (%.4g V)", w.X, v.X)
	}
	return resistance(f, series.X, v, w, series)
}
