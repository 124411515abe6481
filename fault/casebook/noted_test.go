package casebook_test

import (
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/fault/format"
)

func TestNoted_AddedUndoneWithdrawn(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	wet := must(b.AddNoted(id, fault.Noted{Place: "M02", What: fault.NotedWet, Who: "Ben", Why: "drops under the cover"}, anna)).or(t)
	mark := must(b.AddNoted(id, fault.Noted{Place: "M01.1", What: fault.NotedMark, At: "2026-03-02T10:15:00Z"}, anna)).or(t)
	must(b.AddNoted(id, fault.Noted{ID: "lead", Place: "B1", What: fault.NotedChafed}, anna)).or(t)
	if wet.ID != "n1" || mark.ID != "n2" {
		t.Errorf("ids %s and %s", wet.ID, mark.ID)
	}
	noted := func() (s string) {
		t.Helper()
		for _, n := range theCase(t, b, id).Noted {
			s += n.ID + " " + n.Place + " " + n.What + "; "
		}
		return s
	}
	all := "n1 M02 wet; n2 M01.1 mark; lead B1 chafed; "
	if noted() != all {
		t.Error(noted())
	}
	if name := must(b.Undo(id, anna)).or(t); name != "B1 noted as chafed" || noted() != "n1 M02 wet; n2 M01.1 mark; " {
		t.Error(name, noted())
	}
	b = reopen(t, b)
	if name := must(b.Redo(id, anna)).or(t); name != "B1 noted as chafed" || noted() != all {
		t.Error(name, noted())
	}
	check(t, b.WithdrawNoted(id, "n2", why("it was dirt")))
	if noted() != "n1 M02 wet; lead B1 chafed; " {
		t.Error(noted())
	}
	wantKind(t, b.WithdrawNoted(id, "n2", why("again")), casebook.Missing, `nothing noted as "n2"`)
	wantKind(t, b.WithdrawNoted(id, "n1", anna), casebook.Refused, "say why")
	if next := must(b.AddNoted(id, fault.Noted{Place: "SD", What: fault.NotedSmell}, anna)).or(t); next.ID == "n2" {
		t.Error("an id was given twice")
	}
	must(b.Undo(id, anna)).or(t)
	if name := must(b.Undo(id, anna)).or(t); name != "withdraw n2: M01.1 noted as mark" || noted() != all {
		t.Error(name, noted())
	}
	if n := count(t, b.Writer(), `SELECT count(*) FROM noted`); n != 4 {
		t.Errorf("%d rows", n)
	}
	if _, err := b.Writer().Exec(`UPDATE noted SET place = 'M03'`); err == nil {
		t.Error("what was noted could be changed")
	}
	if _, err := b.Writer().Exec(`DELETE FROM noted`); err == nil {
		t.Error("what was noted could be deleted")
	}
	holds(t, b)
}

func TestNoted_Refused(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	r := must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	for _, tt := range []struct {
		n     fault.Noted
		words string
	}{
		{fault.Noted{Place: "M09", What: fault.NotedWet}, "is not a module, link, board or tap"},
		{fault.Noted{Place: "pack+", What: fault.NotedWet}, "is a terminal of the pack"},
		{fault.Noted{Place: "M01", What: "damp"}, "damp"},
		{fault.Noted{Place: "M01", What: fault.NotedWet, At: "yesterday"}, "a time is written like"},
		{fault.Noted{ID: r.ID, Place: "M01", What: fault.NotedWet}, "is taken"},
		{fault.Noted{ID: "closed", Place: "M01", What: fault.NotedWet}, "is taken"},
		{fault.Noted{ID: "M01", Place: "M01", What: fault.NotedWet}, "is taken"},
	} {
		_, err := b.AddNoted(id, tt.n, anna)
		wantKind(t, err, casebook.Refused, tt.words)
	}
	_, err := b.AddNoted("none", fault.Noted{Place: "M01", What: fault.NotedWet}, anna)
	wantKind(t, err, casebook.Missing, "no such case")
	must(b.AddNoted(id, fault.Noted{Place: "M01", What: fault.NotedWet}, anna)).or(t)
	taken := volts("M01+", "chassis", 1)
	taken.ID = "n1"
	_, err = b.AddReading(id, taken, anna)
	wantKind(t, err, casebook.Refused, "is taken")
	_, err = b.RecordState(id, fault.State{ID: "n1"}, anna)
	wantKind(t, err, casebook.Refused, "is taken")
	holds(t, b)
}

// A layout that is still a draft keeps the places at which something was noted.
func TestNoted_LayoutKeepsThePlace(t *testing.T) {
	b := newBook(t)
	id, layout := newCase(t, b)
	must(b.AddNoted(id, fault.Noted{Place: "B1", What: fault.NotedWet}, anna)).or(t)
	without := bench()
	without.Boards = nil
	err := b.SaveLayout(layout, without, "take B1 out", anna)
	wantKind(t, err, casebook.Refused, "is not a module, link, board or tap")
	holds(t, b)
}

// What was noted goes in and comes out with its case.
func TestNoted_ImportedAndExported(t *testing.T) {
	c := caseFile(t, "S3")
	c.Noted = []fault.Noted{{ID: "n1", At: "2026-03-02T10:15:00+01:00", Who: "Ben", Place: "M03", What: fault.NotedWet, Why: "“a drop”"}, {ID: "n2", Place: "M15.3", What: fault.NotedOther}}
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
