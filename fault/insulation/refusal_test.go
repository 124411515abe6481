package insulation_test

import (
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
)

func TestRefusal_Poles(t *testing.T) {
	for name, c := range map[string]struct {
		across, negative, positive float64
		kind                       insulation.Kind
		says                       string
	}{
		"chassis below the negative pole":   {400, 60, 460, insulation.ChassisOutside, "both poles read above chassis"},
		"a sign left out":                   {347.2, 237.5, 103.6, insulation.ChassisOutside, "sign of the negative pole's reading"},
		"chassis above the positive pole":   {400, -450, -50, insulation.ChassisOutside, "above the positive pole"},
		"red and black swapped":             {400, 119, -277, insulation.ChassisOutside, "wrong way round"},
		"chassis just beyond, by path":      {400, 4, 396, insulation.ChassisOutside, "both poles"},
		"the poles exceed the pack":         {400, -150, 277, insulation.SumTooLarge, "more than the 400 V"},
		"no volts from pole to pole":        {0, -119, 277, insulation.NotPositive, "above zero"},
		"pole to pole the wrong way":        {-400, -119, 277, insulation.NotPositive, "above zero"},
		"nothing to chassis at either pole": {400, -0.1, 0.2, insulation.TooSmall, "black lead is not on the chassis metal"},
	} {
		t.Run(name, func(t *testing.T) {
			m := handMeter()
			p := insulation.Poles{Across: read(t, m, c.across), Negative: read(t, m, c.negative), Positive: read(t, m, c.positive)}
			if name == "nothing to chassis at either pole" { // the digits of the range that the pack is read on
				p.Negative, _ = m.Volts(c.negative, 600)
				p.Positive, _ = m.Volts(c.positive, 600)
			}
			_, err := insulation.SumRule(p)
			if r := refused(t, err, c.kind); !strings.Contains(r.Why, c.says) {
				t.Errorf("the refusal reads %q, want it to say %q", r.Why, c.says)
			}
		})
	}
}

// A leak at an end terminal may carry the chassis a volt beyond the pole by its own
// potential; that is no reason to refuse.
func TestRefusal_NotForThePathsOwnPotential(t *testing.T) {
	m := handMeter()
	p := insulation.Poles{Across: read(t, m, 400), Negative: read(t, m, 0.8), Positive: read(t, m, 396.0)}
	iso, err := insulation.SumRule(p)
	if err != nil {
		t.Fatal(err)
	}
	if iso.Position.X != 0 || !(iso.Position.High > 0) || iso.Position.High > 0.001 {
		t.Errorf("the place is %.4g (to %.4g), want the negative end", iso.Position.X, iso.Position.High)
	}
	if iso.Positive.Relation != fault.Greater {
		t.Errorf("the far side is %s %.4g ohm, want a bound from below", iso.Positive.Relation, iso.Positive.X)
	}
}

func TestRefusal_TestResistor(t *testing.T) {
	const neg, pos = insulation.NegativePole, insulation.PositivePole
	for name, c := range map[string]struct {
		onSection
		kind  insulation.Kind
		says  string
		bound string
		ohms  float64 // of the bound, at most (<) or at least (>)
	}{
		"leak far below the resistor": {onSection{355.6, -177.8, 177.8, -177.7, neg, 200e3},
			insulation.TooClose, "Fit a smaller one", fault.Less, 600},
		"leak far above the resistor": {onSection{400, -39.2, 39.2, 0.003, pos, 1e3},
			insulation.TooSmall, "Fit a larger one", fault.Greater, 0.3e6},
		"the reading rose": {onSection{400, -118.8, 277.2, 290, pos, 200e3},
			insulation.Raised, "rose from", "", 0},
		"the sign turned": {onSection{400, -118.8, 277.2, -185.4, pos, 200e3},
			insulation.ChassisOutside, "changed its sign", "", 0},
		"a resistor at a pole with no volts": {onSection{400, -0.002, 396.0, -0.002, neg, 200e3},
			insulation.TooSmall, "Fit it at the other pole", "", 0},
		"no resistor": {onSection{400, -118.8, 277.2, 185.4, pos, 0},
			insulation.NotPositive, "must be above zero", "", 0},
		"two meters left connected": {onSection{400, -133.3, 266.7, 51.61, pos, 200e3},
			insulation.TwoAtOnce, "two meters connected at once", "", 0},
	} {
		t.Run(name, func(t *testing.T) {
			p, f := c.read(t)
			for form, compute := range map[string]func(insulation.Poles, insulation.Fitted) (insulation.Isolation, error){
				"R100": insulation.R100, "FMVSS": insulation.FMVSS,
			} {
				_, err := compute(p, f)
				r := refused(t, err, c.kind)
				if !strings.Contains(r.Why, c.says) {
					t.Errorf("%s: the refusal reads %q, want it to say %q", form, r.Why, c.says)
				}
				if c.bound == "" {
					continue
				}
				if r.Bound == nil || r.Bound.Relation != c.bound {
					t.Fatalf("%s: the bound is %v, want one that is %s", form, r.Bound, c.bound)
				}
				if c.bound == fault.Less && r.Bound.High > c.ohms || c.bound == fault.Greater && r.Bound.Low < c.ohms {
					t.Errorf("%s: the bound is %s %.4g ohm, want %.4g", form, r.Bound.Relation, r.Bound.X, c.ohms)
				}
			}
		})
	}
}

