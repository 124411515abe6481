package proving

import (
	"strconv"
	"time"

	"halfsplit/fault"
	"halfsplit/ui/words"
)

// volts writes volts with the digits that they were typed with.
func volts(v float64) string { return number(v) + words.Thin + "V" }

func number(v float64) string { return strconv.FormatFloat(fault.Round(v+0), 'f', -1, 64) }

func ohms(v float64) string { return words.Ohms(v) }

// farads writes a capacitance with the prefix that keeps it between 1 and 1000.
func farads(v float64) string {
	for _, p := range []struct {
		at     float64
		prefix string
	}{{1e-3, "m"}, {1e-6, "µ"}, {0, "n"}} {
		if v >= p.at*0.9999995 {
			scale := p.at
			if scale == 0 {
				scale = 1e-9
			}
			return number(v/scale) + words.Thin + p.prefix + "F"
		}
	}
	return number(v) + words.Thin + "F"
}

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

// Clock is a recorded time as the clock on the wall showed it; "" = not recorded.
func Clock(at string) string {
	t, err := time.Parse(time.RFC3339, at)
	if err != nil {
		return ""
	}
	return t.Format("2006-01-02 15:04")
}
