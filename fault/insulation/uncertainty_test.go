package insulation_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/stat"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
)

// A bench draws one meter and one test resistor from their tolerances and takes
// readings with them.
type bench struct {
	rng         *rand.Rand
	gain, input float64 // relative
	resistor    float64
	meter       *insulation.Meter
}

func newBench(rng *rand.Rand) *bench {
	within := func(half float64) float64 { return half * (2*rng.Float64() - 1) }
	// One range of 1000 V with counts of 0.1 V: a single gain for all readings.
	in := fault.Instrument{ID: "dmm", GainPct: 0.5, Counts: 2, InputOhms: 10e6, InputTolPct: 1, Ranges: []fault.Range{{Max: 1000, Count: 0.1}}}
	return &bench{rng: rng, gain: within(0.005), input: within(0.01), resistor: within(0.01), meter: insulation.NewMeter(in)}
}

func (b *bench) reads(t *testing.T, v float64) insulation.Volt {
	return read(t, b.meter, v*(1+b.gain)+0.2*(2*b.rng.Float64()-1))
}

// take reads the poles and the test resistor at the higher of them.
func (b *bench) take(t *testing.T, nominal truth) (insulation.Poles, insulation.Fitted) {
	real := nominal
	real.rv *= 1 + b.input
	real.r0 *= 1 + b.resistor
	at := nominal.higher()
	p := insulation.Poles{
		Across:   b.reads(t, real.vb),
		Negative: b.reads(t, real.moved(insulation.NegativePole)),
		Positive: b.reads(t, real.moved(insulation.PositivePole)),
	}
	return p, insulation.Fitted{
		At:       at,
		Reading:  b.reads(t, real.moved(at, real.resistor(at))),
		Resistor: insulation.Resistor(fault.Resistor{Ohms: nominal.r0, TolPct: 1}),
	}
}

// The spread of a result over drawn meters, resistors and counts must be what it
// states; and 95 % of its intervals must hold the truth.
func TestUncertainty_AgainstMonteCarlo(t *testing.T) {
	forms := map[string]func(insulation.Poles, insulation.Fitted) (insulation.Isolation, error){
		"R100":  insulation.R100,
		"FMVSS": insulation.FMVSS,
		"sum rule": func(p insulation.Poles, _ insulation.Fitted) (insulation.Isolation, error) {
			return insulation.SumRule(p)
		},
	}
	results := map[string]func(insulation.Isolation) insulation.Result{
		"leak":     func(i insulation.Isolation) insulation.Result { return i.Leak },
		"standard": func(i insulation.Isolation) insulation.Result { return i.Standard },
		"place":    func(i insulation.Isolation) insulation.Result { return i.Position },
	}
	for name, tr := range map[string]truth{
		"180 k late in 350 V":  {350, []leak{{.69, 180e3}}, 10e6, 200e3},
		"1 M early in 400 V":   {400, []leak{{.3, 1e6}}, 10e6, 200e3},
		"5 M late in 800 V":    {800, []leak{{.8, 5e6}}, 10e6, 400e3},
		"20 k, a large R0":     {400, []leak{{.6, 20e3}}, 10e6, 200e3},
		"two leaks in 790 V":   {790, []leak{{.14, 150e3}, {.79, 330e3}}, 10e6, 220e3},
		"47 k on 52 V trainer": {52, []leak{{.64, 47e3}}, 10e6, 100e3},
	} {
		for form, compute := range forms {
			if form == "sum rule" && tr.rth() < 150e3 {
				continue // a bound there, not a value
			}
			t.Run(name+", "+form, func(t *testing.T) {
				const draws = 6000
				rng := rand.New(rand.NewPCG(1, 7))
				want := map[string]float64{"leak": tr.rth(), "standard": insulation.StandardOhms(tr.rth(), tr.x()), "place": tr.x()}
				got, stated, held := map[string][]float64{}, map[string]float64{}, map[string]int{}
				for range draws {
					p, f := newBench(rng).take(t, tr)
					iso, err := compute(p, f)
					if err != nil {
						t.Fatal(err)
					}
					for what, of := range results {
						r := of(iso)
						if r.Relation != fault.Equal {
							t.Fatalf("%s came out as a bound, %s %.4g", what, r.Relation, r.X)
						}
						got[what] = append(got[what], r.X)
						stated[what] += r.U() / draws
						if r.Low <= want[what] && want[what] <= r.High {
							held[what]++
						}
					}
				}
				for what := range results {
					// 6000 draws know a standard deviation to 1 %; what is left is the
					// third order of the formula and the rectangles' edges.
					sd := stat.StdDev(got[what], nil)
					near(t, what+": stated standard uncertainty", stated[what], sd, 0.05*sd)
					// Where one rectangle outweighs the rest, two standard uncertainties hold all of it.
					if cover := float64(held[what]) / draws; cover < 0.935 {
						t.Errorf("%s: %.1f %% of the 95 %% intervals hold the truth", what, 100*cover)
					}
				}
			})
		}
	}
}

