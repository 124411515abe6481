package advice_test

import (
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/ui/advice"
	"halfsplit/ui/entry"
)

// The two poles of the socket: the upper one's leak lies 68.3 V above it, in M09.
func TestSocket_LocatesWithThePackInTheVehicle(t *testing.T) {
	w := socket(t, nil)
	got := text(advice.NewSocket(w), w)
	upper, lower, ok := strings.Cut(got, "Lower half")
	if !ok {
		t.Fatalf("no lower half:\n%s", got)
	}
	wants(t, upper, "Upper half, M07- to M12+", "To chassis, Rth", "179.", "68.3", "above SD@M07-", "M09", "67.1 V × (10.0 MΩ + 179 kΩ) / 10.0 MΩ = 68.3 V", "given at most one leak in this half")
	wants(t, lower, "Not determined yet. 11.34 V can be what a sound floating half shows")
	wants(t, got, "Shrouded adaptors", "A written procedure", "persons authorised", "The inside stays live: 174 V from M01- to M06+, 173 V from M07- to M12+, expected, not measured", "that the pack is in the vehicle is not recorded")
}

// With the test resistor the lower half's ghost collapses: 11.34 V, then next to
// nothing.
func TestSocket_AFloatingHalfIsSaidToReadLikeOne(t *testing.T) {
	w := socket(t, func(c *fault.Case) {
		c.Readings = append(c.Readings, fault.Reading{ID: "r4", At: "2026-03-02T10:05:00Z", State: "socket", Quantity: fault.Volts, Red: "SD@M06+", Black: "chassis",
			Value: 0.255, Raw: "0.255", Instrument: "dmm", Resistor: &fault.Fitted{ID: "R200k", From: "SD@M06+", To: "chassis"}})
	})
	_, lower, _ := strings.Cut(text(advice.NewSocket(w), w), "Lower half")
	wants(t, lower, "This half reads like a sound floating half", "11.34 V come from the load of the meter itself, 10.0 MΩ", "Rth")
	label, a := advice.NewSocket(w).Primary(w)
	if strings.Contains(label, "Read") && a.Kind != advice.Finding {
		t.Errorf("all is read, and next is %q", label)
	}
}

// Each step leads into the entry with its leads and resistor.
func TestSocket_StepsFillInTheEntry(t *testing.T) {
	w := socket(t, func(c *fault.Case) { c.Readings = nil })
	for i, want := range []entry.Form{
		{Kind: entry.ToChassis, Red: "SD@M07-"}, {Kind: entry.WithResistor, Red: "SD@M07-", Resistor: "R200k"}, {Kind: entry.ToChassis, Red: "SD@M06+"}, {Kind: entry.WithResistor, Red: "SD@M06+", Resistor: "R200k"},
	} {
		var g advice.Guide = advice.NewSocket(w) // the state is recorded: it begins at the first reading
		for range i {
			g = g.Move(w, 1)
		}
		label, a := g.Primary(w)
		if a.Kind != advice.Enter || a.Form.Kind != want.Kind || a.Form.Red != want.Red || a.Form.Black != "chassis" || want.Resistor != "" && a.Form.Resistor != want.Resistor || !strings.Contains(label, want.Red) {
			t.Errorf("step %d, %q: %+v", i, label, a.Form)
		}
	}
}

// The state is shown before it is recorded, and readings of the closed string do not
// count as steps.
func TestSocket_TheStateTakesTwoLooks(t *testing.T) {
	w := socket(t, func(c *fault.Case) { c.States[0].Open, c.States[0].Contactors = nil, "" })
	var g advice.Guide = advice.NewSocket(w)
	if s := text(g, w); strings.Contains(s, "Done:") {
		t.Errorf("something is done:\n%s", s)
	}
	label, a := g.Primary(w)
	if label != "Show what would be recorded" || a.Kind != advice.Again {
		t.Fatalf("%q %+v", label, a)
	}
	g = a.Guide
	wants(t, text(g, w), "Nothing is recorded yet", "SD open, vehicle body connected, contactors open", "174 V from M01- to M06+")
	label, a = g.Primary(w)
	if label != "Record this state" || a.Kind != advice.RecordState || !slices.Equal(a.State.Open, []string{"SD"}) || a.State.Contactors != fault.Open || !slices.Contains(a.State.Connected, advice.InVehicle) || a.State.ID == "" {
		t.Errorf("%q %+v", label, a.State)
	}
	back, _ := g.Pick(w, "advice:back")
	if label, _ = back.Primary(w); label != "Show what would be recorded" {
		t.Errorf("back at %q", label)
	}
}
