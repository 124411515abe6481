package cells

import (
	"math"
	"strconv"
)

// figure writes mV to two figures, or to whole mV from 10 up.
func figure(mv float64) string {
	v := math.Abs(mv)
	switch {
	case v < 1:
		return strconv.FormatFloat(math.Max(0.1, math.Round(v*10)/10), 'f', 1, 64)
	case v < 10:
		return strconv.FormatFloat(math.Round(v*10)/10, 'f', -1, 64)
	}
	return strconv.FormatFloat(math.Round(v), 'f', 0, 64)
}
