package insulation_test

import (
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
	"pgregory.net/rapid"
)

// A 715 V rack with 35 kohm: the two ends show 23 kohm and 482 kohm. The tester
// forces the node below chassis here.
func TestTester_LiveRack(t *testing.T) {
	const above, below, leak, e = 251.3, 463.7, 35e3, -500.0
	near(t, "shown at the positive end", insulation.Shown(e, leak, above), 23.3e3, 0.05e3)
	near(t, "shown at the negative end", insulation.Shown(e, leak, -below), 482e3, 0.5e3)
	if r := insulation.Shown(-250, leak, -below); r >= 0 {
		t.Errorf("at 250 V one end shows %.3g ohm, want it to run backwards", r)
	}

	pos := insulation.Tested{Shown: insulation.Exact(insulation.Shown(e, leak, above)), Test: insulation.Exact(e)}
	neg := insulation.Tested{Shown: insulation.Exact(insulation.Shown(e, leak, -below)), Test: insulation.Exact(e)}
	both, err := insulation.FromBothEnds(pos, neg, insulation.Exact(715))
	if err != nil {
		t.Fatal(err)
	}
	near(t, "from both ends", both.Leak.X, leak, 1e-6*leak)
	near(t, "positive end above the leak", both.Above.X, above, 1e-6)

	_, err = insulation.FromOneTest(neg, insulation.Exact(715))
	if r := refused(t, err, insulation.Biased); !strings.Contains(r.Why, "does not mean what it looks like") {
		t.Errorf("says %q", r.Why)
	}
}

// R = 2·E/(I1 − I2), x = (I1 + I2)/(I1 − I2)·E/Vb at the negative pole.
func TestTester_BothPolarities(t *testing.T) {
	const vb, x, leak, e = 400.0, .25, 3e6, 500.0
	i1, i2 := (x*vb+e)/leak, (x*vb-e)/leak
	near(t, "one way", e/i1, 2.5e6, 1)
	near(t, "the other way", -e/i2, 3.75e6, 1)
	r, err := insulation.FromBothPolarities(
		insulation.Tested{Shown: insulation.Exact(e / i1), Test: insulation.Exact(e)},
		insulation.Tested{Shown: insulation.Exact(-e / i2), Test: insulation.Exact(-e)})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "leak", r.Leak.X, leak, 1)
	near(t, "place", -r.Above.X/vb, x, 1e-9)
	near(t, "place by currents", (i1+i2)/(i1-i2)*e/vb, x, 1e-12)
}

func TestTester_TwoTestsFindTheTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		section := rapid.Float64Range(0, 900).Draw(t, "section")
		x := rapid.Float64Range(0, 1).Draw(t, "x")
		leak := rapid.Float64Range(1e3, 1e8).Draw(t, "leak")
		e1 := rapid.SampledFrom([]float64{250, -250, 500, -500, 1000}).Draw(t, "e1")
		e2 := rapid.SampledFrom([]float64{250, -250, 500, -500, 1000}).Draw(t, "e2")
		up, down := section*(1-x), -section*x
		for _, d := range []float64{e1 - up, e2 - down, e1 - e2 - section} {
			if d < 1 && d > -1 {
				t.Skip("the tester stands against the section's own volts")
			}
		}
		r, err := insulation.FromTwoTests(
			insulation.Tested{Shown: insulation.Exact(insulation.Shown(e1, leak, up)), Test: insulation.Exact(e1)},
			insulation.Tested{Shown: insulation.Exact(insulation.Shown(e2, leak, down)), Test: insulation.Exact(e2)}, insulation.Exact(section))
		if err != nil {
			t.Fatal(err)
		}
		agree(t, "leak", r.Leak.X, leak)
		if d := r.Above.X - up; d > 1e-6*(1+section) || d < -1e-6*(1+section) {
			t.Fatalf("above the leak: got %.9g V, want %.9g V", r.Above.X, up)
		}
	})
}

func TestTester_OneTestWithinItsBias(t *testing.T) {
	// A 48 V module and 500 V: up to 9.6 %, wherever the leak sits.
	for _, above := range []float64{-48, -12, 0, 36, 48} {
		shown := insulation.Tolerance(insulation.Shown(500, 3e6, above), 3, "tester")
		r, err := insulation.FromOneTest(insulation.Tested{Shown: shown, Test: insulation.Exact(500)}, insulation.Exact(48))
		if err != nil {
			t.Fatal(err)
		}
		if r.Low > 3e6 || r.High < 3e6 {
			t.Errorf("leak %g V below the node: %.4g … %.4g misses 3 Mohm", above, r.Low, r.High)
		}
		if r.LimitedBy() != insulation.SectionVolts {
			t.Errorf("limited by %s", r.LimitedBy())
		}
	}
	_, err := insulation.FromOneTest(insulation.Tested{Shown: insulation.Exact(3e6), Test: insulation.Exact(-500)}, insulation.Exact(50.1))
	refused(t, err, insulation.Biased)
	r, err := insulation.FromOneTest(insulation.Tested{Shown: insulation.Exact(3e6), Test: insulation.Exact(250)}, insulation.Exact(0))
	if err != nil || r.X != 3e6 || r.Relation != fault.Equal {
		t.Errorf("a section without volts: %+v, %v", r, err)
	}
}

func TestTester_Refuses(t *testing.T) {
	ok := insulation.Tested{Shown: insulation.Tolerance(1e6, 3, "tester"), Test: insulation.Exact(500)}
	for name, c := range map[string]struct {
		one, two insulation.Tested
		apart    float64
		kind     insulation.Kind
	}{
		"no test volts":       {insulation.Tested{Shown: insulation.Exact(1e6)}, ok, 400, insulation.NotPositive},
		"shows nothing":       {ok, insulation.Tested{Test: insulation.Exact(500)}, 400, insulation.NotPositive},
		"the same test twice": {ok, ok, 0, insulation.Unresolved},
		"the same current":    {ok, ok, 400, insulation.Unresolved},
		"ends mixed up": {insulation.Tested{Shown: insulation.Exact(100e3), Test: insulation.Exact(500)},
			insulation.Tested{Shown: insulation.Exact(900e3), Test: insulation.Exact(500)}, 400, insulation.Unresolved},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := insulation.FromTwoTests(c.one, c.two, insulation.Exact(c.apart))
			refused(t, err, c.kind)
		})
	}
}
