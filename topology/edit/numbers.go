package edit

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// tidy keeps a length to a tenth of a micrometre, so that steps there and back end
// where they began and files hold no digits that nobody meant.
func tidy(mm float64) float64 { return math.Round(mm*1e4)/1e4 + 0 }

// round01 keeps an angle to a hundredth of a degree, from 0 to below 360.
func round01(degrees float64) float64 { return around(math.Round(degrees*100) / 100) }

// around is an angle from 0 to below 360, without the digits that reckoning adds.
func around(degrees float64) float64 {
	a := math.Mod(math.Round(degrees*1e6)/1e6, 360)
	if a < 0 {
		a += 360
	}
	if a = math.Round(a*1e6) / 1e6; a >= 360 {
		a = 0
	}
	return a + 0 // −0 becomes 0
}

func finite(all ...float64) bool {
	for _, v := range all {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return false
		}
	}
	return true
}

// number reads a figure as people type it: a comma may stand for the point, and the
// field's unit may follow.
func number(text, unit string) (float64, error) {
	s := strings.TrimSpace(text)
	if unit != "" {
		s = strings.TrimSpace(strings.TrimSuffix(s, unit))
	}
	s = strings.ReplaceAll(s, "\u2212", "-")
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || !finite(v) || strings.ContainsAny(s, "xXpP_") {
		return 0, fmt.Errorf("%q is not a number", text)
	}
	return v + 0, nil
}

// figure writes a number as a field shows it: as short as it can be.
func figure(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
