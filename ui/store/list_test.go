package store_test

import (
	"math"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/store"
)

func addList(s store.Store, l store.List) error {
	write, taken := s.AddList(l)
	if err := write(); err != nil {
		return err
	}
	return taken()
}

func TestStore_AListIsOneStep(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		s.SetWho("Ada")
		before := s.Case()
		if s.Steps().Undo != "" {
			t.Fatal("there is something to undo before")
		}
		other := reading(11.2)
		other.Who = "Ben"
		l := store.List{Readings: []fault.Reading{reading(29.1), other}, Groups: []fault.GroupVolts{{Module: "M12", State: "split", Volts: []float64{3.6, 3.6, math.NaN(), 3.6, 3.6, 3.6, 3.6, 3.6}, Source: "cells.csv"}}}
		if err := addList(s, l); err != nil {
			t.Fatal(err)
		}
		c := s.Case()
		n := len(before.Readings)
		if len(c.Readings) != n+2 || c.Readings[n].ID != "r10" || c.Readings[n].Who != "Ada" || c.Readings[n+1].ID != "r11" || c.Readings[n+1].Who != "Ben" || len(c.GroupVolts) != len(before.GroupVolts)+1 {
			t.Errorf("%+v", c.Readings[n:])
		}
		const name = "list: 2 readings, 1 list of group volts"
		if got := s.Steps().Undo; got != name || s.Steps().UndoState {
			t.Errorf("undo is named %q", got)
		}
		if got, err := s.Undo(); err != nil || got != name {
			t.Fatalf("undone %q, %v", got, err)
		}
		if c := s.Case(); len(c.Readings) != n || len(c.GroupVolts) != len(before.GroupVolts) {
			t.Error("undo leaves something of it")
		}
		if _, err := s.Redo(); err != nil || len(s.Case().Readings) != n+2 {
			t.Errorf("redo: %v", err)
		}
	})
}

func TestStore_AListIsRefusedAsAWhole(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		before := len(s.Case().Readings)
		bad := reading(29.2)
		bad.State = "nowhere"
		if err := addList(s, store.List{Readings: []fault.Reading{reading(29.1), bad}}); err == nil || strings.ContainsAny(err.Error(), "\n\t") {
			t.Errorf("%v", err)
		}
		if len(s.Case().Readings) != before || s.Steps().Undo != "" {
			t.Error("a part of it is recorded")
		}
		if err := addList(s, store.List{}); err != nil || s.Steps().Undo != "" {
			t.Errorf("an empty list: %v, %q", err, s.Steps().Undo)
		}
	})
}
