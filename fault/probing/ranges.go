package probing

import (
	"math"

	"halfsplit/fault"
)

// An Ends is how the two ends of a section fall on the ranges of a meter.
type Ends struct {
	Both  fault.Range // the smallest range that holds both
	A, B  fault.Range // what a meter that chooses for itself takes for each end
	Mixed bool        // A and B are not the same range
}

// RangesOf finds the ranges for the volts that two ends have to chassis; ok is false
// where no range of the meter holds both, or none is described. One of them may be
// NaN, not known: then there is nothing to mix.
func RangesOf(in fault.Instrument, a, b float64) (e Ends, ok bool) {
	if math.IsNaN(a) {
		a = b
	}
	if math.IsNaN(b) {
		b = a
	}
	if math.IsNaN(a) {
		return e, false
	}
	e.A, _, ok = in.RangeFor(a, 0)
	if !ok {
		return e, false
	}
	if e.B, _, ok = in.RangeFor(b, 0); !ok {
		return e, false
	}
	e.Both, _, ok = in.RangeFor(math.Max(math.Abs(a), math.Abs(b)), 0)
	e.Mixed = e.A.Max != e.B.Max
	return e, ok
}

// GainShift is how far the place of a leak can move, in volts along its section,
// where the two ends are read on ranges whose gains err by ± pct each and
// independently. From the ends' magnitudes a and b and the section's volts,
//
//	x = a/(a + b) · volts,  dx = volts · x/volts · (1 − x/volts) · 2·pct/100
//
// On one range both gains are the same error, which the quotient cancels: 0.
func GainShift(a, b, volts, pct float64) float64 {
	a, b = math.Abs(a), math.Abs(b)
	if !(a+b > 0) {
		return 0
	}
	f := a / (a + b)
	return math.Abs(volts) * f * (1 - f) * 2 * pct / 100
}

// PlaceCounts is how far the place moves, in volts along the section, when one end's
// last digit is off by one count:
//
//	dx = volts · other/(a + b)² · count
//
// The end that is named first is the one that is off.
func PlaceCounts(a, b, volts, count float64) float64 {
	a, b = math.Abs(a), math.Abs(b)
	if !(a+b > 0) {
		return math.Inf(1)
	}
	return math.Abs(volts) * b / ((a + b) * (a + b)) * count
}
