package insulation_test

import (
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
	"pgregory.net/rapid"
)

// equivalent is the effective leak that R100 finds, in volts above offset.
func equivalent(tr truth, offset float64, read func(insulation.Volt) insulation.Volt, resistor insulation.Value) (insulation.Effective, error) {
	p, f := tr.poles(), tr.fitted(tr.higher())
	for _, v := range []*insulation.Volt{&p.Across, &p.Negative, &p.Positive, &f.Reading} {
		*v = read(*v)
	}
	f.Resistor = resistor
	iso, err := insulation.R100(p, f)
	if err != nil {
		return insulation.Effective{}, err
	}
	return iso.Effective(insulation.Exact(offset))
}

func asIs(v insulation.Volt) insulation.Volt { return v }

// A string split at a link: the sections share the chassis only, and joined they
// are what was there before.
func TestClose_SplitString(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		whole := anyPack(t)
		cut := rapid.Float64Range(.2, .8).Draw(t, "cut")
		lower, upper := whole, whole
		lower.vb, upper.vb = whole.vb*cut, whole.vb*(1-cut)
		// Each half needs a leak of its own to be measurable at all.
		lower.leaks, upper.leaks = []leak{{.5, 5e6}}, []leak{{.5, 5e6}}
		whole.leaks = append(whole.leaks, leak{cut / 2, 5e6}, leak{(1 + cut) / 2, 5e6})
		for _, l := range whole.leaks[:len(whole.leaks)-2] {
			if l.x < cut {
				lower.leaks = append(lower.leaks, leak{l.x / cut, l.ohms})
			} else {
				upper.leaks = append(upper.leaks, leak{(l.x - cut) / (1 - cut), l.ohms})
			}
		}
		r0 := insulation.Exact(whole.r0)
		var all [3]insulation.Effective
		for i, c := range []struct {
			truth
			offset float64
		}{{whole, 0}, {lower, 0}, {upper, lower.vb}} {
			e, err := equivalent(c.truth, c.offset, asIs, r0)
			if err != nil {
				t.Fatal(err)
			}
			all[i] = e
		}
		c, err := insulation.Close(all[0], all[1], all[2])
		if err != nil {
			t.Fatal(err)
		}
		agree(t, "conductance", c.Predicted.Siemens.X, all[0].Siemens.X)
		agree(t, "potential", c.Predicted.Volts.X, all[0].Volts.X)

		// And one half taken away from the whole is the other.
		left, err := insulation.Subtract(all[0], all[1])
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(left.Siemens.X-all[2].Siemens.X) > 1e-6*all[0].Siemens.X {
			t.Fatalf("subtraction: got %.9g S, want %.9g S", left.Siemens.X, all[2].Siemens.X)
		}
	})
}

func TestSubtract(t *testing.T) {
	m := handMeter()
	r0 := insulation.Resistor(fault.Resistor{Ohms: 200e3, TolPct: 1})
	reading := func(v insulation.Volt) insulation.Volt {
		if v.V.X > 600 || v.V.X < -600 {
			t.Fatal("beyond the range")
		}
		return read(t, m, v.V.X)
	}
	measure := func(leaks ...leak) insulation.Effective {
		t.Helper()
		e, err := equivalent(truth{350, leaks, 10e6, 200e3}, 0, reading, r0)
		if err != nil {
			t.Fatal(err)
		}
		return e
	}
	background, board := leak{.5, 400e3}, leak{.7, 180e3}

	t.Run("a board's leak goes with it", func(t *testing.T) {
		gone, err := insulation.Subtract(measure(background, board), measure(background))
		if err != nil {
			t.Fatal(err)
		}
		r, err := gone.Ohms()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "ohms", r.X, 180e3, 50)
		near(t, "volts", gone.Volts.X, .7*350, .02)
		if r.U()/r.X > 0.02 {
			t.Errorf("known to %.2g of itself", r.U()/r.X)
		}
	})
	t.Run("what both readings share cancels", func(t *testing.T) {
		before, after := measure(background, board), measure(background)
		gone, err := insulation.Subtract(before, after)
		if err != nil {
			t.Fatal(err)
		}
		apart := math.Hypot(before.Siemens.U(), after.Siemens.U())
		if gone.Siemens.U() >= apart {
			t.Errorf("the difference is known to %.3g S, no better than two independent readings (%.3g S)", gone.Siemens.U(), apart)
		}
	})
	t.Run("nothing changed", func(t *testing.T) {
		_, err := insulation.Subtract(measure(background, board), measure(background, board))
		r := refused(t, err, insulation.NoChange)
		if !strings.HasPrefix(r.Why, "no detectable change") {
			t.Errorf("says %q", r.Why)
		}
		if r.Bound == nil || r.Bound.Relation != fault.Greater || r.Bound.Low < 10e6 {
			t.Errorf("the bound is %+v, want a large resistance from below", r.Bound)
		}
	})
	t.Run("the leak grew", func(t *testing.T) {
		_, err := insulation.Subtract(measure(background), measure(background, board))
		if r := refused(t, err, insulation.Grown); !strings.Contains(r.Why, "180 kohm") {
			t.Errorf("says %q", r.Why)
		}
	})
}

