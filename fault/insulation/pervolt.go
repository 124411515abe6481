package insulation

// What ohms were divided by to give ohm/V.
const (
	WorkingVolts  = "working volts"
	NominalVolts  = "nominal volts"
	TodaysReading = "today's reading"
)

// A PerVolt is a resistance in ohms per volt, with the divisor that was used.
type PerVolt struct {
	Result
	Volts   float64 // the divisor
	Divisor string  // in words: what it is
}

// PerVoltOf divides the standard's Ri by volts. Limits in ohm/V mean the highest
// volts that the maker gives for the pack in service; where these are not known the
// nominal volts are taken, as the component annex of UN R100 does, and where those
// are not known either what the pack reads today, which flatters a pack that is
// nearly empty. Volts of zero are not known.
func PerVoltOf(standard Result, working, nominal, today float64) (PerVolt, error) {
	for _, d := range []struct {
		volts float64
		what  string
	}{{working, WorkingVolts}, {nominal, NominalVolts}, {today, TodaysReading}} {
		if d.volts == 0 {
			continue
		}
		if err := above0("the "+d.what, d.volts, "V"); err != nil {
			return PerVolt{}, err
		}
		return PerVolt{Result: standard.over(d.volts), Volts: d.volts, Divisor: d.what}, nil
	}
	return PerVolt{}, refuse(NotPositive, "no volts to divide by: neither working nor nominal volts are known, nor a reading of the pack")
}
