package fault_test

import (
	"encoding/json"
	"math"
	"testing"

	"halfsplit/fault"
	"halfsplit/topology"
)

func TestCase_ReadingsAreOnlyAdded(t *testing.T) {
	c := fault.Case{Readings: make([]fault.Reading, 0, 8)}
	one, err := c.With(fault.Reading{ID: "r1", Value: 3.6})
	if err != nil {
		t.Fatal(err)
	}
	two, err := one.With(fault.Reading{ID: "r2", Value: 36.2, Supersedes: "r1", Why: "read again"})
	if err != nil {
		t.Fatal(err)
	}
	other, err := one.With(fault.Reading{ID: "r3", Value: 1})
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Readings) != 0 || len(one.Readings) != 1 || two.Readings[1].ID != "r2" || other.Readings[1].ID != "r3" {
		t.Error("adding a reading changed a case that somebody else holds")
	}
	if by := two.Superseded()["r1"]; by.ID != "r2" {
		t.Errorf("r1 is superseded by %q", by.ID)
	}
	for name, r := range map[string]fault.Reading{
		"taken id":               {ID: "r1"},
		"supersedes nothing":     {ID: "r9", Supersedes: "r8", Why: "typing"},
		"supersedes without why": {ID: "r9", Supersedes: "r1"},
	} {
		if got, err := two.With(r); err == nil || len(got.Readings) != 2 {
			t.Errorf("%s: was taken", name)
		}
	}
}

func TestState_PluggedUnlessRecordedOut(t *testing.T) {
	for name, c := range map[string]struct {
		s      fault.State
		b1, b2 bool
	}{
		"nothing recorded":    {fault.State{}, true, true},
		"one unplugged":       {fault.State{Unplugged: []string{"B1"}}, false, true},
		"all out":             {fault.State{Boards: fault.BoardsOut}, false, false},
		"all out, one listed": {fault.State{Boards: fault.BoardsOut, Unplugged: []string{"B2"}}, false, false},
	} {
		if b1, b2 := c.s.Plugged("B1"), c.s.Plugged("B2"); b1 != c.b1 || b2 != c.b2 {
			t.Errorf("%s: B1 plugged %v, B2 plugged %v", name, b1, b2)
		}
	}
}

func TestCase_AccessIsTheWorkshopsOrTheLayouts(t *testing.T) {
	five, three := 5.0, 3.0
	c := fault.Case{Minutes: map[string]float64{"L1": 12, "B2": 0, "L3": 7},
		Layout: topology.Layout{Links: []topology.Link{{ID: "L1", Minutes: &five}, {ID: "L2", Minutes: &five}, {ID: "L3"}, {ID: "L4"}},
			Boards: []topology.Board{{ID: "B1", Minutes: &three}, {ID: "B2", Minutes: &three}, {ID: "B3"}}}}
	for id, want := range map[string]float64{"L1": 12, "L2": 5, "L3": 7, "B1": 3, "B2": 0} {
		if got, ok := c.Access(id); got != want || !ok {
			t.Errorf("%s takes %g min, %v, want %g", id, got, ok, want)
		}
	}
	for _, id := range []string{"L4", "B3", "M01", ""} {
		if got, ok := c.Access(id); ok {
			t.Errorf("%q takes %g min, and nobody said so", id, got)
		}
	}
}

func TestCase_WithMinutesLeavesTheOtherCase(t *testing.T) {
	at := func(v float64) *float64 { return &v }
	c := fault.Case{Layout: topology.Layout{Links: []topology.Link{{ID: "L1", Minutes: at(5)}}, Boards: []topology.Board{{ID: "B1"}}}}
	one, err1 := c.WithMinutes("L1", at(12))
	two, err2 := one.WithMinutes("B1", at(0))
	none, err3 := one.WithMinutes("L1", nil)
	if err1 != nil || err2 != nil || err3 != nil {
		t.Fatal(err1, err2, err3)
	}
	if c.Minutes != nil || len(one.Minutes) != 1 || one.Minutes["L1"] != 12 || len(two.Minutes) != 2 || none.Minutes != nil {
		t.Errorf("%v, %v, %v, %v", c.Minutes, one.Minutes, two.Minutes, none.Minutes)
	}
	for name, try := range map[string]struct {
		id string
		m  *float64
	}{"no such thing": {"L2", at(1)}, "nothing to clear": {"L2", nil}, "negative": {"L1", at(-1)}, "too long": {"L1", at(fault.MostMinutes + 1)},
		"no number": {"L1", at(math.NaN())}, "without bound": {"L1", at(math.Inf(1))}} {
		if got, err := one.WithMinutes(try.id, try.m); err == nil || len(got.Minutes) != 1 || got.Minutes["L1"] != 12 {
			t.Errorf("%s: %v, %v", name, got.Minutes, err)
		}
	}
}

func TestNumber_SixDigitsAndNull(t *testing.T) {
	for name, c := range map[string]struct {
		n    fault.Number
		want string
	}{
		"rounds":        {179918.55, "179919"},
		"small":         {0.000123456789, "0.000123457"},
		"minus zero":    {fault.Number(math.Copysign(0, -1)), "0"},
		"nothing known": {fault.NoNumber, "null"},
		"infinite":      {fault.Number(math.Inf(1)), "null"},
	} {
		raw, err := json.Marshal(c.n)
		if err != nil || string(raw) != c.want {
			t.Errorf("%s: %s %v, want %s", name, raw, err, c.want)
		}
	}
	var n fault.Number
	if err := json.Unmarshal([]byte("null"), &n); err != nil || !math.IsNaN(float64(n)) {
		t.Errorf("null came back as %v, %v", n, err)
	}
}

func TestInstrument_Uncertainties(t *testing.T) {
	in := fault.Instrument{GainPct: 0.5, Counts: 2, InputOhms: 1e7, Ranges: []fault.Range{{Max: 6, Count: 0.001, InputOhms: 11e6}, {Max: 600, Count: 0.1}}}
	// 0.5 % and 2 counts of 0.1 V as half-widths of uniform errors
	if got := in.GainSD(); math.Abs(got-0.005/math.Sqrt(3)) > 1e-15 {
		t.Errorf("gain %g", got)
	}
	if got := in.CountSD(in.Ranges[1]); math.Abs(got-0.2/math.Sqrt(3)) > 1e-15 {
		t.Errorf("counts %g V", got)
	}
	if in.Input(in.Ranges[0]) != 11e6 || in.Input(in.Ranges[1]) != 1e7 || !math.IsInf(fault.Instrument{}.Input(fault.Range{}), 1) {
		t.Error("the range's input resistance goes before the instrument's, and none is not a number")
	}
}
