package insulation

import (
	"math"

	"halfsplit/fault"
)

// An Isolation is what one form makes of its readings. Leak and Standard both
// have the meter's loading taken out; they differ by the leak's place.
type Isolation struct {
	Form        string // the arithmetic it came by
	Leak        Result // Rth, ohms: all paths from the section to chassis in parallel
	Standard    Result // Ri, ohms: the lower of the two sides; what a limit in ohm/V is compared with
	AsWritten   Result // Ri, ohms, as the form is printed: the meter's loading left in where the form leaves it in
	Position    Result // x, volts from the negative pole to the equivalent leak ÷ the section's volts
	Negative    Result // R−, ohms: from the negative pole to chassis, of the two resistors that read the same
	Positive    Result // R+, ohms: the same from the positive pole
	conductance Value  // 1/Rth, siemens; means nothing when Leak is a bound from above
	volts       Value  // of the section
}

// An arithmetic is one form, as three formulas over the same inputs.
type arithmetic struct {
	form    string
	inputs  []Value
	volts   Value                     // of the section, pole to pole
	scale   float64                   // a resistance of the circuit, ohms
	higher  Side                      // the pole further from chassis
	leak    func(x []float64) float64 // Rth, ohms
	place   func(x []float64) float64 // 0..1
	written func(x []float64) float64 // Ri as printed, ohms
}

// isolation computes everything that one form gives. The side that Ri refers to is
// that of the readings: an error of the place moves Ri along that side's formula.
func (a arithmetic) isolation() (Isolation, error) {
	leak, err := resistance(a.leak, a.scale, a.inputs...)
	if err != nil {
		return Isolation{}, err
	}
	written, err := resistance(a.written, a.scale, a.inputs...)
	if err != nil {
		return Isolation{}, err
	}
	iso := Isolation{
		Form:        a.form,
		Leak:        leak,
		AsWritten:   written,
		Position:    place(a.place, a.inputs...),
		Negative:    a.side(leak, func(x []float64) float64 { return 1 - a.place(x) }),
		Positive:    a.side(leak, a.place),
		conductance: propagate(func(x []float64) float64 { return 1 / a.leak(x) }, a.inputs...),
		volts:       a.volts,
	}
	iso.Standard = iso.Positive
	if a.higher == PositivePole {
		iso.Standard = iso.Negative
	}
	return iso, nil
}

// side is the resistance to one pole, the leak divided by its share of the volts.
// At the far end that share is zero within error: all that is known then is that
// no side lies below the leak.
func (a arithmetic) side(leak Result, share func(x []float64) float64) Result {
	r, err := resistance(func(x []float64) float64 { return a.leak(x) / share(x) }, a.scale, a.inputs...)
	if err != nil {
		least := math.Max(leak.Low, leastOhms)
		return Result{Value: Value{X: least, shifts: leak.shifts}, Low: least, High: math.Inf(1), Relation: fault.Greater}
	}
	return r
}

// bound is what the readings say of the leak when it is too small for them.
func (a arithmetic) bound() (Result, error) {
	r, err := resistance(a.leak, a.scale, a.inputs...)
	if err == nil && r.Relation != fault.Less {
		r.Value, r.Low, r.Relation = Value{X: r.High, shifts: r.shifts}, 0, fault.Less
	}
	return r, err
}

// least is what the readings say of the leak when it is too large for them.
func (a arithmetic) least() (Result, error) {
	r, err := resistance(a.leak, a.scale, a.inputs...)
	if err == nil && r.Relation != fault.Greater {
		r.Value, r.High, r.Relation = Value{X: r.Low, shifts: r.shifts}, math.Inf(1), fault.Greater
	}
	return r, err
}
