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
