package probing

import (
	"math"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
)

// A Foreseen is what one pole would show to chassis plain and with a test resistor,
// if a leak of so many ohms sat so many volts away, and what the two readings would
// say of it.
type Foreseen struct {
	Plain, Fitted float64           // V, rounded to the counts of their ranges
	Leak          insulation.Result // ohms
}

// Foresee reckons a leak forwards into two readings of a meter and back into ohms
// with their errors: what is expected, not measured. With Rv the meter's input and
// Rp = Rv ∥ R0,
//
//	V = D·Rv/(Rv + RL),  V' = D·Rp/(Rp + RL)
//
// An error says in plain words why the pair would say nothing.
func Foresee(in fault.Instrument, away, leak float64, r fault.Resistor) (f Foreseen, err error) {
	m := insulation.NewMeter(in)
	show := func(load func(input float64) float64) (insulation.Volt, float64, error) {
		v := away
		var rd insulation.Volt
		for range 2 { // the range, and with it the input, depends on what is shown
			if rd, err = m.Volts(v, 0); err != nil {
				return rd, 0, err
			}
			k := load(rd.Input.X)
			v = away
			if !math.IsInf(k, 1) {
				v = away * k / (k + leak)
			}
			if rd.Count > 0 {
				v = math.Round(v/rd.Count) * rd.Count
			}
		}
		rd, err = m.Volts(v, 0)
		return rd, v, err
	}
	plain, v, err := show(func(input float64) float64 { return input })
	if err != nil {
		return f, err
	}
	fitted, w, err := show(func(input float64) float64 { return 1 / (1/input + 1/r.Ohms) })
	if err != nil {
		return f, err
	}
	f.Plain, f.Fitted = v, w
	one, err := insulation.FromOnePole(plain, fitted, insulation.Resistor(r))
	f.Leak = one.Leak
	return f, err
}

// Reach is the span of leaks that a test resistor gives a value for and not only a
// bound, with the leak so many volts away from the pole; ok is false where there is
// none. It tries sixteen leaks in each decade from 1 ohm to 1 gigohm.
func Reach(in fault.Instrument, away float64, r fault.Resistor) (low, high float64, ok bool) {
	for k := 0; k <= 9*16; k++ {
		leak := math.Pow(10, float64(k)/16)
		f, err := Foresee(in, away, leak, r)
		if err != nil || f.Leak.Relation != fault.Equal {
			continue
		}
		if !ok {
			low, ok = leak, true
		}
		high = leak
	}
	return low, high, ok
}
