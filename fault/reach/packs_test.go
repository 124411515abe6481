package reach

import (
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/topology"
)

func quick(l topology.Layout) Question {
	return Question{Layout: l, Ohms: []float64{20e3}, Trials: 4, Seed: 5}
}

func TestPacks_OneModuleHasNothingToOpen(t *testing.T) {
	l, err := topology.Make(topology.MakeSpec{Modules: 1, Series: 12, Parallel: 1, W: 300, H: 150})
	if err != nil {
		t.Fatal(err)
	}
	a := run(t, quick(l))
	if len(a.States) != 1 || a.Cells[0][0].Modules != 1 || a.Cells[0][0].First != 4 {
		t.Errorf("%+v", a)
	}
	if !strings.Contains(strings.Join(a.Takes, " "), "only the unbroken string") {
		t.Errorf("it takes %q", a.Takes)
	}
}

// Without a disconnect the cheapest link of those with minutes is opened.
func TestPacks_WithoutDisconnect(t *testing.T) {
	l := pack(t, 6, 4)
	five := 5.0
	for i := range l.Links {
		l.Links[i].Minutes = nil
		switch l.Links[i].ID {
		case "SD":
			l.Links[i].Kind = topology.Busbar
		case "L02":
			l.Links[i].Minutes = &five
		}
	}
	a := run(t, quick(l))
	if len(a.States) != 3 || !slices.Equal(a.States[1].Open, []string{"L02"}) || a.States[1].Most != 5 {
		t.Fatalf("%+v", a.States)
	}
	// neither part has a link with minutes: the middle one is taken, and said
	if s := a.States[2]; !slices.Equal(s.Choice, []string{"L01", "L04"}) || !slices.Equal(s.Unrecorded, s.Choice) || !strings.Contains(s.MinutesWords(), "not recorded for L01 and L04") {
		t.Errorf("%+v: %s", s, s.MinutesWords())
	}
	if !strings.Contains(strings.Join(a.Takes, " "), "Minutes not recorded for") {
		t.Errorf("it takes %q", a.Takes)
	}
}

// A link without minutes beside one with them does not pass for one that takes none.
func TestPacks_UnrecordedMinutesAreNoMinutes(t *testing.T) {
	l := pack(t, 4, 4)
	for i := range l.Links {
		if l.Links[i].ID == "L03" {
			l.Links[i].Minutes = nil
		}
	}
	a := run(t, quick(l))
	if s := a.States[2]; s.Least != 6 || s.Most != 6 || !slices.Equal(s.Unrecorded, []string{"L03"}) || s.MinutesWords() != "6 min; minutes not recorded for L03" {
		t.Errorf("%+v: %s", s, s.MinutesWords())
	}
}

func TestPacks_TheWorkshopsOwnMinutesGoFirst(t *testing.T) {
	q := quick(pack(t, 8, 4))
	q.Minutes = map[string]float64{"L02": 60, "SD": 2}
	a := run(t, q)
	if a.States[1].Most != 2 || slices.Contains(a.States[2].Choice, "L02") {
		t.Errorf("%+v", a.States)
	}
}

// twoStrings are two strings tied at their ends, each with a disconnect.
func twoStrings(tied bool) topology.Layout {
	l := topology.Layout{Name: "two strings", SeenFrom: "above"}
	one := 1.0
	for _, s := range []string{"A", "B"} {
		for i, id := range []string{s + "1", s + "2", s + "3", s + "4"} {
			l.Modules = append(l.Modules, topology.Module{ID: id, Series: 4, Parallel: 2, W: 100, H: 50, X: float64(i) * 120, Minus: "left"})
		}
		l.Links = append(l.Links, topology.Link{ID: "L" + s + "1", Kind: topology.Busbar, From: s + "1+", To: s + "2-"},
			topology.Link{ID: "SD" + s, Kind: topology.Disconnect, From: s + "2+", To: s + "3-", Minutes: &one},
			topology.Link{ID: "L" + s + "3", Kind: topology.Busbar, From: s + "3+", To: s + "4-"})
		kind := topology.Contactor
		if tied {
			kind = topology.Cable
		}
		l.Links = append(l.Links, topology.Link{ID: "KN" + s, Kind: kind, From: s + "1-", To: "pack-"}, topology.Link{ID: "KP" + s, Kind: kind, From: s + "4+", To: "pack+"})
	}
	return l
}

func TestPacks_TwoStrings(t *testing.T) {
	for _, tied := range []bool{false, true} {
		a := run(t, Question{Layout: twoStrings(tied), Ohms: []float64{20e3}, Trials: 6, Seed: 5})
		if a.Strings != 2 || len(a.States) < 1 {
			t.Errorf("tied %v: %+v", tied, a.States)
		}
		c := a.Cells[0][0]
		if !tied && (c.First < 5 || len(a.States) != 5) {
			t.Errorf("apart: %d states, %+v", len(a.States), c)
		}
		if tied && c.Inside < 5 { // both strings have the same potentials: the place is in the set, and need not lead
			t.Errorf("tied: %+v", c)
		}
	}
}

// A pack half drawn works by its sections.
func TestPacks_HalfDrawn(t *testing.T) {
	l := pack(t, 6, 4)
	l.Links = slices.DeleteFunc(l.Links, func(k topology.Link) bool { return k.ID == "L04" })
	a := run(t, quick(l))
	if c := a.Cells[0][0]; c.First < 3 || c.Readings != 8 {
		t.Errorf("%+v", c)
	}
	if !strings.Contains(strings.Join(a.Takes, " "), "to look at") {
		t.Errorf("it takes %q", a.Takes)
	}
}

func TestPacks_ResistorsThatThePackOverloadsAreNotUsed(t *testing.T) {
	q := quick(pack(t, 12, 8))
	q.Trials = 1
	q.Resistors = []fault.Resistor{{ID: "R10k", Ohms: 10e3, TolPct: 1, Watts: 2, MaxVolts: 1000}, {ID: "R220k", Ohms: 220e3, TolPct: 1, Watts: 2, MaxVolts: 1000}}
	if a := run(t, q); a.Resistor == nil || a.Resistor.ID != "R220k" {
		t.Errorf("fitted is %+v", a.Resistor)
	}
	q.Resistors = q.Resistors[:1]
	a := run(t, q)
	if a.Resistor != nil || a.Cells[0][0].Readings != 3 || !strings.Contains(strings.Join(a.Takes, " "), "nothing is read with one") {
		t.Errorf("fitted is %+v, %g readings, takes %q", a.Resistor, a.Cells[0][0].Readings, a.Takes)
	}
}

func TestHeadlines_SayWhatTheCellsSay(t *testing.T) {
	a := run(t, Question{Layout: pack(t, 4, 6), Ohms: []float64{3e3, 5e6}, Trials: 6, Seed: 2})
	h := a.Headlines()
	if len(h) != len(a.States) {
		t.Fatalf("%d for %d states", len(h), len(a.States))
	}
	for i, want := range []string{"From the unbroken string a leak", "With SD open (1 min) a leak", "With SD open, then L01 or L03 (6 min) a leak"} {
		if !strings.HasPrefix(h[i], want) || !strings.Contains(h[i], "true module leads in") {
			t.Errorf("%q, want it to begin %q", h[i], want)
		}
	}
	if !strings.Contains(a.Basis(), "seed 2") || !strings.Contains(a.Basis(), "6 packs") || !strings.Contains(a.Basis(), "not measured") {
		t.Error(a.Basis())
	}
	t.Log(strings.Join(h, "\n"))
}
