package insulation_test

import (
	"errors"
	"math"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
)

// A truth is a pack of ideal cells with resistors to chassis, solved by Kirchhoff's
// law alone: the chassis floats at the conductance-weighted mean of what it is
// tied to. The forms under test share nothing with it.
type truth struct {
	vb    float64
	leaks []leak
	rv    float64 // input resistance of every meter
	r0    float64
}

type leak struct {
	x    float64 // 0 at the negative pole … 1 at the positive
	ohms float64
}

// chassis is the chassis' potential above the negative pole.
func (tr truth) chassis(more ...leak) float64 {
	var g, gu float64
	for _, l := range append(append([]leak(nil), tr.leaks...), more...) {
		g += 1 / l.ohms
		gu += l.x * tr.vb / l.ohms
	}
	return gu / g
}

// rth and x are the one equivalent leak.
func (tr truth) rth() float64 {
	var g float64
	for _, l := range tr.leaks {
		g += 1 / l.ohms
	}
	return 1 / g
}

func (tr truth) x() float64 { return tr.chassis() / tr.vb }

func (tr truth) meter(at insulation.Side) leak { return leak{float64(at), tr.rv} }

func (tr truth) resistor(at insulation.Side) leak { return leak{float64(at), tr.r0} }

// reads is what a meter at a pole shows, signed, red on the pole.
func (tr truth) reads(at insulation.Side, with ...leak) float64 {
	return float64(at)*tr.vb - tr.chassis(with...)
}

// moved is one meter at that pole, with these leaks added on purpose.
func (tr truth) moved(at insulation.Side, with ...leak) float64 {
	return tr.reads(at, append(with, tr.meter(at))...)
}

func (tr truth) exact(v float64) insulation.Volt {
	return insulation.Volt{V: insulation.Exact(v), Input: insulation.Exact(tr.rv)}
}

// poles are the readings of one meter moved.
func (tr truth) poles() insulation.Poles {
	return insulation.Poles{
		Across:   tr.exact(tr.vb),
		Negative: tr.exact(tr.moved(insulation.NegativePole)),
		Positive: tr.exact(tr.moved(insulation.PositivePole)),
	}
}

func (tr truth) fitted(at insulation.Side) insulation.Fitted {
	return insulation.Fitted{At: at, Reading: tr.exact(tr.moved(at, tr.resistor(at))), Resistor: insulation.Exact(tr.r0)}
}

// pair is two meters at once, with these leaks added on purpose.
func (tr truth) pair(with ...leak) insulation.Pair {
	both := append(with, tr.meter(insulation.NegativePole), tr.meter(insulation.PositivePole))
	return insulation.Pair{
		Negative: tr.exact(tr.reads(insulation.NegativePole, both...)),
		Positive: tr.exact(tr.reads(insulation.PositivePole, both...)),
	}
}

// movedPair is one meter moved over both poles, with these leaks added.
func (tr truth) movedPair(with ...leak) insulation.Pair {
	return insulation.Pair{
		Negative: tr.exact(tr.moved(insulation.NegativePole, with...)),
		Positive: tr.exact(tr.moved(insulation.PositivePole, with...)),
	}
}

// higher is the pole that the standards want the test resistor at.
func (tr truth) higher() insulation.Side { return tr.poles().Higher() }

// handMeter is a 6000-count meter with 10 Mohm, 0.5 % and 2 counts.
func handMeter() *insulation.Meter {
	return insulation.NewMeter(fault.Instrument{ID: "dmm", GainPct: 0.5, Counts: 2, InputOhms: 10e6, InputTolPct: 1, Ranges: []fault.Range{
		{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}})
}

func read(t testing.TB, m *insulation.Meter, volts float64) insulation.Volt {
	t.Helper()
	v, err := m.Volts(volts, 0)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func near(t testing.TB, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance) {
		t.Errorf("%s: got %.8g, want %.8g ± %.2g", what, got, want, tolerance)
	}
}

// refused wants a refusal of that kind and returns it.
func refused(t testing.TB, err error, kind insulation.Kind) *insulation.Refusal {
	t.Helper()
	var r *insulation.Refusal
	if !errors.As(err, &r) {
		t.Fatalf("got %v, want a refusal of kind %s", err, kind)
	}
	if r.Kind != kind {
		t.Fatalf("got a refusal of kind %s (%s), want %s", r.Kind, r.Why, kind)
	}
	return r
}