// Two meters of one make have two gains and two input resistances, which cancel
// nowhere: the correction for them is the widest part of a large leak.
func TestUncertainty_TwoMetersAgainstMonteCarlo(t *testing.T) {
	tr := truth{400, []leak{{.3, 1e6}}, 10e6, 200e3}
	at := tr.higher()
	for form, compute := range map[string]func(a, b insulation.Pair, at insulation.Side, r insulation.Value) (insulation.Isolation, error){
		"ISO": insulation.TwoMeters, "GB": insulation.Ratio,
	} {
		t.Run(form, func(t *testing.T) {
			const draws = 6000
			rng := rand.New(rand.NewPCG(2, 7))
			var leaks, places []float64
			var uLeak, uPlace float64
			for range draws {
				left, right := newBench(rng), newBench(rng)
				meters := []leak{{0, tr.rv * (1 + left.input)}, {1, tr.rv * (1 + right.input)}}
				pair := func(with ...leak) insulation.Pair {
					all := append(with, meters...)
					return insulation.Pair{Negative: left.reads(t, tr.reads(0, all...)), Positive: right.reads(t, tr.reads(1, all...))}
				}
				fitted := pair(leak{float64(at), tr.r0 * (1 + left.resistor)})
				iso, err := compute(pair(), fitted, at, insulation.Tolerance(tr.r0, 1, insulation.ResistorTolerance))
				if err != nil {
					t.Fatal(err)
				}
				leaks, places = append(leaks, iso.Leak.X), append(places, iso.Position.X)
				uLeak, uPlace = uLeak+iso.Leak.U()/draws, uPlace+iso.Position.U()/draws
			}
			near(t, "leak", uLeak, stat.StdDev(leaks, nil), 0.05*stat.StdDev(leaks, nil))
			near(t, "place", uPlace, stat.StdDev(places, nil), 0.05*stat.StdDev(places, nil))
			near(t, "mean leak", stat.Mean(leaks, nil), 1e6, 3e3)
		})
	}
}

// What a change is known to, against drawn benches: one bench for both states.
func TestUncertainty_SubtractAgainstMonteCarlo(t *testing.T) {
	after := truth{350, []leak{{.5, 400e3}}, 10e6, 200e3}
	before := after
	before.leaks = append([]leak{{.7, 600e3}}, after.leaks...)
	const draws = 4000
	rng := rand.New(rand.NewPCG(3, 7))
	var g, v []float64
	var ug, uv float64
	for range draws {
		b := newBench(rng)
		// One resistor for both states, too: the same value, the same error.
		r0 := insulation.Tolerance(after.r0, 1, insulation.ResistorTolerance)
		measure := func(tr truth) insulation.Effective {
			p, f := b.take(t, tr)
			f.Resistor = r0
			iso, err := insulation.R100(p, f)
			if err != nil {
				t.Fatal(err)
			}
			e, err := iso.Effective(insulation.Exact(0))
			if err != nil {
				t.Fatal(err)
			}
			return e
		}
		gone, err := insulation.Subtract(measure(before), measure(after))
		if err != nil {
			t.Fatal(err)
		}
		g, v = append(g, gone.Siemens.X), append(v, gone.Volts.X)
		ug, uv = ug+gone.Siemens.U()/draws, uv+gone.Volts.U()/draws
	}
	near(t, "conductance", ug, stat.StdDev(g, nil), 0.05*stat.StdDev(g, nil))
	near(t, "volts", uv, stat.StdDev(v, nil), 0.05*stat.StdDev(v, nil))
	near(t, "mean conductance", stat.Mean(g, nil), 1/600e3, 0.02/600e3)
	near(t, "mean volts", stat.Mean(v, nil), .7*350, 0.5)
}

// The four derivatives of the R100 form, as the textbook has them.
func TestUncertainty_R100Derivatives(t *testing.T) {
	tr := truth{400, []leak{{.3, 100e3}}, 10e6, 200e3}
	p, f := tr.poles(), tr.fitted(insulation.PositivePole)
	v, w := p.Positive.V.X, f.Reading.V.X
	ri := tr.r0 * tr.vb * (1/w - 1/v)
	for what, c := range map[string]struct {
		spoil func(*insulation.Poles, *insulation.Fitted, float64)
		want  float64
		by    float64
	}{
		"V'": {func(_ *insulation.Poles, f *insulation.Fitted, u float64) {
			f.Reading.V = insulation.WithSD(w, u, insulation.Counts)
		}, tr.r0 * tr.vb / (w * w), 0.01},
		"V": {func(p *insulation.Poles, _ *insulation.Fitted, u float64) {
			p.Positive.V = insulation.WithSD(v, u, insulation.Counts)
		}, tr.r0 * tr.vb / (v * v), 0.01},
		"R0": {func(_ *insulation.Poles, f *insulation.Fitted, u float64) {
			f.Resistor = insulation.WithSD(tr.r0, u, insulation.ResistorTolerance)
		}, ri / tr.r0, 10},
		"Vb": {func(p *insulation.Poles, _ *insulation.Fitted, u float64) {
			p.Across.V = insulation.WithSD(tr.vb, u, insulation.Counts)
		}, ri / tr.vb, 0.01},
	} {
		p, f := p, f
		c.spoil(&p, &f, c.by)
		iso, err := insulation.R100(p, f)
		if err != nil {
			t.Fatal(err)
		}
		near(t, "dRi/d"+what, iso.Standard.U()/c.by, c.want, 1e-6*c.want)
	}
}

