package insulation

import (
	"fmt"
	"math"

	"halfsplit/fault"
)

// A Volt is one reading of a voltmeter, red lead above black.
type Volt struct {
	V     Value   // volts
	Input Value   // the meter's input resistance on that range, ohms; +Inf = not known, or none
	Count float64 // what the last digit is worth, volts; 0 = not known
}

// A Meter turns what one voltmeter showed into readings with their errors: the
// gain of a range common to all readings on it, the counts of each its own, the
// input resistance common to all. Two instruments of one make are two Meters.
type Meter struct {
	in     fault.Instrument
	gains  []*cause
	inputs []Value
}

// NewMeter prepares an instrument. Its tolerances are rectangular, u = a/√3.
func NewMeter(in fault.Instrument) *Meter {
	m := &Meter{in: in}
	common := Tolerance(in.InputOhms, in.InputTolPct, InputTolerance)
	for _, rg := range in.Ranges {
		m.gains = append(m.gains, &cause{Gain})
		input := common
		if rg.InputOhms > 0 && rg.InputOhms != in.InputOhms {
			input = Tolerance(rg.InputOhms, in.InputTolPct, InputTolerance)
		}
		if !(input.X > 0) {
			input = Exact(math.Inf(1))
		}
		m.inputs = append(m.inputs, input)
	}
	return m
}

// Volts is one reading of that many volts, on the locked range where one is given
// and otherwise on the smallest that holds it.
func (m *Meter) Volts(volts, locked float64) (Volt, error) {
	if math.IsNaN(volts) {
		return Volt{}, refuse(NoRange, "a reading without a number")
	}
	rg, i, ok := m.in.RangeFor(volts, locked)
	if !ok {
		on := ""
		if locked != 0 {
			on = fmt.Sprintf(" of %.4g V", locked)
		}
		return Volt{}, refuse(NoRange, "%s has no range%s that shows %.4g V", m.in.ID, on, volts)
	}
	v := WithSD(volts, m.in.CountSD(rg), Counts)
	if by := volts * m.in.GainSDOn(rg); by != 0 {
		v.shifts = append(v.shifts, shift{m.gains[i], by})
	}
	return Volt{V: v, Input: m.inputs[i], Count: rg.Count}, nil
}

// Resistor is the value of a test resistor, in ohms, with its tolerance.
func Resistor(r fault.Resistor) Value { return Tolerance(r.Ohms, r.TolPct, ResistorTolerance) }

// sameInput says whether two readings were loaded alike.
func sameInput(a, b Volt) bool {
	return a.Input.X == b.Input.X || math.Abs(a.Input.X-b.Input.X) <= 1e-9*a.Input.X
}
