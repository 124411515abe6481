package fault_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"halfsplit/fault"
)

func TestParseEntry(t *testing.T) {
	v := fault.EntryOptions{Quantity: fault.Volts}
	r := fault.EntryOptions{Quantity: fault.Insulation, Limit: 2e9}
	for name, c := range map[string]struct {
		raw  string
		o    fault.EntryOptions
		want float64
		rel  string
		echo string
	}{
		"bare volts":        {"3.622", v, 3.622, "=", "3.622 V"},
		"millivolts typed":  {"3622 mV", v, 3.622, "=", "3.622 V"},
		"millivolts joined": {"3622mV", v, 3.622, "=", "3.622 V"},
		"minus":             {"-237.5", v, -237.5, "=", "-237.5 V"},
		"typographic minus": {"−237.5 V", v, -237.5, "=", "-237.5 V"},
		"run in millivolts": {"3622", fault.EntryOptions{Quantity: fault.Volts, Millivolts: true}, 3.622, "=", "3.622 V"},
		"unit beats run":    {"3.6 V", fault.EntryOptions{Quantity: fault.Volts, Millivolts: true}, 3.6, "=", "3.6 V"},
		"decimal comma":     {"103,6", v, 103.6, "=", "103.6 V"},
		"comma by choice":   {"3,622", fault.EntryOptions{Quantity: fault.Volts, DecimalComma: true}, 3.622, "=", "3.622 V"},
		"kilohms":           {"210k", r, 210e3, "=", "210 kΩ"},
		"point first":       {".21M", r, 210e3, "=", "210 kΩ"},
		"words for ohms":    {"34.1 kohm", r, 34.1e3, "=", "34.1 kΩ"},
		"exponent":          {"1e5", v, 1e5, "=", "100000 V"},
		"exponent of ohms":  {"2.1E5", r, 210e3, "=", "210 kΩ"},
		"exponent below 0":  {"-3.6e-3 V", v, -0.0036, "=", "-0.0036 V"},
		"signed exponent":   {"+9.1E+00", v, 9.1, "=", "9.1 V"},
		"exponent, comma":   {"2,1E5", r, 210e3, "=", "210 kΩ"},
		"exponent and unit": {"3.6e3 mV", v, 3.6, "=", "3.6 V"},
		"thousands apart":   {"12 500", r, 12500, "=", "12.5 kΩ"},
		"overflow":          {"OL", r, 2e9, ">", "more than 2 GΩ"},
		"bound":             {">2G", r, 2e9, ">", "more than 2 GΩ"},
		"joint":             {"50 µΩ", fault.EntryOptions{Quantity: fault.Joint}, 50e-6, "=", "50 µΩ"},
		"pressure":          {"104.3 kPa", fault.EntryOptions{Quantity: fault.Kilopascal}, 104.3, "=", "104.3 kPa"},
		"pascals":           {"71 Pa", fault.EntryOptions{Quantity: fault.Kilopascal}, 0.071, "=", "0.071 kPa"},
		"celsius":           {"21.5 °C", fault.EntryOptions{Quantity: fault.Celsius}, 21.5, "=", "21.5 °C"},
	} {
		got, err := fault.ParseEntry(c.raw, c.o)
		if err != nil || math.Abs(got.Value-c.want) > 1e-9*math.Abs(c.want) || got.Relation != c.rel || got.Echo != c.echo {
			t.Errorf("%s: %q gave %g %s %q, %v; want %g %s %q", name, c.raw, got.Value, got.Relation, got.Echo, err, c.want, c.rel, c.echo)
		}
		if got.Raw != c.raw {
			t.Errorf("%s: the keystrokes were not kept", name)
		}
	}
}

func TestParseEntry_Refuses(t *testing.T) {
	v := fault.EntryOptions{Quantity: fault.Volts}
	for raw, says := range map[string]string{
		"": "nothing", "  ": "nothing", "1,234": "write 1.234 or 1234", "3.6.2": "more than one", "abc": `"abc" is not a number`, "k": `"k" is not a number`,
		"210k ohm": "takes V", "12 parsec": "not a unit", "1e400": "not a number", "NaN": "not a number", "0x10": "not a number", "1x5": `"x" does not belong`, "1O5": `"O" does not belong`, "1e5e2": `"e" does not belong`, "1e.5": `"e" does not belong`, "1m5": `"m" does not belong`, "1_5": `"_" does not belong`,
		"1e": "not a unit", "e5": `"e" does not belong`, "15x": `"x" is not a unit`, "1e-400": "too small", "1e5-": "not a unit", "2,345E3": "thousand or a decimal", "1p3": `"p" does not belong`,
		"OL": "bound", "99999999999999999999": "larger than any",
	} {
		if _, err := fault.ParseEntry(raw, v); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%q: got %v, want words with %q", raw, err, says)
		}
	}
	if _, err := fault.ParseEntry("-5k", fault.EntryOptions{Quantity: fault.Insulation}); err == nil {
		t.Error("a negative resistance was taken")
	}
}

func FuzzParseEntry(f *testing.F) {
	for _, s := range []string{"3.622", "3622 mV", "OL", ">2G", "-1,5", "1,234", "µ", "∞"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		e, err := fault.ParseEntry(s, fault.EntryOptions{Quantity: fault.Insulation, Limit: 1e9})
		if err == nil && (math.IsNaN(e.Value) || e.Value < 0 || e.Echo == "") {
			t.Errorf("%q became %+v", s, e)
		}
	})
}

// A value in thousandths is the number that its digits say.
func TestParseEntry_MillivoltsAreExact(t *testing.T) {
	for mv := range 6000 {
		e, err := fault.ParseEntry(strconv.Itoa(mv), fault.EntryOptions{Quantity: fault.Volts, Millivolts: true})
		want, _ := strconv.ParseFloat(strconv.Itoa(mv)+"e-3", 64)
		if err != nil || e.Value != want {
			t.Fatalf("%d mV is read as %v, %v", mv, e.Value, err)
		}
	}
}

// How an exponent was read is told apart, for the echo.
func TestParseEntry_SaysHowAnExponentWasRead(t *testing.T) {
	for raw, want := range map[string]string{"2.1E5": "2.1 × 10^5", "1e+3": "1 × 10^3", "-4,5e-2 V": "-4,5 × 10^-2", "210k": "", "3.6": ""} {
		e, err := fault.ParseEntry(raw, fault.EntryOptions{Quantity: fault.Volts})
		if err != nil || e.Powers != want {
			t.Errorf("%q: %q, %v; want %q", raw, e.Powers, err, want)
		}
	}
}
