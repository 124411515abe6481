package insulation

// TwoMeters is the form of ISO 6469-1 (also GB/T 18384.1): two meters at once, U1
// at the higher pole and U1' at the lower, then R0 across the higher and U2 there:
//
//	Ri = R0·(U1 − U2)/U2·(1 + U1'/U1)
//	1/Ri corrected = 1/Ri − 1/r
//
// As printed it is the lower side with its meter in parallel; the correction takes
// the meter out and is exact. Fitted at the lower pole, the same formula gives the
// other side, and U1 : U1' brings Ri back. Both sides have their own meter taken
// out for Leak, Standard and Position: both meters at once pull the place of the
// bare readings to the middle.
func TwoMeters(plain, fitted Pair, at Side, resistor Value) (Isolation, error) {
	return twoMeters("ISO 6469-1, two meters at once", plain, fitted, at, resistor, func(p pairs) float64 {
		return p.r0 * (p.here - p.hereFitted) / p.hereFitted * (1 + p.there/p.here)
	})
}

// Ratio is the form of GB 18384 (and GB 38031, annex B) for the same four readings:
//
//	Ri = R0·(U2'/U2 − U1'/U1),  1/Ri corrected = 1/Ri − 1/r
//
// With U1 + U1' = U2 + U2', the pack's volts, it is the same number as TwoMeters:
// both are R0·Vb·(1/U2 − 1/U1).
func Ratio(plain, fitted Pair, at Side, resistor Value) (Isolation, error) {
	return twoMeters("GB 18384 ratio, two meters at once", plain, fitted, at, resistor, ratio)
}

func ratio(p pairs) float64 { return p.r0 * (p.thereFitted/p.hereFitted - p.there/p.here) }

// twoMeters computes from a form that gives the side away from the resistor, its
// meter in parallel, in ohms.
func twoMeters(form string, plain, fitted Pair, at Side, resistor Value, written func(pairs) float64) (Isolation, error) {
	// Siemens of both sides without their meters. One current flows through both,
	// so with the meters they are as the volts of the other: G : G' = U' : U.
	sides := func(x []float64) (here, there float64) {
		p := unpackPairs(x)
		loaded := 1 / written(p)
		return loaded*p.there/p.here - 1/p.rHere, loaded - 1/p.rThere
	}
	a := pairArithmetic(form, plain, fitted, at, resistor, written)
	a.leak = func(x []float64) float64 { here, there := sides(x); return 1 / (here + there) }
	a.place = func(x []float64) float64 {
		here, there := sides(x)
		return fromNegative(at, there/(here+there))
	}
	if err := first(checkPairs(plain, fitted, at, resistor, a), atOnce(plain, fitted)); err != nil {
		return Isolation{}, err
	}
	return a.isolation()
}

// atOnce refuses pairs that cannot be those of two meters at once: these add up to
// the pack, with the test resistor and without.
func atOnce(plain, fitted Pair) error {
	before := sum(plain.magnitudes(NegativePole))
	with := sum(fitted.magnitudes(NegativePole))
	change := difference(before, with)
	// The pack's volts themselves may move a little between two moments.
	if limit := beyond*change.U() + 2e-3*before.X; change.X > limit || change.X < -limit {
		return refuse(OneMoved, "the two meters add up to %.4g V without the test resistor and %.4g V with it: two meters connected at once "+
			"add up to the pack's volts both times. If one meter was moved, use the form for it", before.X, with.X)
	}
	return nil
}
