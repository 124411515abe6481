package makesafe_test

import (
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/makesafe"
)

func TestLines_WhatStandsAndWhatWasReplaced(t *testing.T) {
	c := whole()
	c.MakeSafe = append(c.MakeSafe,
		fault.MakeSafe{Item: fault.SafeLock, Text: "15", Who: "Ben"},
		fault.MakeSafe{Item: fault.SafePoles, Value: num(0.1), Point: "the inverter", At: "2026-03-02T10:20:00+01:00"},
		fault.MakeSafe{Item: fault.SafeReason, Who: "A. Novak", At: "2026-03-02T11:00:00+01:00", Text: "The readings at the inverter follow tomorrow.", Lacked: []string{"+ to chassis at the inverter: not measured."}})
	got := ""
	for _, l := range makesafe.Lines(&c) {
		got += l.Name + ": " + l.Text + "\n"
	}
	for _, want := range []string{
		"Lock: 15, recorded by Ben; one earlier entry is superseded\n", "The maker's wait: 5 min, service sheet 12\n", "The wait began: 2026-03-02 10:00\n",
		"Proving before: 689 V shown of a known 690 V, dmm, 2026-03-02 10:02\n", "Pole to pole: 0.012 V, dmm, 2026-03-02 10:06\n",
		"Pole to pole at the inverter: 0.1 V, 2026-03-02 10:20\n", "+ to chassis at the inverter: not measured\n",
		"Reason to go on: The readings at the inverter follow tomorrow. A. Novak, 2026-03-02 11:00. It was lacking: + to chassis at the inverter: not measured.\n",
	} {
		if !strings.Contains(got, want) {
			t.Errorf("lacks %q:\n%s", want, got)
		}
	}
	if l := makesafe.Lines(&fault.Case{}); l != nil {
		t.Errorf("of no record: %v", l)
	}
}

func TestFarads(t *testing.T) {
	for v, want := range map[float64]string{1e-3: "1 mF", 470e-6: "470 µF", 0.44e-6: "440 nF", 1e-6: "1 µF", 20e-9: "20 nF", 1.5: "1500 mF"} {
		if got := makesafe.Farads(v); got != want {
			t.Errorf("%g F: %q, want %q", v, got, want)
		}
	}
}

func TestWaitEnds(t *testing.T) {
	began := fault.MakeSafe{Item: fault.SafeBegan, At: "2026-03-02T10:00:00+01:00"}
	if at, ok := makesafe.WaitEnds(began, fault.MakeSafe{Value: num(7.5)}); !ok || at != "2026-03-02T10:07:30+01:00" {
		t.Errorf("%q, %v", at, ok)
	}
	if _, ok := makesafe.WaitEnds(began, fault.MakeSafe{}); ok {
		t.Error("it ends without minutes")
	}
	if _, ok := makesafe.WaitEnds(fault.MakeSafe{}, fault.MakeSafe{Value: num(5)}); ok {
		t.Error("it ends without having begun")
	}
}
