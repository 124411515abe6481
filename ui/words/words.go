// Package words writes numbers the way the window shows them: a thin space
// before the unit, prefixes for ohms, intervals to two significant digits of
// their width, and "not measured" where there is nothing.
//
// It knows units and digits, not what a number is about. It uses no character
// that the window's font lacks: the minus is the plain one.
package words

import (
	"math"
	"strconv"

	"halfsplit/fault"
)

// Thin is the thin space between a value and its unit.
const Thin = fault.ThinSpace

// NotMeasured stands where there is no number.
const NotMeasured = "not measured"

// fixed writes v with that many decimals; fewer than none rounds to tens.
func fixed(v float64, decimals int) string {
	if decimals < 0 {
		p := math.Pow(10, float64(-decimals))
		v, decimals = math.Round(v/p)*p, 0
	}
	s := strconv.FormatFloat(v, 'f', decimals, 64)
	if f, err := strconv.ParseFloat(s, 64); err == nil && f == 0 {
		return strconv.FormatFloat(0, 'f', decimals, 64) // no minus before a zero
	}
	return s
}

// significant is the number of decimals that keeps n significant digits of v.
func significant(v float64, n int) int {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return 0
	}
	return n - 1 - int(math.Floor(math.Log10(math.Abs(v))))
}

// widthDecimals is the number of decimals that shows an interval's width to two
// significant digits; an interval without width gets four digits of its value.
func widthDecimals(low, high float64) int {
	w := high - low
	if w <= 0 || math.IsNaN(w) || math.IsInf(w, 0) {
		return significant(math.Max(math.Abs(low), math.Abs(high)), 4)
	}
	// 9.96 is shown as 10: the digits are those of the rounded width.
	d := significant(w, 2)
	rounded, err := strconv.ParseFloat(fixed(w, d), 64)
	if err == nil && rounded > 0 {
		d = significant(rounded, 2)
	}
	return d
}

// Volts writes a voltage to about four digits, whole volts from 100 V.
func Volts(v float64) string {
	switch a := math.Abs(v); {
	case math.IsNaN(v):
		return NotMeasured
	case a >= 99.95:
		return fixed(v, 0) + Thin + "V"
	case a >= 9.995:
		return fixed(v, 1) + Thin + "V"
	default:
		return fixed(v, 3) + Thin + "V"
	}
}

// VoltsTo writes a voltage with that many decimals.
func VoltsTo(v float64, decimals int) string {
	if math.IsNaN(v) {
		return NotMeasured
	}
	return fixed(v, decimals) + Thin + "V"
}

// Millivolts writes a small voltage, given in volts, in whole millivolts with
// its sign.
func Millivolts(v float64) string {
	if math.IsNaN(v) {
		return NotMeasured
	}
	s := fixed(1000*v, 0)
	if v > 0 && s != "0" {
		s = "+" + s
	}
	return s + Thin + "mV"
}

// Span writes an interval with its middle: "12.3 V (11.9 to 12.8)".
func Span(low, mid, high float64, unit string) string {
	if math.IsNaN(mid) {
		return Range(low, high, unit)
	}
	if math.IsNaN(low) || math.IsNaN(high) || low == high {
		return fixed(mid, min(3, significant(mid, 4))) + Thin + unit
	}
	d := widthDecimals(low, high)
	return fixed(mid, d) + Thin + unit + " (" + fixed(low, d) + " to " + fixed(high, d) + ")"
}

// Range writes an interval without its middle.
func Range(low, high float64, unit string) string {
	switch {
	case math.IsNaN(low) || math.IsNaN(high):
		return NotMeasured
	case low == high:
		return fixed(low, min(3, significant(low, 4))) + Thin + unit
	}
	d := widthDecimals(low, high)
	return fixed(low, d) + " to " + fixed(high, d) + Thin + unit
}

// Gap writes an interval of volts across a gap, both of one sign: its lower end keeps
// two digits of its own, down to millivolts, since near zero they say whether zero
// lies in it.
func Gap(low, high float64) string {
	if math.IsNaN(low) || math.IsNaN(high) || low <= 0 || low >= high {
		return Range(low, high, "V")
	}
	d := widthDecimals(low, high)
	return fixed(low, max(d, min(3, significant(low, 2)))) + " to " + fixed(high, d) + Thin + "V"
}

// Groups writes a number of groups and its interval.
func Groups(i fault.Interval) string {
	return Span(float64(i.Low), float64(i.Mid), float64(i.High), "groups")
}

// Share writes a probability in per cent, never as certainty or nothing.
func Share(p float64) string {
	switch {
	case math.IsNaN(p):
		return NotMeasured
	case p < 0.005:
		return "<1" + Thin + "%"
	case p > 0.995:
		return ">99" + Thin + "%"
	}
	return fixed(100*p, 0) + Thin + "%"
}

// Mm writes a length in millimetres, to a tenth where it is not whole.
func Mm(v float64) string {
	decimals := 1
	if r := math.Round(v*10) / 10; r == math.Round(r) {
		decimals = 0
	}
	return fixed(v, decimals) + Thin + "mm"
}
