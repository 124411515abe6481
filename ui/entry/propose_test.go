package entry_test

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/entry"
	"halfsplit/ui/facts"
	"halfsplit/ui/sample"
)

var none = fault.Range2{Low: fault.NoNumber, High: fault.NoNumber}

func TestPropose_LeadsResistorMeterAndRange(t *testing.T) {
	p := pack()
	for name, c := range map[string]struct {
		n     fault.NextTest
		kind  entry.Kind
		rng   float64
		title string
	}{
		"to chassis":    {fault.NextTest{Red: "M11-", Black: "chassis", Instrument: "dmm", Range: 60}, entry.ToChassis, 60, "M11- to chassis"},
		"with resistor": {fault.NextTest{Red: "M11-", Black: "chassis:lid", Resistor: "R200k", Instrument: "dmm", Range: 600}, entry.WithResistor, 600, "M11- to chassis:lid with R200k"},
		"across a link": {fault.NextTest{Red: "M08-", Black: "M07+", Instrument: "dmm", Range: 60}, entry.Across, 60, "Across SD"},
		"a module":      {fault.NextTest{Red: "M03+", Black: "M03-", Instrument: "dmm", Range: 60}, entry.ModuleVolts, 60, "Module volts, M03"},
		"two places":    {fault.NextTest{Red: "M03+", Black: "M01-", Instrument: "dmm", Range: 600}, entry.Between, 600, "M03+ to M01-"},
		"no such range": {fault.NextTest{Red: "M11-", Black: "chassis", Instrument: "dmm", Range: fault.NoNumber}, entry.ToChassis, 0, "M11- to chassis"},
		"no meter":      {fault.NextTest{Red: "M11-", Black: "chassis", Range: 600}, entry.ToChassis, 0, "M11- to chassis"},
	} {
		t.Run(name, func(t *testing.T) {
			c.n.Expected, c.n.GapVolts = none, none
			f := entry.Propose(p, c.n, entry.Form{Raw: "3", Last: "before", Comma: true})
			if f.Kind != c.kind || f.Range != c.rng || f.Title() != c.title || f.Instrument != "dmm" || f.Raw != "" || f.Last != "before" || !f.Comma {
				t.Errorf("%q: %+v", f.Title(), f)
			}
			r, err := typed(f, "12.3").Reading(p)
			if err != nil || r.Red != c.n.Red || r.Black != c.n.Black || (r.Resistor != nil) != (c.n.Resistor != "") {
				t.Errorf("%v: %+v", err, r)
			}
		})
	}
}

func TestPropose_AResistorApartFromTheProbes(t *testing.T) {
	p := pack()
	f := entry.Propose(p, fault.NextTest{Red: "M08-", Black: "chassis:tray", Resistor: "R200k", ResistorFrom: "M14+", ResistorTo: "chassis:lid", Expected: none, GapVolts: none}, entry.Form{})
	want := fault.Fitted{ID: "R200k", From: "M14+", To: "chassis:lid"}
	if r, err := typed(f, "-100").Reading(p); err != nil || *r.Resistor != want {
		t.Errorf("%v: %+v", err, r.Resistor)
	}
	if got := text(p, f); !strings.Contains(got, "from M14+ to chassis:lid, not across the probes") {
		t.Errorf("the sheet says\n%s", got)
	}
	// At another place it is across the probes again.
	if r, _ := typed(f.Change(p, entry.RedLead, 1), "-100").Reading(p); *r.Resistor != (fault.Fitted{ID: "R200k", From: r.Red, To: r.Black}) {
		t.Errorf("%+v", r.Resistor)
	}
}

