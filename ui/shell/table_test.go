package shell

import (
	"strings"
	"testing"

	"halfsplit/fault/casebook"
)

// The drawing of a case's layout is opened from the case, which comes to rest on the
// newest version under the name and the reason that were given.
func TestTable_ACaseComesToRestOnTheNewestVersion(t *testing.T) {
	r := run(t, shop(t), nil)
	cases, err := r.book.Cases("")
	if err != nil || len(cases) != 1 {
		t.Fatal(cases, err)
	}
	id := cases[0].ID
	r.draw("", id)
	if r.table == nil {
		t.Fatal("the table is not open")
	}
	on, err := r.book.LayoutOfCase(id)
	if err != nil {
		t.Fatal(err)
	}
	l, err := r.book.ExportLayout(on.LayoutID)
	if err != nil {
		t.Fatal(err)
	}
	l.Name = "another name"
	if err := r.book.SaveLayout(on.LayoutID, l, "a name", casebook.By{}); err != nil {
		t.Fatal(err)
	}
	if said, err := r.useNewest(id, "Ada", "Partial layout: sections only. The rest is under the cover."); err != nil || !strings.Contains(said, "rests on version 2 now") {
		t.Fatal(said, err)
	}
	history, err := r.book.History(id, 1)
	if err != nil || len(history) != 1 || history[0].Who != "Ada" || !strings.HasPrefix(history[0].Why, "Partial layout") {
		t.Errorf("%+v %v", history, err)
	}
	if said, err := r.useNewest(id, "", ""); err != nil || !strings.Contains(said, "already") {
		t.Error(said, err)
	}
	if others, err := r.otherLayouts(on.LayoutID); err != nil || len(others) != 0 {
		t.Errorf("%+v %v", others, err)
	}
	if _, err := r.book.DuplicateLayout(on.LayoutID, "a copy", casebook.By{}); err != nil {
		t.Fatal(err)
	}
	if others, err := r.otherLayouts(on.LayoutID); err != nil || len(others) != 1 || others[0].Name != "a copy" || !strings.Contains(others[0].About, "version 1") {
		t.Errorf("%+v %v", others, err)
	}
}

// After the program ended with a drawing on the table, the drawing is there again: by its
// layout, or with the case that it was opened from to go back to. One that was left is not.
func TestTable_TheDrawingIsThereAgain(t *testing.T) {
	path := shop(t)
	r := run(t, path, nil)
	cases, err := r.book.Cases("")
	if err != nil || len(cases) != 1 {
		t.Fatal(cases, err)
	}
	on, err := r.book.LayoutOfCase(cases[0].ID)
	if err != nil {
		t.Fatal(err)
	}
	again := func() {
		t.Helper()
		if err := r.Close(); err != nil {
			t.Fatal(err)
		}
		r = run(t, path, nil)
	}
	r.draw(on.LayoutID, "")
	if again(); r.table == nil || r.tableOf != "" {
		t.Errorf("the drawing is open: %v, of case %q", r.table != nil, r.tableOf)
	}
	r.Cases()
	if again(); r.table != nil || r.desk != nil {
		t.Error("what was left is open again")
	}
	r.draw("", cases[0].ID)
	if again(); r.table == nil || r.tableOf != cases[0].ID {
		t.Errorf("the drawing is open: %v, of case %q", r.table != nil, r.tableOf)
	}
	r.leaveTable(cases[0].ID)
	if again(); r.table != nil || r.desk == nil {
		t.Errorf("the table is open: %v, the case: %v", r.table != nil, r.desk != nil)
	}
	r.setLast(lastLayout + "gone")
	if again(); r.table != nil || r.desk != nil {
		t.Error("a layout that is not there is open")
	}
}
