package insulation

import "math"

// propagate is the value of a formula, with the errors of what goes in. Each cause
// is moved by its own standard uncertainty, up and down, in every input that it
// touches at once; half of what the formula moves is its share:
//
//	Z = ½·[f(x + u) − f(x − u)],  u(y)² = ΣZ²
//
// (JCGM 100:2008, 5.1.3 note 2). Causes are independent of each other; what is
// common to several inputs is one cause. The central difference is exact for
// second-order curvature and stays sensible where a derivative would explode.
// A share that the formula cannot give is infinite, never NaN.
func propagate(f func(x []float64) float64, in ...Value) Value {
	mid, up, down := make([]float64, len(in)), make([]float64, len(in)), make([]float64, len(in))
	for i, v := range in {
		mid[i] = v.X
	}
	out := Value{X: f(mid)}
	for _, c := range causesOf(in) {
		for i, v := range in {
			by := v.shifted(c)
			up[i], down[i] = v.X+by, v.X-by
		}
		by := (f(up) - f(down)) / 2
		if math.IsNaN(by) {
			by = math.Inf(1)
		}
		if by != 0 {
			out.shifts = append(out.shifts, shift{c, by})
		}
	}
	return out
}

// causesOf lists every cause once, in the order of appearance.
func causesOf(in []Value) []*cause {
	var list []*cause
	seen := make(map[*cause]bool)
	for _, v := range in {
		for _, s := range v.shifts {
			if !seen[s.of] {
				seen[s.of] = true
				list = append(list, s.of)
			}
		}
	}
	return list
}

func sum(in ...Value) Value {
	return propagate(func(x []float64) float64 {
		var s float64
		for _, v := range x {
			s += v
		}
		return s
	}, in...)
}

func difference(a, b Value) Value { return sum(a, b.times(-1)) }
