package casebook_test

import (
	"fmt"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

// A list is one command: one event, one step to undo and to redo, ids that go on.
func TestAddList_IsOneStep(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	before := must(b.Head()).or(t)
	readings := []fault.Reading{volts("M01+", "chassis", 2), volts("M02+", "chassis", 3)}
	groups := []fault.GroupVolts{{Module: "M01", State: "closed", Volts: []float64{3.6, nan}}, {Module: "M02", State: "closed", Volts: []float64{3.7, 3.8}}}
	check(t, b.AddList(id, readings, groups, anna))
	if h := must(b.Head()).or(t); h.Seq != before.Seq+1 {
		t.Errorf("%d events", h.Seq-before.Seq)
	}
	b = reopen(t, b)
	c := theCase(t, b, id)
	if len(c.Readings) != 3 || c.Readings[1].ID != "r2" || c.Readings[2].ID != "r3" || c.Readings[2].Value != 3 || len(c.GroupVolts) != 2 || c.GroupVolts[1].Volts[1] != 3.8 {
		t.Errorf("%+v %+v", c.Readings, c.GroupVolts)
	}
	const name = "list: 2 readings, 2 lists of group volts"
	if n := must(b.Undo(id, anna)).or(t); n != name {
		t.Errorf("undone %q", n)
	}
	if c := theCase(t, b, id); len(c.Readings) != 1 || len(c.GroupVolts) != 0 {
		t.Errorf("after undo %+v %+v", c.Readings, c.GroupVolts)
	}
	if n := must(b.Redo(id, anna)).or(t); n != name {
		t.Errorf("redone %q", n)
	}
	if c := theCase(t, b, id); len(c.Readings) != 3 || len(c.GroupVolts) != 2 {
		t.Errorf("after redo %+v %+v", c.Readings, c.GroupVolts)
	}
	holds(t, b)
}

// One row that no case can hold keeps all of them out.
func TestAddList_AllOrNothing(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	head := must(b.Head()).or(t)
	good := volts("M01+", "chassis", 1)
	wantKind(t, b.AddList(id, []fault.Reading{good, volts("M99+", "chassis", 1)}, nil, anna), casebook.Refused, `red: "M99+" is not a node`)
	wantKind(t, b.AddList(id, []fault.Reading{good}, []fault.GroupVolts{{Module: "M99", State: "closed", Volts: []float64{1}}}, anna), casebook.Refused, "there is no module")
	named := good
	named.ID = "r7"
	wantKind(t, b.AddList(id, []fault.Reading{named}, nil, anna), casebook.Refused, "get their ids")
	check(t, b.AddList(id, nil, nil, anna))
	if must(b.Head()).or(t) != head {
		t.Error("something is in the log")
	}
}

// Ten thousand readings of a list as one command.
func BenchmarkAddList(b *testing.B) {
	path, ids := filled(b, 1, 100)
	book := must(casebook.Open(path, casebook.Options{NoCopies: true})).do(b, closing)
	c := theCase(b, book, ids[0])
	var all []fault.Reading
	for i := range 10000 {
		all = append(all, fault.Reading{State: c.States[0].ID, Quantity: fault.Volts, Red: fmt.Sprintf("M%02d+", i%12+1), Black: "chassis", Value: float64(i) / 100, Instrument: c.Instruments[0].ID})
	}
	for b.Loop() {
		check(b, book.AddList(ids[0], all, nil, anna))
	}
}
