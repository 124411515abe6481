package words_test

import (
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/words"
)

func plain(s string) string { return strings.ReplaceAll(s, words.Thin, " ") }

func TestSpan_TwoDigitsOfTheWidth(t *testing.T) {
	for name, c := range map[string]struct {
		low, mid, high float64
		want           string
	}{
		"tenths":      {66.04, 66.97, 68.02, "67.0 V (66.0 to 68.0)"},
		"hundredths":  {66.81, 66.9, 67.02, "66.90 V (66.81 to 67.02)"},
		"whole":       {120, 133.4, 151, "133 V (120 to 151)"},
		"tens":        {120, 333.4, 651, "330 V (120 to 650)"},
		"nearly ten":  {10, 15, 19.97, "15 V (10 to 20)"},
		"no width":    {12, 12, 12, "12.00 V"},
		"zero low":    {-0.001, 0.3, 0.9, "0.30 V (0.00 to 0.90)"},
		"no interval": {math.NaN(), 3.6221, math.NaN(), "3.622 V"},
		"no middle":   {2, math.NaN(), 5, "2.0 to 5.0 V"},
	} {
		t.Run(name, func(t *testing.T) {
			if got := plain(words.Span(c.low, c.mid, c.high, "V")); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

func TestVolts(t *testing.T) {
	for want, v := range map[string]float64{
		"3.622 V": 3.6218, "29.0 V": 28.97, "347 V": 347.16, "-126 V": -126.4, "100 V": 99.96, "10.0 V": 9.996, "0.000 V": -0.0001,
		"not measured": math.NaN(),
	} {
		if got := plain(words.Volts(v)); got != want {
			t.Errorf("%g: got %q, want %q", v, got, want)
		}
	}
}

func TestMillivolts(t *testing.T) {
	for want, v := range map[string]float64{"+12 mV": 0.0121, "-408 mV": -0.4081, "0 mV": -0.0002, "not measured": math.NaN()} {
		if got := plain(words.Millivolts(v)); got != want {
			t.Errorf("%g: got %q, want %q", v, got, want)
		}
	}
}

func TestOhms(t *testing.T) {
	for want, r := range map[string]float64{
		"800 Ω": 800, "1.00 kΩ": 999.6, "47.0 kΩ": 47e3, "180 kΩ": 179.9e3, "1.57 MΩ": 1.566e6, "66.7 MΩ": 66.7e6, "2.00 GΩ": 2e9,
		"no path": math.Inf(1), "not measured": math.NaN(),
	} {
		if got := plain(words.Ohms(r)); got != want {
			t.Errorf("%g: got %q, want %q", r, got, want)
		}
	}
}

func TestBounded(t *testing.T) {
	nan := fault.NoNumber
	for want, b := range map[string]fault.Bounded{
		"179.9 kΩ (176.1 to 184.2)": {Low: 176.1e3, Mid: 179.9e3, High: 184.2e3, Relation: "="},
		"less than 20.0 kΩ":         {Low: 0, Mid: nan, High: 20e3, Relation: "<"},
		"more than 66.0 MΩ":         {Low: 66e6, Mid: nan, High: nan, Relation: ">"},
		"1.20 MΩ (0.95 to 1.50)":    {Low: 0.95e6, Mid: 1.2e6, High: 1.5e6, Relation: "="},
		"not measured":              {Low: nan, Mid: nan, High: nan},
	} {
		if got := plain(words.Bounded(b)); got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestShare_NeverCertain(t *testing.T) {
	for want, p := range map[string]float64{"<1 %": 0.004, "1 %": 0.0051, "93 %": 0.93, "99 %": 0.994, ">99 %": 1, "not measured": math.NaN()} {
		if got := plain(words.Share(p)); got != want {
			t.Errorf("%g: got %q, want %q", p, got, want)
		}
	}
}

func TestGap_TheLowerEndKeepsItsDigits(t *testing.T) {
	for want, v := range map[string][2]float64{
		"17.0 to 23.0 V": {17, 23}, "0.66 to 130 V": {0.658935, 131.02}, "163 to 180 V": {163, 180}, "0.000 to 5.0 V": {1e-9, 5}, "0.0 to 5.0 V": {0, 5}, "117 to 182 V": {116.626, 182.01},
	} {
		if got := strings.ReplaceAll(words.Gap(v[0], v[1]), words.Thin, " "); got != want {
			t.Errorf("%v is written %q, want %q", v, got, want)
		}
	}
}
