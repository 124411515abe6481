package states_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/states"
)

func TestApply_WhatIsJoinedAndWhatThePackIsLike(t *testing.T) {
	yes, no, cold, damp := true, false, -4.5, 60.0
	was := fault.State{ID: "s", Connected: []string{"charger"}, Wet: &yes, Celsius: &damp}
	for name, c := range map[string]struct {
		change     states.Change
		want       func(*fault.State)
		verb, said string
	}{
		"connected": {states.Change{Kind: states.Connect, ID: "laptop on the meter"}, func(s *fault.State) {
			s.ID, s.Connected = "with_laptop_on_the_meter", []string{"charger", "laptop on the meter"}
		}, "Record laptop on the meter as connected", "laptop on the meter recorded as connected"},
		"disconnected": {states.Change{Kind: states.Disconnect, ID: "charger"}, func(s *fault.State) { s.ID, s.Connected = "without_charger", []string{} }, "Record charger as disconnected", "charger recorded as disconnected"},
		"dry":          {states.Change{Kind: states.Wet, To: states.IsDry}, func(s *fault.State) { s.ID, s.Wet = "dry", &no }, "Record the pack as dry", "the pack recorded as dry"},
		"not known":    {states.Change{Kind: states.Wet}, func(s *fault.State) { s.ID, s.Wet = "wet_or_dry", nil }, "Record the pack as wet or dry: not known", "the pack recorded as wet or dry: not known"},
		"torqued":      {states.Change{Kind: states.Torqued, To: states.IsTorqued}, func(s *fault.State) { s.ID, s.Torqued = "torqued", &yes }, "Record the mounts as torqued", "the mounts recorded as torqued"},
		"loosened":     {states.Change{Kind: states.Torqued, To: states.IsLoosened}, func(s *fault.State) { s.ID, s.Torqued = "loosened", &no }, "Record the mounts as loosened", "the mounts recorded as loosened"},
		"drained":      {states.Change{Kind: states.Coolant, To: fault.CoolantOut}, func(s *fault.State) { s.ID, s.Coolant = "coolant_out", fault.CoolantOut }, "Record coolant as drained", "coolant recorded as drained"},
		"temperature":  {states.Change{Kind: states.Celsius, To: "-4.5"}, func(s *fault.State) { s.ID, s.Celsius = "temperature", &cold }, "Record the pack at -4.5 °C", "the pack recorded at -4.5 °C"},
		"humidity":     {states.Change{Kind: states.Humidity, To: "60"}, func(s *fault.State) { s.ID, s.Humidity = "humidity", &damp }, "Record the air at 60 % humidity", "the air recorded at 60 % humidity"},
		"odd words": {states.Change{Kind: states.Connect, ID: "ölpumpe (12 V) & ground, all of it on one bench"}, func(s *fault.State) {
			s.ID, s.Connected = "with_lpumpe_12_V_ground", []string{"charger", "ölpumpe (12 V) & ground, all of it on one bench"}
		}, "Record ölpumpe (12 V) & ground, all of it on one bench as connected", "ölpumpe (12 V) & ground, all of it on one bench recorded as connected"},
	} {
		t.Run(name, func(t *testing.T) {
			want := was
			c.want(&want)
			got := states.Apply(topology.Layout{}, was, c.change)
			if d := cmp.Diff(want, got); d != "" {
				t.Error(d)
			}
			if !legalID.MatchString(got.ID) {
				t.Errorf("%q is no id", got.ID)
			}
			if c.change.Verb() != c.verb || c.change.Said() != c.said {
				t.Errorf("it says %q and %q", c.change.Verb(), c.change.Said())
			}
		})
	}
}

// Everything that is not so already is offered, and nothing that is.
func TestOffers_Conditions(t *testing.T) {
	wet := true
	_, rest := states.Offers(pack(func(c *fault.Case) {
		c.States[1].Wet, c.States[1].Connected, c.States[1].Coolant = &wet, []string{"charger", "pump"}, fault.CoolantIn
	}), "")
	for _, want := range []states.Change{{Kind: states.Disconnect, ID: "charger"}, {Kind: states.Disconnect, ID: "pump"}, {Kind: states.Connect, ID: "bench supply"},
		{Kind: states.Wet, To: states.IsDry}, {Kind: states.Wet}, {Kind: states.Torqued, To: states.IsTorqued}, {Kind: states.Coolant, To: fault.CoolantOut}} {
		if !slices.Contains(rest, want) {
			t.Errorf("%q is not offered", want.Verb())
		}
	}
	for _, not := range []states.Change{{Kind: states.Connect, ID: "charger"}, {Kind: states.Wet, To: states.IsWet}, {Kind: states.Torqued}, {Kind: states.Coolant, To: fault.CoolantIn}} {
		if slices.Contains(rest, not) {
			t.Errorf("%q is so already", not.Verb())
		}
	}
	headings := map[string]bool{}
	last := ""
	for _, c := range rest {
		if h := c.Heading(); h != last {
			if headings[h] {
				t.Errorf("%q comes twice", h)
			}
			headings[h], last = true, h
		}
	}
	if len(headings) != 3 {
		t.Errorf("headings %v", headings)
	}
}

func TestTyped_WordsAndNumbers(t *testing.T) {
	for text, want := range map[string]states.Change{"-4,5": {Kind: states.Celsius, To: "-4.5"}, " 23 °C": {Kind: states.Celsius, To: "23"}} {
		if got, err := states.Typed(states.Celsius, text); err != nil || got != want {
			t.Errorf("%q gives %+v, %v", text, got, err)
		}
	}
	if got, err := states.Typed(states.Connect, " pump "); err != nil || got.ID != "pump" {
		t.Errorf("%+v, %v", got, err)
	}
	for _, bad := range []struct {
		kind states.Kind
		text string
	}{{states.Connect, " "}, {states.Celsius, ""}, {states.Celsius, "warm"}, {states.Celsius, "2000"}, {states.Humidity, "101"}, {states.Humidity, "-1"}, {states.Humidity, "NaN"}} {
		if got, err := states.Typed(bad.kind, bad.text); err == nil {
			t.Errorf("%q gives %+v", bad.text, got)
		}
	}
}

// A change that can bring voltage back says that the make-safe readings are of before.
func TestPreview_MakeSafeIsLeftBehind(t *testing.T) {
	v := 0.0
	proved := func(c *fault.Case) {
		c.MakeSafe = []fault.MakeSafe{{ID: "k1", Item: fault.SafePoles, State: "split", Value: &v}}
	}
	for name, x := range map[string]struct {
		change states.Change
		want   bool
	}{
		"contactors closed": {states.Change{Kind: states.Contactors, To: fault.Closed}, true},
		"link closed":       {states.Change{Kind: states.Close, ID: "SD"}, true},
		"connected":         {states.Change{Kind: states.Connect, ID: "charger"}, true},
		"link opened":       {states.Change{Kind: states.Open, ID: "L02"}, false},
		"dry":               {states.Change{Kind: states.Wet, To: states.IsDry}, false},
	} {
		if got := text(states.Preview(pack(proved), x.change)); strings.Contains(got, "read and prove again after it") != x.want {
			t.Errorf("%s:\n%s", name, got)
		}
	}
	if got := text(states.Preview(pack(nil), states.Change{Kind: states.Close, ID: "SD"})); strings.Contains(got, "prove the isolation") {
		t.Errorf("without a record:\n%s", got)
	}
}
