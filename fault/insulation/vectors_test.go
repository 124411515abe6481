package insulation_test

import (
	"math"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
)

// distributed are taps of a 96-group pack that each leak a little.
func distributed(ohms float64, more ...leak) []leak {
	for k := 0; k <= 96; k++ {
		more = append(more, leak{float64(k) / 96, ohms})
	}
	return more
}

// vectors are worked by an independent nodal solver, to the digits given.
var vectors = map[string]struct {
	truth
	v1, v2, fitted         float64
	r100, fmvss, x, sumRth float64
}{
	"T1 100 k at 0.30, meter of infinite input": {truth{400, []leak{{.30, 100e3}}, math.Inf(1), 200e3},
		120.0000, 280.0000, 186.6667, 142857, 142857, .30000, 0},
	"T2 100 k at 0.30": {truth{400, []leak{{.30, 100e3}}, 10e6, 200e3},
		118.8119, 277.2277, 185.4305, 142857, 141443, .30000, 100000},
	"T3 100 k at 0.70": {truth{400, []leak{{.70, 100e3}}, 10e6, 200e3},
		277.2277, 118.8119, 185.4305, 142857, 141443, .70000, 100000},
	"T4 100 k in the middle": {truth{400, []leak{{.50, 100e3}}, 10e6, 200e3},
		198.0198, 198.0198, 132.4503, 200000, 198020, .50000, 100000},
	"T5 1 M at 0.30": {truth{400, []leak{{.30, 1e6}}, 10e6, 200e3},
		109.0909, 254.5455, 45.9016, 1428571, 1298701, .30000, 1000000},
	"T6 5 M at 0.30": {truth{400, []leak{{.30, 5e6}}, 10e6, 200e3},
		80.0000, 186.6667, 10.5660, 7142857, 4761905, .30000, 5000000},
	"T7 two of 100 k, groups 10 and 86 of 96": {truth{400, []leak{{10. / 96, 100e3}, {86. / 96, 100e3}}, 10e6, 200e3},
		199.0050, 199.0050, 159.3625, 100000, 99502, .50000, 50000},
	"T8 one of 50 k in the middle": {truth{400, []leak{{.50, 50e3}}, 10e6, 200e3},
		199.0050, 199.0050, 159.3625, 100000, 99502, .50000, 50000},
	"T9 300 k and 100 k to the poles": {truth{350, []leak{{0, 300e3}, {1, 100e3}}, 10e6, 175e3},
		260.5459, 86.8486, 182.7904, 100000, 99256, .75000, 75000},
	"T10 spread over 97 taps, and 500 k": {truth{400, distributed(200e6, leak{20. / 96, 500e3}), 10e6, 200e3},
		101.9987, 282.5274, 96.2865, 547695, 526508, .26526, 402414},
	"T11 spread over 97 taps, and 2 M": {truth{400, distributed(200e6, leak{20. / 96, 2e6}), 10e6, 200e3},
		127.8034, 235.3303, 41.9611, 1566580, 1422194, .35195, 1015228},
	"T12 1.2 M to each pole, and 1 M at 0.20": {truth{400, []leak{{0, 1.2e6}, {1, 1.2e6}, {.20, 1e6}}, 10e6, 200e3},
		149.3976, 236.1446, 84.1202, 612245, 590116, .38750, 375000},
}

func TestVectors_OneMeter(t *testing.T) {
	for name, v := range vectors {
		t.Run(name, func(t *testing.T) {
			p, f := v.poles(), v.truth.fitted(v.higher())
			near(t, "V1", -p.Negative.V.X, v.v1, 0.5e-4)
			near(t, "V2", p.Positive.V.X, v.v2, 0.5e-4)
			near(t, "V'", math.Abs(f.Reading.V.X), v.fitted, 0.5e-4)

			r100, err := insulation.R100(p, f)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "R100 as written", r100.AsWritten.X, v.r100, 0.5)
			near(t, "R100, the standard's Ri", r100.Standard.X, v.r100, 0.5)
			near(t, "R100, the place", r100.Position.X, v.x, 0.5e-5)
			near(t, "R100, the leak", r100.Leak.X, v.rth(), 1e-6*v.rth())

			fmvss, err := insulation.FMVSS(p, f)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "FMVSS as written", fmvss.AsWritten.X, v.fmvss, 0.5)
			near(t, "FMVSS corrected", fmvss.Standard.X, v.r100, 0.5)
			near(t, "FMVSS, the leak", fmvss.Leak.X, v.rth(), 1e-6*v.rth())

			x, err := insulation.Place(p)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "place", x.X, v.x, 0.5e-5)
			if v.sumRth == 0 {
				_, err := insulation.SumRule(p)
				refused(t, err, insulation.InputUnknown)
				return
			}
			sum, err := insulation.SumRule(p)
			if err != nil {
				t.Fatal(err)
			}
			near(t, "sum rule, the leak", sum.Leak.X, v.sumRth, 0.5)
			near(t, "sum rule, the standard's Ri", sum.Standard.X, v.r100, 0.5)
		})
	}
}

