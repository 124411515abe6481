package store_test

import (
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/hands"
	"halfsplit/ui/sample"
	"halfsplit/ui/store"
)

// stores are the implementations; each must do what the contract says.
var stores = map[string]func(*testing.T) store.Store{
	"memory":   func(*testing.T) store.Store { return store.NewMemory(sample.Case()) },
	"casebook": func(t *testing.T) store.Store { return hands.Book(t, sample.Case()) },
}

func contract(t *testing.T, f func(*testing.T, store.Store)) {
	for name, open := range stores {
		t.Run(name, func(t *testing.T) { f(t, open(t)) })
	}
}

func reading(v float64) fault.Reading {
	return fault.Reading{State: "split", Quantity: fault.Volts, Red: "M07+", Black: "M07-", Value: v, Raw: "29.1", Instrument: "dmm", At: "2026-03-02T10:04:00Z"}
}

func TestStore_ReadingIsThereAndNamed(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		s.SetWho("Ada")
		r, err := s.AddReading(reading(29.1))
		if err != nil {
			t.Fatal(err)
		}
		c := s.Case()
		got, ok := c.Reading(r.ID)
		if !ok || got.Value != 29.1 || got.Raw != "29.1" || got.Who != "Ada" {
			t.Errorf("recorded as %+v", got)
		}
		if n := s.Steps().Undo; n != "M07 29.1 V" || s.Steps().UndoState {
			t.Errorf("undo is named %q", n)
		}
	})
}

func TestStore_UndoAndRedoGiveNoIdTwice(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		first, _ := s.AddReading(reading(29.1))
		if name, err := s.Undo(); err != nil || name != "M07 29.1 V" {
			t.Fatalf("undone %q, %v", name, err)
		}
		c := s.Case()
		if _, ok := c.Reading(first.ID); ok {
			t.Error("still there after undo")
		}
		if s.Steps().Redo != "M07 29.1 V" {
			t.Errorf("redo is named %q", s.Steps().Redo)
		}
		if _, err := s.Redo(); err != nil {
			t.Fatal(err)
		}
		c = s.Case()
		if _, ok := c.Reading(first.ID); !ok {
			t.Error("not there after redo")
		}
		s.Undo()
		second, err := s.AddReading(reading(29.2))
		if err != nil || second.ID == first.ID {
			t.Errorf("second reading is %q, %v", second.ID, err)
		}
		if s.Steps().Redo != "" {
			t.Error("a new command ends what could be redone")
		}
	})
}

func TestStore_CorrectionKeepsTheOldOne(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		old, _ := s.AddReading(reading(2.91))
		if _, err := s.SupersedeReading(old.ID, reading(29.1), ""); err == nil {
			t.Error("a correction without a reason was taken")
		}
		now, err := s.SupersedeReading(old.ID, reading(29.1), "typed wrong")
		if err != nil {
			t.Fatal(err)
		}
		c := s.Case()
		if by := c.Superseded()[old.ID]; by.ID != now.ID || by.Why != "typed wrong" {
			t.Errorf("%s is replaced by %+v", old.ID, by)
		}
		if _, ok := c.Reading(old.ID); !ok {
			t.Error("the old reading is gone")
		}
	})
}

func TestStore_GroupVolts(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		for k, v := range []float64{3.651, 3.652} {
			if err := s.EnterGroupVolts("M12", "split", "dmm", k+1, v); err != nil {
				t.Fatal(err)
			}
		}
		var got []float64
		for _, g := range s.Case().GroupVolts {
			if g.Module == "M12" && g.State == "split" {
				got = g.Volts
			}
		}
		if len(got) != 8 || got[0] != 3.651 || got[1] != 3.652 || !math.IsNaN(got[2]) {
			t.Errorf("M12 has %v", got)
		}
		if n := s.Steps().Undo; !strings.Contains(n, "M12 group 2 3.652") {
			t.Errorf("undo is named %q", n)
		}
		if err := s.EnterGroupVolts("M12", "split", "dmm", 9, 3.6); err == nil {
			t.Error("M12 has no group 9")
		}
	})
}

