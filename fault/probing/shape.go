package probing

import "math"

// A Kind is what a series looks like.
type Kind uint8

// The kinds, in the order in which they are asked for.
const (
	None    Kind = iota // no value
	Single              // one value is no series
	Level               // nothing moves beyond the uncertainties
	Steps               // to and fro between two levels, or from one to the other
	Swings              // turns round again and again
	Drifts              // along a straight line
	Settles             // towards an end, as an exponential
	Moves               // it changes, and none of these fits
)

// A Shape is what a series looks like, with the fit that it was judged by.
type Shape struct {
	Kind        Kind
	Mean, SD    float64 // of Level
	Line        Line    // of Drifts; of every series of two values or more
	Exponential Exponential
	Levels      Levels
}

// ShapeOf judges a series whose times ascend. The simplest shape that leaves no more
// than the uncertainties allow is taken: level before a line, a line before an
// exponential. Values that turn round are judged first, since either would average
// them.
func ShapeOf(points []Point) (s Shape) {
	if len(points) == 0 {
		return s
	}
	if len(points) == 1 {
		s.Kind, s.Mean, s.SD = Single, points[0].V, points[0].SD
		return s
	}
	s.Line, _ = FitLine(points)
	chi2 := s.level(points)
	turns := Turns(points)
	levels, two := FitLevels(points)
	e, settles := FitExponential(points)
	switch {
	case chi2 <= limit(len(points)-1):
		s.Kind = Level
	case two && levels.Steps > 0:
		s.Kind, s.Levels = Steps, levels
	case turns > 1:
		s.Kind = Swings
	case len(points) == 2 || s.Line.Fits():
		s.Kind = Drifts
	case settles && e.Fits():
		s.Kind, s.Exponential = Settles, e
	default:
		s.Kind = Moves
	}
	return s
}

// level takes the weighted mean, and gives χ² about it.
func (s *Shape) level(points []Point) (chi2 float64) {
	sd := typical(points)
	var w, wv float64
	for _, p := range points {
		k := weight(p, sd)
		w, wv = w+k, wv+k*p.V
	}
	s.Mean, s.SD = wv/w, 1/math.Sqrt(w)
	for _, p := range points {
		d := p.V - s.Mean
		chi2 += weight(p, sd) * d * d
	}
	return chi2
}

// Logs are the points with the logarithms of their values, for what grows by a share
// in each minute, as the ohms of a leak that dries do. Values that are not above
// zero are left off.
func Logs(points []Point) (out []Point) {
	for _, p := range points {
		if p.V > 0 {
			out = append(out, Point{p.T, math.Log(p.V), p.SD / p.V})
		}
	}
	return out
}

// PerMinute is the growth in each minute as a share of the value, of a line through
// logarithms: 0.02 is 2 % a minute.
func (l Line) PerMinute() float64 { return math.Expm1(60 * l.Slope) }

// Doubling is the seconds in which the value of a line through logarithms doubles;
// negative, in which it halves; +Inf where it stands.
func (l Line) Doubling() float64 {
	if l.Slope == 0 {
		return math.Inf(1)
	}
	return math.Ln2 / l.Slope
}
