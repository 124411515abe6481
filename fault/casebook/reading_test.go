package casebook_test

import (
	"math"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

// What no case file could hold is refused in plain words, and nothing is written.
func TestAddReading_Refuses(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	with := func(change func(*fault.Reading)) fault.Reading {
		r := volts("M01+", "chassis", 1)
		change(&r)
		return r
	}
	tests := map[string]struct {
		r     fault.Reading
		kind  casebook.Kind
		words string
	}{
		"no such node":       {volts("M99+", "chassis", 1), casebook.Refused, `red: "M99+" is not a node of this layout`},
		"no such state":      {with(func(r *fault.Reading) { r.State = "wet" }), casebook.Refused, `state: there is no state "wet"`},
		"no such instrument": {with(func(r *fault.Reading) { r.Instrument = "other" }), casebook.Refused, "instrument: there is no instrument"},
		"no such resistor":   {with(func(r *fault.Reading) { r.Resistor = &fault.Fitted{ID: "R1"} }), casebook.Refused, "there is no resistor"},
		"no number":          {volts("M01+", "chassis", math.NaN()), casebook.Refused, "a number is missing or without bound"},
		"without bound":      {volts("M01+", "chassis", math.Inf(1)), casebook.Refused, "a number is missing or without bound"},
		"an id twice":        {with(func(r *fault.Reading) { r.ID = "r1" }), casebook.Refused, "there is a reading r1 in this case already"},
		"a module's id":      {with(func(r *fault.Reading) { r.ID = "M01" }), casebook.Refused, `the id "M01" is taken by a module`},
		"a time that is not": {with(func(r *fault.Reading) { r.At = "noon" }), casebook.Refused, "a time is written like"},
		"no such partner":    {with(func(r *fault.Reading) { r.TogetherWith = "r9" }), casebook.Missing, "there is no reading"},
		"supersedes by hand": {with(func(r *fault.Reading) { r.Supersedes, r.Why = "r1", "x" }), casebook.Refused, "a correction says which reading"},
	}
	head := must(b.Head()).or(t)
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			_, err := b.AddReading(id, tt.r, anna)
			wantKind(t, err, tt.kind, tt.words)
		})
	}
	_, err := b.AddReading("no such case", volts("M01+", "chassis", 1), anna)
	wantKind(t, err, casebook.Missing, "there is no such case")
	if must(b.Head()).or(t) != head {
		t.Error("a refusal is in the log")
	}
}

// A strange value is recorded as it is: it may be the fault itself.
func TestAddReading_KeepsWhatIsStrange(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	after := 10.0
	for _, r := range []fault.Reading{
		volts("M01+", "chassis", 9999), volts("SD@M02+", "SD@M03-", -1e6), volts("chassis", "chassis:tray", 0),
		{State: "closed", Quantity: fault.Insulation, Red: "M01+", Black: "chassis", Value: 0, Relation: fault.Less, Raw: "  0,00\u00a0", TestVolts: -500, AfterTouchS: &after},
		{State: "closed", Quantity: fault.Celsius, Red: "B1", Value: -12, Who: "Ben", Note: "in the yard <&> \"cold\"", At: "2026-03-02T10:04:00+01:00"},
	} {
		got := must(b.AddReading(id, r, anna)).or(t)
		r.ID = got.ID
		c := theCase(t, b, id)
		kept, ok := c.Reading(got.ID)
		if !ok || kept.Value != r.Value || kept.Raw != r.Raw || kept.Note != r.Note || kept.At != r.At || kept.TestVolts != r.TestVolts {
			t.Errorf("%+v became %+v", r, kept)
		}
	}
	r := must(b.AddReading(id, volts("M01+", "chassis", math.Copysign(0, -1)), anna)).or(t)
	if math.Signbit(r.Value) {
		t.Error("a negative zero")
	}
	holds(t, b)
}