// Common gain cancels in the place, so only counts are left:
//
//	u(x)² = [(1 − x)²·u(V1)² + x²·u(V2)²]/(V1 + V2)²
func TestUncertainty_PlaceByMeter(t *testing.T) {
	for name, c := range map[string]struct{ gainPct, counts, count float64 }{
		"3.5 digits":  {0.5, 3, 1},
		"3.75 digits": {0.5, 3, 0.1},
		"4.5 digits":  {0.05, 5, 0.01},
	} {
		m := insulation.NewMeter(fault.Instrument{ID: "dmm", GainPct: c.gainPct, Counts: c.counts, InputOhms: 10e6,
			Ranges: []fault.Range{{Max: 600, Count: c.count}}})
		for _, ohms := range []float64{50e3, 1e6, 10e6} {
			tr := truth{400, []leak{{.3, ohms}}, 10e6, 200e3}
			p := insulation.Poles{Across: read(t, m, 400), Negative: read(t, m, tr.moved(0)), Positive: read(t, m, tr.moved(1))}
			x, err := insulation.Place(p)
			if err != nil {
				t.Fatal(err)
			}
			want := c.counts * c.count / math.Sqrt(3) * math.Hypot(.7, .3) / (p.Positive.V.X - p.Negative.V.X)
			near(t, name, x.U(), want, 1e-4*want)
			if kind := x.LimitedBy(); kind != insulation.Counts {
				t.Errorf("%s: the place is limited by %s, want counts", name, kind)
			}
			for _, part := range x.Budget() {
				if part.Kind == insulation.Gain && part.U > 1e-12 {
					t.Errorf("%s: a gain common to both readings moves the place by %g", name, part.U)
				}
			}
		}
	}
}

// Readings on two ranges have two gains, which no longer cancel.
func TestUncertainty_TwoRanges(t *testing.T) {
	tr := truth{350, []leak{{.05, 100e3}}, 10e6, 200e3} // 17 V and 329 V
	m := handMeter()
	auto := insulation.Poles{Across: read(t, m, 350), Negative: read(t, m, tr.moved(0)), Positive: read(t, m, tr.moved(1))}
	locked := auto
	var err error
	if locked.Negative, err = m.Volts(tr.moved(0), 600); err != nil {
		t.Fatal(err)
	}
	budget := func(p insulation.Poles) map[string]float64 {
		x, err := insulation.Place(p)
		if err != nil {
			t.Fatal(err)
		}
		parts := map[string]float64{}
		for _, p := range x.Budget() {
			parts[p.Kind] = p.U
		}
		return parts
	}
	// x(1 − x)·√2·0.5 %/√3
	near(t, "gain on two ranges", budget(auto)[insulation.Gain], .05*.95*math.Sqrt2*0.005/math.Sqrt(3), 1e-6)
	near(t, "gain on one range", budget(locked)[insulation.Gain], 0, 1e-12)
}

// Worked examples of a ± a spec: u = a/√3, k = 2.
func TestUncertainty_MeterSpecification(t *testing.T) {
	for name, c := range map[string]struct {
		volts, gainPct, counts, count, u float64
	}{
		"120.0 V, 0.5 % and 3 counts of 0.1 V":   {120, 0.5, 3, 0.1, math.Hypot(0.6, 0.3) / math.Sqrt(3)},
		"3.712 V, 0.5 % and 2 counts of 0.001 V": {3.712, 0.5, 2, 0.001, math.Hypot(0.01856, 0.002) / math.Sqrt(3)},
		"0 V has no gain error":                  {0, 0.5, 2, 0.001, 0.002 / math.Sqrt(3)},
	} {
		m := insulation.NewMeter(fault.Instrument{ID: "dmm", GainPct: c.gainPct, Counts: c.counts, Ranges: []fault.Range{{Max: 600, Count: c.count}}})
		v := read(t, m, c.volts)
		near(t, name, v.V.U(), c.u, 1e-9)
		near(t, name+", expanded", v.V.Expanded(), 2*c.u, 1e-9)
	}
}
