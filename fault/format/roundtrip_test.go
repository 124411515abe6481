package format_test

import (
	"bytes"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"

	"halfsplit/fault/format"
)

// What was read and written again is read as the same, and the second writing
// gives the same bytes.
func TestWriteCase_ReadsBackEqual(t *testing.T) {
	for name, data := range cases(t) {
		t.Run(name, func(t *testing.T) {
			c, notes, err := format.ReadCase(name, data, nil)
			if err != nil || len(notes) > 0 {
				t.Fatalf("error %v, notes %v", err, notes)
			}
			raw, err := format.WriteCase(c)
			if err != nil {
				t.Fatal(err)
			}
			again, _, err := format.ReadCase(name, raw, nil)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(c, again, cmpopts.EquateNaNs()); d != "" {
				t.Error(d)
			}
			if !bytes.Equal(data, raw) {
				t.Errorf("the file in the repository is not as WriteCase lays it out")
			}
			layout := layoutOf(t, name, data)
			l, _, err := format.ReadLayout(name, layout)
			if err != nil {
				t.Fatal(err)
			}
			if d := cmp.Diff(c.Layout, l); d != "" {
				t.Error(d)
			}
		})
	}
}

// full has an unknown field in every object that can have one, and every
// optional field.
const full = `{"format": "halfsplit-case/1", "title": "all of it", "now": "s", "x0": {"deep": [1, 2.50, 1e3]},
 "layout": {"format": "halfsplit-layout/1", "name": "n", "seen_from": "below", "working_volts": 9, "nominal_volts": 7.4, "x1": 1,
  "stacks": [{"id": "A", "x": 1, "y": 2, "tier": 1, "angle": 90, "x2": null}],
  "modules": [{"id": "M", "stack": "A", "series": 2, "parallel": 3, "x": 1, "y": 2, "w": 3, "h": 4, "angle": 5, "minus": "top", "label": "a<b>&c", "monitor_index": [2, 1], "chemistry": "lfp", "cell_ah": 50, "mass_kg": 1.5, "x3": "<>"}],
  "links": [{"id": "K-", "kind": "contactor", "from": "M-", "to": "pack-", "minutes": 0, "fasteners": "2 x M8", "torque_nm": 9.5, "torque_source": "the manual", "x4": []}],
  "boards": [{"id": "B", "taps": ["M.0", "M.1", "M+"], "minutes": 2, "x5": {}}],
  "monitor": {"from": ["M-", "pack+"], "to": "chassis:tray", "ohms": 1200000, "x6": true},
  "chassis": [{"id": "tray", "x7": 7}, {"id": "lid"}],
  "bonds": [{"id": "b", "from": "tray", "to": "lid", "ohms": null, "x8": 8}],
  "parts": [{"id": "p", "kind": "cover", "over": ["M", "B", "K-"], "holds": ["A", "tray"], "minutes": 4, "people": 2, "mass_kg": 3, "x9": 9}],
  "underlays": [{"id": "u", "photo": "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff", "name": "from above.jpg", "tier": 1, "corners": [[1, 2], [3000.5, 0], [3000, 2000], [0, 1999]], "x": 1, "y": -2, "w": 2000, "h": 1200, "angle": 90, "opacity": 0.5, "locked": true, "x20": 1}],
  "sketch": [{"tier": -1, "points": [[1, 2], [1.5, 2.25]], "x21": {}}, {"points": [[0, 0]]}],
  "numbering_proof": {"of": "the monitor's indices", "done": "M01 warmed", "who": "a", "when": "in March", "x22": 1},
  "order_volts": {"reference": "B-", "meter": {"name": "bench", "gain_pct": 0.5, "counts": 2, "range": 60, "x23": 1}, "at": "2026-03-02T10:04:00Z", "who": "a", "values": [{"terminal": "M-", "volts": 0, "x24": 1}, {"terminal": "M+", "volts": 7.4, "raw": "7,40"}], "x25": 1}},
 "instruments": [{"id": "i", "kind": "voltmeter", "gain_pct": 0, "counts": 0, "input_ohms": 11000000, "input_tol_pct": 1, "ranges": [{"max": 6, "count": 0.001, "input_ohms": 10000000, "x10": 1}], "x11": 1}],
 "resistors": [{"id": "R", "ohms": 1000, "tol_pct": 0, "watts": 1, "max_volts": 500, "x12": 1}],
 "states": [{"id": "s", "open": ["K-"], "unplugged": ["B"], "removed": [], "connected": ["laptop"], "contactors": "closed", "monitor": "active", "boards": "out", "wet": false, "torqued": true, "coolant": "out", "celsius": -3.5, "humidity_pct": 61, "x13": 1}],
 "group_volts": [{"module": "M", "state": "s", "at": "2026-03-02T10:04:00+01:00", "instrument": "i", "volts": [3.7, null], "source": "list", "x14": 1}],
 "readings": [{"id": "r1", "at": "2026-03-02T10:04:00.5Z", "state": "s", "quantity": "volts", "red": "K-@M-", "black": "chassis:lid", "value": -3.5, "raw": "-3,5", "relation": ">", "instrument": "i", "range": 6, "resistor": {"id": "R", "from": "M+", "to": "chassis", "x15": 1}, "test_volts": -500, "together_with": "r2", "after_touch_s": 0, "who": "a", "note": "b", "x16": 1},
  {"id": "r2", "state": "s", "quantity": "volts", "red": "M.1", "black": "chassis", "value": 1, "resistor": "R", "supersedes": "r3", "why": "c", "stands": "read twice"},
  {"id": "r3", "state": "s", "quantity": "celsius", "red": "M", "value": -12}],
 "noted": [{"id": "n1", "at": "2026-03-02T10:10:00Z", "who": "a", "place": "B", "what": "wet", "why": "drops under the cover", "x17": 1}, {"id": "n2", "place": "M.1", "what": "mark"}, {"id": "n3", "place": "K-", "what": "other"}],
 "make_safe": [{"id": "k1", "at": "2026-03-02T09:10:00Z", "who": "a", "state": "s", "item": "before", "point": "at the main connector", "text": "t", "date": "2026-01-31", "value": 689.5, "raw": "689,5", "known_volts": 690, "tol_pct": 2, "ohms": 30000, "instrument": "i", "x18": 1}, {"id": "k2", "item": "lock", "text": "14"}, {"id": "k3", "item": "reason", "text": "the lock was taken over from the shift before", "lacked": ["no lock"]}, {"id": "k4", "item": "minus", "value": -0.2}],
 "minutes": {"K-": 2.5, "B": 0}}`

