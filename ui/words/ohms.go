package words

import (
	"math"

	"halfsplit/fault"
)

// Ohms writes a resistance to three digits.
func Ohms(r float64) string {
	if math.IsNaN(r) {
		return NotMeasured
	}
	return fault.FormatOhms(r)
}

// Bounded writes a resistance with its interval, or as the bound that it is:
// "179.9 kΩ (176.1 to 184.2)", "less than 20 kΩ", "more than 66 MΩ".
func Bounded(b fault.Bounded) string {
	low, mid, high := float64(b.Low), float64(b.Mid), float64(b.High)
	switch b.Relation {
	case fault.Less:
		return "less than " + fault.FormatOhmsToward(high, math.Ceil)
	case fault.Greater:
		return "more than " + fault.FormatOhmsToward(low, math.Floor)
	}
	scale := mid
	if math.IsNaN(scale) {
		scale = high
	}
	if math.IsNaN(scale) {
		return Ohms(math.NaN())
	}
	f, unit := fault.OhmUnit(scale)
	return Span(low/f, mid/f, high/f, unit)
}
