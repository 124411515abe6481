package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/scpi/simulated"
	"halfsplit/ui/entry"
	"halfsplit/ui/store"
)

// meterRig is a desk on the page of a reading, with a meter that is set to d.c. volts,
// chooses its range, and answers so.
func meterRig(t *testing.T, answer simulated.Reply) *rig {
	t.Helper()
	return meterRigBy(t, func(q string) simulated.Reply {
		switch q {
		case "FUNC?":
			return simulated.Line(`"VOLT"`)
		case "VOLT:RANG:AUTO?":
			return simulated.Line("1")
		case "READ?":
			return answer
		}
		return simulated.Usual(q)
	})
}

// meterRigBy is a desk on the page of a reading, with a simulated meter on loopback.
func meterRigBy(t *testing.T, answers func(q string) simulated.Reply) *rig {
	t.Helper()
	address, stop, err := simulated.New(answers).Listen()
	if err != nil {
		t.Fatal(err)
	}
	r := newRig(t, func(d *Deps) { d.Connection = func(string) string { return address } })
	r.runJobs()
	r.typed("0")
	r.key(fyne.KeyHome, fyne.KeyReturn)
	t.Cleanup(func() { r.Close(); r.runJobs(); stop() })
	return r
}

func TestMeter_FillsTheFieldAndSavesNothingByItself(t *testing.T) {
	r := meterRig(t, simulated.Line("+1.03400000E+02"))
	before := len(r.store.Case().Readings)
	r.key(fyne.KeyF11)
	r.runJobs()
	if got := r.onSheet(); !strings.Contains(got, "103.400000 V") || len(r.store.Case().Readings) != before {
		t.Fatalf("%d readings more; the sheet: %s", len(r.store.Case().Readings)-before, got)
	}
	r.key(fyne.KeyReturn)
	all := r.store.Case().Readings
	if len(all) != before+1 {
		t.Fatal("Enter did not save it:", r.onSheet())
	}
	if g := all[before]; g.Value != 103.4 || g.Raw != "103.400000 V" || g.Answer != "+1.03400000E+02" || g.AnsweredBy != simulated.Identity {
		t.Errorf("%+v", g)
	}
}

func TestMeter_WhatWasChangedIsNotTheMeters(t *testing.T) {
	r := meterRig(t, simulated.Line("+1.03400000E+02"))
	r.key(fyne.KeyF11)
	r.runJobs()
	r.key(fyne.KeyBackspace, fyne.KeyBackspace, fyne.KeyBackspace, fyne.KeyReturn)
	all := r.store.Case().Readings
	if g := all[len(all)-1]; g.Raw != "103.40000" || g.Answer != "" || g.AnsweredBy != "" {
		t.Errorf("%+v", g)
	}
}

func TestMeter_FailuresLeaveWhatIsThere(t *testing.T) {
	for name, c := range map[string]struct {
		reply simulated.Reply
		typed string
		want  string
	}{
		"words":           {simulated.Line("hello"), "", "which is not a number; nothing was entered."},
		"unplugged":       {simulated.Reply{Text: "+1.0", HangUp: true}, "", "was unplugged or switched off before it answered; nothing was entered."},
		"typed meanwhile": {simulated.Line("+1.0E+00"), "7", "when something was typed already; nothing was entered, what was typed is still there."},
	} {
		t.Run(name, func(t *testing.T) {
			r := meterRig(t, c.reply)
			before := len(r.store.Case().Readings)
			r.key(fyne.KeyF11)
			r.typed(c.typed)
			r.runJobs()
			if got := r.onSheet(); !strings.Contains(got, c.want) || len(r.store.Case().Readings) != before {
				t.Errorf("the sheet: %s", got)
			}
		})
	}
}

func TestMeter_EscCancelsAndStaysOnThePage(t *testing.T) {
	r := meterRig(t, simulated.Line("+1.0E+00"))
	before := len(r.store.Case().Readings)
	r.key(fyne.KeyF11)
	if got := r.onSheet(); !strings.Contains(got, "is asked. Esc cancels") {
		t.Error("it does not say that it is busy:", got)
	}
	r.key(fyne.KeyEscape)
	r.runJobs()
	if got := r.onSheet(); strings.Contains(got, "1.0 V") || !strings.Contains(got, "Ask the connected meter (F11)") || len(r.store.Case().Readings) != before {
		t.Errorf("the sheet: %s", got)
	}
}

