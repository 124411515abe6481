package csvout_test

import (
	"encoding/csv"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/csvout"
	"halfsplit/topology"
)

func ptr[T any](v T) *T { return &v }

// record has one of everything.
func record() casebook.Record {
	c := fault.Case{States: []fault.State{{ID: "split", Open: []string{"SD"}, Contactors: fault.Open, Wet: ptr(false)}},
		Instruments: []fault.Instrument{{ID: "dmm", Kind: "voltmeter", GainPct: .5, Counts: 2, InputOhms: 1e7}}}
	r := fault.Reading{ID: "r1", At: "2026-03-02T10:04:00Z", State: "split", Quantity: fault.Volts, Red: "M03+", Black: "chassis:tray", Value: -7.5, Raw: "-7,5", Instrument: "dmm",
		Range: 60, Resistor: &fault.Fitted{ID: "R200k", From: "M03+", To: "chassis"}, AfterTouchS: ptr(0.), Who: "Anna", Note: "two\nlines, \"quoted\"", Extra: topology.Extra{"later": json.RawMessage("1")}}
	r2 := fault.Reading{ID: "r2", State: "split", Quantity: fault.Insulation, Red: "M03+", Black: "chassis", Value: 2e9, Relation: fault.Greater, Raw: "OL", TestVolts: -500, Supersedes: "r1", Why: "typed wrong"}
	return casebook.Record{Case: c, Book: "book", Head: fault.Head{Seq: 412, Hash: strings.Repeat("9f3a07c1", 8)},
		Readings: []casebook.RecordedReading{{Reading: r, Key: "k1", Event: 3, Layout: 2, SupersededBy: "r2"}, {Reading: r2, Key: "k2", Event: 4, Layout: 2, Withdrawn: &casebook.Entry{At: "2026-03-02T11:00:00Z", Who: "Ben", Why: "probe slipped"}}},
		Volts:    []casebook.RecordedVolts{{Module: "M01", State: "split", Source: "monitor list", Key: "g1", Event: 5, Layout: 1, Group: 1, Volts: ptr(3.622)}, {Module: "M01", State: "gone", Key: "g1", Event: 5, Layout: 1, Group: 2, Later: true}}}
}

// Every field of every value is in its column, and unknown is never zero.
func TestWrite_EveryField(t *testing.T) {
	var b strings.Builder
	if err := csvout.Write(&b, record()); err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	if err != nil || len(lines) != 5 {
		t.Fatalf("%d lines: %v", len(lines), err)
	}
	got := func(line int) map[string]string {
		m := map[string]string{}
		for i, name := range lines[0] {
			m[name] = lines[line][i]
		}
		return m
	}
	for line, want := range map[int]map[string]string{
		1: {"kind": "reading", "label": "r1", "key": "k1", "event": "3", "at": "2026-03-02T10:04:00Z", "state": "split", "state_in_words": "recorded: SD open; contactors open; monitor not recorded; dry",
			"quantity": "volts", "red": "M03+", "black": "chassis:tray", "relation": "=", "value": "-7.5", "unit": "V", "raw": "-7,5", "instrument": "dmm",
			"instrument_in_words": "voltmeter, ± (0.5 % + 2 counts), input 1e+07 ohm", "range": "60", "test_resistor": "R200k", "resistor_to": "chassis", "test_volts": "",
			"seconds_after_touch": "0", "who": "Anna", "note": "two\nlines, \"quoted\"", "superseded_by": "r2", "counts": "no, superseded", "further_fields": `{"later":1}`, "log_head": record().Head.String(), "casebook": "book"},
		2: {"relation": ">", "value": "2e+09", "unit": "ohm", "raw": "OL", "test_volts": "-500", "supersedes": "r1", "why": "typed wrong", "counts": "no, withdrawn",
			"withdrawn_at": "2026-03-02T11:00:00Z", "withdrawn_by": "Ben", "withdrawn_why": "probe slipped", "seconds_after_touch": "", "range": ""},
		3: {"kind": "group volts", "module": "M01", "group": "1", "value": "3.622", "unit": "V", "source": "monitor list", "counts": "yes", "layout_version": "1"},
		4: {"value": "not measured", "relation": "", "state_in_words": "taken back", "counts": "no, superseded", "log_head": record().Head.String()},
	} {
		is := got(line)
		for name, v := range want {
			if is[name] != v {
				t.Errorf("line %d: %s is %q, want %q", line, name, is[name], v)
			}
		}
	}
}

// How the instrument's calibration stood is told of every value, by the day of its
// reading; what is not recorded is not taken to be in date.
func TestWrite_Calibration(t *testing.T) {
	r := record()
	r.Case.Instruments = []fault.Instrument{{ID: "dmm", Calibrated: "2025-02-01", CalDue: "2026-01-31"}, {ID: "old"}}
	r.Readings, r.Volts = nil, []casebook.RecordedVolts{{Module: "M01", Instrument: "dmm", At: "2026-02-01T08:00:00Z"}}
	for _, x := range [][2]string{{"dmm", "2026-01-31T23:59:00Z"}, {"dmm", "2026-02-01T00:01:00Z"}, {"dmm", "2025-01-01T10:00:00Z"}, {"dmm", ""}, {"old", "2026-02-01T00:01:00Z"}, {"", "2026-02-01T00:01:00Z"}} {
		r.Readings = append(r.Readings, casebook.RecordedReading{Reading: fault.Reading{Quantity: fault.Volts, Instrument: x[0], At: x[1]}})
	}
	var b strings.Builder
	if err := csvout.Write(&b, r); err != nil {
		t.Fatal(err)
	}
	lines, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	due, stood := slices.Index(csvout.Columns, "calibration_due"), slices.Index(csvout.Columns, "calibration_at_reading")
	var got [][2]string
	for _, l := range lines[1:] {
		got = append(got, [2]string{l[due], l[stood]})
	}
	want := [][2]string{{"2026-01-31", "not yet due"}, {"2026-01-31", "overdue"}, {"2026-01-31", "before its calibration"}, {"2026-01-31", "not recorded"},
		{"not recorded", "not recorded"}, {"not recorded", "not recorded"}, {"2026-01-31", "overdue"}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}
