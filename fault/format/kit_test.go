package format_test

import (
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/fault/format"
	"halfsplit/topology"
)

// What is described of instruments, their proving log, and what a connected meter
// answered come back from a file as they were, with fields of a later version.
func TestCase_KitRoundTrip(t *testing.T) {
	later := topology.Extra{"later": json.RawMessage("1")}
	none, five, known := 0.0, 5.0, 690.0
	c := fault.Case{Layout: topology.Layout{Modules: []topology.Module{}}, States: []fault.State{{ID: "s"}},
		Instruments: []fault.Instrument{{ID: "dmm", Kind: "multimeter", GainPct: 0.5, Counts: 2, Serial: "0001", Calibrated: "2025-01-15", CalDue: "2026-01-14",
			Ratings: []fault.Rating{{Category: "III", Volts: 1000, Extra: later}, {Category: "IV", Volts: 600}},
			Ranges:  []fault.Range{{Max: 600, Count: 0.1, GainPct: &none, Counts: &five}},
			Functions: []fault.Function{{Quantity: fault.Ohms, GainPct: 1, Counts: 3, InputOhms: 5, InputTolPct: 2, Extra: later,
				Ranges: []fault.Range{{Max: 600, Count: 0.1, Extra: later}, {Max: 6000, Count: 1, GainPct: &five}}}}}},
		Resistors: []fault.Resistor{{ID: "R", Ohms: 2e5, TolPct: 1, Serial: "7"}},
		Readings:  []fault.Reading{{ID: "r1", State: "s", Quantity: fault.Celsius, Value: 20, Answer: "+2.0E+01", AnsweredBy: "A,B,C,D"}},
		Provings: []fault.Proving{{At: "2026-03-02T09:05:00Z", Who: "Ben", Instrument: "dmm", When: fault.ProvedBefore, Source: "prover", Known: &known, Point: "high", Shown: 689, Raw: "689", Note: "n", Extra: later},
			{Instrument: "dmm", Shown: 9, Answer: "9", AnsweredBy: "A,B,C,D"}}}
	raw, err := format.WriteCase(c)
	if err != nil {
		t.Fatal(err)
	}
	got, _, err := format.ReadCase("case", raw, nil)
	if err != nil {
		t.Fatalf("%v\n%s", err, raw)
	}
	for name, pair := range map[string][2]any{"instruments": {c.Instruments, got.Instruments}, "resistors": {c.Resistors, got.Resistors}, "readings": {c.Readings, got.Readings}, "provings": {c.Provings, got.Provings}} {
		if d := cmp.Diff(pair[0], pair[1]); d != "" {
			t.Errorf("%s: %s", name, d)
		}
	}
}
