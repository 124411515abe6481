package insulation

// A Side is one of a section's two poles.
type Side int

// The two poles of a section.
const (
	NegativePole Side = iota
	PositivePole
)

// String names the pole.
func (s Side) String() string {
	if s == NegativePole {
		return "negative pole"
	}
	return "positive pole"
}

// Poles are the three readings that every form starts from: one meter, moved, in
// one state. All signed, red above black: Across with red on the positive and black
// on the negative pole, Negative and Positive with red on that pole and black on
// chassis, so that Negative is as a rule below zero.
type Poles struct {
	Across, Negative, Positive Volt
}

// pathVolts is what a wet copper-aluminium path can hold by itself: a leak at an
// end terminal may bring the chassis that far outside the poles.
const pathVolts = 1.5

// v1 and v2 are the standards' magnitudes: chassis above the negative pole, and
// the positive pole above chassis.
func (p Poles) v1() Value { return p.Negative.V.times(-1) }
func (p Poles) v2() Value { return p.Positive.V }

// at is the pole's reading and its magnitude.
func (p Poles) at(s Side) (Volt, Value) {
	if s == NegativePole {
		return p.Negative, p.v1()
	}
	return p.Positive, p.v2()
}

// Higher is the pole that lies further from chassis: where the standards want the
// test resistor. Equal poles count as the negative one (V1 ≥ V2).
func (p Poles) Higher() Side {
	if p.v1().X >= p.v2().X {
		return NegativePole
	}
	return PositivePole
}

// check refuses readings that no leak between the poles can give.
func (p Poles) check() error {
	vb, v1, v2 := p.Across.V, p.v1(), p.v2()
	if err := first(above0("the volts from pole to pole", vb.X, "V"), inputAbove0(p.Across, p.Negative, p.Positive), numbers(p.Across, p.Negative, p.Positive)); err != nil {
		return err
	}
	if err := betweenPoles(p.Negative.V, p.Positive.V); err != nil {
		return err
	}
	excess := difference(sum(v1, v2), vb)
	if excess.X > beyond*excess.U()+1e-9*vb.X {
		return refuse(SumTooLarge, "the two poles together read %.4g V to chassis, more than the %.4g V from pole to pole: "+
			"readings of different times or states, another source, or one value with a slip", v1.X+v2.X, vb.X)
	}
	return nil
}

// inputAbove0 refuses a meter without an input resistance; +Inf is none known.
func inputAbove0(readings ...Volt) error {
	for _, v := range readings {
		if !(v.Input.X > 0) {
			return refuse(NotPositive, "the meter's input resistance must be above zero, not %.4g ohm", v.Input.X)
		}
	}
	return nil
}

// betweenPoles refuses a chassis that does not lie between the poles, given both
// poles' signed volts to chassis.
func betweenPoles(negative, positive Value) error {
	allowed := func(v Value) float64 { return beyond*v.U() + pathVolts }
	above, below := negative.X > allowed(negative), positive.X < -allowed(positive)
	const causes = "a second source, a monitor that injects, stored charge, or another piece of metal as the reference"
	switch {
	case above && positive.X > allowed(positive):
		return refuse(ChassisOutside, "both poles read above chassis (%.4g V and %.4g V): the sign of the negative pole's reading "+
			"was left out, or the chassis does not lie between the poles: %s", negative.X, positive.X, causes)
	case above && below:
		return refuse(ChassisOutside, "both signs are the wrong way round (negative pole %.4g V, positive pole %.4g V): "+
			"red belongs on the pole and black on chassis", negative.X, positive.X)
	case above:
		return refuse(ChassisOutside, "the chassis lies below the negative pole (%.4g V): %s", negative.X, causes)
	case below:
		return refuse(ChassisOutside, "the chassis lies above the positive pole (%.4g V): %s", positive.X, causes)
	}
	return nil
}

// noLarger says whether a value is no larger than its own error.
func noLarger(v Value) bool { return v.X <= beyond*v.U() }
