package facts_test

import (
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/facts"
)

func TestTapOf(t *testing.T) {
	p := facts.New(fault.Case{Readings: []fault.Reading{{ID: "r1", Red: "M14+", Black: "chassis"}, {ID: "r2", Red: "chassis:tray", Black: "M01-"}}}, facts.Result{})
	for id, want := range map[string]string{"node:M03.4": "M03.4", "reading:r1": "M14+", "reading:r2": "M01-", "reading:r9": "", "module:M01": "", "": ""} {
		if got, ok := p.TapOf(id); got != want && ok || ok != (want != "") {
			t.Errorf("%q stands for %q, %v; want %q", id, got, ok, want)
		}
	}
}
