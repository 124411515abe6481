package insulation

import "strconv"

// ohms writes a resistance in words: three digits and the unit that fits.
func ohms(r float64) string {
	unit := "ohm"
	switch {
	case r >= 999.5e6:
		r, unit = r/1e9, "Gohm"
	case r >= 999.5e3:
		r, unit = r/1e6, "Mohm"
	case r >= 999.5:
		r, unit = r/1e3, "kohm"
	}
	return strconv.FormatFloat(r, 'g', 3, 64) + " " + unit
}
