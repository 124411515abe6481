package insulation_test

import (
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
)

func TestPerVoltOf_Divisor(t *testing.T) {
	ri := insulation.Result{Value: insulation.WithSD(200e3, 1e3, insulation.Counts), Low: 198e3, High: 202e3, Relation: fault.Equal}
	for name, c := range map[string]struct {
		working, nominal, today float64
		per                     float64
		divisor                 string
	}{
		"working volts first": {400, 350, 300, 500, "working volts"},
		"else nominal":        {0, 350, 300, 200e3 / 350., "nominal volts"},
		"else today's":        {0, 0, 320, 625, "today's reading"},
	} {
		r, err := insulation.PerVoltOf(ri, c.working, c.nominal, c.today)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name, r.X, c.per, 1e-9)
		near(t, name+", uncertainty", r.U()/r.X, 1e3/200e3, 1e-12)
		near(t, name+", low", r.Low/r.X, .99, 1e-12)
		if r.Divisor != c.divisor {
			t.Errorf("%s: divided by %q, want %q", name, r.Divisor, c.divisor)
		}
	}
	for name, v := range map[string][3]float64{"no volts known": {}, "volts below zero": {-400, 350, 300}} {
		if _, err := insulation.PerVoltOf(ri, v[0], v[1], v[2]); err == nil {
			t.Errorf("%s: got a figure", name)
		} else {
			refused(t, err, insulation.NotPositive)
		}
	}
}

func TestReferenceLines(t *testing.T) {
	want := map[string][2]float64{"100 ohm/V": {40e3, 80e3}, "500 ohm/V": {200e3, 400e3}}
	lines := insulation.ReferenceLines()
	if len(lines) != len(want) {
		t.Fatalf("%d lines", len(lines))
	}
	for _, l := range lines {
		near(t, l.Name+" at 400 V", l.Ohms(400), want[l.Name][0], 0)
		near(t, l.Name+" at 800 V", l.Ohms(800), want[l.Name][1], 0)
		if l.Source == "" || l.Applies == "" {
			t.Errorf("%s has no source or does not say where it applies", l.Name)
		}
	}
}

func TestModuleOhms(t *testing.T) {
	for name, c := range map[string]struct {
		pack    float64
		modules int
		margin  float64
		want    float64
	}{
		"400 V, 12 modules, 500 ohm/V": {200e3, 12, 1, 2.4e6},
		"400 V, 24 modules":            {200e3, 24, 1, 4.8e6},
		"800 V, 24 modules":            {400e3, 24, 1, 9.6e6},
		"a workshop's goal of 2 Mohm":  {2e6, 16, 1, 32e6},
		"with a margin of three":       {2e6, 16, 3, 96e6},
	} {
		r, err := insulation.ModuleOhms(c.pack, c.modules, c.margin)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name, r, c.want, 1e-6)
		all := make([]float64, c.modules)
		for i := range all {
			all[i] = r
		}
		pack, err := insulation.InParallel(all...)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name+", back to the pack", pack, c.pack*c.margin, 1e-6*c.pack)
	}
	for name, err := range map[string]error{
		"no pack":        errOf(insulation.ModuleOhms(0, 12, 1)),
		"no modules":     errOf(insulation.ModuleOhms(200e3, 0, 1)),
		"a thin margin":  errOf(insulation.ModuleOhms(200e3, 12, 0.5)),
		"a short module": errOf(insulation.InParallel(1e6, 0)),
	} {
		t.Run(name, func(t *testing.T) { refused(t, err, insulation.NotPositive) })
	}
}

func errOf(_ float64, err error) error { return err }
