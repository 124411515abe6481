package proving

import (
	"strconv"

	"halfsplit/fault"
	"halfsplit/fault/makesafe"
	"halfsplit/ui/words"
)

// volts writes volts with the digits that they were typed with.
func volts(v float64) string { return number(v) + words.Thin + "V" }

func number(v float64) string { return strconv.FormatFloat(fault.Round(v+0), 'f', -1, 64) }

func ohms(v float64) string { return words.Ohms(v) }

// farads writes a capacitance.
func farads(v float64) string { return words.Plain(makesafe.Farads(v)) }

// seconds writes a time of up to some hours.
func seconds(s float64) string {
	switch {
	case s < 120:
		return words.Digits(s, 2) + words.Thin + "s"
	case s < 7200:
		return words.Digits(s/60, 2) + words.Thin + "min"
	}
	return words.Digits(s/3600, 2) + words.Thin + "h"
}
