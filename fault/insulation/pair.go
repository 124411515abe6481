package insulation

import "math"

// A Pair is one reading of each pole to chassis; signed, red on the pole. Which
// form it goes to says how it was taken: by two meters connected at once, or by
// one that was moved.
type Pair struct {
	Negative, Positive Volt
}

// magnitudes are the volts at the pole "here" and at the other.
func (p Pair) magnitudes(here Side) (Value, Value) {
	v1, v2 := p.Negative.V.times(-1), p.Positive.V
	if here == PositivePole {
		return v2, v1
	}
	return v1, v2
}

// loads are the input resistances at the pole "here" and at the other, ohms.
func (p Pair) loads(here Side) (Value, Value) {
	if here == PositivePole {
		return p.Positive.Input, p.Negative.Input
	}
	return p.Negative.Input, p.Positive.Input
}

// higher is the pole further from chassis; equal poles count as the negative one.
func (p Pair) higher() Side {
	if v1, v2 := p.magnitudes(NegativePole); v1.X >= v2.X {
		return NegativePole
	}
	return PositivePole
}

// pairs are the plain numbers of the forms that read both poles with and without a
// test resistor, which sits at "here".
type pairs struct {
	here, there             float64 // without it, V
	hereFitted, thereFitted float64 // with it, V
	r0                      float64 // ohms
	rHere, rThere           float64 // input resistances, ohms
}

func unpackPairs(x []float64) pairs { return pairs{x[0], x[1], x[2], x[3], x[4], x[5], x[6]} }

// pairArithmetic is a form over two pairs, its leak and place still to be given;
// written is the form as printed, which gives the side away from the resistor.
func pairArithmetic(form string, plain, fitted Pair, at Side, resistor Value, written func(pairs) float64) arithmetic {
	here, there := plain.magnitudes(at)
	hereFitted, thereFitted := fitted.magnitudes(at)
	rHere, rThere := plain.loads(at)
	converted := at != plain.higher()
	return arithmetic{
		form:   form,
		inputs: []Value{here, there, hereFitted, thereFitted, resistor, rHere, rThere},
		volts:  sum(here, there),
		scale:  resistor.X,
		higher: plain.higher(),
		written: func(x []float64) float64 {
			p := unpackPairs(x)
			if converted {
				return written(p) * p.here / p.there
			}
			return written(p)
		},
	}
}

// fromNegative turns a share counted from one pole into one counted from the
// negative pole.
func fromNegative(at Side, share float64) float64 {
	if at == PositivePole {
		return 1 - share
	}
	return share
}

// checkPairs refuses pairs that do not belong together, or show too little.
func checkPairs(plain, fitted Pair, at Side, resistor Value, a arithmetic) error {
	if err := first(
		above0("the test resistor", resistor.X, "ohm"),
		inputAbove0(plain.Negative, plain.Positive, fitted.Negative, fitted.Positive),
		numbers(plain.Negative, plain.Positive, fitted.Negative, fitted.Positive),
		betweenPoles(plain.Negative.V, plain.Positive.V),
		betweenPoles(fitted.Negative.V, fitted.Positive.V)); err != nil {
		return err
	}
	before, _ := plain.magnitudes(at)
	with, _ := fitted.magnitudes(at)
	return moved("the "+at.String(), before, with, resistor.X, a)
}

// moved refuses a reading that the test resistor did not move as a resistor does,
// or not enough to be told. It carries the bound on the leak where there is one.
func moved(pole string, plain, with Value, r0 float64, a arithmetic) error {
	if noLarger(plain) {
		return refuse(TooSmall, "%s reads %.4g V to chassis, no more than its own error: a test resistor can show "+
			"nothing there. Fit it at the other pole", pole, plain.X)
	}
	if with.X < -beyond*with.U()-pathVolts {
		return refuse(ChassisOutside, "%s changed its sign when the test resistor was fitted (%.4g V): "+
			"another source, or red and black swapped", pole, with.X)
	}
	if noLarger(with) {
		return refuse(TooSmall, "with %s fitted, %s reads %.4g V, no more than its own error: "+
			"the leak is far larger than the test resistor. Fit a larger one", ohms(r0), pole, with.X).bounded(a.least())
	}
	fell := difference(plain, with)
	if fell.X < -beyond*fell.U()-1e-9*plain.X {
		return refuse(Raised, "the reading at %s rose from %.4g V to %.4g V when the test resistor was fitted, which no resistor does: "+
			"something else changed, or the two were swapped", pole, plain.X, with.X)
	}
	if fell.X <= beyond*fell.U()+1e-9*plain.X {
		return refuse(TooClose, "fitting %s moved the reading at %s by %.3g V, no more than the meter's own error: "+
			"the leak is far smaller than the test resistor. Fit a smaller one whose watts allow it", ohms(r0), pole, math.Abs(fell.X)).bounded(a.bound())
	}
	return nil
}

// mostVolts is more than any pack has: a reading beyond it is a slip.
const mostVolts = 1e5

// numbers refuses readings that are none.
func numbers(readings ...Volt) error {
	for _, v := range readings {
		if !(math.Abs(v.V.X) <= mostVolts) {
			return refuse(NoRange, "%.4g V is no reading of a pack", v.V.X)
		}
	}
	return nil
}
