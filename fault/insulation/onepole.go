package insulation

import "halfsplit/fault"

// A OnePole is what a single pole of a section says: enough to find a leak from a
// socket that gives access to nothing else.
type OnePole struct {
	Leak  Result // Rth, ohms
	Above Value  // the leak's potential above this pole, V; negative = below
}

// FromOnePole sizes and places the leak from one pole alone, read to chassis plain
// and with a test resistor from that pole to chassis. No pole-to-pole volts are
// needed. With r = V/V' and Rp = Rv ∥ R0,
//
//	Rth = (r − 1)/(1/Rp − r/Rv)
//	D = V·(Rv + Rth)/Rv
//
// D is how far the leak lies from the pole in volts, towards chassis' side.
func FromOnePole(plain, fitted Volt, resistor Value) (OnePole, error) {
	if err := first(above0("the test resistor", resistor.X, "ohm"), inputAbove0(plain, fitted), numbers(plain, fitted)); err != nil {
		return OnePole{}, err
	}
	sign := 1.0
	if plain.V.X < 0 { // chassis above the pole
		sign = -1
	}
	if added := 1/resistor.X + 1/fitted.Input.X - 1/plain.Input.X; !(added > 0) {
		return OnePole{}, refuse(InputUnknown, "the meter's input resistance changed with its range by more than the test resistor of %s is worth: "+
			"lock the range and read again", ohms(resistor.X))
	}
	a := arithmetic{
		inputs: []Value{plain.V.times(sign), fitted.V.times(sign), resistor, plain.Input, fitted.Input},
		scale:  resistor.X,
		leak: func(x []float64) float64 {
			return readings{here: x[0], fitted: x[1], r0: x[2], rHere: x[3], rFitted: x[4]}.leak()
		},
	}
	if err := moved("this pole", a.inputs[0], a.inputs[1], resistor.X, a); err != nil {
		return OnePole{}, err
	}
	leak, err := resistance(a.leak, a.scale, a.inputs...)
	if err != nil {
		return OnePole{}, err
	}
	if leak.Relation == fault.Greater {
		return OnePole{}, refuse(TooSmall, "the meter takes so much of the volts that the leak, above %s, cannot be placed from this pole", ohms(leak.X)).bounded(leak, nil)
	}
	return OnePole{
		Leak:  leak,
		Above: propagate(func(x []float64) float64 { return -sign * x[0] * (1 + a.leak(x)/x[3]) }, a.inputs...),
	}, nil
}
