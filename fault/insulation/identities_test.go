package insulation_test

import (
	"math"
	"testing"

	"halfsplit/fault/insulation"
	"pgregory.net/rapid"
)

// anyPack is a pack with one to four leaks between 1 k and 20 M.
func anyPack(t *rapid.T) truth {
	tr := truth{
		vb: rapid.Float64Range(12, 1000).Draw(t, "vb"),
		rv: math.Pow(10, rapid.Float64Range(5.5, 9).Draw(t, "log rv")),
		r0: math.Pow(10, rapid.Float64Range(4, 6.5).Draw(t, "log r0")),
	}
	for range rapid.IntRange(1, 4).Draw(t, "leaks") {
		tr.leaks = append(tr.leaks, leak{
			x:    rapid.Float64Range(.02, .98).Draw(t, "x"),
			ohms: math.Pow(10, rapid.Float64Range(3, 7.3).Draw(t, "log ohms")),
		})
	}
	return tr
}

func agree(t *rapid.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-6*math.Abs(want)) {
		t.Fatalf("%s: got %.12g, want %.12g", what, got, want)
	}
}

func must(t *rapid.T, what string) func(insulation.Isolation, error) insulation.Isolation {
	return func(iso insulation.Isolation, err error) insulation.Isolation {
		t.Helper()
		if err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		return iso
	}
}

func TestIdentities_EveryFormFindsTheTruth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := anyPack(t)
		p, r0 := tr.poles(), insulation.Exact(tr.r0)
		at := insulation.Side(rapid.IntRange(0, 1).Draw(t, "side"))
		f := tr.fitted(at)
		standard := insulation.StandardOhms(tr.rth(), tr.x())
		for name, iso := range map[string]insulation.Isolation{
			"R100":        must(t, "R100")(insulation.R100(p, f)),
			"FMVSS":       must(t, "FMVSS")(insulation.FMVSS(p, f)),
			"two meters":  must(t, "two meters")(insulation.TwoMeters(tr.pair(), tr.pair(tr.resistor(at)), at, r0)),
			"ratio":       must(t, "ratio")(insulation.Ratio(tr.pair(), tr.pair(tr.resistor(at)), at, r0)),
			"ratio moved": must(t, "ratio moved")(insulation.RatioMoved(tr.movedPair(), tr.movedPair(tr.resistor(at)), at, r0)),
			"sum rule":    must(t, "sum rule")(insulation.SumRule(p)),
		} {
			agree(t, name+", leak", iso.Leak.X, tr.rth())
			agree(t, name+", standard's Ri", iso.Standard.X, standard)
			agree(t, name+", place", iso.Position.X, tr.x())
			agree(t, name+", sides in parallel", 1/(1/iso.Negative.X+1/iso.Positive.X), tr.rth())
			if iso.Standard.X < iso.Leak.X*(1-1e-9) || iso.Standard.X > 2*iso.Leak.X*(1+1e-6) {
				t.Fatalf("%s: Ri %.6g does not lie between Rth %.6g and twice that", name, iso.Standard.X, iso.Leak.X)
			}
		}
	})
}

// As printed, UN R100 is exact for any meter, and 49 CFR 571.305 low by Rv/(Rv + Rth).
func TestIdentities_WhatTheFormsLeaveIn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := anyPack(t)
		p := tr.poles()
		// At the other pole the printed form is converted, and leaves in the same.
		f := tr.fitted(insulation.Side(rapid.IntRange(0, 1).Draw(t, "side")))
		r100 := must(t, "R100")(insulation.R100(p, f))
		agree(t, "R100 as written", r100.AsWritten.X, r100.Standard.X)
		fmvss := must(t, "FMVSS")(insulation.FMVSS(p, f))
		agree(t, "FMVSS as written", fmvss.AsWritten.X, r100.Standard.X*tr.rv/(tr.rv+tr.rth()))

		plain, fitted := tr.pair(), tr.pair(tr.resistor(f.At))
		iso := must(t, "two meters")(insulation.TwoMeters(plain, fitted, f.At, f.Resistor))
		gb := must(t, "ratio")(insulation.Ratio(plain, fitted, f.At, f.Resistor))
		agree(t, "two-meter form and ratio form", iso.AsWritten.X, gb.AsWritten.X)
		agree(t, "two meters as written", 1/iso.AsWritten.X, 1/iso.Standard.X+1/tr.rv)
	})
}

// One meter whose input resistance changes with the range.
func TestIdentities_InputChangesWithTheRange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := anyPack(t)
		tr.r0 = math.Min(tr.r0, tr.rv/5) // else the change of range outweighs the resistor
		other := tr
		other.rv = tr.rv * rapid.Float64Range(1.05, 1.3).Draw(t, "other range")
		p, f := tr.poles(), other.fitted(insulation.NegativePole)
		p.Positive = other.poles().Positive
		for name, iso := range map[string]insulation.Isolation{
			"R100":     must(t, "R100")(insulation.R100(p, f)),
			"FMVSS":    must(t, "FMVSS")(insulation.FMVSS(p, f)),
			"sum rule": must(t, "sum rule")(insulation.SumRule(p)),
		} {
			agree(t, name+", leak", iso.Leak.X, tr.rth())
			agree(t, name+", place", iso.Position.X, tr.x())
		}
		x, err := insulation.Place(p)
		if err != nil {
			t.Fatal(err)
		}
		agree(t, "place", x.X, tr.x())
	})
}