// In a run of module volts the answer fills the field as in a single entry, and what
// is typed meanwhile stays.
func TestMeter_FillsTheFieldOfARun(t *testing.T) {
	r := meterRig(t, simulated.Line("+2.91000000E+01"))
	r.key(fyne.KeyEscape)
	r.typed("*")
	r.key(fyne.KeyReturn)
	before := len(r.store.Case().Readings)
	r.key(fyne.KeyF11)
	r.typed("7")
	r.runJobs()
	if r.form.Raw != "7" || len(r.store.Case().Readings) != before {
		t.Fatalf("what was typed meanwhile is %q", r.form.Raw)
	}
	r.key(fyne.KeyBackspace)
	r.tapSheet(t, askMeterID) // by touch alone as well
	r.runJobs()
	if r.form.Raw != "29.1000000 V" || len(r.store.Case().Readings) != before {
		t.Fatalf("the field holds %q, %d readings more", r.form.Raw, len(r.store.Case().Readings)-before)
	}
	r.key(fyne.KeyEnter)
	all := r.store.Case().Readings
	if len(all) != before+1 {
		t.Fatal("Enter did not save it:", r.onSheet())
	}
	if g := all[before]; g.Value != 29.1 || g.Answer != "+2.91000000E+01" || g.AnsweredBy != simulated.Identity {
		t.Errorf("%+v", g)
	}
}

func TestMeter_OverloadIsABound(t *testing.T) {
	r := meterRig(t, simulated.Line("+9.9E+37"))
	r.key(fyne.KeyF11)
	r.runJobs()
	r.key(fyne.KeyReturn)
	all := r.store.Case().Readings
	if g := all[len(all)-1]; g.Relation != fault.Greater || g.Raw != "OL" || g.Answer != "+9.9E+37" {
		t.Errorf("%+v", g)
	}
}

// Instruments are put right, their dates explained where they are wrong, and the
// proving log written, by keys alone.
func TestKit_PutRightDatesAndProvings(t *testing.T) {
	r := newRig(t, nil)
	r.runJobs()
	r.typed("i")
	r.key(fyne.KeyF2)
	if got := r.onSheet(); !strings.Contains(got, "Put right: dmm") || !strings.Contains(got, "calibration not recorded: not known") {
		t.Fatal(got)
	}
	was := r.store.Case().Instruments[0]
	down := func(n int) {
		for range n {
			r.key(fyne.KeyDown)
		}
	}
	down(6)
	r.typed("0001")
	down(1)
	r.typed("CAT III 1000 V, CAT IV 600")
	down(2)
	r.typed("2026-02-30")
	r.key(fyne.KeyReturn)
	if got := r.onSheet(); !strings.Contains(got, "Calibration due: February 2026 has 28 days") {
		t.Fatal(got)
	}
	r.key(fyne.KeyBackspace, fyne.KeyBackspace)
	r.typed("27")
	down(1)
	r.typed("tcp://nowhere")
	r.key(fyne.KeyReturn)
	if got := r.onSheet(); !strings.Contains(got, "has no port") || r.store.Case().Instruments[0].CalDue != "" {
		t.Fatal(got)
	}
	r.typed(":5025")
	r.key(fyne.KeyReturn)
	in := r.store.Case().Instruments[0]
	if in.CalDue != "2026-02-27" || in.Serial != "0001" || len(in.Ratings) != 2 || in.Ratings[1].Volts != 600 || len(in.Ranges) != len(was.Ranges) || in.Ranges[0].Count != was.Ranges[0].Count || in.InputTolPct != was.InputTolPct {
		t.Errorf("%+v", in)
	}
	if got := r.connection(in); got != "tcp://nowhere:5025" {
		t.Errorf("connected at %q", got)
	}
	r.typed("i")
	r.key(fyne.KeyLeft) // to the provings
	r.typed("before")
	down(1)
	r.typed("prover 3")
	down(1)
	r.typed("9 690")
	down(2)
	r.typed("9.1 689.5")
	r.key(fyne.KeyReturn)
	log := r.store.Case().Provings
	if len(log) != 2 || log[1].Shown != 689.5 || *log[1].Known != 690 || log[0].When != fault.ProvedBefore || log[0].Source != "prover 3" || log[0].Raw != "9.1" {
		t.Fatalf("%+v\n%s", log, r.onSheet())
	}
	r.typed("i")
	if got := r.onSheet(); !strings.Contains(got, "689.5 V shown of 690 V, prover 3") {
		t.Error(got)
	}
}

// A meter that is set to ohms fills no field of volts, until the person lets the
// program set it.
func TestMeter_SetToAnotherFunctionIsRefused(t *testing.T) {
	r := meterRigOf(t, map[string]string{"FUNC?": `"RES"`, "RES:RANG:AUTO?": "1", "MEAS:VOLT:DC?": "+1.0E+00"})
	r.key(fyne.KeyF11)
	r.runJobs()
	if got := r.onSheet(); r.form.Raw != "" || !strings.Contains(got, "is set to ohms; this field is d.c. volts") {
		t.Fatalf("the field holds %q: %s", r.form.Raw, got)
	}
	r.tapSheet(t, meterSetID)
	r.runJobs()
	if got := r.onSheet(); r.form.Raw != "1.0 V" || !strings.Contains(got, chosen) {
		t.Errorf("the field holds %q: %s", r.form.Raw, got)
	}
}

