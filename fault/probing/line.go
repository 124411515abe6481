package probing

import "math"

// A Point is one value of a series: when it was taken, in seconds from any zero, and
// what it is, with its own independent standard uncertainty. An SD of 0 is not known.
type Point struct{ T, V, SD float64 }

// A Line is the straight line through a series by least squares, each value weighed
// by its own uncertainty:
//
//	v = At + Slope·(t − T0)
//
// T0 is the weighted mean of the times, where At and Slope are independent.
type Line struct {
	T0, At, Slope float64
	AtSD, SlopeSD float64
	Chi2          float64 // of the residuals, in their own uncertainties
	DF            int     // values less two
}

// FitLine fits a straight line; ok is false for fewer than two times. The spread
// stands in for uncertainties that are not known.
//
// It needs O(n).
func FitLine(points []Point) (l Line, ok bool) {
	sd := typical(points)
	var w, wt, wv float64
	for _, p := range points {
		k := weight(p, sd)
		w, wt, wv = w+k, wt+k*p.T, wv+k*p.V
	}
	if w == 0 {
		return l, false
	}
	l.T0, l.At = wt/w, wv/w
	var stt, stv float64
	for _, p := range points {
		k, d := weight(p, sd), p.T-l.T0
		stt, stv = stt+k*d*d, stv+k*d*(p.V-l.At)
	}
	if len(points) < 2 || !(stt > 0) {
		return l, false
	}
	l.Slope, l.AtSD, l.SlopeSD, l.DF = stv/stt, 1/math.Sqrt(w), 1/math.Sqrt(stt), len(points)-2
	for _, p := range points {
		r := p.V - l.Value(p.T)
		l.Chi2 += weight(p, sd) * r * r
	}
	return l, true
}

// Value is the line at a time.
func (l Line) Value(t float64) float64 { return l.At + l.Slope*(t-l.T0) }

// Rises says that the slope differs from none by more than three of its own
// standard uncertainties, to either side.
func (l Line) Rises() bool { return math.Abs(l.Slope) > 3*l.SlopeSD }

// Fits says that no more is left beside the line than the uncertainties allow, at
// the 99.9 % point.
func (l Line) Fits() bool { return l.Chi2 <= limit(l.DF) }

// weight is one over the variance; where none is known, of the typical one.
func weight(p Point, sd float64) float64 {
	if p.SD > 0 {
		sd = p.SD
	}
	return 1 / (sd * sd)
}

// typical is the largest uncertainty that is known, else a thousandth of the
// largest value, else 1.
func typical(points []Point) float64 {
	known, most := 0.0, 0.0
	for _, p := range points {
		known, most = math.Max(known, p.SD), math.Max(most, math.Abs(p.V))
	}
	switch {
	case known > 0:
		return known
	case most > 0:
		return most / 1000
	}
	return 1
}

// limit is the 99.9 % point of χ² with so many degrees of freedom, by Wilson and
// Hilferty (1931); with none, whatever rounding leaves.
func limit(df int) float64 {
	if df < 1 {
		return 1e-6
	}
	const z = 3.0902 // the 99.9 % point of a normal distribution
	k := float64(df)
	return k * math.Pow(1-2/(9*k)+z*math.Sqrt(2/(9*k)), 3)
}
