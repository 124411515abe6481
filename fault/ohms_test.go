package fault_test

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"halfsplit/fault"
)

func TestFormatOhms(t *testing.T) {
	for _, c := range []struct {
		v    float64
		want string
	}{
		{0, "0 Ω"}, {1, "1.00 Ω"}, {0.5, "500 mΩ"}, {50e-6, "50.0 µΩ"}, {2e-8, "0.0200 µΩ"}, {800, "800 Ω"}, {999.4, "999 Ω"},
		{999.6, "1.00 kΩ"}, {47e3, "47.0 kΩ"}, {179.9e3, "180 kΩ"}, {1.566e6, "1.57 MΩ"}, {66.7e6, "66.7 MΩ"}, {999.6e6, "1.00 GΩ"},
		{2e9, "2.00 GΩ"}, {3e12, "3.00 TΩ"}, {-1200, "-1.20 kΩ"}, {math.NaN(), "not known"}, {math.Inf(1), "no path"},
	} {
		if got := strings.ReplaceAll(fault.FormatOhms(c.v), fault.ThinSpace, " "); got != c.want {
			t.Errorf("%g: got %q, want %q", c.v, got, c.want)
		}
	}
}

func TestFormatOhmsToward_NeverSharpensABound(t *testing.T) {
	for _, c := range []struct {
		v     float64
		round func(float64) float64
		want  string
	}{
		{3456e3, math.Floor, "3.45 MΩ"}, {12345, math.Ceil, "12.4 kΩ"}, {3.4e9, math.Floor, "3.40 GΩ"}, {5e6, math.Ceil, "5.00 MΩ"},
		{999.2e3, math.Ceil, "1.00 MΩ"}, {999.7e3, math.Floor, "999 kΩ"},
	} {
		if got := strings.ReplaceAll(fault.FormatOhmsToward(c.v, c.round), fault.ThinSpace, " "); got != c.want {
			t.Errorf("%g: got %q, want %q", c.v, got, c.want)
		}
	}
}

// What is written, read back as a person would type it, is the value to three
// digits.
func TestFormatOhms_ReadsBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := math.Pow(10, rapid.Float64Range(-6, 13).Draw(t, "decade"))
		text := strings.ReplaceAll(fault.FormatOhms(v), fault.ThinSpace, " ")
		e, err := fault.ParseEntry(text, fault.EntryOptions{Quantity: fault.Ohms})
		if err != nil {
			t.Fatalf("%g is written %q: %v", v, text, err)
		}
		if math.Abs(e.Value-v) > 0.00501*v {
			t.Errorf("%g is written %q, which is %g", v, text, e.Value)
		}
	})
}