// meterRigOf is a desk on the page of a reading, with a meter of these answers.
func meterRigOf(t *testing.T, says map[string]string) *rig {
	t.Helper()
	return meterRigBy(t, func(q string) simulated.Reply {
		if a, ok := says[q]; ok {
			return simulated.Line(a)
		}
		return simulated.Usual(q)
	})
}

// A meter that does not say what it is set to is asked by MEAS, and the sheet says so.
func TestMeter_SilentAboutItsSetting(t *testing.T) {
	r := meterRigOf(t, map[string]string{"MEAS:VOLT:DC?": "+1.0E+00"})
	r.key(fyne.KeyF11)
	r.runJobs()
	if got := r.onSheet(); r.form.Raw != "1.0 V" || !strings.Contains(got, chosen) {
		t.Errorf("the field holds %q: %s", r.form.Raw, got)
	}
}

// A joint takes ohms of four wires.
func TestMeter_OhmsOfAJoint(t *testing.T) {
	r := meterRigOf(t, map[string]string{"FUNC?": `"FRES"`, "FRES:RANG:AUTO?": "1", "READ?": "+1.2E-03"})
	f := r.form
	f.Kind, f.Link = entry.JointOhms, r.pack.Net.Layout.Links[0].ID
	r.setForm(f)
	r.key(fyne.KeyF11)
	r.runJobs()
	if got, err := r.form.Reading(r.pack); err != nil || got.Value != 1.2e-3 {
		t.Errorf("the field holds %q: %+v, %v; %s", r.form.Raw, got, err, r.onSheet())
	}
}

func TestTypedOrAnswered(t *testing.T) {
	g := fault.Reading{Answer: "+3.61523E+00", AnsweredBy: "A,B,C,D"}
	if got := typedOrAnswered(g, "typed"); got != "+3.61523E+00 from A,B,C,D" {
		t.Error(got)
	}
	if got := typedOrAnswered(fault.Reading{}, "typed"); got != "typed" {
		t.Error(got)
	}
}

// A range that was locked by hand is the reading's where the instrument has it.
func TestMeter_LockedRangeIsTheReadings(t *testing.T) {
	r := meterRigOf(t, map[string]string{"FUNC?": `"VOLT"`, "VOLT:RANG:AUTO?": "0", "VOLT:RANG?": "+6.0E+02", "READ?": "+1.034E+02"})
	r.key(fyne.KeyF11)
	r.runJobs()
	r.key(fyne.KeyReturn)
	all := r.store.Case().Readings
	if g := all[len(all)-1]; g.Range != 600 || g.Value != 103.4 || g.Answer == "" {
		t.Errorf("%+v; ranges %+v", g, r.store.Case().Instruments[0].Ranges)
	}
}

// A range that stood in the form is not that of an answer by MEAS, on auto-range, or on
// a range that the instrument does not list: it is taken away, and that is said.
func TestMeter_ARangeThatIsNotTheMetersIsTakenAway(t *testing.T) {
	for name, says := range map[string]map[string]string{
		"by MEAS":    {"MEAS:VOLT:DC?": "+1.034E+02"},
		"auto":       {"FUNC?": `"VOLT"`, "VOLT:RANG:AUTO?": "1", "READ?": "+1.034E+02"},
		"not listed": {"FUNC?": `"VOLT"`, "VOLT:RANG:AUTO?": "0", "VOLT:RANG?": "+3.0E+02", "READ?": "+1.034E+02"},
	} {
		t.Run(name, func(t *testing.T) {
			r := meterRigOf(t, says)
			r.form.Range = 600
			r.key(fyne.KeyF11)
			r.runJobs()
			if r.form.Range != 0 || r.form.Raw == "" || !strings.Contains(r.happened, "taken away") {
				t.Errorf("range %g, typed %q; it says %q", r.form.Range, r.form.Raw, r.happened)
			}
		})
	}
}

// typedLog keeps what the log is told of a group's value.
type typedLog struct {
	store.Store
	typed string
}

func (l *typedLog) TypeGroupVolts(module, state, instrument string, group int, volts float64, typed string) error {
	l.typed = typed
	return l.Store.TypeGroupVolts(module, state, instrument, group, volts, typed)
}

// The log is told the meter's own answer with a group's value.
func TestMeter_GroupVoltsKeepTheAnswer(t *testing.T) {
	r := meterRig(t, simulated.Line("+3.61523E+00"))
	log := &typedLog{Store: r.Desk.store}
	r.Desk.store = log
	f := r.form
	f.Kind, f.Module, f.Group = entry.GroupVolts, "M07", 2
	r.setForm(f)
	r.key(fyne.KeyF11)
	r.runJobs()
	r.key(fyne.KeyReturn)
	if want := "+3.61523E+00 from " + simulated.Identity; log.typed != want {
		t.Errorf("the log is told %q; %s", log.typed, r.onSheet())
	}
}