// The readings as printed, to four decimals, are what a reader would type.
func TestVectors_FromPrintedReadings(t *testing.T) {
	for name, v := range vectors {
		p := insulation.Poles{Across: v.exact(v.vb), Negative: v.exact(-v.v1), Positive: v.exact(v.v2)}
		f := insulation.Fitted{At: insulation.PositivePole, Reading: v.exact(v.fitted), Resistor: insulation.Exact(v.r0)}
		if p.Higher() == insulation.NegativePole {
			f.At, f.Reading = insulation.NegativePole, v.exact(-v.fitted)
		}
		iso, err := insulation.R100(p, f)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		// Half a unit of the fourth decimal in V and V', by the form's derivative.
		rounding := v.r0 * v.vb * 0.5e-4 * (1/(v.fitted*v.fitted) + 1/(math.Max(v.v1, v.v2)*math.Max(v.v1, v.v2)))
		near(t, name, iso.Standard.X, v.r100, 0.5+rounding)
	}
}

func TestVectors_TwoMetersAtOnce(t *testing.T) {
	for name, v := range map[string]struct {
		truth
		u1, u1low, u2, u2low float64
		raw, corrected       float64
		naive                float64
	}{
		"T2": {vectors["T2 100 k at 0.30"].truth, 278.4314, 121.5686, 186.8421, 213.1579, 140845, 142857, .30392},
		"T5": {vectors["T5 1 M at 0.30"].truth, 266.6667, 133.3333, 51.6129, 348.3871, 1250000, 1428571, .33333},
		"T6": {vectors["T6 5 M at 0.30"].truth, 240, 160, 17.7778, 382.2222, 4166667, 7142857, .40000},
	} {
		t.Run(name, func(t *testing.T) {
			at := insulation.PositivePole
			plain, fitted := v.pair(), v.pair(v.resistor(at))
			near(t, "U1", plain.Positive.V.X, v.u1, 0.5e-4)
			near(t, "U1'", -plain.Negative.V.X, v.u1low, 0.5e-4)
			near(t, "U2", fitted.Positive.V.X, v.u2, 0.5e-4)
			near(t, "U2'", -fitted.Negative.V.X, v.u2low, 0.5e-4)
			near(t, "naive place", v.u1low/v.vb, v.naive, 0.5e-5)

			for form, compute := range map[string]func(a, b insulation.Pair, at insulation.Side, r insulation.Value) (insulation.Isolation, error){
				"ISO": insulation.TwoMeters, "GB": insulation.Ratio,
			} {
				iso, err := compute(plain, fitted, at, insulation.Exact(v.r0))
				if err != nil {
					t.Fatal(err)
				}
				near(t, form+" raw", iso.AsWritten.X, v.raw, 0.5)
				near(t, form+" corrected", iso.Standard.X, v.corrected, 0.5)
				near(t, form+" leak", iso.Leak.X, v.rth(), 1e-6*v.rth())
				near(t, form+" place", iso.Position.X, .3, 1e-9)
			}
			x, err := insulation.UnbiasedPlace(plain, insulation.Exact(v.rth()))
			if err != nil {
				t.Fatal(err)
			}
			near(t, "unbiased place", x.X, .3, 1e-9)
		})
	}
}

// Two leaks far apart and one between them read alike from the terminals, and
// nothing that is computed from the terminals may tell them apart.
func TestVectors_TwoLeaksLookLikeOne(t *testing.T) {
	two, one := vectors["T7 two of 100 k, groups 10 and 86 of 96"].truth, vectors["T8 one of 50 k in the middle"].truth
	compute := func(tr truth) []insulation.Isolation {
		m, at := handMeter(), tr.higher()
		p := insulation.Poles{Across: read(t, m, tr.vb), Negative: read(t, m, shown(tr.moved(0))), Positive: read(t, m, shown(tr.moved(1)))}
		f := insulation.Fitted{At: at, Reading: read(t, m, shown(tr.moved(at, tr.resistor(at)))), Resistor: insulation.Resistor(fault.Resistor{Ohms: tr.r0, TolPct: 1})}
		var all []insulation.Isolation
		for _, form := range []func() (insulation.Isolation, error){
			func() (insulation.Isolation, error) { return insulation.R100(p, f) },
			func() (insulation.Isolation, error) { return insulation.FMVSS(p, f) },
			func() (insulation.Isolation, error) { return insulation.SumRule(p) },
		} {
			iso, err := form()
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, iso)
		}
		return all
	}
	a, b := compute(two), compute(one)
	for i := range a {
		for what, pair := range map[string][2]insulation.Result{
			"leak": {a[i].Leak, b[i].Leak}, "standard": {a[i].Standard, b[i].Standard}, "place": {a[i].Position, b[i].Position}} {
			if pair[0].X != pair[1].X || pair[0].U() != pair[1].U() || pair[0].Low != pair[1].Low || pair[0].High != pair[1].High || pair[0].Relation != pair[1].Relation {
				t.Errorf("%s, %s: %v for two leaks, %v for one", a[i].Form, what, pair[0], pair[1])
			}
		}
	}
}

// shown is what the 600 V range of a 6000-count meter shows.
func shown(v float64) float64 { return math.Round(v*10) / 10 }
