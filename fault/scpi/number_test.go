package scpi_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"halfsplit/fault/scpi"
)

func TestParseValue(t *testing.T) {
	for answer, want := range map[string]struct {
		number   float64
		overload int
		decimal  string
	}{
		"+1.03456000E+02": {103.456, 0, "103.456000"},
		"-1.26400E+02":    {-126.4, 0, "-126.400"},
		"3.622":           {3.622, 0, "3.622"},
		" 12 ":            {12, 0, "12"},
		"+2.0E+5":         {200000, 0, "200000"},
		"1.5e-3":          {0.0015, 0, "0.0015"},
		"-0.00000E+00":    {0, 0, "0.00000"},
		".5":              {0.5, 0, "0.5"},
		"+9.9E+37":        {0, 1, ""},
		"+9.90000000E+37": {0, 1, ""},
		"-9.9E37":         {0, -1, ""},
	} {
		v, err := scpi.ParseValue(answer)
		if err != nil || v.Number != want.number || v.Overload != want.overload || v.Decimal() != want.decimal || v.Answer != answer || math.Signbit(v.Number) && v.Number == 0 {
			t.Errorf("%q: %+v, decimal %q, %v", answer, v, v.Decimal(), err)
		}
	}
}

func TestParseValue_WhatIsNoNumberIsRefusedInWords(t *testing.T) {
	for answer, want := range map[string]string{
		"": "empty", "  ": "empty", "1.2,3.4": "more than one value", "1.2 V": "not a number", "OL": "not a number", "inf": "not a number", "NaN": "not a number",
		"0x1p4": "not a number", "1_000": "not a number", "+-1": "not a number", "1E": "not a number", "1E+": "not a number", ".": "not a number", "E5": "not a number",
		"9.91E+37": "no number", "1E999": "larger than any reading", "1E+20": "larger than any reading", "1E9999999": "not a number", "--5": "not a number", "1.2.3": "not a number",
	} {
		if v, err := scpi.ParseValue(answer); err == nil || !strings.Contains(err.Error(), want) || v.Number != 0 {
			t.Errorf("%q: %+v, %v", answer, v, err)
		}
	}
}

func TestParseReport(t *testing.T) {
	for answer, want := range map[string]scpi.Report{
		`+0,"No error"`: {Text: "No error"}, `-113,"Undefined header"`: {Number: -113, Text: "Undefined header"}, `-200, "a ""b"""`: {Number: -200, Text: `a "b"`},
	} {
		if got, err := scpi.ParseReport(answer); err != nil || got != want {
			t.Errorf("%q: %+v, %v", answer, got, err)
		}
	}
	for _, answer := range []string{"", "0", "0,No error", `x,"No error"`, `0,"`} {
		if got, err := scpi.ParseReport(answer); err == nil {
			t.Errorf("%q was read as %+v", answer, got)
		}
	}
}

func TestParseAddress(t *testing.T) {
	for text, want := range map[string]scpi.Address{
		"tcp://192.0.2.7:5025":        {Host: "192.0.2.7:5025"},
		" TCP://meter.example:5025/ ": {Host: "meter.example:5025"},
		"tcp://[::1]:5025":            {Host: "[::1]:5025"},
		"/dev/ttyUSB0 9600":           {Device: "/dev/ttyUSB0", Baud: 9600},
		"COM3  115200":                {Device: "COM3", Baud: 115200},
	} {
		got, err := scpi.ParseAddress(text)
		if err != nil || got != want {
			t.Errorf("%q: %+v, %v", text, got, err)
		}
		if again, err := scpi.ParseAddress(got.String()); err != nil || again != got {
			t.Errorf("%q is written as %q, which is read as %+v, %v", text, got, again, err)
		}
	}
	for text, want := range map[string]string{
		"": "nothing was typed", "/dev/ttyUSB0": "no baud rate", "/dev/ttyUSB0 fast": "not a baud rate", "/dev/ttyUSB0 7": "not a baud rate", "/dev/ttyUSB0 -9600": "not a baud rate",
		"tcp://host": "no port", "tcp://host:0": "no port", "tcp://host:70000": "no port", "tcp://:5025": "no host", "tcp://::1": "not a host", "http://host:80": "tcp:// alone", "tcp://a:b@host:5": "not a host",
		"tcp://host:5025/path": "no port", "/dev/tty\x00 9600": "cannot be printed",
	} {
		if got, err := scpi.ParseAddress(text); err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), "/dev/ttyUSB0 9600") {
			t.Errorf("%q: %+v, %v", text, got, err)
		}
	}
}

// Whatever a meter sends, a value is a finite number that its decimal writes again,
// or an overload, or an error.
func FuzzParseValue(f *testing.F) {
	for _, s := range []string{"+1.03456E+02", "9.9E37", "-9.9E+37", "9.91E37", "1,2", "inf", "0x1p4", "-0", "1E-400", ".5", "5.", "1e+15"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := scpi.ParseValue(s)
		switch {
		case err != nil:
			if v.Number != 0 || v.Overload != 0 {
				t.Errorf("%q is refused and still a value: %+v", s, v)
			}
		case math.IsNaN(v.Number) || math.Abs(v.Number) > 1e15:
			t.Errorf("%q is %g", s, v.Number)
		case v.Overload != 0:
			if v.Number != 0 || v.Decimal() != "" {
				t.Errorf("%q is an overload and a number: %+v", s, v)
			}
		case v.Decimal() != "":
			if again, err := strconv.ParseFloat(v.Decimal(), 64); err != nil || again != v.Number {
				t.Errorf("%q is %g and written out %q", s, v.Number, v.Decimal())
			}
		}
	})
}

func FuzzParseAddress(f *testing.F) {
	for _, s := range []string{"tcp://h:1", "/dev/ttyUSB0 9600", "COM3 9600", "tcp://[::1]:5", "x://", " 9600", "tCp://::1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		a, err := scpi.ParseAddress(s)
		if err != nil {
			return
		}
		if again, err := scpi.ParseAddress(a.String()); err != nil || again != a {
			t.Errorf("%q is %+v, written %q, which is %+v, %v", s, a, a, again, err)
		}
	})
}
