package insulation_test

import (
	"math"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
)

// A finding writes a bound without a mid.
func TestResult_Bounded(t *testing.T) {
	for name, c := range map[string]struct {
		of   insulation.Result
		want string
	}{
		"a value":            {insulation.Result{Value: insulation.Exact(2), Low: 1, High: 3, Relation: fault.Equal}, "1 2 3 ="},
		"a bound from above": {insulation.Result{Value: insulation.Exact(3), High: 3, Relation: fault.Less}, "0 null 3 <"},
		"a bound from below": {insulation.Result{Value: insulation.Exact(1), Low: 1, High: math.Inf(1), Relation: fault.Greater}, "1 null null >"},
	} {
		b := c.of.Bounded()
		got := ""
		for _, n := range []fault.Number{b.Low, b.Mid, b.High} {
			text, err := n.MarshalJSON()
			if err != nil {
				t.Fatal(err)
			}
			got += string(text) + " "
		}
		if diff := cmp.Diff(c.want, got+b.Relation); diff != "" {
			t.Errorf("%s (-want +got):\n%s", name, diff)
		}
	}
}

// Whatever the errors are, the better meter never gives the wider interval.
func TestResult_WorseMeterIsNeverNarrower(t *testing.T) {
	tr := truth{400, []leak{{.3, 300e3}}, 10e6, 200e3}
	width := func(gain, counts, tol float64) (leak, place float64) {
		m := insulation.NewMeter(fault.Instrument{ID: "dmm", GainPct: gain, Counts: counts, InputOhms: 10e6, InputTolPct: tol,
			Ranges: []fault.Range{{Max: 600, Count: 0.1}}})
		p := insulation.Poles{Across: read(t, m, 400), Negative: read(t, m, tr.moved(0)), Positive: read(t, m, tr.moved(1))}
		at := tr.higher()
		iso, err := insulation.R100(p, insulation.Fitted{At: at, Reading: read(t, m, tr.moved(at, tr.resistor(at))),
			Resistor: insulation.Tolerance(tr.r0, tol, insulation.ResistorTolerance)})
		if err != nil {
			t.Fatal(err)
		}
		return iso.Leak.High - iso.Leak.Low, iso.Position.High - iso.Position.Low
	}
	l0, x0 := width(0.3, 2, 1)
	for name, worse := range map[string][3]float64{"gain": {1, 2, 1}, "counts": {0.3, 5, 1}, "tolerances": {0.3, 2, 5}} {
		l, x := width(worse[0], worse[1], worse[2])
		if l < l0*(1-1e-9) || x < x0*(1-1e-9) {
			t.Errorf("worse %s: leak ± %.4g (was %.4g), place ± %.4g (was %.4g)", name, l, l0, x, x0)
		}
	}
}

// A hard leak's bound shrinks with the errors, and never reaches below the truth.
func TestResult_BoundFromAbove(t *testing.T) {
	tr := truth{350, []leak{{.6, 100}}, 10e6, 200e3}
	last := math.Inf(1)
	for _, count := range []float64{1, 0.1, 0.01} {
		m := insulation.NewMeter(fault.Instrument{ID: "dmm", Counts: 2, InputOhms: 10e6, Ranges: []fault.Range{{Max: 600, Count: count}}})
		iso, err := insulation.SumRule(insulation.Poles{Across: read(t, m, 350), Negative: read(t, m, tr.moved(0)), Positive: read(t, m, tr.moved(1))})
		if err != nil {
			t.Fatal(err)
		}
		if iso.Leak.Relation != fault.Less || iso.Leak.High < 100 || iso.Leak.High > last/5 {
			t.Errorf("counts of %g V: %s %.4g ohm", count, iso.Leak.Relation, iso.Leak.X)
		}
		last = iso.Leak.High
	}
	// Cut off at no ohms the 97.5 % point of a centred error is 2.24 of its standard
	// uncertainties, here √3·(0.02/√3) V of 350 V in 10 Mohm; the 100 ohm move it on.
	near(t, "at counts of 0.01 V", last, 2.24*0.02/350*10e6+100, 60)
}
