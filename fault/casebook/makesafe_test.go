package casebook_test

import (
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
)

func TestMakeSafe_AddedSupersededUndone(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	v, known := 0.2, 690.0
	first := must(b.AddMakeSafe(id, fault.MakeSafe{Item: fault.SafePlus, Value: &v, Raw: "0.2", State: "closed", Who: "Ben", Instrument: "dmm"}, anna)).or(t)
	if first.ID != "k1" {
		t.Errorf("the first is %s", first.ID)
	}
	w := 0.3
	must(b.AddMakeSafe(id, fault.MakeSafe{Item: fault.SafePlus, Value: &w, State: "closed"}, anna)).or(t)
	now := func() (text string) {
		t.Helper()
		c := theCase(t, b, id)
		if m, ok := c.SafeNow(fault.SafePlus); ok {
			text = m.Name()
		}
		return text
	}
	if now() != "+ to chassis 0.3 V" {
		t.Error(now())
	}
	if c := theCase(t, b, id); len(c.MakeSafe) != 2 || *c.MakeSafe[0].Value != 0.2 || c.MakeSafe[0].Who != "Ben" || c.MakeSafe[0].State != "closed" {
		t.Errorf("what it supersedes is %+v", c.MakeSafe)
	}
	if name := must(b.Undo(id, anna)).or(t); name != "+ to chassis 0.3 V" || now() != "+ to chassis 0.2 V" {
		t.Error(name, now())
	}
	b = reopen(t, b)
	if name := must(b.Redo(id, anna)).or(t); name != "+ to chassis 0.3 V" || now() != "+ to chassis 0.3 V" {
		t.Error(name, now())
	}
	must(b.AddMakeSafe(id, fault.MakeSafe{Item: fault.SafeBefore, Value: &known, Known: &known}, anna)).or(t)
	must(b.Undo(id, anna)).or(t)
	if again := must(b.AddMakeSafe(id, fault.MakeSafe{Item: fault.SafeBefore, Value: &known, Known: &known}, anna)).or(t); again.ID == "k3" {
		t.Error("an id was given twice")
	}
	if n := count(t, b.Writer(), `SELECT count(*) FROM make_safe`); n != 4 {
		t.Errorf("%d rows", n)
	}
	for _, harm := range []string{`UPDATE make_safe SET value = 0`, `DELETE FROM make_safe`} {
		if _, err := b.Writer().Exec(harm); err == nil {
			t.Errorf("%s was done", harm)
		}
	}
	holds(t, b)
}

func TestMakeSafe_Refused(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	v, below := 1.0, -1.0
	for _, tt := range []struct {
		m     fault.MakeSafe
		words string
	}{
		{fault.MakeSafe{Item: "prayer"}, "prayer"},
		{fault.MakeSafe{Item: fault.SafePoles}, "needs the volts"},
		{fault.MakeSafe{Item: fault.SafeReason}, "needs its words"},
		{fault.MakeSafe{Item: fault.SafeWait, Value: &below}, "negative"},
		{fault.MakeSafe{Item: fault.SafeGloves, Date: "last spring"}, "a date is written like"},
		{fault.MakeSafe{Item: fault.SafePoles, Value: &v, State: "later"}, "later"},
		{fault.MakeSafe{Item: fault.SafePoles, Value: &v, Instrument: "none"}, "none"},
		{fault.MakeSafe{ID: "M01", Item: fault.SafePoles, Value: &v}, "is taken"},
	} {
		_, err := b.AddMakeSafe(id, tt.m, anna)
		wantKind(t, err, casebook.Refused, tt.words)
	}
	if c := theCase(t, b, id); len(c.MakeSafe) != 0 {
		t.Errorf("recorded %+v", c.MakeSafe)
	}
	holds(t, b)
}

// The record goes in and comes out with its case, and so does what the pack was
// like in a state.
func TestMakeSafe_ImportedAndExported(t *testing.T) {
	c := caseFile(t, "S3")
	v, known, tol, cold := 689.0, 690.0, 5.0, -4.0
	c.MakeSafe = []fault.MakeSafe{
		{ID: "k1", At: "2026-03-02T09:10:00+01:00", Who: "Ben", State: c.States[0].ID, Item: fault.SafeBefore, Point: "at the main connector", Value: &v, Raw: "689", Known: &known, TolPct: &tol},
		{ID: "k2", Item: fault.SafeReason, Text: "The key is held by the shift leader.", Lacked: []string{"no lock"}},
	}
	c.States[0].Celsius, c.States[0].Coolant = &cold, fault.CoolantOut
	raw, err := format.WriteCase(c)
	check(t, err)
	b := newBook(t)
	id := must(b.ImportCase(c, raw, anna)).or(t)
	b = reopen(t, b)
	got := must(b.ExportCase(id)).or(t)
	same(t, c, got)
	if again := must(format.WriteCase(got)).or(t); string(again) != string(raw) {
		t.Error("it is not written as the file it came from")
	}
	holds(t, b)
}