func TestRead_KeepsAndNotesUnknownFields(t *testing.T) {
	c, notes, err := format.ReadCase("full", []byte(full), nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(notes) != 25 {
		t.Errorf("%d notes, want 25: %v", len(notes), notes)
	}
	places := map[string]bool{}
	for _, n := range notes {
		places[n.Place] = true
	}
	for _, p := range []string{"x0", "layout.modules[0].x3", "layout.underlays[0].x20", "layout.sketch[0].x21", "layout.numbering_proof.x22", "layout.order_volts.meter.x23", "layout.order_volts.values[0].x24", "layout.order_volts.x25", "readings[0].resistor.x15", "instruments[0].ranges[0].x10", "noted[0].x17", "make_safe[0].x18"} {
		if !places[p] {
			t.Errorf("no note on %s", p)
		}
	}
	raw, err := format.WriteCase(c)
	if err != nil {
		t.Fatal(err)
	}
	again, notes2, err := format.ReadCase("full", raw, nil)
	if err != nil {
		t.Fatalf("%v\n%s", err, raw)
	}
	if d := cmp.Diff(c, again, cmpopts.EquateNaNs()); d != "" {
		t.Error(d)
	}
	if len(notes2) != len(notes) {
		t.Errorf("%d notes after writing, %d before", len(notes2), len(notes))
	}
	for _, piece := range []string{`"x0": {"deep": [1, 2.50, 1e3]}`, `"x3": "<>"`, `"label": "a<b>&c"`, `"x15": 1`, `"points": [[1, 2], [1.5, 2.25]]`, `"corners": [[1, 2], [3000.5, 0], [3000, 2000], [0, 1999]]`, `"holds": ["A", "tray"]`, `"torque_nm": 9.5`, `"raw": "-3,5"`, `{"terminal": "M+", "volts": 7.4, "raw": "7,40"}`, `"boards": "out"`, `"minutes": {"B": 0, "K-": 2.5}`} {
		if !bytes.Contains(raw, []byte(piece)) {
			t.Errorf("%s is not written back as it came", piece)
		}
	}
}
