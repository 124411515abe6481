package format

import (
	"math"
	"strconv"
)

// limits bound a number. A value is refused because it cannot be meant, never
// because it is surprising: a strange reading may be the fault itself.
type limits struct {
	min, max float64
	above    bool // min itself is refused
}

const (
	hugeNumber = 1e15 // ohms, the largest unit in use: a petaohm is beyond any instrument
	hugeVolts  = 1e6
	hugeLength = 1e6 // mm, a kilometre
)

func positive() limits           { return limits{0, hugeNumber, true} }
func notNegative() limits        { return limits{0, hugeNumber, false} }
func tolerance() limits          { return limits{0, 99, false} } // ± %
func within(most float64) limits { return limits{-most, most, false} }

// digits is a number as it was written, shortened for a message.
func (n *node) digits() string {
	const most = 24
	if s := n.number.String(); len(s) > most {
		return s[:most] + "…"
	}
	return n.number.String()
}

// float checks a node as a number within limits.
func (r *reader) float(n *node, place string, lim limits) (float64, bool) {
	if n.kind != numberKind {
		r.fail(n, place, "must be a number, not %s", n.shown())
		return 0, false
	}
	v, err := strconv.ParseFloat(n.number.String(), 64)
	switch {
	case err != nil || math.IsInf(v, 0) || math.IsNaN(v):
		r.fail(n, place, "%s is too large for a number here", n.digits())
	case lim.above && v <= lim.min:
		r.fail(n, place, "must be above %v, not %s", lim.min, n.digits())
	case v < lim.min && lim.min == 0:
		r.fail(n, place, "must not be negative, and is %s", n.digits())
	case v < lim.min || v > lim.max:
		r.fail(n, place, "must lie between %v and %v, and is %s", lim.min, lim.max, n.digits())
	default:
		return v + 0, true // −0 becomes 0
	}
	return 0, false
}

// num reads a number, 0 where it is missing.
func (o *object) num(key string, required bool, lim limits) float64 {
	n := o.either(key, required)
	if n == nil {
		return 0
	}
	v, _ := o.r.float(n, o.at(key), lim)
	return v
}

// optNum reads a number that may be unknown: nil where it is missing or null.
func (o *object) optNum(key string, lim limits) *float64 {
	n := o.get(key)
	if n == nil || n.kind == nullKind {
		return nil
	}
	v, ok := o.r.float(n, o.at(key), lim)
	if !ok {
		return nil
	}
	return &v
}

// whole checks a node as a whole number from least to most.
func (r *reader) whole(n *node, place string, least, most int) (int, bool) {
	v, ok := r.float(n, place, limits{min: -hugeNumber, max: hugeNumber})
	switch {
	case !ok:
		return 0, false
	case v != math.Trunc(v):
		r.fail(n, place, "must be a whole number, not %s", n.digits())
		return 0, false
	case v < float64(least) || v > float64(most):
		r.fail(n, place, "must lie between %d and %d, and is %s", least, most, n.digits())
		return 0, false
	}
	return int(v), true
}

// count reads a whole number, other where it is missing.
func (o *object) count(key string, required bool, least, most, other int) int {
	n := o.either(key, required)
	if n == nil {
		return other
	}
	v, ok := o.r.whole(n, o.at(key), least, most)
	if !ok {
		return other
	}
	return v
}
