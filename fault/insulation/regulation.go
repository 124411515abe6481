package insulation

// R100 is the form of UN Regulation No. 100 (isolation resistance by voltmeter
// and a known resistor, the tested device as the source):
//
//	Ri = R0·(Vb/V1' − Vb/V1)
//
// with the pack's own volts in it, which makes it exact for any input resistance
// of the one meter that was moved: with E the pole's true volts to the leak,
// 1/V' − 1/V = Rth/(E·R0) whatever Rv is. The form as printed gives R+ with the
// resistor at the negative pole and R− at the positive; Ri is what it gives at the
// higher pole. Fitted at the other, the result is converted by the same place,
// V1 : V2. Where the input resistance changed with the range, all but AsWritten
// come from readings that were freed of their loading.
func R100(p Poles, f Fitted) (Isolation, error) {
	alike := sameInput(p.Negative, p.Positive) && sameInput(p.Negative, f.Reading)
	leak := func(r readings) float64 {
		if !alike {
			return r.leak()
		}
		return r.vb * (1/r.fitted - 1/r.here) * r.r0 * r.here / (r.here + r.there)
	}
	return p.oneMeter(f, "UN R100", leak, func(r readings) float64 {
		return r.r0 * r.vb * (1/r.fitted - 1/r.here)
	})
}

// FMVSS is the form of 49 CFR 571.305:
//
//	Ri = R0·(1 + V2/V1)·(V1 − V1')/V1'
//
// and its mirror at the positive pole. It has V1 + V2 where R100 has Vb, so that as
// written it is low by Rv/(Rv + Rth), the meter's loading: its leak is Rth ∥ Rv.
// Leak and Standard have that taken out; AsWritten has not. An unknown input
// resistance (+Inf) takes nothing out.
func FMVSS(p Poles, f Fitted) (Isolation, error) {
	return p.oneMeter(f, "49 CFR 571.305", readings.leak, func(r readings) float64 {
		return r.r0 * (1 + r.there/r.here) * (r.here - r.fitted) / r.fitted
	})
}

// oneMeter computes a form that moves one meter from pole to pole.
func (p Poles) oneMeter(f Fitted, form string, leak, written func(readings) float64) (Isolation, error) {
	converted := f.At != p.Higher()
	a := arithmetic{
		form:   form,
		inputs: p.inputs(f),
		volts:  p.Across.V,
		scale:  f.Resistor.X,
		higher: p.Higher(),
		leak:   func(x []float64) float64 { return leak(unpack(x)) },
		place: func(x []float64) float64 {
			r := unpack(x)
			return fromNegative(f.At, r.place(leak(r)))
		},
		written: func(x []float64) float64 {
			r := unpack(x)
			if converted { // R+/R− = (1 − x)/x = V2/V1
				return written(r) * r.here / r.there
			}
			return written(r)
		},
	}
	if err := f.check(p, a); err != nil {
		return Isolation{}, err
	}
	return a.isolation()
}
