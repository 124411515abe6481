package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/states"
)

// chooseState opens the list and puts the keyboard on a change.
func (r *rig) chooseState(t *testing.T, want states.Change) {
	t.Helper()
	r.openStates()
	for range r.change.listed {
		if r.change.offers[r.change.at] == want {
			return
		}
		r.key(fyne.KeyDown)
	}
	t.Fatalf("%q is not offered", want.Verb())
}

func TestStates_ConditionsByKeysAndByPresses(t *testing.T) {
	r, _, b := proof(t)
	r.chooseState(t, states.Change{Kind: states.Wet, To: states.IsDry})
	r.key(fyne.KeyReturn)
	if len(b.Case().States) != 2 {
		t.Fatal("one press recorded it")
	}
	r.key(fyne.KeyReturn)
	r.runJobs()
	r.openStates()
	r.key(fyne.KeyUp) // the humidity, last of the list
	r.key(fyne.KeyReturn)
	r.typed("5x")
	r.key(fyne.KeyReturn)
	r.isolateSaid(t, "\"5x\" is not a number")
	r.key(fyne.KeyBackspace)
	r.typed("5")
	r.key(fyne.KeyReturn, fyne.KeyReturn)
	r.runJobs()
	r.openStates()
	r.tapSheet(t, typeID+"0")
	r.tapKeys(t, "P", "U", "M", "P")
	r.primary.Tapped(nil)
	r.primary.Tapped(nil)
	r.runJobs()
	r.openStates()
	r.tapSheet(t, typeID+"1")
	r.tapKeys(t, "-", "4", ".", "5")
	r.primary.Tapped(nil)
	r.tapSheet(t, offerID+"back")
	if c := b.Case(); len(c.States) != 5 {
		t.Errorf("%d states", len(c.States))
	}
	c := b.Case()
	s, _ := c.State(c.Now)
	if s.Wet == nil || *s.Wet || s.Humidity == nil || *s.Humidity != 55 || len(s.Connected) != 1 || s.Connected[0] != "Pump" || s.Celsius != nil {
		t.Errorf("the present state is %+v", s)
	}
	if got := strings.ReplaceAll(r.pack.StateLine(), "\u2009", " "); !strings.Contains(got, "Pump connected") || !strings.Contains(got, "dry") || !strings.Contains(got, "55 % humidity") {
		t.Error(got)
	}
}

// Where readings rest on a state, its correction asks what it is. Changed by hand:
// they stay with theirs.
func TestStates_ChangedByHandLeavesReadings(t *testing.T) {
	r, _, b := proof(t)
	r.chooseState(t, states.Change{Kind: states.Close, ID: "SD"})
	r.key(fyne.KeyReturn)
	r.isolateSaid(t, "readings rest on the present state")
	before := b.Case()
	r.key(fyne.KeyReturn)
	r.runJobs()
	if c := b.Case(); len(c.Readings) != len(before.Readings) || c.Now == before.Now || len(c.States) != 3 {
		t.Errorf("present %s, %d readings", c.Now, len(c.Readings))
	}
}

// A mistake in the record: a new state, and each reading again in it with the reason;
// the old ones stay, and undo takes all back.
func TestStates_MistakenTakesReadingsAlong(t *testing.T) {
	for name, answer := range map[string]func(*rig){"key": func(r *rig) { r.typed("1") }, "press": func(r *rig) { r.tapSheet(t, mistakenID) }} {
		t.Run(name, func(t *testing.T) {
			r, _, b := proof(t)
			r.chooseState(t, states.Change{Kind: states.Torqued, To: states.IsTorqued})
			r.key(fyne.KeyReturn)
			before, rest := b.Case(), r.resting()
			answer(r)
			r.runJobs()
			c := b.Case()
			if c.Now == before.Now || len(rest) == 0 || len(c.Readings) != len(before.Readings)+len(rest) {
				t.Fatalf("present %s, %d readings, %d rested", c.Now, len(c.Readings), len(rest))
			}
			by := c.Superseded()
			for _, old := range rest {
				now := by[old.ID]
				if now.State != c.Now || now.Value != old.Value || now.At != old.At || !strings.Contains(now.Why, "state split was recorded mistakenly: the mounts recorded as torqued") {
					t.Errorf("%s became %+v", old.ID, now)
				}
			}
			for range len(rest) + 1 {
				if _, err := b.Undo(); err != nil {
					t.Fatal(err)
				}
			}
			if c := b.Case(); c.Now != before.Now || len(c.Superseded()) != len(before.Superseded()) {
				t.Errorf("after undo present %s", c.Now)
			}
		})
	}
}

// A pair that was read at once stays a pair.
func TestStates_MistakenKeepsPairs(t *testing.T) {
	for name, first := range map[string]string{"the later names the first": "", "the first names the later": "b", "each names the other": "both"} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, func(d *Deps) {
				a := fault.Reading{ID: "a", State: "split", Quantity: fault.Volts, Red: "M08-", Black: "chassis", Value: -1}
				b := fault.Reading{ID: "b", State: "split", Quantity: fault.Volts, Red: "M14+", Black: "chassis", Value: 2}
				if first != "" {
					a.TogetherWith = "b"
				}
				if first != "b" {
					b.TogetherWith = "a"
				}
				d.Case.Readings = []fault.Reading{a, b}
			})
			r.chooseState(t, states.Change{Kind: states.Torqued, To: states.IsTorqued})
			r.key(fyne.KeyReturn)
			r.typed("1")
			c := r.store.Case()
			if len(c.Readings) != 4 {
				t.Fatalf("%+v", c.Readings)
			}
			x, y := c.Readings[2], c.Readings[3]
			if x.TogetherWith != y.ID && y.TogetherWith != x.ID {
				t.Errorf("no pair: %+v and %+v", x, y)
			}
		})
	}
}
