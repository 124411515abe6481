package casebook_test

import (
	"context"
	"encoding/json"
	"math"
	"path/filepath"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/topology"
)

// furnish puts something into every table.
func furnish(t testing.TB, b *casebook.Book) (caseID string) {
	t.Helper()
	layout := must(b.ImportLayout(bench(), []byte("the file it came from"), anna)).or(t)
	id := must(b.NewCase(layout, begun("warning in the rain"), anna)).or(t)
	check(t, b.SetSymptom(id, "only after a wash", anna))
	first := must(b.AddReading(id, volts("M03+", "chassis", 5.25), anna)).or(t)
	must(b.SupersedeReading(id, first.ID, volts("M03+", "chassis", 15.25), why("digit missed"))).or(t)
	check(t, b.AddGroupVolts(id, []fault.GroupVolts{{Module: "M01", State: "closed", Volts: []float64{3.622, math.NaN()}, Source: "monitor list"}}, anna))
	check(t, b.EnterGroupVolts(id, "M01", "closed", "", 2, 3.618, anna))
	five, sixty := 5.5, 60.0
	must(b.RecordState(id, fault.State{Open: []string{"SD"}, Contactors: fault.Open, Monitor: fault.MonitorDisconnected, Boards: fault.BoardsOut,
		Coolant: fault.CoolantOut, Celsius: &five, Humidity: &sixty}, anna)).or(t)
	r := volts("M01-", "chassis:tray", -7.5)
	r.State, r.Resistor, r.Raw, r.Who = "s2", &fault.Fitted{ID: "R200k", From: "M01-", To: "chassis"}, "-7,5", "Ben"
	must(b.AddReading(id, r, anna)).or(t)
	if name, err := b.Undo(id, why("typed into the wrong state")); err != nil || name != "M01- to chassis:tray with R200k -7.5 V" {
		t.Fatal(name, err)
	}
	must(b.AddReading(id, fault.Reading{State: "s2", Quantity: fault.Insulation, Red: "M02+", Black: "chassis", Value: 2e9, Relation: fault.Greater, Raw: "OL", TestVolts: 500, Stands: "read twice, with new leads"}, anna)).or(t)
	_, info, err := b.Case(id)
	check(t, err)
	check(t, b.SaveFinding(id, info.Revision, findingJSON("narrowed", "M02")))
	must(b.AddNoted(id, fault.Noted{At: "2026-03-02T10:15:00Z", Who: "Ben", Place: "M02.1", What: fault.NotedMark, Why: "green at the sense lead",
		Extra: topology.Extra{"later": json.RawMessage("1")}}, anna)).or(t)
	must(b.AddNoted(id, fault.Noted{Place: "B1", What: fault.NotedWet}, anna)).or(t)
	must(b.AddPhoto(id, "plan", "lid off.jpg", []byte("a picture"), anna)).or(t)
	twelve := 12.5
	check(t, b.SetMinutes(id, "L1", &twelve, anna))
	known, shown := 690.0, 689.5
	must(b.AddMakeSafe(id, fault.MakeSafe{Item: fault.SafeLock, Text: "14", Who: "Ben", Extra: topology.Extra{"later": json.RawMessage("1")}}, anna)).or(t)
	must(b.AddMakeSafe(id, fault.MakeSafe{At: "2026-03-02T09:10:00Z", Who: "Ben", State: "s2", Item: fault.SafeBefore, Value: &shown, Raw: "689.5", Known: &known, Instrument: "dmm"}, anna)).or(t)
	in := theCase(t, b, id).Instruments[0]
	check(t, b.ReviseInstrument(id, calibrated(in), anna))
	check(t, b.AddResistor(id, fault.Resistor{ID: "R1M", Ohms: 1.002e6, TolPct: 1, Serial: "7"}, anna))
	must(b.AddProvings(id, []fault.Proving{{At: "2026-03-02T09:05:00Z", Who: "Ben", Instrument: "dmm", When: fault.ProvedBefore, Source: "prover 3", Known: &known, Point: "high", Shown: 689.5,
		Raw: "689.5", Extra: topology.Extra{"later": json.RawMessage("1")}}, {Instrument: "dmm", Shown: 9.1, Answer: "+9.1E+00", AnsweredBy: "A,B,C,D", Note: "low"}}, anna)).or(t)
	answered := volts("M02+", "chassis", 9.25)
	answered.Answer, answered.AnsweredBy = "+9.25E+00", "A,B,C,D"
	must(b.AddReading(id, answered, anna)).or(t)
	check(t, b.SetSetting("emergency", "Call the foreman.", anna))
	check(t, b.SetSetting("emergency", "Call the foreman: 112.", anna))
	changed := bench()
	changed.Modules[0].X = 10
	check(t, b.SaveLayout(layout, changed, "move M01", anna))
	sha := must(b.AddLayoutPhoto(layout, "from above.png", []byte(onePixel), anna)).or(t)
	must(b.AddLayoutPhoto(layout, "blurred.png", []byte(onePixel+"and more"), anna)).or(t)
	must(b.Undo(layout, anna)).or(t)
	changed.Underlays = over(sha).Underlays
	check(t, b.SaveLayout(layout, changed, "lay a photo under", anna))
	elsewhere(t, b, id)
	for _, s := range must(b.Signables(id)).or(t) {
		if s.What == casebook.SignState {
			must(b.Sign(id, s, "Anna Example", "technician", "as found", anna)).or(t)
		}
	}
	return id
}

// calibrated is an instrument with everything described.
func calibrated(in fault.Instrument) fault.Instrument {
	gain, counts := 1.0, 3.0
	in.Serial, in.Calibrated, in.CalDue = "0001", "2025-01-15", "2026-01-14"
	in.Ratings = []fault.Rating{{Category: "III", Volts: 1000, Extra: topology.Extra{"later": json.RawMessage("1")}}, {Category: "IV", Volts: 600}}
	in.Functions = []fault.Function{{Quantity: fault.Joint, GainPct: 2, Counts: 5, InputTolPct: 1, InputOhms: 1e6, Extra: topology.Extra{"later": json.RawMessage("2")},
		Ranges: []fault.Range{{Max: 0.6, Count: 0.0001, InputOhms: 1e5, GainPct: &gain, Counts: &counts, Extra: topology.Extra{"later": json.RawMessage("3")}}}}}
	in.Ranges = append([]fault.Range(nil), in.Ranges...)
	in.Ranges[0].GainPct, in.Ranges[0].Counts = &gain, &counts
	return in
}

// elsewhere works on the case in another casebook, and takes it in again.
func elsewhere(t testing.TB, b *casebook.Book, id string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "laptop.casebook")
	ctx := context.Background()
	_, _, err := b.WriteOne(ctx, id, path, false, anna)
	check(t, err)
	o := fixedAs("1111", 11)
	o.NoCopies = true
	other := must(casebook.Open(path, o)).or(t)
	check(t, other.SetSymptom(id, "only after a wash, says the driver", casebook.By{Who: "Ben"}))
	check(t, other.Close())
	must(b.TakeIn(ctx, path, id, anna)).or(t)
}

// onePixel is a photo whose bytes do not depend on who encodes it.
const onePixel = "\x89PNG\x0d\x0a\x1a\x0a\x00\x00\x00\x0dIHDR\x00\x00\x00\x01\x00\x00\x00\x01\x08\x00\x00\x00\x00:~\x9bU" +
	"\x00\x00\x00\x0aIDATx\x9cch\x00\x00\x00\x82\x00\x81w\xcdr\xb6\x00\x00\x00\x00IEND\xaeB`\x82"
