package insulation

import (
	"math"

	"halfsplit/fault"
)

// An Effective is all that a section shows of its leaks, in whatever number: the
// sum of their conductances and their conductance-weighted mean potential.
type Effective struct {
	Siemens Value
	Volts   Value // above the point that offset was counted from
}

// Effective is the isolation as one equivalent leak, its potential counted from
// offset volts below the section's negative pole, so that sections of one string
// can be put together. A leak that is only bounded from above has no conductance.
func (iso Isolation) Effective(offset Value) (Effective, error) {
	if iso.Leak.Relation == fault.Less {
		return Effective{}, refuse(Unresolved, "the leak is only known to be below %s: it has no conductance to reckon with", ohms(iso.Leak.X))
	}
	return Effective{
		Siemens: iso.conductance,
		Volts:   propagate(func(x []float64) float64 { return x[0] + x[1]*x[2] }, offset, iso.Position.Value, iso.volts),
	}, nil
}

// Ohms is the equivalent leak as a resistance.
func (e Effective) Ohms() (Result, error) {
	return resistance(func(x []float64) float64 { return 1 / x[0] }, 1/math.Max(math.Abs(e.Siemens.X), 1e-12), e.Siemens)
}

// Together is what sections with these equivalents show when they are joined:
//
//	G = ΣGi,  u = Σ(Gi·ui)/ΣGi
func Together(parts ...Effective) (Effective, error) {
	var in []Value
	for _, p := range parts {
		in = append(in, p.Siemens, p.Volts)
	}
	total := func(x []float64) (g, gu float64) {
		for i := 0; i < len(x); i += 2 {
			g, gu = g+x[i], gu+x[i]*x[i+1]
		}
		return g, gu
	}
	whole := Effective{
		Siemens: propagate(func(x []float64) float64 { g, _ := total(x); return g }, in...),
		Volts:   propagate(func(x []float64) float64 { g, gu := total(x); return gu / g }, in...),
	}
	if len(parts) == 0 || noLarger(whole.Siemens) {
		return Effective{}, refuse(Unresolved, "the sections together show no conductance beyond its own error: there is nothing to predict from them")
	}
	return whole, nil
}

// A Closure is how far a section's measured equivalent lies from what its parts
// predict, in standard uncertainties of the difference.
type Closure struct {
	Predicted, Measured Effective
	SiemensOff          float64
	VoltsOff            float64
}

// Passed says that neither number lies further off than its errors allow.
func (c Closure) Passed() bool {
	return math.Abs(c.SiemensOff) <= beyond && math.Abs(c.VoltsOff) <= beyond
}

// Close compares a section's measured equivalent with what the sections that it
// fell into predict. A closure that fails says that something changed between the
// two states: the leak dried or moved, the link itself leaks, or a board bridges
// the gap.
func Close(measured Effective, parts ...Effective) (Closure, error) {
	predicted, err := Together(parts...)
	if err != nil {
		return Closure{}, err
	}
	return Closure{
		Predicted: predicted, Measured: measured,
		SiemensOff: apart(measured.Siemens, predicted.Siemens),
		VoltsOff:   apart(measured.Volts, predicted.Volts),
	}, nil
}

// apart is a difference in its own standard uncertainties. Exact values agree to
// rounding or are apart without end.
func apart(a, b Value) float64 {
	d := difference(a, b)
	if u := d.U(); u > 0 {
		return d.X / u
	}
	if math.Abs(d.X) <= 1e-9*math.Max(math.Abs(a.X), math.Abs(b.X)) {
		return 0
	}
	return math.Inf(int(math.Copysign(1, d.X)))
}
