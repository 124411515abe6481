package cli_test

import (
	"context"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/cli"
)

var update = flag.Bool("update", false, "write the printed pages anew")

// example is a finding with something in every field.
func example() fault.Finding {
	iv := func(low, mid, high fault.Number) fault.Interval {
		return fault.Interval{Low: low, Mid: mid, High: high}
	}
	none := fault.NoNumber
	module := func(id string, p fault.Number) fault.Share {
		return fault.Share{ID: id, Kind: fault.PlaceModule, Share: p}
	}
	return fault.Finding{
		Engine: "example/1", Verdict: fault.Narrowed,
		Statement: "A leak sits in M02 or in the cable L1, with less than 12.3 kΩ to chassis. Unplugging board B1 and reading M01+ again would tell them apart.",
		Cautions:  []string{"174 V remains between M01- and M02+. Modules cannot be switched off.", "Every other terminal is live to chassis through the leak."},
		Leaks: []fault.Leak{{
			String: "M01", If: "one leak", Places: []fault.Share{module("M02", .88), {ID: "L1", Kind: fault.PlaceLink, Share: .115}, module("M01", .004), module("M03", .001)},
			Tap: fault.TapRange{Low: "M01.1", Mid: "M02-", High: "M02.1"}, Position: iv(1.02, 2.04, 2.98), Electrical: iv(1.93, 2, 2.07),
			Volts: iv(3.71, 7.4, 11.1), Ohms: fault.Bounded{Low: 0, Mid: none, High: 12345, Relation: fault.Less}, Several: .08,
		}},
		Suspicion:  []fault.Share{module("M02", .8), {ID: "L1", Kind: fault.PlaceLink, Share: .1}},
		Hypotheses: []fault.HypothesisShare{{Kind: fault.One, Share: .9}, {Kind: fault.Spread, Share: .06}, {Kind: fault.None, Share: .0001}},
		Sections: []fault.SectionFinding{
			{State: "closed", String: "M01", From: "M01-", To: "M02+", Volts: 14.8, ChassisVolts: iv(7.31, 7.4, 7.49),
				Ohms: fault.Bounded{Mid: none, High: 12345, Relation: fault.Less}, StandardOhms: 24690, OhmsPerVolt: 1472, Divisor: "working volts", Readings: []string{"r1", "r2", "r3"}},
			{State: "split", String: "M01", From: "M02-", To: "M02+", Volts: none, ChassisVolts: iv(none, none, none),
				Ohms: fault.Bounded{Low: none, Mid: none, High: none, Relation: fault.Equal}, StandardOhms: none, OhmsPerVolt: none},
		},
		Closure: []fault.Closure{{State: "closed", From: "split", Section: "M01-", Predicted: fault.Bounded{Low: 101e3, Mid: 102e3, High: 103e3, Relation: fault.Equal},
			Measured: fault.Bounded{Low: 80e3, Mid: 81e3, High: 82e3, Relation: fault.Equal}, PredictedVolts: iv(7, 7.1, 7.2), MeasuredVolts: iv(7.3, 7.4, 7.5)}},
		Doubts:  []fault.Doubt{{Reading: "r3", Kind: "sign", FitsIf: "its sign is turned: 8.12 V", Odds: 120}},
		Used:    []string{"r1", "r2", "r3", "r5"},
		LeftOut: []fault.LeftOut{{Reading: "r4", Why: "pack+ is in no section while the contactors are open"}, {Reading: "r6", Why: "superseded by r7: typing mistake"}},
		Calibration: []fault.Calibrated{{Instrument: "dmm", Due: "2026-01-14", Stood: "overdue", Words: "calibration overdue: it was due 2026-01-14", Readings: []string{"r1", "r2", "r3"}, Groups: []string{"M01", "M02"}},
			{Stood: "not recorded", Words: "calibration not recorded: not known", Readings: []string{"r5"}}},
		Assumes:   []string{"At most one leak in each section that was read.", "Contactors were open; it was not recorded."},
		WouldTell: "Unplug B1 and read M01+ to chassis.", LimitedBy: "counts", ReferenceProved: true,
		Next: []fault.NextTest{{Action: "Open L1, then red M02-, black chassis.", State: fault.StateChange{Open: []string{"L1"}}, Red: "M02-", Black: "chassis",
			Instrument: "dmm", Range: 60, Resistor: "R1", Across: 7.41, Watts: .0123, Why: "0.80 bits about what must come out in 3 min.",
			Then: []fault.ThenTest{{If: "it reads -7.4 to -7.2 V", Share: .71, Action: "stop: M02, 96 %"}, {If: "it reads above -7.2 V", Share: .29, Action: "unplug B1"}},
			Bits: .8, Minutes: 3, Expected: fault.Range2{Low: -7.4, High: -7.1}, GapVolts: fault.Range2{Low: .2, High: .9}, NotChecked: []string{"board taps: no board is drawn"}, Cautions: []string{"Boards out first if the pack's procedure says so."}}},
		HeldBack: []fault.HeldBack{{Action: "Opening L2", Why: "No boards are drawn."}},
		Why:      []fault.WorkedLine{{What: "State closed, place", Worked: "S = 7.35 V - (-7.31 V) = 14.66 V (r1, r2). f = 7.31 V / 14.66 V = 0.4986."}},
	}
}

