package insulation_test

import (
	"math"
	"slices"
	"testing"

	"halfsplit/fault/insulation"
	"pgregory.net/rapid"
)

func TestLoadOf(t *testing.T) {
	for name, c := range map[string]struct{ volts, ohms, watts, amps float64 }{
		"400 V, 100 ohm/V":  {400, 40e3, 4.0, 10e-3},
		"400 V, 500 ohm/V":  {400, 200e3, 0.8, 2e-3},
		"800 V, 100 ohm/V":  {800, 80e3, 8, 10e-3},
		"800 V, 500 ohm/V":  {800, 400e3, 1.6, 2e-3},
		"350 V on 200 kohm": {350, 200e3, 0.6125, 1.75e-3},
		"800 V on 100 kohm": {800, 100e3, 6.4, 8e-3},
	} {
		r, err := insulation.LoadOf(c.ohms, c.volts)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name+", watts", r.Watts, c.watts, 1e-12)
		near(t, name+", amperes", r.Amps, c.amps, 1e-12)
		if r.RatedWatts < 2*r.Watts || r.RatedVolts < c.volts {
			t.Errorf("%s: rated %.3g W and %.3g V", name, r.RatedWatts, r.RatedVolts)
		}
	}
}

func TestSuggestResistor(t *testing.T) {
	for name, c := range map[string]struct {
		working, now float64
		series       insulation.Series
		ohms, watts  float64
	}{
		"403 V, E24":                  {403, 347, insulation.E24(), 200e3, 403. * 403 / 200e3},
		"403 V, E12":                  {403, 347, insulation.E12(), 220e3, 403. * 403 / 220e3},
		"900 V, E24":                  {900, 794, insulation.E24(), 470e3, 900. * 900 / 470e3},
		"58 V trainer, reading above": {58, 60, insulation.E12(), 27e3, 60. * 60 / 27e3},
	} {
		r, err := insulation.SuggestResistor(c.working, c.now, c.series)
		if err != nil {
			t.Fatal(err)
		}
		near(t, name+", ohms", r.Ohms, c.ohms, 0)
		near(t, name+", watts", r.Watts, c.watts, 1e-12)
	}
	_, err := insulation.SuggestResistor(0, 350, insulation.E12())
	refused(t, err, insulation.NotPositive)
}

func TestSuggestFor(t *testing.T) {
	for name, c := range map[string]struct {
		leak, volts, watts float64
		ohms               float64
	}{
		"nearest where its watts fit":    {170e3, 350, 2, 180e3},
		"larger where they do not":       {20e3, 355.6, 10, 27e3},
		"a hard leak and a small rating": {800, 355.6, 5, 56e3},
	} {
		r, err := insulation.SuggestFor(c.leak, c.volts, c.watts, insulation.E12())
		if err != nil {
			t.Fatal(err)
		}
		near(t, name, r.Ohms, c.ohms, 0)
		if r.RatedWatts > c.watts {
			t.Errorf("%s: asks for %.3g W of %.3g W", name, r.RatedWatts, c.watts)
		}
	}
}

func TestSeries(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ohms := math.Pow(10, rapid.Float64Range(-1, 8).Draw(t, "log ohms"))
		s := insulation.E12()
		step := 1.2501 // the widest step of twelve
		if rapid.Bool().Draw(t, "24") {
			s, step = insulation.E24(), 1.17
		}
		nearest, above := s.Nearest(ohms), s.AtLeast(ohms)
		if r := nearest / ohms; r > math.Sqrt(step) || r < 1/math.Sqrt(step) {
			t.Fatalf("nearest to %.6g is %.6g", ohms, nearest)
		}
		if r := above / ohms; r < 1-1e-9 || r > step {
			t.Fatalf("at least %.6g is %.6g", ohms, above)
		}
		mantissa := math.Round(nearest / math.Pow(10, math.Floor(math.Log10(nearest)+1e-9)-1))
		if !slices.Contains(s, mantissa) {
			t.Fatalf("%.6g is no value of the series", nearest)
		}
	})
}