func TestStore_States(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		open := fault.State{ID: "SD_L10_open", Open: []string{"SD", "L10"}, Contactors: fault.Open, Monitor: fault.MonitorDisconnected}
		got, err := s.RecordState(open)
		if err != nil || s.Case().Now != got.ID || got.ID != "SD_L10_open" {
			t.Fatalf("recorded %q, present %q, %v", got.ID, s.Case().Now, err)
		}
		if !s.Steps().UndoState {
			t.Errorf("undo of %q is not known as a state", s.Steps().Undo)
		}
		again, err := s.RecordState(open)
		if err != nil || again.ID == got.ID {
			t.Errorf("the same wish again gives %q, %v", again.ID, err)
		}
		if err := s.SetNow("closed"); err != nil || s.Case().Now != "closed" {
			t.Errorf("present %q, %v", s.Case().Now, err)
		}
		if err := s.SetNow("nowhere"); err == nil {
			t.Error("a state that does not exist is present")
		}
		for range 3 {
			if _, err := s.Undo(); err != nil {
				t.Fatal(err)
			}
		}
		c := s.Case()
		if _, ok := c.State("SD_L10_open"); ok || c.Now != "split" {
			t.Errorf("after undo of everything: present %q", c.Now)
		}
		if name, err := s.Undo(); err == nil {
			t.Errorf("undo went past the first command: %q", name)
		}
	})
}

func TestStore_RefusesPlainly(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		before := len(s.Case().Readings)
		r := reading(1)
		r.State = "later"
		for name, try := range map[string]func() error{
			"no such state":       func() error { _, err := s.AddReading(r); return err },
			"no number":           func() error { _, err := s.AddReading(reading(math.NaN())); return err },
			"nothing to redo":     func() error { _, err := s.Redo(); return err },
			"instrument is there": func() error { return s.AddInstrument(fault.Instrument{ID: "dmm", Kind: "voltmeter"}) },
			"resistor is there":   func() error { return s.AddResistor(fault.Resistor{ID: "R200k", Ohms: 1}) },
		} {
			if err := try(); err == nil || strings.ContainsAny(err.Error(), "\n\t") {
				t.Errorf("%s: %v", name, err)
			}
		}
		if len(s.Case().Readings) != before {
			t.Error("a refused command changed the case")
		}
	})
}

func TestStore_FindingAndInstruments(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		if err := s.SaveFinding(sample.Finding()); err != nil {
			t.Error(err)
		}
		if err := s.AddInstrument(fault.Instrument{ID: "second", Kind: "voltmeter", GainPct: 0.5, Counts: 2, InputOhms: 1e7, Ranges: []fault.Range{{Max: 600, Count: 0.1}}}); err != nil {
			t.Error(err)
		}
		if err := s.AddResistor(fault.Resistor{ID: "R100k", Ohms: 1e5, TolPct: 1}); err != nil {
			t.Error(err)
		}
		c := s.Case()
		if _, ok := c.Instrument("second"); !ok {
			t.Error("the instrument is not there")
		}
		if _, ok := c.Resistor("R100k"); !ok {
			t.Error("the resistor is not there")
		}
	})
}

// A draft is kept beside the case under its name, in place of what was there, and
// is no step that can be undone.
func TestStore_DraftsAreNoSteps(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		if _, err := s.AddReading(reading(29.1)); err != nil {
			t.Fatal(err)
		}
		before := s.Case()
		for _, text := range []string{"one", "two", "two"} {
			if err := s.KeepDraft("run", text); err != nil {
				t.Fatal(err)
			}
		}
		if s.Draft("run") != "two" || s.Draft("other") != "" {
			t.Errorf("kept are %q and %q", s.Draft("run"), s.Draft("other"))
		}
		if n := s.Steps().Undo; n != "M07 29.1 V" || len(s.Case().Readings) != len(before.Readings) {
			t.Errorf("undo is named %q", n)
		}
	})
}

// The log has the keystrokes of a group; the name of the step after it is its own.
func TestStore_GroupVoltsWithTheirKeystrokes(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		if _, err := s.AddReading(reading(29.1)); err != nil {
			t.Fatal(err)
		}
		if n := s.Steps().Undo; n != "M07 29.1 V" {
			t.Errorf("undo is named %q", n)
		}
		if err := s.TypeGroupVolts("M07", "split", "dmm", 2, 3.622, "typed 3622 (read as mV)"); err != nil {
			t.Fatal(err)
		}
		if n := s.Steps().Undo; n != "M07 group 2 3.622 V" {
			t.Errorf("undo is named %q", n)
		}
		lists := s.Case().GroupVolts
		if g := lists[len(lists)-1]; g.Module != "M07" || g.Volts[1] != 3.622 || !math.IsNaN(g.Volts[0]) {
			t.Errorf("recorded as %+v", g)
		}
	})
}
