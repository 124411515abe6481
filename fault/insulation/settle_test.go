package insulation_test

import (
	"math"
	"testing"

	"halfsplit/fault/insulation"
	"pgregory.net/rapid"
)

// 1 µF against a 10 Mohm meter.
func TestTau(t *testing.T) {
	for leak, want := range map[float64]float64{100e3: 0.099, 1e6: 0.909, 5e6: 3.333, 50e6: 8.333} {
		near(t, "τ", insulation.Tau(leak, 10e6, 1e-6), want, 0.001)
	}
	near(t, "sound section, 0.44 µF", insulation.Tau(33e6, 10e6, 0.44e-6), 3.4, 0.05)
	near(t, "no leak at all", insulation.Tau(math.Inf(1), 10e6, 20e-9), 0.2, 1e-12)
	for leak, want := range map[float64]float64{1e6: 6.3, 5e6: 23, 50e6: 58} {
		near(t, "to 0.1 %", insulation.SettleTime(insulation.Tau(leak, 10e6, 1e-6), 0.001), want, 0.5)
	}
}

func TestExtrapolate_OneExponential(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		final := rapid.Float64Range(-500, 500).Draw(t, "final")
		first := rapid.Float64Range(-500, 500).Filter(func(v float64) bool { return math.Abs(v-final) > 1 }).Draw(t, "first")
		tau := rapid.Float64Range(0.2, 50).Draw(t, "tau")
		every := tau * rapid.Float64Range(0.2, 4).Draw(t, "every")
		at := func(n float64) insulation.Volt {
			return insulation.Volt{V: insulation.Exact(final + (first-final)*math.Exp(-n*every/tau))}
		}
		s, err := insulation.Extrapolate(at(0), at(1), at(2), every)
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(s.Final.X-final) > 1e-8*(1+math.Abs(first-final)) || math.Abs(s.Tau.X-tau) > 1e-6*tau {
			t.Fatalf("got %.9g V and %.9g s, want %.9g and %.9g", s.Final.X, s.Tau.X, final, tau)
		}
	})
}

func TestExtrapolate_Refuses(t *testing.T) {
	for name, c := range map[string]struct {
		v    [3]float64
		kind insulation.Kind
	}{
		"a straight line":            {[3]float64{100, 102, 104}, insulation.NotSettling},
		"running away":               {[3]float64{100, 101, 104}, insulation.NotSettling},
		"a swing":                    {[3]float64{100, 120, 95}, insulation.NotSettling},
		"settled within the counts":  {[3]float64{103.6, 103.7, 103.6}, insulation.Unresolved},
		"settled after the first":    {[3]float64{90, 103.6, 103.7}, insulation.Unresolved},
		"nothing, three times":       {[3]float64{0, 0, 0}, insulation.Unresolved},
		"a capacitor, but no number": {[3]float64{math.Inf(1), 1, 2}, insulation.NoRange},
	} {
		t.Run(name, func(t *testing.T) {
			m := handMeter()
			volt := func(x float64) insulation.Volt {
				if math.IsInf(x, 0) {
					return insulation.Volt{V: insulation.Exact(x)}
				}
				v, err := m.Volts(x, 600)
				if err != nil {
					t.Fatal(err)
				}
				return v
			}
			_, err := insulation.Extrapolate(volt(c.v[0]), volt(c.v[1]), volt(c.v[2]), 5)
			refused(t, err, c.kind)
		})
	}
	_, err := insulation.Extrapolate(insulation.Volt{}, insulation.Volt{}, insulation.Volt{}, 0)
	refused(t, err, insulation.NotPositive)
}

// Reading further along the curve tells the end better.
func TestExtrapolate_Uncertainty(t *testing.T) {
	end := func(every float64) float64 {
		m := handMeter()
		at := func(n float64) insulation.Volt { return read(t, m, 150+150*math.Exp(-n*every/10)) }
		s, err := insulation.Extrapolate(at(0), at(1), at(2), every)
		if err != nil {
			t.Fatal(err)
		}
		return s.Final.U()
	}
	if near, far := end(3), end(12); far > near/2 {
		t.Errorf("± %.3g V from readings 12 s apart, ± %.3g V from 3 s apart", far, near)
	}
}

func TestSettled(t *testing.T) {
	m := handMeter()
	if !insulation.Settled(read(t, m, 103.6), read(t, m, 103.8)) {
		t.Error("two counts apart must pass as settled")
	}
	if insulation.Settled(read(t, m, 103.6), read(t, m, 103.9)) {
		t.Error("three counts apart must not pass as settled")
	}
}

func TestOwnInput(t *testing.T) {
	m := handMeter()
	r, err := insulation.OwnInput(read(t, m, 51.80), read(t, m, 25.90), insulation.Exact(10e6))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "10 Mohm in series halve it", r.X, 10e6, 1)
	r, err = insulation.OwnInput(read(t, m, -51.80), read(t, m, -27.25), insulation.Exact(10e6))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "an 11 Mohm meter", r.X, 11.1e6, 0.01e6)
	if r.U() == 0 || r.U() > 0.02e6 {
		t.Errorf("known to %.3g ohm", r.U())
	}
	_, err = insulation.OwnInput(read(t, m, 51.80), read(t, m, 52.80), insulation.Exact(10e6))
	refused(t, err, insulation.Raised)
	_, err = insulation.OwnInput(read(t, m, 51.80), read(t, m, 0), insulation.Exact(10e6))
	refused(t, err, insulation.TooSmall)
	r, err = insulation.OwnInput(read(t, m, 51.80), read(t, m, 51.80), insulation.Exact(10e6))
	if err != nil || r.Relation != ">" || r.Low < 1e9 {
		t.Errorf("no loading to be seen: %+v, %v; want a bound far above the resistor", r, err)
	}
}