// Two meters that load the pack differently are each taken out by themselves.
func TestIdentities_TwoUnequalMeters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := anyPack(t)
		at := insulation.Side(rapid.IntRange(0, 1).Draw(t, "side"))
		right := tr.rv * rapid.Float64Range(.5, 2).Draw(t, "other meter")
		pair := func(with ...leak) insulation.Pair {
			all := append(with, tr.meter(insulation.NegativePole), leak{1, right})
			p := insulation.Pair{Negative: tr.exact(tr.reads(insulation.NegativePole, all...)), Positive: tr.exact(tr.reads(insulation.PositivePole, all...))}
			p.Positive.Input = insulation.Exact(right)
			return p
		}
		for form, compute := range map[string]func(a, b insulation.Pair, at insulation.Side, r insulation.Value) (insulation.Isolation, error){
			"ISO": insulation.TwoMeters, "GB": insulation.Ratio,
		} {
			iso := must(t, form)(compute(pair(), pair(tr.resistor(at)), at, insulation.Exact(tr.r0)))
			agree(t, form+", leak", iso.Leak.X, tr.rth())
			agree(t, form+", place", iso.Position.X, tr.x())
		}
	})
}

func TestIdentities_TurnedRound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := anyPack(t)
		turned := tr
		turned.leaks = nil
		for _, l := range tr.leaks {
			turned.leaks = append(turned.leaks, leak{1 - l.x, l.ohms})
		}
		at := insulation.Side(rapid.IntRange(0, 1).Draw(t, "side"))
		a := must(t, "as it is")(insulation.R100(tr.poles(), tr.fitted(at)))
		b := must(t, "turned")(insulation.R100(turned.poles(), turned.fitted(1-at)))
		agree(t, "leak", b.Leak.X, a.Leak.X)
		agree(t, "place", 1-b.Position.X, a.Position.X)
		agree(t, "negative side", b.Negative.X, a.Positive.X)
	})
}

func TestIdentities_Conversion(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		leak := math.Pow(10, rapid.Float64Range(0, 9).Draw(t, "log ohms"))
		x := rapid.Float64Range(.001, .999).Draw(t, "x")
		agree(t, "there and back", insulation.LeakOhms(insulation.StandardOhms(leak, x), x), leak)
		n, p := insulation.SideOhms(leak, x)
		agree(t, "sides in parallel", n*p/(n+p), leak)
		agree(t, "place from sides", n/(n+p), x)
		agree(t, "the lower side", math.Min(n, p), insulation.StandardOhms(leak, x))
	})
}

// Any numbers at all: a result or a refusal, never NaN, never below zero.
func TestIdentities_NeverNonsense(t *testing.T) {
	number := rapid.OneOf(rapid.Float64Range(-1000, 1000), rapid.SampledFrom([]float64{0, 1e-9, -1e-9, 400, -400, math.NaN(), math.Inf(1), math.Inf(-1), 1e300, -1e300}))
	rapid.Check(t, func(t *rapid.T) {
		volt := func(name string) insulation.Volt {
			return insulation.Volt{
				V:     insulation.Within(number.Draw(t, name), rapid.SampledFrom([]float64{0, 0.1, 2}).Draw(t, name+" counts"), insulation.Counts),
				Input: insulation.Exact(rapid.SampledFrom([]float64{10e6, 1e6, math.Inf(1), 0, -1}).Draw(t, name+" input")),
			}
		}
		p := insulation.Poles{Across: volt("across"), Negative: volt("negative"), Positive: volt("positive")}
		at := insulation.Side(rapid.IntRange(0, 1).Draw(t, "side"))
		r0 := insulation.Tolerance(rapid.SampledFrom([]float64{200e3, 1, 1e9, 0, -5, math.NaN(), math.Inf(1)}).Draw(t, "r0"), 1, insulation.ResistorTolerance)
		f := insulation.Fitted{At: at, Reading: volt("fitted"), Resistor: r0}
		plain, fitted := insulation.Pair{Negative: p.Negative, Positive: p.Positive}, insulation.Pair{Negative: volt("n"), Positive: volt("p")}
		for _, form := range []func() (insulation.Isolation, error){
			func() (insulation.Isolation, error) { return insulation.R100(p, f) },
			func() (insulation.Isolation, error) { return insulation.FMVSS(p, f) },
			func() (insulation.Isolation, error) { return insulation.SumRule(p) },
			func() (insulation.Isolation, error) { return insulation.TwoMeters(plain, fitted, at, r0) },
			func() (insulation.Isolation, error) { return insulation.Ratio(plain, fitted, at, r0) },
			func() (insulation.Isolation, error) { return insulation.RatioMoved(plain, fitted, at, r0) },
			func() (insulation.Isolation, error) {
				one, err := insulation.FromOnePole(p.Negative, f.Reading, r0)
				sensible(t, "volts above the pole", one.Above.X, math.Inf(-1))
				return insulation.Isolation{Leak: one.Leak}, err
			},
		} {
			iso, err := form()
			if err != nil {
				continue
			}
			for what, r := range map[string]insulation.Result{"leak": iso.Leak, "standard": iso.Standard, "as written": iso.AsWritten,
				"place": iso.Position, "negative": iso.Negative, "positive": iso.Positive} {
				sensible(t, iso.Form+", "+what, r.X, 0)
				sensible(t, iso.Form+", "+what+" low", r.Low, 0)
				if math.IsNaN(r.High) || r.High < r.Low || math.IsNaN(r.U()) || r.X < r.Low-1e-9*r.Low || r.X > r.High*(1+1e-9) {
					t.Fatalf("%s, %s: %v … %v … %v ± %v", iso.Form, what, r.Low, r.X, r.High, r.U())
				}
			}
		}
	})
}

func sensible(t *rapid.T, what string, x, least float64) {
	t.Helper()
	if math.IsNaN(x) || math.IsInf(x, 0) || x < least {
		t.Fatalf("%s: %v", what, x)
	}
}
