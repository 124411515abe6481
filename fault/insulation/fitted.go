package insulation

import "math"

// A Fitted is the reading of one pole to chassis with a test resistor from that
// pole to chassis, by the same meter as the readings without it.
type Fitted struct {
	At       Side
	Reading  Volt  // signed, red on the pole
	Resistor Value // ohms
}

// magnitude is V', the standards' reading without its sign.
func (f Fitted) magnitude() Value {
	if f.At == NegativePole {
		return f.Reading.V.times(-1)
	}
	return f.Reading.V
}

// readings are the plain numbers that the one-meter forms are written in: the pole
// that holds the test resistor is "here", the other "there".
type readings struct {
	vb          float64 // pole to pole, V
	here, there float64 // each pole to chassis, V
	fitted      float64 // V' at here, V
	r0          float64 // test resistor, ohms
	rHere       float64 // the meter's input resistance at each of the readings, ohms
	rThere      float64
	rFitted     float64
}

// inputs lists the readings with their errors, in the order of unpack.
func (p Poles) inputs(f Fitted) []Value {
	h, here := p.at(f.At)
	t, there := p.at(1 - f.At)
	return []Value{p.Across.V, here, there, f.magnitude(), f.Resistor, h.Input, t.Input, f.Reading.Input}
}

func unpack(x []float64) readings {
	return readings{vb: x[0], here: x[1], there: x[2], fitted: x[3], r0: x[4], rHere: x[5], rThere: x[6], rFitted: x[7]}
}

// leak is Rth from the two readings at this pole alone. With E the pole's volts to
// the leak, V = E/(1 + Rth/Rv) and V' = E/(1 + Rth/Rp), Rp = Rv ∥ R0, so
//
//	Rth = (V/V' − 1) / (1/Rp − (V/V')/Rv)
func (r readings) leak() float64 {
	ratio := r.here / r.fitted
	return (ratio - 1) / (1/r.r0 + 1/r.rFitted - ratio/r.rHere)
}

// place is the leak's distance from this pole as a share of the volts: each
// reading is first freed of its loading, which cancels where all meters are alike.
func (r readings) place(leak float64) float64 {
	here, there := r.here*(1+leak/r.rHere), r.there*(1+leak/r.rThere)
	return here / (here + there)
}

// check refuses a fitted reading that does not belong to the poles' readings, or
// shows too little. The arithmetic gives the bound on the leak where there is one.
func (f Fitted) check(p Poles, a arithmetic) error {
	h, plain := p.at(f.At)
	with, r0 := f.magnitude(), f.Resistor.X
	if err := first(p.check(), above0("the test resistor", r0, "ohm"), inputAbove0(f.Reading), numbers(f.Reading)); err != nil {
		return err
	}
	if added := 1/r0 + 1/f.Reading.Input.X - 1/h.Input.X; !(added > 0) {
		return refuse(InputUnknown, "the meter's input resistance changed with its range by more than the test resistor of %s is worth: "+
			"lock the range and read again", ohms(r0))
	}
	if err := moved("the "+f.At.String(), plain, with, r0, a); err != nil {
		return err
	}
	return f.checkOneMeter(p, a)
}

// checkOneMeter refuses readings that show the mark of two meters connected at once:
// the poles add up to the whole pack, although a leak of this size has to take its
// share from a single meter,
//
//	Vb − (V1 + V2) = Vb·Rth/(Rth + Rv)
func (f Fitted) checkOneMeter(p Poles, a arithmetic) error {
	vb, missing := p.Across.V, difference(p.Across.V, sum(p.v1(), p.v2()))
	expected := propagate(func(x []float64) float64 {
		r, leak := unpack(x), a.leak(x)
		return r.vb * leak / (leak + math.Min(r.rHere, r.rThere))
	}, a.inputs...)
	error3 := beyond*missing.U() + 1e-9*vb.X
	short := difference(expected, missing)
	if missing.X <= error3 && expected.X > error3 && short.X > beyond*short.U() {
		return refuse(TwoAtOnce, "the two poles add up to all %.4g V of the pack, as they do with two meters connected at once. "+
			"One meter moved would fall short by %.3g V with this leak. If two were connected, enter them as a pair", vb.X, expected.X)
	}
	return nil
}