func TestPropose_ExpectedAfterTypingAndForThatReadingOnly(t *testing.T) {
	p := pack()
	f := entry.Propose(p, fault.NextTest{Red: "M14+", Black: "chassis", Instrument: "dmm", Range: 600, Expected: fault.Range2{Low: 120, High: 128}, GapVolts: none}, entry.Form{})
	const said = "120.0 to 128.0 V"
	if strings.Contains(text(p, f), said) {
		t.Error("it shows before anything is typed")
	}
	for raw, want := range map[string]string{"125.9": "agrees with it", "-125.9": "The other sign?", "12.59": "A tenth?", "90": "Outside of what was expected"} {
		if got := text(p, typed(f, raw)); !strings.Contains(got, want) || !strings.Contains(got, said) {
			t.Errorf("%s: %q is missing in\n%s", raw, want, got)
		}
	}
	other := typed(f.Change(p, entry.RedLead, -1), "125.9")
	if got := text(p, other); strings.Contains(got, said) {
		t.Errorf("at %s it says\n%s", other.Red, got)
	}
	c := sample.Case()
	c.Now = "closed"
	if got := text(facts.New(c, facts.Result{}), typed(f, "125.9")); strings.Contains(got, said) {
		t.Errorf("in another state it says\n%s", got)
	}
}

// A gap is compared with its prediction, as the meter shows it, and not with zero.
func TestAcross_AGapAgainstItsPrediction(t *testing.T) {
	p := pack() // SD is open; both sides are read
	f := entry.Begin(p, "link:SD", entry.Form{})
	l, _ := p.Net.Link("SD")
	g := p.GapOf(l)
	if !g.Known || math.IsNaN(g.OnMeter) {
		t.Fatalf("%+v", g)
	}
	if got := text(p, f); strings.Contains(got, "Expected") {
		t.Errorf("before anything is typed it says\n%s", got)
	}
	for raw, want := range map[string]string{"-19.3": "agrees with it", "0.00": "Stop.", "171": "Stop.", "300": "something bridges the gap at SD"} {
		if got := text(p, typed(f, raw)); !strings.Contains(got, want) {
			t.Errorf("%s: %q is missing in\n%s", raw, want, got)
		}
	}
	for _, copied := range []string{"18.5", "-20.4"} { // the ends, as they are shown
		if got := text(p, typed(f, copied)); !strings.Contains(got, "to the last digit") {
			t.Errorf("%s is not doubted:\n%s", copied, got)
		}
	}
	n := fault.NextTest{Red: "M08-", Black: "chassis", State: fault.StateChange{Open: []string{"SD"}}, Expected: none, GapVolts: fault.Range2{Low: 0.66, High: 131}}
	bare := facts.New(sample.Case(), facts.Result{}) // neither side is read yet
	wide := entry.Propose(bare, n, entry.Form{}).AcrossGap(bare)
	for raw, want := range map[string]string{"0.00": "Expected 0.66 to 130 V, not measured; this is far from it", "50": "agrees with it", "160": "Stop."} {
		if got := text(bare, typed(wide, raw)); !strings.Contains(got, want) {
			t.Errorf("%s: %q is missing in\n%s", raw, want, got)
		}
	}
	c := sample.Case()
	c.Layout.Links[0].Kind = topology.Disconnect
	c.States[1].Open = append(c.States[1].Open, "L01")
	unknown := facts.New(c, facts.Result{})
	if got := text(unknown, typed(entry.Begin(unknown, "link:L01", entry.Form{}), "0.00")); strings.Contains(got, "Stop") || strings.Contains(got, "agrees") {
		t.Errorf("where nothing is expected it says\n%s", got)
	}
}

// A proposed reading is still there after the program was ended.
func TestPropose_ComesBack(t *testing.T) {
	p := pack()
	f := typed(entry.Propose(p, sample.Finding().Next[1], entry.Form{}), "75")
	raw, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	var g entry.Form
	if err := json.Unmarshal(raw, &g); err != nil {
		t.Fatal(err)
	}
	if g, ok := g.Restore(p); !ok || g != f || !g.IsProposed(p) {
		t.Errorf("came back as %+v", g)
	}
}
