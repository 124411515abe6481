package insulation

import "math"

// A Tested is one reading of an insulation tester on a section that is live by
// itself: the ohms shown, red on a node of the section and black on chassis, and
// the volts that the tester forces on red above black, signed. A negative Shown is
// a current that ran the other way.
type Tested struct {
	Shown Value // ohms
	Test  Value // V
}

// Shown is what a tester shows at a node that lies above volts over the leak's own
// potential while the tester is off:
//
//	R = E·Rth/(E − above)
//
// On a live section it differs from the leak, and from end to end.
func Shown(test, leak, above float64) float64 { return test * leak / (test - above) }

// biasAllowed is how large the section's own volts may be beside the test volts.
const biasAllowed = 0.10

// FromOneTest reads an insulation tester's figure as the leak itself, which it is
// only while the section's own volts are small beside the test volts: up to 10 %
// they become an error of the result, beyond it the form refuses. The leak can lie
// anywhere, so the error is a rectangle of ± Vsec/E.
func FromOneTest(t Tested, section Value) (Result, error) {
	if err := t.check(); err != nil {
		return Result{}, err
	}
	if !(section.X >= 0) || math.IsInf(section.X, 0) {
		return Result{}, refuse(NotPositive, "the section's volts must be zero or above")
	}
	bias := section.X / math.Abs(t.Test.X)
	if bias > biasAllowed {
		return Result{}, refuse(Biased, "this number does not mean what it looks like: the section's own %.4g V are %.0f %% of the test's %.4g V. "+
			"Test both ends, or one end with both polarities", section.X, 100*bias, math.Abs(t.Test.X))
	}
	// R = Shown·(E − above)/E with above anywhere in ± Vsec.
	free := Within(1, bias, SectionVolts)
	return resistance(func(x []float64) float64 { return x[0] * x[1] }, t.Shown.X, t.Shown, free)
}

// A TestedLeak is what two readings of an insulation tester give together.
type TestedLeak struct {
	Leak  Result // ohms
	Above Value  // V: the first node above the leak's potential, the tester off
}

// FromTwoTests finds the leak behind two readings whose nodes lie apart by so many
// volts, the first above the second. With I = E/R shown and E − I·Rth = v at each,
//
//	Rth = (E1 − E2 − apart)/(I1 − I2)
func FromTwoTests(one, two Tested, apart Value) (TestedLeak, error) {
	if err := first(one.check(), two.check()); err != nil {
		return TestedLeak{}, err
	}
	if math.IsNaN(apart.X) || math.IsInf(apart.X, 0) {
		return TestedLeak{}, refuse(NotPositive, "the volts between the two nodes are no number")
	}
	in := []Value{one.Test, one.Shown, two.Test, two.Shown, apart}
	driven := propagate(func(x []float64) float64 { return x[0] - x[2] - x[4] }, in...)
	currents := propagate(func(x []float64) float64 { return x[0]/x[1] - x[2]/x[3] }, in...)
	if math.Abs(driven.X) <= beyond*driven.U()+1e-9*math.Abs(one.Test.X) {
		return TestedLeak{}, refuse(Unresolved, "the two tests force the same volts through the leak: they are one equation, not two")
	}
	if math.Abs(currents.X) <= beyond*currents.U() {
		return TestedLeak{}, refuse(Unresolved, "the two tests show the same current within the tester's error: the leak is larger than they can tell")
	}
	leak := func(x []float64) float64 { return (x[0] - x[2] - x[4]) / (x[0]/x[1] - x[2]/x[3]) }
	if driven.X*currents.X < 0 {
		return TestedLeak{}, refuse(Unresolved, "the two tests ask for a resistance below zero: a sign, a polarity or the order of the two is wrong, "+
			"or the leak changes with the volts across it")
	}
	r, err := resistance(leak, math.Abs(one.Shown.X), in...)
	if err != nil {
		return TestedLeak{}, err
	}
	return TestedLeak{Leak: r, Above: propagate(func(x []float64) float64 { return x[0] - x[0]/x[1]*leak(x) }, in...)}, nil
}

// FromBothEnds is a section tested at its positive and at its negative end with
// the same volts and polarity:
//
//	Rth = Vsec/(E·(1/Rnegative − 1/Rpositive))
func FromBothEnds(positive, negative Tested, section Value) (TestedLeak, error) {
	return FromTwoTests(positive, negative, section)
}

// FromBothPolarities is one node tested with the volts one way and then the other,
// I1 = (E − v)/Rth and I2 = (−E − v)/Rth:
//
//	Rth = 2·E/(I1 − I2),  v = −E·(I1 + I2)/(I1 − I2)
//
// At the negative pole v = −x·Vsec.
func FromBothPolarities(one, other Tested) (TestedLeak, error) {
	return FromTwoTests(one, other, Exact(0))
}

// check refuses a reading of a tester that is none.
func (t Tested) check() error {
	if t.Test.X == 0 || math.IsNaN(t.Test.X) || math.IsInf(t.Test.X, 0) {
		return refuse(NotPositive, "the tester's volts must be given, with their sign")
	}
	if t.Shown.X == 0 || math.IsNaN(t.Shown.X) || math.IsInf(t.Shown.X, 0) {
		return refuse(NotPositive, "the tester shows no resistance: over range, or at the limit of its current")
	}
	return nil
}
