package store

import (
	"fmt"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// Name is a reading by its place and value: "M07 3.62 V".
func Name(r fault.Reading) string { return Place(r) + " " + value(r) }

// Place says between what a reading was taken: the module for its own two ends,
// else red and black, and the test resistor if there was one.
func Place(r fault.Reading) string {
	place := r.Red + " to " + r.Black
	if m, ok := strings.CutSuffix(r.Red, "+"); ok && r.Black == m+"-" {
		place = m
	}
	if r.Resistor != nil {
		place += " with " + r.Resistor.ID
	}
	return place
}

func value(r fault.Reading) string {
	v, unit := r.Value, map[string]string{fault.Volts: "V", fault.Amps: "A", fault.Celsius: "°C", fault.Kilopascal: "kPa"}[r.Quantity]
	if unit == "" {
		unit = "Ω"
		for _, p := range []struct {
			at     float64
			prefix string
		}{{1e9, "GΩ"}, {1e6, "MΩ"}, {1e3, "kΩ"}} {
			if v >= p.at {
				v, unit = v/p.at, p.prefix
				break
			}
		}
	}
	s := strconv.FormatFloat(v, 'g', 12, 64) + " " + unit
	if r.Relation == fault.Less || r.Relation == fault.Greater {
		s = r.Relation + " " + s
	}
	return s
}

func groupName(module string, group int, volts float64) string {
	return fmt.Sprintf("%s group %d %s V", module, group, strconv.FormatFloat(volts, 'g', 12, 64))
}

// unused is an id that none of the taken has: the wish itself, or the wish with
// a number.
func unused(wish string, taken func(string) bool) string {
	if wish != "" && !taken(wish) {
		return wish
	}
	stem := wish + "_"
	if wish == "" {
		stem = "s"
	}
	for n := 2; ; n++ {
		if id := stem + strconv.Itoa(n); !taken(id) {
			return id
		}
	}
}