// The line is drawn at three standard uncertainties of the change: 2·0.1 V/√3 in
// each of two readings of one gain make 0.16 V.
func TestRefusal_ThreeStandardUncertainties(t *testing.T) {
	for fell, accepted := range map[float64]bool{0.3: false, 0.4: false, 0.6: true, 0.7: true} {
		p, f := onSection{355.6, -177.8, 177.8, -177.8 + fell, insulation.NegativePole, 200e3}.read(t)
		if _, err := insulation.R100(p, f); (err == nil) != accepted {
			t.Errorf("a change of %g V: %v", fell, err)
		}
	}
	// And of the sum: 0.28 V on this meter, with Vb between the same counts.
	for over, accepted := range map[float64]bool{0.3: true, 0.5: true, 0.8: false, 1.0: false} {
		p, _ := onSection{355.6, -177.8, 177.8 + over, 0, insulation.NegativePole, 200e3}.read(t)
		if _, err := insulation.SumRule(p); (err == nil) != accepted {
			t.Errorf("a sum %g V above the pack: %v", over, err)
		}
	}
}

// A bound must hold the truth: hard leaks, a resistor that is far too large.
func TestRefusal_BoundHoldsTheTruth(t *testing.T) {
	for _, ohms := range []float64{1, 10, 50, 100, 200} {
		tr := truth{400, []leak{{.4, ohms}}, 10e6, 400e3}
		m, at := handMeter(), tr.higher()
		p := insulation.Poles{Across: read(t, m, 400), Negative: read(t, m, shown(tr.moved(0))), Positive: read(t, m, shown(tr.moved(1)))}
		f := insulation.Fitted{At: at, Reading: read(t, m, shown(tr.moved(at, tr.resistor(at)))), Resistor: insulation.Exact(tr.r0)}
		_, err := insulation.R100(p, f)
		r := refused(t, err, insulation.TooClose)
		if r.Bound == nil || r.Bound.High < ohms || r.Bound.High > 1500 {
			t.Errorf("%g ohm: the bound is %+v", ohms, r.Bound)
		}
	}
}

func TestRefusal_Pairs(t *testing.T) {
	tr := truth{400, []leak{{.3, 1e6}}, 10e6, 200e3}
	at, r0 := insulation.PositivePole, insulation.Exact(200e3)
	t.Run("one meter moved is not two at once", func(t *testing.T) {
		_, err := insulation.TwoMeters(tr.movedPair(), tr.movedPair(tr.resistor(at)), at, r0)
		refused(t, err, insulation.OneMoved)
		_, err = insulation.Ratio(tr.movedPair(), tr.movedPair(tr.resistor(at)), at, r0)
		refused(t, err, insulation.OneMoved)
	})
	t.Run("the range changed between the poles", func(t *testing.T) {
		plain := tr.movedPair()
		plain.Negative.Input = insulation.Exact(11.1e6)
		_, err := insulation.RatioMoved(plain, tr.movedPair(tr.resistor(at)), at, r0)
		refused(t, err, insulation.InputUnknown)
	})
	t.Run("the resistor showed nothing", func(t *testing.T) {
		_, err := insulation.TwoMeters(tr.pair(), tr.pair(), at, r0)
		refused(t, err, insulation.TooClose)
	})
	t.Run("no number", func(t *testing.T) {
		bad := tr.pair()
		bad.Negative.V = insulation.Exact(math.NaN())
		_, err := insulation.Ratio(bad, tr.pair(tr.resistor(at)), at, r0)
		refused(t, err, insulation.NoRange)
	})
}

// Two meters on a sound pack stay near the middle; the correction takes them out
// and what is left is a bound, not a leak in the middle.
func TestRefusal_TwoMetersOnASoundPack(t *testing.T) {
	tr := truth{350, []leak{{.4, 2e9}}, 10e6, 1e6}
	left, right := handMeter(), handMeter()
	at := insulation.NegativePole
	pair := func(p insulation.Pair) insulation.Pair {
		return insulation.Pair{Negative: read(t, left, shown(p.Negative.V.X)), Positive: read(t, right, shown(p.Positive.V.X))}
	}
	iso, err := insulation.TwoMeters(pair(tr.pair()), pair(tr.pair(tr.resistor(at))), at, insulation.Tolerance(tr.r0, 1, insulation.ResistorTolerance))
	if err != nil {
		t.Fatal(err)
	}
	if iso.Leak.Relation != fault.Greater || iso.Leak.Low < 50e6 {
		t.Errorf("the leak is %s %.4g ohm, want a bound far above the meters", iso.Leak.Relation, iso.Leak.X)
	}
	if iso.Position.Relation != insulation.Unknown || iso.Position.Low != 0 || iso.Position.High != 1 {
		t.Errorf("the place is %+v, want none", iso.Position)
	}
}

func TestRefusal_Meter(t *testing.T) {
	m := handMeter()
	for name, c := range map[string]struct{ volts, locked float64 }{
		"above every range": {1200, 0},
		"above the locked":  {120, 60},
		"no such range":     {12, 400},
		"no number":         {math.NaN(), 0},
	} {
		if _, err := m.Volts(c.volts, c.locked); err == nil {
			t.Errorf("%s: got a reading", name)
		} else {
			refused(t, err, insulation.NoRange)
		}
	}
}

// What is said to people: no verdict on touching, no mark of excitement.
func TestRefusal_Words(t *testing.T) {
	p, f := onSection{355.6, -177.8, 177.8, -177.7, insulation.NegativePole, 200e3}.read(t)
	_, err := insulation.R100(p, f)
	why := refused(t, err, insulation.TooClose).Why
	for _, never := range []string{"safe", "dead", "OK", "!", "NaN", "shunt", "%!"} {
		if strings.Contains(why, never) {
			t.Errorf("%q says %q", why, never)
		}
	}
	if !strings.Contains(why, "200 kohm") || !strings.Contains(why, "0.1 V") {
		t.Errorf("%q does not name the resistor and the change", why)
	}
}