// Two meters at once, and their corrections.
func TestAddReading_Together(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	one := must(b.AddReading(id, volts("M03+", "chassis", 5), anna)).or(t)
	pair := volts("M01-", "chassis", -6)
	pair.TogetherWith = one.ID
	two := must(b.AddReading(id, pair, anna)).or(t)
	_, err := b.AddReading(id, pair, anna)
	wantKind(t, err, casebook.Refused, one.ID+" is together with "+two.ID+" already")
	wantKind(t, b.WithdrawReading(id, one.ID, why("x")), casebook.Refused, two.ID+" refers to "+one.ID)
	_, err = b.SupersedeReading(id, two.ID, pair, casebook.By{Who: "Anna"})
	wantKind(t, err, casebook.Refused, "says why")
	pair.Value = -6.5
	three := must(b.SupersedeReading(id, two.ID, pair, why("misread"))).or(t)
	_, err = b.SupersedeReading(id, two.ID, pair, why("again"))
	wantKind(t, err, casebook.Refused, two.ID+" was corrected by "+three.ID+" already")
	if c := theCase(t, b, id); len(c.Readings) != 3 || c.Readings[2].TogetherWith != one.ID || c.Readings[2].Why != "misread" {
		t.Errorf("%+v", c.Readings)
	}
	holds(t, b)
}

// The names that undo shows.
func TestNames(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	want := func(name string) {
		t.Helper()
		if got := must(b.UndoName(id)).or(t); got != name {
			t.Errorf("%q, want %q", got, name)
		}
	}
	add := func(r fault.Reading) fault.Reading { return must(b.AddReading(id, r, anna)).or(t) }
	r := add(volts("M01+", "M01-", 3.62))
	want("M01 3.62 V")
	must(b.SupersedeReading(id, r.ID, volts("M01+", "M01-", 36.2), why("x"))).or(t)
	want("M01 3.62 V -> 36.2 V")
	must(b.SupersedeReading(id, "r2", volts("M02+", "M02-", 3.62), why("x"))).or(t)
	want("M01 36.2 V -> M02 3.62 V")
	add(fault.Reading{State: "closed", Quantity: fault.Insulation, Red: "M01+", Black: "chassis", Value: 2e9, Relation: fault.Greater})
	want("M01+ to chassis > 2 GΩ")
	add(fault.Reading{State: "closed", Quantity: fault.Ohms, Red: "M01+", Black: "chassis", Value: 34100})
	want("M01+ to chassis 34.1 kΩ")
	yes, no := true, false
	for _, s := range []struct {
		state fault.State
		name  string
	}{
		{fault.State{Contactors: fault.Open, Monitor: fault.MonitorDisconnected, Open: []string{"SD", "L1"}}, "record SD as opened, L1 as opened"},
		{fault.State{Contactors: fault.Open, Monitor: fault.MonitorDisconnected, Open: []string{"SD"}, Unplugged: []string{"B1"}}, "record L1 as closed, B1 as unplugged"},
		{fault.State{Contactors: fault.Open, Monitor: fault.MonitorDisconnected, Open: []string{"SD"}, Boards: fault.BoardsOut}, "record all boards as unplugged, or none fitted"},
		{fault.State{Contactors: fault.Open, Monitor: fault.MonitorDisconnected, Open: []string{"SD"}, Unplugged: []string{"B1"}}, "record boards as plugged or not known, B1 as unplugged"},
		{fault.State{Contactors: fault.Closed, Wet: &yes, Torqued: &no}, "record SD as closed, B1 as plugged in, contactors as closed, monitor as not known, the pack as wet, mounts as loosened"},
		{fault.State{Contactors: fault.Closed, Torqued: &no, Connected: []string{"charger"}}, "record charger as connected, wetness as not known"},
		{fault.State{Contactors: fault.Closed, Torqued: &no, Connected: []string{"charger"}}, "record state s8"},
	} {
		must(b.RecordState(id, s.state, anna)).or(t)
		want(s.name)
	}
	check(t, b.SetNow(id, "", anna))
	want("present state not known")
	must(b.AddState(id, fault.State{ID: "planned", Open: []string{"SD"}}, anna)).or(t)
	want("state planned")
	if c := theCase(t, b, id); c.Now != "" || len(c.States) != 9 {
		t.Errorf("%q, %d states", c.Now, len(c.States))
	}
	h := must(b.History(id, 2)).or(t)
	if len(h) != 2 || h[0].Name != "state planned" || h[0].Who != "Anna" {
		t.Errorf("%+v", h)
	}
	if all := must(b.History(id, 0)).or(t); all[len(all)-1].Name != "new case case" {
		t.Errorf("%+v", all)
	}
}