// Two standard uncertainties of the change, here √2·1 µS.
func TestSubtract_TwoStandardUncertainties(t *testing.T) {
	state := func(siemens float64) insulation.Effective {
		return insulation.Effective{Siemens: insulation.WithSD(siemens, 1e-6, insulation.Counts), Volts: insulation.Exact(100)}
	}
	for change, told := range map[float64]bool{1e-6: false, 2.7e-6: false, 2.9e-6: true, -1e-6: false} {
		_, err := insulation.Subtract(state(20e-6+change), state(20e-6))
		if told && err != nil {
			t.Errorf("a change of %g S: %v", change, err)
		}
		if !told {
			refused(t, err, insulation.NoChange)
		}
	}
	_, err := insulation.Subtract(state(20e-6), state(23e-6))
	refused(t, err, insulation.Grown)
}

// Each of the two numbers can fail the closure alone.
func TestClose_EitherNumber(t *testing.T) {
	section := func(siemens, volts float64) insulation.Effective {
		return insulation.Effective{Siemens: insulation.WithSD(siemens, 0.1e-6, insulation.Counts), Volts: insulation.WithSD(volts, 0.5, insulation.Counts)}
	}
	lower, upper := section(5e-6, 50), section(5e-6, 250)
	for name, c := range map[string]struct {
		whole  insulation.Effective
		passed bool
	}{
		"as predicted":              {section(10e-6, 150), true},
		"within the errors":         {section(10.3e-6, 152), true},
		"another conductance":       {section(11e-6, 150), false},
		"another potential":         {section(10e-6, 160), false},
		"a conductance that shrank": {section(9e-6, 150), false},
	} {
		got, err := insulation.Close(c.whole, lower, upper)
		if err != nil {
			t.Fatal(err)
		}
		if got.Passed() != c.passed {
			t.Errorf("%s: passed %v, off by %.2g and %.2g", name, got.Passed(), got.SiemensOff, got.VoltsOff)
		}
	}
}

func TestEffective_NotFromABoundFromAbove(t *testing.T) {
	p, _ := onSection{355.6, -177.8, 177.8, -174.8, insulation.NegativePole, 47e3}.read(t)
	iso, err := insulation.SumRule(p)
	if err != nil {
		t.Fatal(err)
	}
	_, err = iso.Effective(insulation.Exact(0))
	refused(t, err, insulation.Unresolved)
	_, err = insulation.Together()
	refused(t, err, insulation.Unresolved)
}

func TestAgree(t *testing.T) {
	truthful := func(ohms float64) insulation.Isolation {
		tr := truth{400, []leak{{.3, ohms}}, 10e6, 200e3}
		iso, err := insulation.R100(tr.poles(), tr.fitted(tr.higher()))
		if err != nil {
			t.Fatal(err)
		}
		return iso
	}
	for name, c := range map[string]struct {
		a, b float64
		want bool
	}{
		"the same":         {100e3, 100e3, true},
		"10 % apart":       {100e3, 110e3, true},
		"twice":            {200e3, 100e3, false},
		"half":             {100e3, 200e3, false},
		"30 % above 1 M":   {1.3e6, 1e6, false},
		"just above 20 %":  {121e3, 100e3, false},
		"just under 20 % ": {119e3, 100e3, true},
	} {
		got := insulation.Agree(truthful(c.a), truthful(c.b))
		if got.Agrees != c.want || (got.Why == "") != c.want {
			t.Errorf("%s: %+v", name, got)
		}
	}
}
