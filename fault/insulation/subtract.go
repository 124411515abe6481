package insulation

import (
	"math"

	"halfsplit/fault"
)

// detectable is how many standard uncertainties a change must have to be spoken of.
const detectable = 2

// Subtract is the leak that a reversible action took away, a board unplugged, a
// module lifted:
//
//	G = Gb − Ga,  u = (Gb·ub − Ga·ua)/(Gb − Ga)
//
// What both readings share, one meter's gain and one resistor's tolerance, cancels
// in it as far as it can. A change below two standard uncertainties is none that
// could be told: there is then a bound, and never a place.
func Subtract(before, after Effective) (Effective, error) {
	g := difference(before.Siemens, after.Siemens)
	switch u := g.U(); {
	case g.X < -detectable*u && g.X < 0:
		return Effective{}, refuse(Grown, "the leak is larger after than before, as if %s had been added: nothing was taken away", ohms(-1/g.X))
	case g.X <= detectable*u:
		least := 1 / positive(g.X, u)
		r := refuse(NoChange, "no detectable change")
		if u > 0 {
			r.Bound = &Result{Value: Value{X: least, shifts: g.times(least * least).shifts}, Low: least, High: math.Inf(1), Relation: fault.Greater}
			r.Why += ": what was taken away leaks, if at all, less than " + ohms(least) + " would"
		}
		return Effective{}, r
	}
	return Effective{Siemens: g, Volts: propagate(func(x []float64) float64 {
		return (x[0]*x[1] - x[2]*x[3]) / (x[0] - x[2])
	}, before.Siemens, before.Volts, after.Siemens, after.Volts)}, nil
}
