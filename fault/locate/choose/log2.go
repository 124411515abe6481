package choose

import "math"

// xlog is x·log2 x, and 0 at 0. It is most of the work, so that the logarithm comes
// from a table of 128 and five terms of a series, within 1e-15.
func xlog(x float64) float64 {
	if !(x > 1e-300) {
		return 0
	}
	bits := math.Float64bits(x)
	e := float64(int(bits>>52) - 1023)
	m := math.Float64frombits(bits&(1<<52-1) | 1023<<52)
	t := &logs[bits>>45&127]
	r := m*t.inverse - 1
	return x * (e + t.log + r*(1-r*(1./2-r*(1./3-r*(1./4-r*(1./5)))))*math.Log2E)
}

type logOf struct{ inverse, log float64 }

// logs has the middle of every 128th of [1, 2).
var logs = func() (t [128]logOf) {
	for i := range t {
		mid := 1 + (float64(i)+0.5)/128
		t[i] = logOf{1 / mid, math.Log2(mid)}
	}
	return t
}()