func TestLocate_PrintedPage(t *testing.T) {
	p := cli.Program{Find: func(context.Context, fault.Case, []fault.Evidence) (fault.Finding, error) { return example(), nil }}
	path := write(t, "c.json", `{"format": "halfsplit-case/1", "title": "Bench pack of two", "now": "split", "mood": "wet", "layout": `+small+`,
		"states": [{"id": "closed"}, {"id": "split", "open": ["L1"]}],
		"readings": [{"id": "r3", "state": "split", "quantity": "volts", "red": "M02+", "black": "chassis", "value": -8.12, "stands": "read twice, with new leads"}],
		"noted": [{"id": "n1", "place": "M02", "what": "wet", "why": "drops under the cover", "who": "Ada"}, {"id": "n2", "place": "L1", "what": "mark"}]}`)
	code, page, errs := runWith(p.Run, "locate", path)
	if code != 0 || errs != "" {
		t.Fatalf("exit %d, %s", code, errs)
	}
	checkPage(t, page)
	golden := filepath.Join("testdata", "page.txt")
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(golden, []byte(page), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if page != string(want) {
		t.Errorf("the page has changed; run with -update and look at it:\n%s", page)
	}
}

// The present state is said as it was recorded, all boards together among the rest.
func TestLocate_PresentState(t *testing.T) {
	p := cli.Program{Find: func(context.Context, fault.Case, []fault.Evidence) (fault.Finding, error) { return example(), nil }}
	for state, want := range map[string]string{
		`{"id": "s", "open": ["L1"]}`:                      "Present state: s (L1 recorded open, contactors not recorded).",
		`{"id": "s", "open": ["L1"], "unplugged": ["B1"]}`: "Present state: s (L1 recorded open, B1 recorded unplugged, contactors not recorded).",
		`{"id": "s", "connected": ["charger"], "wet": false, "torqued": true, "coolant": "out", "celsius": 5, "humidity_pct": 60}`: "Present state: s (contactors not recorded, charger recorded connected, recorded: dry, mounts torqued, coolant drained, 5 °C, 60 % humidity).",
		`{"id": "s", "unplugged": ["B1"], "boards": "out"}`:                                                                        "Present state: s (all boards recorded unplugged or none fitted, contactors not recorded).",
	} {
		layout := strings.Replace(small, `"links"`, `"boards": [{"id": "B1", "taps": ["M01.1"]}], "links"`, 1)
		path := write(t, "c.json", `{"format": "halfsplit-case/1", "now": "s", "layout": `+layout+`, "states": [`+state+`]}`)
		if _, page, errs := runWith(p.Run, "locate", path); !strings.Contains(strings.Join(strings.Fields(page), " "), want) { // lines are broken to fit
			t.Errorf("%q is missing; %s\n%s", want, errs, page)
		}
	}
}

// A finding under a question carries its mark before anything that it says.
func TestLocate_AFindingUnderAQuestionIsMarked(t *testing.T) {
	p := cli.Program{Find: func(context.Context, fault.Case, []fault.Evidence) (fault.Finding, error) {
		f := example()
		f.WhatIf = "without r3"
		return f, nil
	}}
	path := write(t, "c.json", `{"format": "halfsplit-case/1", "title": "Bench pack of two", "layout": `+small+`, "states": [{"id": "closed"}]}`)
	_, page, _ := runWith(p.Run, "locate", path)
	mark, says := strings.Index(page, "WHAT IF, without r3. Nothing of this is recorded."), strings.Index(page, "A leak sits in M02")
	if mark < 0 || says < mark {
		t.Errorf("the mark is at %d, the statement at %d", mark, says)
	}
}

// A make-safe record prints with what stands, and with the reason that somebody wrote
// and what was lacking then.
func TestLocate_MakeSafeRecordPrints(t *testing.T) {
	p := cli.Program{Find: func(context.Context, fault.Case, []fault.Evidence) (fault.Finding, error) { return example(), nil }}
	path := write(t, "c.json", `{"format": "halfsplit-case/1", "now": "s", "layout": `+small+`, "states": [{"id": "s", "open": ["L1"]}],
		"make_safe": [{"id": "k1", "item": "lock", "text": "13"}, {"id": "k2", "item": "lock", "text": "14", "who": "Ben"},
			{"id": "k3", "item": "before", "at": "2026-03-02T10:02:00Z", "value": 689, "known_volts": 690},
			{"id": "k4", "item": "reason", "at": "2026-03-02T11:00:00Z", "who": "Ada", "text": "The readings are on paper sheet 7.", "lacked": ["Pole to pole: not measured."]}]}`)
	code, page, errs := runWith(p.Run, "locate", path)
	if code != 0 {
		t.Fatal(errs)
	}
	checkPage(t, page)
	flat := strings.Join(strings.Fields(page), " ")
	for _, want := range []string{"Isolating and proving: what persons recorded, no statement about the metal", "14, recorded by Ben; one earlier entry is superseded",
		"689 V shown of a known 690 V, 2026-03-02 10:02", "Pole to pole not measured", "The readings are on paper sheet 7. Ada, 2026-03-02 11:00. It was lacking: Pole to pole: not measured."} {
		if !strings.Contains(flat, want) {
			t.Errorf("%q is missing:\n%s", want, page)
		}
	}
}
