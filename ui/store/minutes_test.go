package store_test

import (
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/store"
)

func TestStore_MinutesAreSetClearedAndUndone(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		twelve, half := 12.0, 0.5
		minutes := func(id string) (float64, bool) {
			c := s.Case()
			return c.Access(id)
		}
		if got, drawn := minutes("SD"); drawn {
			t.Fatalf("the layout gives SD %g min", got)
		}
		before := s.Case()
		for _, step := range []struct {
			id      string
			minutes *float64
			want    float64
			known   bool
			name    string
		}{
			{"SD", &twelve, 12, true, "the access minutes of SD as 12"},
			{"SD", &half, 0.5, true, "the access minutes of SD from 12 to 0.5"},
			{"SD", nil, 0, false, "the access minutes of SD from 0.5 to not recorded"},
		} {
			if err := s.SetMinutes(step.id, step.minutes); err != nil {
				t.Fatal(err)
			}
			if got, ok := minutes(step.id); got != step.want || ok != step.known {
				t.Errorf("%s takes %g min, %v, want %g", step.id, got, ok, step.want)
			}
			if st := s.Steps(); st.Undo != step.name || st.UndoState {
				t.Errorf("undo is named %q, want %q", st.Undo, step.name)
			}
		}
		if before.Minutes != nil {
			t.Error("a case that somebody else holds was changed")
		}
		if err := s.SetMinutes("SD", nil); err != nil || s.Steps().Undo != "the access minutes of SD from 0.5 to not recorded" {
			t.Errorf("clearing again is a step of its own: %q, %v", s.Steps().Undo, err)
		}
		for _, want := range []float64{0.5, 12} {
			if _, err := s.Undo(); err != nil {
				t.Fatal(err)
			}
			if got, _ := minutes("SD"); got != want {
				t.Errorf("after undo SD takes %g min, want %g", got, want)
			}
		}
		if _, err := s.Undo(); err != nil || s.Case().Minutes != nil {
			t.Errorf("after undo of everything %v, %v", s.Case().Minutes, err)
		}
		if name, err := s.Redo(); err != nil || name != "the access minutes of SD as 12" {
			t.Errorf("redone %q, %v", name, err)
		}
		if got := s.Case().Minutes; len(got) != 1 || got["SD"] != 12 {
			t.Errorf("after redo %v", got)
		}
	})
}

func TestStore_MinutesAreRefusedPlainly(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		at := func(v float64) *float64 { return &v }
		for name, try := range map[string]struct {
			id      string
			minutes *float64
		}{"a module": {"M09", at(5)}, "nothing": {"", at(5)}, "clear of nothing": {"L99", nil}, "negative": {"SD", at(-1)},
			"too long": {"SD", at(fault.MostMinutes + 1)}, "no number": {"SD", at(math.NaN())}} {
			if err := s.SetMinutes(try.id, try.minutes); err == nil || strings.ContainsAny(err.Error(), "\n\t") {
				t.Errorf("%s: %v", name, err)
			}
		}
		if s.Case().Minutes != nil || s.Steps().Undo != "" {
			t.Error("refused minutes changed the case")
		}
	})
}

func TestStore_BoardsOutIsKept(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		got, err := s.RecordState(fault.State{ID: "boards_out", Boards: fault.BoardsOut, Contactors: fault.Open})
		if err != nil {
			t.Fatal(err)
		}
		c := s.Case()
		if now, ok := c.State(c.Now); !ok || now.ID != got.ID || now.Boards != fault.BoardsOut || now.Plugged("B1") {
			t.Errorf("recorded as %+v", now)
		}
		if !s.Steps().UndoState {
			t.Errorf("undo of %q is not known as a state", s.Steps().Undo)
		}
	})
}
