package store_test

import (
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/store"
)

func TestStore_KitIsPutRightAndProved(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		s.SetWho("Ada")
		in, r := s.Case().Instruments[0], s.Case().Resistors[0]
		was := in.CalDue
		in.CalDue, r.Serial = "2026-01-31", "7"
		if err := s.ReviseInstrument(in); err != nil {
			t.Fatal(err)
		}
		if err := s.ReviseResistor(r); err != nil {
			t.Fatal(err)
		}
		if err := s.AddProvings([]fault.Proving{{Instrument: in.ID, Shown: 9.1, When: fault.ProvedBefore}}); err != nil {
			t.Fatal(err)
		}
		if c := s.Case(); c.Instruments[0].CalDue != "2026-01-31" || c.Resistors[0].Serial != "7" || len(c.Provings) != 1 || c.Provings[0].Who != "Ada" {
			t.Errorf("%+v, %+v, %+v", c.Instruments, c.Resistors, c.Provings)
		}
		for _, want := range []string{"proving of " + in.ID + " before, 9.1 V", "test resistor " + r.ID + " put right", "instrument " + in.ID + " put right"} {
			if name, err := s.Undo(); err != nil || name != want {
				t.Errorf("undid %q, %v, want %q", name, err, want)
			}
		}
		if c := s.Case(); c.Instruments[0].CalDue != was || c.Resistors[0].Serial != "" || len(c.Provings) != 0 {
			t.Errorf("after undo %+v", c.Instruments)
		}
		if s.ReviseInstrument(fault.Instrument{ID: "none", Kind: "x"}) == nil || s.ReviseResistor(fault.Resistor{ID: "none"}) == nil || s.AddProvings(nil) == nil ||
			s.AddProvings([]fault.Proving{{Instrument: "none"}}) == nil {
			t.Error("what there is not was put right")
		}
	})
}
