package words

import (
	"math"

	"halfsplit/fault"
)

// prefix is the factor and the unit in which ohms of that size are written.
func prefix(r float64) (float64, string) {
	switch {
	case r >= 999.5e6:
		return 1e9, "GΩ"
	case r >= 999.5e3:
		return 1e6, "MΩ"
	case r >= 999.5:
		return 1e3, "kΩ"
	}
	return 1, "Ω"
}

// Ohms writes a resistance to three digits.
func Ohms(r float64) string {
	if math.IsNaN(r) {
		return NotMeasured
	}
	if math.IsInf(r, 1) {
		return "no path"
	}
	f, unit := prefix(math.Abs(r))
	v := r / f
	d := max(0, significant(math.Max(math.Abs(v), 1), 3)) // 0.9996 kΩ is 1.00 kΩ
	return fixed(v, d) + Thin + unit
}

// Bounded writes a resistance with its interval, or as the bound that it is:
// "179.9 kΩ (176.1 to 184.2)", "less than 20 kΩ", "more than 66 MΩ".
func Bounded(b fault.Bounded) string {
	low, mid, high := float64(b.Low), float64(b.Mid), float64(b.High)
	switch b.Relation {
	case fault.Less:
		return "less than " + Ohms(high)
	case fault.Greater:
		return "more than " + Ohms(low)
	}
	scale := mid
	if math.IsNaN(scale) {
		scale = high
	}
	if math.IsNaN(scale) {
		return Ohms(math.NaN())
	}
	f, unit := prefix(math.Abs(scale))
	return Span(low/f, mid/f, high/f, unit)
}
