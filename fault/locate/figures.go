package locate

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// ohmsText writes a resistance as the whole program does, on one line.
func ohmsText(v float64) string {
	if math.IsInf(v, 0) {
		return "not known"
	}
	return strings.ReplaceAll(fault.FormatOhms(v), fault.ThinSpace, " ")
}

// boundText writes an interval of ohms, or its bound.
func boundText(b fault.Bounded) string {
	switch {
	case b.Relation == fault.Less:
		return "less than " + ohmsText(float64(b.High))
	case b.Relation == fault.Greater:
		return "more than " + ohmsText(float64(b.Low))
	case math.IsNaN(float64(b.Mid)):
		return "not known"
	}
	return fmt.Sprintf("%s (%s to %s)", ohmsText(float64(b.Mid)), ohmsText(float64(b.Low)), ohmsText(float64(b.High)))
}

// digits keeps n significant digits, without exponents.
func digits(v float64, n int) string {
	if v == 0 {
		return "0"
	}
	places := n - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	if places < 0 {
		p := math.Pow(10, float64(-places))
		return strconv.FormatFloat(math.Round(v/p)*p, 'f', 0, 64)
	}
	return strconv.FormatFloat(v, 'f', places, 64)
}

// voltsText writes volts as finely as a bench meter of 6000 counts would.
func voltsText(v float64) string {
	a := math.Abs(v)
	switch {
	case a >= 600:
		return strconv.FormatFloat(v, 'f', 0, 64) + " V"
	case a >= 60:
		return strconv.FormatFloat(v, 'f', 1, 64) + " V"
	case a >= 6:
		return strconv.FormatFloat(v, 'f', 2, 64) + " V"
	}
	return strconv.FormatFloat(v, 'f', 3, 64) + " V"
}

// ampsText writes a current.
func ampsText(v float64) string {
	switch a := math.Abs(v); {
	case a >= 1:
		return digits(v, 3) + " A"
	case a >= 1e-3:
		return digits(v*1e3, 3) + " mA"
	}
	return digits(v*1e6, 3) + " µA"
}

// minutesText writes a span of minutes.
func minutesText(v float64) string {
	if v < 2 {
		return strconv.FormatFloat(v*60, 'f', 0, 64) + " s"
	}
	return strconv.FormatFloat(v, 'f', 0, 64) + " min"
}

// percent never rounds a doubt away.
func percent(p float64) string {
	switch {
	case p < 0.01:
		return "under 1 %"
	case p > 0.99:
		return "over 99 %"
	}
	return strconv.FormatFloat(p*100, 'f', 0, 64) + " %"
}

// join lists words with commas and a last "and".
func join(list []string, last string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " " + last + " " + list[len(list)-1]
}
