package insulation

// RatioMoved is the ratio form of GB 18384 for one meter that was moved, both poles
// read with and without the test resistor. Each ratio is free of the meter's
// loading, so the form needs no correction and no input resistance, only that it
// did not change:
//
//	R0·(V2'/V1' − V2/V1) = Rth/x
//
// with the resistor at the negative pole.
func RatioMoved(plain, fitted Pair, at Side, resistor Value) (Isolation, error) {
	if !sameInput(plain.Negative, plain.Positive) || !sameInput(fitted.Negative, fitted.Positive) {
		return Isolation{}, refuse(InputUnknown, "the meter's input resistance changed with its range between the two poles: lock the range and read again")
	}
	share := func(p pairs) float64 { return p.here / (p.here + p.there) }
	a := pairArithmetic("GB 18384 ratio, one meter moved", plain, fitted, at, resistor, ratio)
	a.leak = func(x []float64) float64 { p := unpackPairs(x); return ratio(p) * share(p) }
	a.place = func(x []float64) float64 { return fromNegative(at, share(unpackPairs(x))) }
	if err := checkPairs(plain, fitted, at, resistor, a); err != nil {
		return Isolation{}, err
	}
	return a.isolation()
}
