package circuit

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"

	"halfsplit/fault"
)

// A meter is one real instrument of a kind: its errors are drawn once and stay.
type meter struct {
	spec  fault.Instrument
	gain  []float64 // by range: 1 ± gain_pct
	input float64   // 1 ± input_tol_pct, of every range's input resistance
}

// within draws uniformly from ± half.
func within(rng *rand.Rand, half float64) float64 { return half * (2*rng.Float64() - 1) }

func newMeter(rng *rand.Rand, spec fault.Instrument) meter {
	if len(spec.Ranges) == 0 { // nothing is known of it: it does not round
		spec.Ranges = []fault.Range{{Max: 1e12}}
	}
	m := meter{spec: spec, gain: make([]float64, len(spec.Ranges))}
	for i := range m.gain {
		m.gain[i] = 1 + within(rng, spec.Gain(spec.Ranges[i])/100)
	}
	m.input = 1 + within(rng, spec.InputTolPct/100)
	return m
}

// ohms is the true input resistance on a range; +Inf where none is given.
func (m meter) ohms(rg int) float64 { return m.spec.Input(m.spec.Ranges[rg]) * m.input }

// choice is the lowest and highest range that a reading may use.
func (m meter) choice(locked float64) (low, high int, err error) {
	if locked == 0 {
		return 0, len(m.spec.Ranges) - 1, nil
	}
	for i, r := range m.spec.Ranges {
		if r.Max == locked {
			return i, i, nil
		}
	}
	return 0, 0, fmt.Errorf("%s has no range of %g", m.spec.ID, locked)
}

// show is what the display would hold for a true value: slip is −1 … 1 of the
// instrument's counts.
func (m meter) show(v float64, rg int, slip float64) float64 {
	r := m.spec.Ranges[rg]
	v = v*m.gain[rg] + slip*m.spec.Off(r)*r.Count
	if r.Count > 0 {
		v = math.Round(v/r.Count) * r.Count
	}
	return v
}

// over says whether the display overflows on a range.
func (m meter) over(shown float64, rg int) bool {
	r := m.spec.Ranges[rg]
	return math.Abs(shown) > r.Max+r.Count/4
}

// enter writes what the display holds into a reading.
func (m meter) enter(r fault.Reading, shown float64, rg int) fault.Reading {
	if m.over(shown, rg) {
		return m.overflow(r, shown < 0, rg)
	}
	r.Raw = digits(shown, m.spec.Ranges[rg].Count)
	r.Value, _ = strconv.ParseFloat(r.Raw, 64)
	r.Relation = fault.Equal
	return r
}

// overflow says only that the value lies beyond the range: above it, or below
// its negative.
func (m meter) overflow(r fault.Reading, negative bool, rg int) fault.Reading {
	r.Value, r.Raw, r.Relation = m.spec.Ranges[rg].Max, "OL", fault.Greater
	if negative {
		r.Value, r.Raw, r.Relation = -r.Value, "-OL", fault.Less
	}
	return r
}

// digits prints a value to a count, or in full where there is none.
func digits(v, count float64) string {
	if v == 0 {
		v = 0 // no −0
	}
	if count <= 0 {
		return strconv.FormatFloat(v, 'g', -1, 64)
	}
	decimals := 0
	for ; decimals < 12 && math.Abs(count-math.Round(count)) > 1e-9*count; decimals++ {
		count *= 10
	}
	return strconv.FormatFloat(v, 'f', decimals, 64)
}
