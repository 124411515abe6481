package ruler

import (
	"math"
	"slices"
)

// Where the ruler has room, the skylines become higher than usual.
const (
	mostTaller = 150 // pixels for each row
	spare      = 24  // pixels that stay free
)

// Wants is the height that the ruler asks for, of what it has together with the
// plan: what it needs, and a little less where the plan would be left with little.
func (r *Ruler) Wants(room float64) float64 {
	const around, fair = 12, 0.36
	high := r.high + around
	if len(r.rows) == 1 && high > fair*room {
		high = dense.high + around
	}
	return math.Min(high, room/2)
}

// sized is the ruler laid out for a height: each row as roomy as fits, and a
// higher skyline where there is room for one.
func (r *Ruler) sized(h float64) *Ruler {
	n := float64(len(r.rows))
	if n == 0 || h <= 0 {
		return r
	}
	lay := tight
	for _, l := range []layout{roomy, dense} {
		if n*l.high <= h {
			lay = l
			break
		}
	}
	s := &Ruler{Pack: r.Pack, rows: slices.Clone(r.rows)}
	lay = lay.taller(math.Min(mostTaller, math.Floor((h-spare)/n-lay.high)))
	for i := range s.rows {
		s.rows[i].top, s.rows[i].lay = s.high, lay
		s.high += lay.high
	}
	return s
}

// taller is the layout with so many more pixels for the skyline.
func (l layout) taller(by float64) layout {
	if by <= 0 {
		return l
	}
	l.flags = slices.Clone(l.flags)
	for i := range l.flags {
		l.flags[i] += by
	}
	for _, y := range []*float64{&l.sky, &l.base, &l.band, &l.chassis, &l.measure, &l.high} {
		*y += by
	}
	if l.axis > 0 { // tight rows have none
		l.axis += by
	}
	return l
}
