package fault_test

import (
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
)

func TestCalibrationAt(t *testing.T) {
	both := fault.Instrument{Calibrated: "2025-02-01", CalDue: "2026-01-31"}
	for name, c := range map[string]struct {
		in   fault.Instrument
		at   string
		want fault.Calibration
		says string
	}{
		"within":               {both, "2026-01-15T10:00:00Z", fault.CalCurrent, "due 2026-01-31"},
		"the last day":         {both, "2026-01-31T23:59:00+01:00", fault.CalCurrent, "due 2026-01-31"},
		"the day after":        {both, "2026-02-01T00:00:00Z", fault.CalOverdue, "overdue: it was due 2026-01-31"},
		"a date alone":         {both, "2026-02-01", fault.CalOverdue, "overdue"},
		"the year after":       {both, "2027-01-01", fault.CalOverdue, "overdue"},
		"before it":            {both, "2025-01-31T10:00:00Z", fault.CalLater, "read before its calibration of 2025-02-01"},
		"no time":              {both, "", fault.CalUnknown, "when it was read is not recorded"},
		"no due date":          {fault.Instrument{Calibrated: "2025-02-01"}, "2026-02-01", fault.CalUnknown, "when it is due is not recorded"},
		"nothing recorded":     {fault.Instrument{}, "2026-02-01", fault.CalUnknown, "not recorded: not known"},
		"due and nothing more": {fault.Instrument{CalDue: "2026-01-31"}, "2026-02-01", fault.CalOverdue, "overdue"},
	} {
		if got := c.in.CalibrationAt(c.at); got != c.want || !strings.Contains(c.in.CalibrationWords(c.at), c.says) {
			t.Errorf("%s: %d, %q", name, got, c.in.CalibrationWords(c.at))
		}
	}
}

func TestParseDate(t *testing.T) {
	for text, want := range map[string]string{"2026-03-02": "2026-03-02", " 2028-02-29 ": "2028-02-29", "": ""} {
		if got, err := fault.ParseDate(text); err != nil || got != want {
			t.Errorf("%q: %q, %v", text, got, err)
		}
	}
	for text, want := range map[string]string{
		"03/04/2026": "like 2026-03-02", "2026-3-2": "like 2026-03-02", "tomorrow": "like 2026-03-02", "2026-13-01": "no month from 01 to 12", "2026-00-01": "no month",
		"2026-02-30": "February 2026 has 28 days", "2028-02-30": "29 days", "2026-04-31": "April 2026 has 30 days", "2026-04-00": "30 days", "20260302": "like 2026-03-02",
		"２０２６-03-02": "like",
	} {
		if got, err := fault.ParseDate(text); err == nil || got != "" || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %q, %v", text, got, err)
		}
	}
}

// A range with a gain and counts of its own is weighed by them, and a quantity that
// is described by itself by its own ranges.
func TestInstrument_RangesAndFunctionsOfTheirOwn(t *testing.T) {
	one, five := 1.0, 5.0
	in := fault.Instrument{GainPct: 0.5, Counts: 2, InputOhms: 1e7, Ranges: []fault.Range{{Max: 60, Count: 0.01}, {Max: 1000, Count: 1, GainPct: &one, Counts: &five}},
		Functions: []fault.Function{{Quantity: fault.Ohms, GainPct: 2, Counts: 3, Ranges: []fault.Range{{Max: 600, Count: 0.1}}}}}
	plain, own := in.Ranges[0], in.Ranges[1]
	for name, v := range map[string][2]float64{
		"gain":            {in.GainSDOn(plain), in.GainSD()},
		"its own gain":    {in.GainSDOn(own), 0.01 / math.Sqrt(3)},
		"counts":          {in.CountSD(plain), 0.02 / math.Sqrt(3)},
		"its own counts":  {in.CountSD(own), 5 / math.Sqrt(3)},
		"ohms":            {in.For(fault.Ohms).GainSD(), 0.02 / math.Sqrt(3)},
		"volts as before": {in.For(fault.Volts).GainSD(), in.GainSD()},
	} {
		if math.Abs(v[0]-v[1]) > 1e-15 {
			t.Errorf("%s: %g, want %g", name, v[0], v[1])
		}
	}
	if rg, _, ok := in.RangeOf(fault.Reading{Quantity: fault.Ohms, Value: 500}); !ok || rg.Max != 600 {
		t.Errorf("ohms are read on %+v, %v", rg, ok)
	}
	if rg, _, ok := in.RangeOf(fault.Reading{Quantity: fault.Volts, Value: 500}); !ok || rg.Max != 1000 {
		t.Errorf("volts are read on %+v, %v", rg, ok)
	}
	if _, _, ok := in.RangeOf(fault.Reading{Quantity: fault.Ohms, Value: 700}); ok {
		t.Error("700 ohms on the volts ranges")
	}
}

// What a finding rests on is told by instrument and by how it stood at each reading's
// own time; overdue comes first, and what is not recorded is never in date.
func TestCase_Calibrations(t *testing.T) {
	c := fault.Case{Instruments: []fault.Instrument{{ID: "a", CalDue: "2026-01-31"}, {ID: "b"}},
		Readings: []fault.Reading{{ID: "r1", Instrument: "a", At: "2026-01-31T10:00:00Z"}, {ID: "r2", Instrument: "b", At: "2026-01-31T10:00:00Z"}, {ID: "r3", Instrument: "a", At: "2026-02-01T10:00:00Z"},
			{ID: "r4", At: "2026-02-01T10:00:00Z"}, {ID: "r5", Instrument: "a", At: "2026-02-01T10:00:00Z"}},
		GroupVolts: []fault.GroupVolts{{Module: "M01", Instrument: "a", At: "2026-02-03T10:00:00Z"}, {Module: "M02", Source: "monitor list"}}}
	got := c.Calibrations([]string{"r1", "r2", "r3", "r3", "r4", "gone"})
	want := []fault.Calibrated{
		{Instrument: "a", Due: "2026-01-31", Stood: "overdue", Words: "calibration overdue: it was due 2026-01-31", Readings: []string{"r3"}, Groups: []string{"M01"}},
		{Instrument: "b", Stood: "not recorded", Words: "calibration not recorded: not known", Readings: []string{"r2"}},
		{Instrument: "", Stood: "not recorded", Words: "calibration not recorded: not known", Readings: []string{"r4"}},
		{Instrument: "a", Due: "2026-01-31", Stood: "not yet due", Words: "calibration due 2026-01-31", Readings: []string{"r1"}},
	}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}
