package words

import (
	"math"
	"strconv"
	"strings"
)

// Digits writes a number with at most so many significant digits, whole ones all
// kept, and no zeros at the end of a fraction. What is not a number is 0.
func Digits(x float64, most int) string {
	if x == 0 || math.IsNaN(x) {
		return "0"
	}
	d := max(0, most-1-int(math.Floor(math.Log10(math.Abs(x)))))
	s := strconv.FormatFloat(x, 'f', d, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
