package fault

import (
	"math"
	"strconv"
)

// ThinSpace stands between a value and its unit, so that no line breaks there.
const ThinSpace = "\u2009"

// ohmUnits are the units that resistances are written in, from the largest.
var ohmUnits = []struct {
	scale float64
	name  string
}{{1e12, "TΩ"}, {1e9, "GΩ"}, {1e6, "MΩ"}, {1e3, "kΩ"}, {1, "Ω"}, {1e-3, "mΩ"}, {1e-6, "µΩ"}}

// OhmUnit is the unit in which a resistance is written, and how many ohms it is:
// the one that leaves a number from 1 to below 1000 once it is rounded to three
// digits. Nothing, and what is not a number, is in ohms; less than a microhm is in
// microhms.
func OhmUnit(v float64) (scale float64, unit string) {
	a := math.Abs(v)
	if a == 0 || math.IsNaN(a) || math.IsInf(a, 0) {
		return 1, "Ω"
	}
	for _, u := range ohmUnits {
		if a >= 0.9995*u.scale {
			return u.scale, u.name
		}
	}
	last := ohmUnits[len(ohmUnits)-1]
	return last.scale, last.name
}

// FormatOhms writes a resistance: three significant digits, rounded to nearest, in
// the unit of OhmUnit, after a thin space. 999.6 ohms are "1.00 kΩ", 47000 are
// "47.0 kΩ", 50e-6 are "50.0 µΩ", nothing is "0 Ω". What is not a number is "not
// known"; without end it is "no path".
func FormatOhms(v float64) string { return FormatOhmsToward(v, math.Round) }

// FormatOhmsToward is FormatOhms with another rounding, such as math.Floor for what
// is at least so much and math.Ceil for what is less: a bound is never written
// sharper than it is. A value that has no more than three digits stays as it is.
func FormatOhmsToward(v float64, round func(float64) float64) string {
	switch {
	case math.IsNaN(v):
		return "not known"
	case math.IsInf(v, 0):
		return "no path"
	case v == 0:
		return "0" + ThinSpace + "Ω"
	}
	scale, _ := OhmUnit(v)
	v = threeDigits(v/scale, round) * scale
	scale, unit := OhmUnit(v) // rounded up or down, it may be in the next unit
	n := v / scale
	return strconv.FormatFloat(n, 'f', max(0, 2-int(math.Floor(math.Log10(math.Abs(n))+1e-9))), 64) + ThinSpace + unit
}

// threeDigits rounds to three significant digits.
func threeDigits(v float64, round func(float64) float64) float64 {
	p := math.Pow(10, 2-math.Floor(math.Log10(math.Abs(v))))
	n := v * p
	if near := math.Round(n); math.Abs(n-near) < 1e-6*math.Abs(near) { // the digits that floats add
		return near / p
	}
	return round(n) / p
}
