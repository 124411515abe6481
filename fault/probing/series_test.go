package probing_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"halfsplit/fault/probing"
)

// series makes values of a law at evenly spaced times, with counts of ± 1 unit of
// the last digit.
func series(n int, every, count float64, law func(t float64) float64) []probing.Point {
	rng := rand.New(rand.NewPCG(3, uint64(n)))
	out := make([]probing.Point, n)
	for i := range out {
		t := float64(i) * every
		v := law(t) + count*(2*rng.Float64()-1)/2
		out[i] = probing.Point{T: t, V: math.Round(v/count) * count, SD: count}
	}
	return out
}

func TestFitLine_Exact(t *testing.T) {
	l, ok := probing.FitLine([]probing.Point{{T: 0, V: 1, SD: 0.1}, {T: 60, V: 3, SD: 0.1}, {T: 120, V: 5, SD: 0.1}})
	if !ok || math.Abs(l.Slope-2.0/60) > 1e-12 || math.Abs(l.Value(180)-7) > 1e-12 || l.DF != 1 || l.Chi2 > 1e-20 || !l.Rises() || !l.Fits() {
		t.Errorf("%+v, %v", l, ok)
	}
	// Var(slope) = σ²/Σ(t − t̄)² = 0.01/7200
	if want := math.Sqrt(0.01 / 7200); math.Abs(l.SlopeSD-want) > 1e-12 {
		t.Errorf("the slope's uncertainty is %g, want %g", l.SlopeSD, want)
	}
	if _, ok := probing.FitLine([]probing.Point{{T: 5, V: 1, SD: 1}, {T: 5, V: 2, SD: 1}}); ok {
		t.Error("two values of one time have a slope")
	}
	// A value that is known ten times better counts a hundredfold.
	l, _ = probing.FitLine([]probing.Point{{T: 0, V: 0, SD: 1}, {T: 0, V: 1, SD: 0.1}, {T: 10, V: 1, SD: 0.1}})
	if v := l.Value(0); math.Abs(v-100.0/101) > 1e-9 {
		t.Errorf("weighed to %g", v)
	}
}

func TestFitExponential_FindsEndAndTimeConstant(t *testing.T) {
	for name, c := range map[string]struct{ end, a, tau float64 }{
		"Y capacitors":   {-67.1, 30, 3.3},
		"from below":     {103.6, -80, 6},
		"small distance": {11.34, 2, 4},
	} {
		t.Run(name, func(t *testing.T) {
			p := series(9, 2, 0.01, func(s float64) float64 { return c.end + c.a*math.Exp(-s/c.tau) })
			e, ok := probing.FitExponential(p)
			if !ok || !e.Fits() || math.Abs(e.End-c.end) > 4*e.EndSD+0.01 || math.Abs(e.Tau-c.tau) > 0.1*c.tau {
				t.Fatalf("%+v, %v", e, ok)
			}
			if left := e.Left(p[0].T); math.Abs(left-math.Abs(c.a)) > 0.05*math.Abs(c.a) {
				t.Errorf("%g V were left at the beginning, want %g", left, math.Abs(c.a))
			}
		})
	}
	if _, ok := probing.FitExponential(series(8, 60, 0.1, func(s float64) float64 { return 100 + s/30 })); ok {
		t.Error("a straight line settles")
	}
	if _, ok := probing.FitExponential(series(3, 2, 0.1, func(s float64) float64 { return 10 * math.Exp(-s) })); ok {
		t.Error("three values fix three unknowns and prove nothing")
	}
}

func TestFitLevels(t *testing.T) {
	vals := func(v ...float64) (p []probing.Point) {
		for i, x := range v {
			p = append(p, probing.Point{T: float64(i), V: x, SD: 0.1})
		}
		return p
	}
	l, ok := probing.FitLevels(vals(50.1, 50, 80.2, 80.1, 50.2, 80))
	if !ok || l.Low != 50.1 || l.High != 80.1 || l.Steps != 3 || l.Cut < 50.2 || l.Cut > 80 {
		t.Errorf("%+v, %v", l, ok)
	}
	for name, v := range map[string][]float64{"a line": {50, 60, 70, 80, 90}, "one outlier": {50, 50, 50, 80}, "within the counts": {50, 50.2, 50.5, 50.7}, "three values": {50, 80, 50}} {
		if l, ok := probing.FitLevels(vals(v...)); ok {
			t.Errorf("%s: %+v", name, l)
		}
	}
}

func TestShapeOf(t *testing.T) {
	flip := func(s float64) float64 {
		if int(s/10)%3 == 1 {
			return 80
		}
		return 50
	}
	for name, c := range map[string]struct {
		points []probing.Point
		want   probing.Kind
	}{
		"nothing":  {nil, probing.None},
		"one":      {series(1, 1, 0.1, func(float64) float64 { return 5 }), probing.Single},
		"level":    {series(7, 60, 0.1, func(float64) float64 { return 67.1 }), probing.Level},
		"drift":    {series(7, 60, 0.1, func(s float64) float64 { return 67.1 + s/60 }), probing.Drifts},
		"two":      {series(2, 60, 0.1, func(s float64) float64 { return 67.1 + s/60 }), probing.Drifts},
		"settling": {series(9, 2, 0.01, func(s float64) float64 { return 67 + 20*math.Exp(-s/4) }), probing.Settles},
		"steps":    {series(9, 10, 0.1, flip), probing.Steps},
		"swings":   {series(9, 1, 0.1, func(s float64) float64 { return 60 + 20*math.Sin(1.7*s) }), probing.Swings},
		"a bend":   {series(7, 60, 0.1, func(s float64) float64 { return 60 + s*s/3600 }), probing.Moves},
	} {
		t.Run(name, func(t *testing.T) {
			if s := probing.ShapeOf(c.points); s.Kind != c.want {
				t.Errorf("%+v, want kind %d", s, c.want)
			}
		})
	}
}

// The ordinary drying: 155 kΩ, after an hour 390 kΩ, after four 2.6 MΩ.
func TestLogs_Drying(t *testing.T) {
	p := probing.Logs([]probing.Point{{T: 0, V: 155e3, SD: 3e3}, {T: 3600, V: 390e3, SD: 8e3}, {T: 7200, V: 0, SD: 1}, {T: 4 * 3600, V: 2.6e6, SD: 8e4}})
	if len(p) != 3 {
		t.Fatalf("%d points", len(p))
	}
	l, ok := probing.FitLine(p)
	if min := l.Doubling() / 60; !ok || min < 45 || min > 65 {
		t.Errorf("doubles in %g min", min)
	}
	// e^(60·ln2/Doubling) − 1, by the definition of doubling.
	if got, want := l.PerMinute(), math.Pow(2, 60/l.Doubling())-1; math.Abs(got-want) > 1e-12 {
		t.Errorf("%g a minute, want %g", got, want)
	}
	if flat, _ := probing.FitLine([]probing.Point{{T: 0, V: 1, SD: 1}, {T: 1, V: 1, SD: 1}}); !math.IsInf(flat.Doubling(), 1) {
		t.Errorf("what stands doubles in %g s", flat.Doubling())
	}
}
