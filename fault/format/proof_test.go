package format_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault/format"
	"halfsplit/topology"
)

const twoModules = `{"format": "halfsplit-layout/1", "modules": [{"id": "M01", "series": 4}, {"id": "M02", "series": 4}], `

// A layout that was kept with a text for its proof and an object for its volts loses
// nothing: they are read as what they were, written as fields, and read again the same.
func TestReadLayout_ProofAndVoltsAsTheyWereKeptAtFirst(t *testing.T) {
	old := twoModules + `"numbering_proof": "Kim, by meter at M01",
		"order_volts": {"reference": "M01-", "meter": {"gain_pct": 0.3, "counts": 5, "range": 0}, "values": {"M01+": "14,60", "M02-": "14600 mV", "M02+": "29.2"}}}`
	l, notes, err := format.ReadLayout("x", []byte(old))
	if err != nil || len(notes) > 0 {
		t.Fatalf("%v %v", err, notes)
	}
	if d := cmp.Diff(&topology.NumberingProof{Done: "Kim, by meter at M01"}, l.Proof); d != "" {
		t.Error(d)
	}
	want := &topology.OrderVolts{Reference: "M01-", Meter: &topology.OrderMeter{GainPct: 0.3, Counts: 5}, Values: []topology.TerminalVolts{
		{Terminal: "M01+", Volts: 14.6, Raw: "14,60"}, {Terminal: "M02-", Volts: 14.6, Raw: "14600 mV"}, {Terminal: "M02+", Volts: 29.2, Raw: "29.2"},
	}}
	if d := cmp.Diff(want, l.OrderVolts); d != "" {
		t.Error(d)
	}
	raw, err := format.WriteLayout(l)
	if err != nil {
		t.Fatal(err)
	}
	again, notes, err := format.ReadLayout("x", raw)
	if d := cmp.Diff(l, again); err != nil || len(notes) > 0 || d != "" {
		t.Errorf("%v %v %s", err, notes, d)
	}
	layout, _, _ := schemas(t)
	for name, data := range map[string][]byte{"as at first": []byte(old), "as written": raw} {
		if bad, _ := validate(layout, data); bad != nil {
			t.Errorf("%s: %v", name, bad)
		}
	}
	if bytes.Contains(raw, []byte("null")) {
		t.Errorf("what is not known is written:\n%s", raw)
	}
}

// A value that was kept at first for a terminal that has gone since is left out with a
// note, since a layout may not name what it does not have.
func TestReadLayout_VoltsOfATerminalThatHasGone(t *testing.T) {
	l, notes, err := format.ReadLayout("x", []byte(twoModules+`"order_volts": {"values": {"M01+": "14.6", "M07+": "99.1"}}}`))
	if err != nil || len(notes) != 1 || notes[0].Place != `order_volts.values."M07+"` || !strings.Contains(notes[0].Text, `"99.1" is left out`) {
		t.Fatalf("%v, %+v", err, notes)
	}
	if d := cmp.Diff([]topology.TerminalVolts{{Terminal: "M01+", Volts: 14.6, Raw: "14.6"}}, l.OrderVolts.Values); d != "" {
		t.Error(d)
	}
}

// Nothing measured and nothing proved is nothing, not an empty object.
func TestReadLayout_NoProofAndNoVolts(t *testing.T) {
	for _, data := range []string{`"numbering_proof": null, "order_volts": null}`, `"numbering_proof": ""}`} {
		if l, notes, err := format.ReadLayout("x", []byte(twoModules+data)); err != nil || len(notes) > 0 || l.Proof != nil || l.OrderVolts != nil {
			t.Errorf("%s: %v, %v, %+v, %+v", data, err, notes, l.Proof, l.OrderVolts)
		}
	}
}
