package store_test

import (
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/store"
)

func TestStore_MakeSafeStandsIsNamedAndUndone(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		s.SetWho("Ada")
		one, two := 0.4, 0.2
		for _, v := range []*float64{&one, &two} {
			if _, err := s.AddMakeSafe(fault.MakeSafe{Item: fault.SafePoles, Value: v, State: "split", At: "2026-03-02T10:04:00Z"}); err != nil {
				t.Fatal(err)
			}
		}
		now := func() float64 {
			c := s.Case()
			m, ok := c.SafeNow(fault.SafePoles)
			if !ok {
				return -1
			}
			return *m.Value
		}
		if c := s.Case(); now() != 0.2 || len(c.MakeSafe) != 2 || c.MakeSafe[1].Who != "Ada" {
			t.Errorf("recorded as %+v", c.MakeSafe)
		}
		if st := s.Steps(); st.Undo != "pole to pole 0.2 V" || st.UndoState {
			t.Errorf("undo is %+v", st)
		}
		if _, err := s.Undo(); err != nil || now() != 0.4 {
			t.Errorf("after undo %g, %v", now(), err)
		}
		if _, err := s.Redo(); err != nil || now() != 0.2 {
			t.Errorf("after redo %g, %v", now(), err)
		}
	})
}

func TestStore_MakeSafeIsRefusedPlainly(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		v := 1.0
		for name, m := range map[string]fault.MakeSafe{
			"no such item":  {Item: "prayer", Text: "x"},
			"no volts":      {Item: fault.SafePlus},
			"no words":      {Item: fault.SafeReason},
			"no such state": {Item: fault.SafePlus, Value: &v, State: "later"},
		} {
			if _, err := s.AddMakeSafe(m); err == nil || strings.ContainsAny(err.Error(), "\n\t") {
				t.Errorf("%s: %v", name, err)
			}
		}
		if len(s.Case().MakeSafe) != 0 || s.Steps().Undo != "" {
			t.Error("a refused entry changed the case")
		}
	})
}
