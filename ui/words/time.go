package words

import "math"

// Minutes writes whole minutes.
func Minutes(v float64) string { return fixed(math.Round(v), 0) + Thin + "min" }

// Hours writes whole hours.
func Hours(v float64) string { return fixed(math.Round(v), 0) + Thin + "h" }

// Days writes whole days.
func Days(v float64) string { return fixed(math.Round(v), 0) + Thin + "days" }
