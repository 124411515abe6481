package locate

import (
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
)

// A usedMeter is the meter that readings to come are foretold for.
type usedMeter struct {
	in    fault.Instrument
	known bool
	rg    fault.Range // the range that holds a whole section's volts
}

// anyInput stands for the input resistance of a meter that is not recorded, where
// one is needed to rank: what is foretold with it is not told.
const anyInput = 10e6

// meter is the voltmeter of the latest reading that was used, or the first that is
// recorded.
func (a *analysis) meter() usedMeter {
	for _, o := range slices.Backward(a.d.obs) {
		if in, ok := a.c.Instrument(o.reading.Instrument); ok && o.reading.Quantity == fault.Volts {
			return usedMeter{in: in, known: true}
		}
	}
	for _, in := range a.c.Instruments {
		if in.Kind == "voltmeter" || in.Kind == "" {
			return usedMeter{in: in, known: true}
		}
	}
	return usedMeter{}
}

// on is the meter on the range that holds so many volts, or on its largest.
func (m usedMeter) on(volts float64) usedMeter {
	rg, _, ok := m.in.RangeFor(volts, 0)
	if n := len(m.in.Ranges); !ok && n > 0 {
		rg = m.in.Ranges[n-1]
	}
	m.rg = rg
	return m
}

// lock is the full scale of the range that holds so many volts; none where no range
// does.
func (m *usedMeter) lock(volts float64) fault.Number {
	if rg, _, ok := m.in.RangeFor(volts, 0); ok {
		return fault.Number(rg.Max)
	}
	return fault.NoNumber
}

// siemens is the conductance of its input.
func (m *usedMeter) siemens() float64 {
	ohms := m.in.Input(m.rg)
	if math.IsInf(ohms, 1) {
		ohms = anyInput
	}
	return 1 / ohms
}

// sd is the meter's own error of a reading, V.
func (m *usedMeter) sd(v float64) float64 {
	if !m.known {
		return 0.003*math.Abs(v) + 0.05
	}
	return math.Hypot(m.in.GainSDOn(m.rg)*v, countSD(m.in, m.rg)) + 1e-6
}

// noteLoad notes what a reading puts on its test resistor at the worst, and the caution.
func noteLoad(t *fault.NextTest, r *fault.Resistor, volts float64) {
	watts := volts * volts / r.Ohms
	t.Resistor, t.Across, t.Watts = r.ID, fault.Number(volts), fault.Number(watts)
	t.Cautions = appendNew(t.Cautions, fmt.Sprintf("%s joins a live pole to chassis: up to %s and %s in it, expected, not measured. Fused lead, no bare ends, and off again after the reading.",
		r.ID, voltsText(volts), wattsText(watts)))
}

// resistorFor is the test resistor of the case that stands so many volts, with twice
// the watts, and of those the one nearest to what the section has to chassis; nil
// where none is recorded that does.
func (a *analysis) resistorFor(volts, ohms float64) *fault.Resistor {
	var best *fault.Resistor
	for i := range a.c.Resistors {
		r := &a.c.Resistors[i]
		if r.MaxVolts < volts || r.Watts < 2*volts*volts/r.Ohms {
			continue
		}
		if best == nil || math.Abs(math.Log(r.Ohms/ohms)) < math.Abs(math.Log(best.Ohms/ohms)) {
			best = r
		}
	}
	return best
}
