package probing_test

import (
	"math"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/probing"
)

var dmm = fault.Instrument{ID: "dmm", GainPct: 0.5, Counts: 2, InputOhms: 10e6, InputTolPct: 1,
	Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}}

func TestRangesOf(t *testing.T) {
	nan := math.NaN()
	for name, c := range map[string]struct {
		a, b, both float64
		mixed, ok  bool
	}{
		"18.4 V and 331 V": {18.4, -331, 600, true, true},
		"one range":        {103.6, -237.5, 600, false, true},
		"one is not known": {nan, -67.1, 600, false, true},
		"too much":         {1200, -5, 0, false, false},
		"nothing known":    {nan, nan, 0, false, false},
		"at full scale":    {60, -5, 60, true, true},
	} {
		t.Run(name, func(t *testing.T) {
			e, ok := probing.RangesOf(dmm, c.a, c.b)
			if ok != c.ok || ok && (e.Both.Max != c.both || e.Mixed != c.mixed) {
				t.Errorf("%+v, %v", e, ok)
			}
		})
	}
	if _, ok := probing.RangesOf(fault.Instrument{ID: "x"}, 5, 5); ok {
		t.Error("a meter without ranges has one")
	}
}

// The bounds against a place that is worked out with both gains at their ends.
func TestGainShift_IsTheDifferenceOfTheEnds(t *testing.T) {
	a, b, volts, g := 18.4, 331.0, 349.4, 0.5
	place := func(ga, gb float64) float64 { return volts * a * (1 + ga) / (a*(1+ga) + b*(1+gb)) }
	worst := math.Abs(place(g/100, -g/100) - place(0, 0))
	if got := probing.GainShift(a, -b, volts, g); math.Abs(got-worst) > 0.01*worst {
		t.Errorf("%g V, exactly %g V", got, worst)
	}
	if d := place(g/100, g/100) - place(0, 0); math.Abs(d) > 1e-9 {
		t.Errorf("a common gain moves the place by %g V", d)
	}
	if got := probing.GainShift(0, 0, volts, g); got != 0 {
		t.Errorf("nothing read: %g", got)
	}
	step := volts*(a+0.1)/(a+0.1+b) - volts*a/(a+b)
	if got := probing.PlaceCounts(a, b, volts, 0.1); math.Abs(got-step) > 1e-3*step {
		t.Errorf("one count is %g V, exactly %g V", got, step)
	}
}

// 68.3 V from a leak of 179.4 kΩ: the readings of the socket come out again.
func TestForesee_TheSocketsReadings(t *testing.T) {
	r := fault.Resistor{ID: "R200k", Ohms: 200e3, TolPct: 1}
	f, err := probing.Foresee(dmm, -68.3, 179.4e3, r)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(f.Plain+67.1) > 0.06 || math.Abs(f.Fitted+35.67) > 0.03 {
		t.Errorf("%g V and %g V", f.Plain, f.Fitted)
	}
	if f.Leak.Relation != fault.Equal || math.Abs(f.Leak.X-179.4e3) > 0.01*179.4e3 || f.Leak.High < 179.4e3 || f.Leak.Low > 179.4e3 {
		t.Errorf("%+v", f.Leak)
	}
	if _, err := probing.Foresee(dmm, 2000, 1e5, r); err == nil {
		t.Error("2000 V on a meter of 1000 V")
	}
}

// A smaller resistor reaches smaller leaks: what is only a bound with the larger one
// has a value with it.
func TestReach_FollowsTheResistor(t *testing.T) {
	big, bigHigh, ok := probing.Reach(dmm, 68.3, fault.Resistor{Ohms: 200e3, TolPct: 1})
	small, smallHigh, ok2 := probing.Reach(dmm, 68.3, fault.Resistor{Ohms: 10e3, TolPct: 1})
	if !ok || !ok2 || !(small < big/5) || !(smallHigh <= bigHigh) {
		t.Errorf("200 kΩ reaches %g to %g, 10 kΩ %g to %g", big, bigHigh, small, smallHigh)
	}
	if f, err := probing.Foresee(dmm, 68.3, big/4, fault.Resistor{Ohms: 200e3, TolPct: 1}); err == nil && f.Leak.Relation == fault.Equal {
		t.Errorf("a leak below the reach has the value %g", f.Leak.X)
	}
	if _, _, ok := probing.Reach(fault.Instrument{}, 68, fault.Resistor{Ohms: 1e5}); ok {
		t.Error("a meter without ranges resolves something")
	}
}
