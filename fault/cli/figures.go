package cli

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// Numbers carry as many digits as their interval deserves: two significant ones
// of its width. Interval ends are rounded outward, so that what is printed
// never claims more than what was computed.

// mostDecimals is how finely a figure is printed at most: beyond that, what
// limits a place is not in the readings.
const mostDecimals = 2

// spread is an interval as "67.0" and "65.9 to 68.0".
func spread(iv fault.Interval, scale float64) (middle, ends string) {
	low, mid, high := float64(iv.Low)/scale, float64(iv.Mid)/scale, float64(iv.High)/scale
	d := min(mostDecimals, digitsFor(high-low, mid))
	return fixed(mid, d), down(low, d) + " to " + up(high, d)
}

func missing(v fault.Number) bool { return math.IsNaN(float64(v)) }

// digitsFor is how many decimals show two significant digits of a width. A
// width of nothing gets four significant digits of the value.
func digitsFor(width, value float64) int {
	if width > 0 && !math.IsInf(width, 0) {
		return min(6, max(0, 1-int(math.Floor(math.Log10(width)))))
	}
	if value == 0 || math.IsNaN(value) {
		return 1
	}
	return min(6, max(0, 3-int(math.Floor(math.Log10(math.Abs(value))))))
}

// fixed writes a value with d decimals, and no sign before a zero.
func fixed(v float64, d int) string {
	if math.IsNaN(v) {
		return "not known"
	}
	s := strconv.FormatFloat(v, 'f', d, 64)
	if strings.Trim(s, "-0.") == "" {
		return strings.TrimPrefix(s, "-")
	}
	return s
}

func down(v float64, d int) string { return fixed(toward(v, d, math.Floor), d) }
func up(v float64, d int) string   { return fixed(toward(v, d, math.Ceil), d) }

// toward rounds in one direction, but not away from a value that has no more
// digits than asked for.
func toward(v float64, d int, round func(float64) float64) float64 {
	p := math.Pow(10, float64(d))
	if n := math.Round(v * p); math.Abs(v*p-n) < 1e-6*math.Max(1, math.Abs(n)) {
		return n / p
	}
	return round(v*p) / p
}

// ohms is a resistance with three significant digits.
func ohms(n fault.Number) string { return ohmsRounded(n, math.Round) }

// ohmsRounded rounds as told: a bound is never rounded to a sharper one. A
// terminal gets plain spaces.
func ohmsRounded(n fault.Number, round func(float64) float64) string {
	return strings.ReplaceAll(fault.FormatOhmsToward(float64(n), round), fault.ThinSpace, " ")
}

// bounded is a resistance with its interval, or a bound.
func bounded(b fault.Bounded) string {
	switch {
	case b.Relation == fault.Less && !missing(b.High):
		return "less than " + ohmsRounded(b.High, math.Ceil)
	case b.Relation == fault.Greater && !missing(b.Low):
		return "more than " + ohmsRounded(b.Low, math.Floor)
	case missing(b.Mid) || missing(b.Low):
		return "not determined"
	case missing(b.High):
		return fmt.Sprintf("%s (from %s, no upper end)", ohms(b.Mid), ohmsRounded(b.Low, math.Floor))
	}
	scale, unit := fault.OhmUnit(float64(b.Mid))
	mid, ends := spread(fault.Interval{Low: b.Low, Mid: b.Mid, High: b.High}, scale)
	return fmt.Sprintf("%s %s (%s)", mid, unit, ends)
}

// volts is a potential above a node with its interval.
func volts(iv fault.Interval, above string) string {
	if missing(iv.Mid) {
		return "not determined"
	}
	mid, ends := spread(iv, 1)
	return fmt.Sprintf("%s V above %s (%s)", mid, above, ends)
}

// percent is a share in whole percent. Certainty is never printed: a share that
// rounds to 0 or 100 is a bound.
func percent(n fault.Number) string {
	switch p := float64(n) * 100; {
	case math.IsNaN(p):
		return "? %"
	case p < 1:
		return "<1 %"
	case p > 99:
		return ">99 %"
	default:
		return strconv.FormatFloat(p, 'f', 0, 64) + " %"
	}
}
