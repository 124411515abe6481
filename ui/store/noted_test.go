package store_test

import (
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/store"
)

func TestStore_NotedIsThereNamedAndUndone(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		s.SetWho("Ada")
		n, err := s.AddNoted(fault.Noted{Place: "M09", What: fault.NotedWet, Why: "drops under the cover", At: "2026-03-02T10:04:00Z"})
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Case().Noted; len(got) != 1 || got[0].ID != n.ID || got[0].Who != "Ada" || got[0].Place != "M09" || got[0].Why != "drops under the cover" {
			t.Errorf("noted as %+v", got)
		}
		if name := s.Steps().Undo; name != "M09 noted as wet" {
			t.Errorf("undo is named %q", name)
		}
		if _, err := s.Undo(); err != nil || len(s.Case().Noted) != 0 {
			t.Errorf("after undo %+v, %v", s.Case().Noted, err)
		}
		if _, err := s.Redo(); err != nil || len(s.Case().Noted) != 1 {
			t.Errorf("after redo %+v, %v", s.Case().Noted, err)
		}
		for _, place := range []string{"M09.3", "SD"} {
			if _, err := s.AddNoted(fault.Noted{Place: place, What: fault.NotedChafed}); err != nil {
				t.Errorf("at %s: %v", place, err)
			}
		}
	})
}

func TestStore_NotedIsWithdrawnForAReason(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		n, err := s.AddNoted(fault.Noted{Place: "M09", What: fault.NotedMark})
		if err != nil {
			t.Fatal(err)
		}
		if err := s.WithdrawNoted(n.ID, "  "); err == nil {
			t.Error("withdrawn without a reason")
		}
		if err := s.WithdrawNoted(n.ID, "it was paint"); err != nil || len(s.Case().Noted) != 0 {
			t.Errorf("after withdrawal %+v, %v", s.Case().Noted, err)
		}
		if name := s.Steps().Undo; !strings.Contains(name, "withdraw") || !strings.Contains(name, "M09 noted as mark") {
			t.Errorf("undo is named %q", name)
		}
		if err := s.WithdrawNoted(n.ID, "again"); err == nil {
			t.Error("withdrawn twice")
		}
		if _, err := s.Undo(); err != nil || len(s.Case().Noted) != 1 {
			t.Errorf("after undo %+v, %v", s.Case().Noted, err)
		}
		if m, err := s.AddNoted(fault.Noted{Place: "M09", What: fault.NotedWet}); err != nil || m.ID == n.ID {
			t.Errorf("the next one is %q after %q, %v", m.ID, n.ID, err)
		}
	})
}

func TestStore_NotedIsRefusedPlainly(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		for name, n := range map[string]fault.Noted{
			"no place":      {What: fault.NotedWet},
			"no such place": {Place: "M99", What: fault.NotedWet},
			"no such word":  {Place: "M09", What: "green"},
		} {
			if _, err := s.AddNoted(n); err == nil || strings.ContainsAny(err.Error(), "\n\t") {
				t.Errorf("%s: %v", name, err)
			}
		}
		if len(s.Case().Noted) != 0 || s.Steps().Undo != "" {
			t.Error("a refused note changed the case")
		}
	})
}

func TestStore_WhyAReadingStandsIsKept(t *testing.T) {
	contract(t, func(t *testing.T, s store.Store) {
		was := s.Case()
		r, _ := was.Reading("r9")
		r.ID, r.Stands = "", "read twice"
		got, err := s.SupersedeReading("r9", r, "kept as read: read twice")
		if err != nil {
			t.Fatal(err)
		}
		c := s.Case()
		if now, _ := c.Reading(got.ID); now.Stands != "read twice" || now.Value != 6.7 || now.Supersedes != "r9" {
			t.Errorf("kept as %+v", now)
		}
		if name := s.Steps().Undo; name != "keep as read: M12+ to chassis 6.7 V" {
			t.Errorf("undo is named %q", name)
		}
	})
}
