package insulation

import "math"

// A Series is a series of preferred values in one decade, IEC 60063.
type Series []float64

// E12 is the series of 12 values a decade.
func E12() Series { return Series{10, 12, 15, 18, 22, 27, 33, 39, 47, 56, 68, 82} }

// E24 is the series of 24 values a decade.
func E24() Series {
	return Series{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}
}

// Nearest is the preferred value nearest to so many ohms by ratio.
func (s Series) Nearest(ohms float64) float64 {
	return s.best(ohms, func(r float64) float64 { return math.Abs(math.Log(r / ohms)) })
}

// AtLeast is the smallest preferred value that is not below so many ohms.
func (s Series) AtLeast(ohms float64) float64 {
	return s.best(ohms, func(r float64) float64 {
		if r < ohms*(1-1e-12) {
			return math.Inf(1)
		}
		return r
	})
}

// best is the value of least cost in the decade of ohms and the one above.
func (s Series) best(ohms float64, cost func(float64) float64) float64 {
	// Powers of ten from a whole exponent are exact where decimal values are whole.
	decade := math.Pow(10, math.Floor(math.Log10(ohms))-1)
	found := math.Inf(1)
	for _, d := range []float64{decade, decade * 10} {
		for _, v := range s {
			if r := v * d; math.IsInf(found, 1) || cost(r) < cost(found) {
				found = r
			}
		}
	}
	return found
}

// A TestResistor is a test resistor with what it has to bear from pole to chassis.
// It is a temporary leak made on purpose.
type TestResistor struct {
	Ohms       float64
	Volts      float64 // worst across it: the whole pack, V
	Watts      float64 // Vb²/R0 at those volts
	Amps       float64 // Vb/R0
	RatedWatts float64 // twice the watts: the least rating to ask for
	RatedVolts float64 // the least rating to ask for; usually several resistors in series
}

// LoadOf is what a test resistor of so many ohms bears on a pack of so many volts.
func LoadOf(ohms, volts float64) (TestResistor, error) {
	if err := first(above0("the test resistor", ohms, "ohm"), above0("the pack's volts", volts, "V")); err != nil {
		return TestResistor{}, err
	}
	watts := volts * volts / ohms
	return TestResistor{Ohms: ohms, Volts: volts, Watts: watts, Amps: volts / ohms, RatedWatts: 2 * watts, RatedVolts: volts}, nil
}

// SuggestedOhmsPerVolt is what a first test resistor is chosen by: within the
// ± 20 % of the required ohm/V that UN R100 advises, at the higher of its figures,
// where a resistor still runs cool.
const SuggestedOhmsPerVolt = 500

// SuggestResistor is the first test resistor for a pack, from a series of preferred
// values: 500 ohm/V by working volts. Its load is figured at the higher of working
// volts and what the pack reads now.
func SuggestResistor(working, now float64, from Series) (TestResistor, error) {
	if err := above0("the working volts", working, "V"); err != nil {
		return TestResistor{}, err
	}
	return LoadOf(from.Nearest(SuggestedOhmsPerVolt*working), math.Max(working, now))
}

// SuggestFor is the test resistor that sizes a leak of about so many ohms best: the
// preferred value nearest to it whose doubled watts stay within what is at hand.
func SuggestFor(leak, volts, ratedWatts float64, from Series) (TestResistor, error) {
	if err := first(above0("the leak", leak, "ohm"), above0("the pack's volts", volts, "V"), above0("the watts at hand", ratedWatts, "W")); err != nil {
		return TestResistor{}, err
	}
	chosen := from.Nearest(leak)
	if least := 2 * volts * volts / ratedWatts; chosen < least {
		chosen = from.AtLeast(least)
	}
	return LoadOf(chosen, volts)
}
