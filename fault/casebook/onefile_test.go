package casebook_test

import (
	"bytes"
	"context"
	"database/sql"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

// oneFile writes a case as one file.
func oneFile(t testing.TB, b *casebook.Book, id string) (path string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "case.halfsplit")
	_, _, err := b.WriteOne(context.Background(), id, path, false, anna)
	check(t, err)
	return path
}

func takeIn(t testing.TB, b *casebook.Book, path, id string) casebook.Brought {
	t.Helper()
	out := must(b.TakeIn(context.Background(), path, id, anna)).or(t)
	holds(t, b)
	return out
}

// A case goes out as one file and comes into another casebook with everything:
// what was superseded and withdrawn, photos byte for byte, and its history.
func TestOneFile_ComesInWhole(t *testing.T) {
	b := newBook(t)
	other := must(b.ImportCase(pack(t), nil, anna)).or(t) // stays where it is
	id := furnish(t, b)
	path := oneFile(t, b, id)
	if r := must(casebook.AuditFile(context.Background(), path, "")).or(t); !r.Holds() {
		t.Fatal(r.Problem)
	}
	if all := must(casebook.CasesIn(path)).or(t); len(all) != 1 || all[0].ID != id {
		t.Fatalf("%+v", all)
	}
	to := newBook(t)
	out := takeIn(t, to, path, id)
	if !out.New || out.Nothing || out.Title != "warning in the rain" || out.From != must(b.Head()).or(t) || !out.File.Known() {
		t.Errorf("%+v", out)
	}
	same(t, theCase(t, b, id), theCase(t, to, id))
	if w := must(to.Withdrawn(id)).or(t); len(w) != 1 || w[0].Reading.Raw != "-7,5" {
		t.Errorf("withdrawn: %+v", w)
	}
	photo := must(to.Photos(id)).or(t)[0]
	if got := must(to.PhotoData(photo.ID)).or(t); !bytes.Equal(got, []byte("a picture")) || photo.Name != "lid off.jpg" {
		t.Errorf("photo %q of %+v", got, photo)
	}
	f, ok, err := to.LastFinding(id)
	was, _, _ := b.LastFinding(id)
	if err != nil || !ok || !bytes.Equal(f.JSON, was.JSON) || f.Current != was.Current {
		t.Errorf("finding %+v (%v), was %+v", f, err, was)
	}
	if _, _, err := to.Case(other); casebook.KindOf(err) != casebook.Missing {
		t.Errorf("another case came along: %v", err)
	}
	head := must(to.Head()).or(t)
	again := takeIn(t, to, path, id)
	if !again.Nothing || len(again.Rows) > 0 || must(to.Head()).or(t) != head {
		t.Errorf("taken in twice: %+v", again)
	}
	if again := takeIn(t, to, oneFile(t, b, id), id); !again.Nothing || must(to.Head()).or(t) != head {
		t.Errorf("the same written again and taken in: %+v", again)
	}
	if back := takeIn(t, b, oneFile(t, to, id), id); len(back.Rows) > 0 || len(back.Said) > 0 {
		t.Errorf("back where it came from: %+v", back)
	}
}

// The import is one command, which is undone and done again as a whole.
func TestOneFile_UndoIsWhole(t *testing.T) {
	a, b, id := laptops(t)
	before := theCase(t, b, id)
	must(a.AddReading(id, volts("M02+", "chassis", 4), anna)).or(t)
	r := must(a.AddReading(id, volts("M03+", "chassis", 5), anna)).or(t)
	check(t, a.WithdrawReading(id, r.ID, why("probe slipped")))
	check(t, a.SetTitle(id, "another title", anna))
	out := takeIn(t, b, oneFile(t, a, id), id)
	after := theCase(t, b, id)
	if name := must(b.Undo(id, anna)).or(t); !strings.Contains(name, "take in") {
		t.Error(name, out)
	}
	same(t, before, theCase(t, b, id))
	holds(t, b)
	must(b.Redo(id, anna)).or(t)
	same(t, after, theCase(t, b, id))
	if w := must(b.Withdrawn(id)).or(t); len(w) != 1 {
		t.Errorf("%d withdrawn", len(w))
	}
	must(b.Undo(id, anna)).or(t)
	takeIn(t, b, oneFile(t, a, id), id)
	after.Title = before.Title // the undo was the newest word on it
	same(t, after, theCase(t, b, id))

	fresh := newBook(t)
	takeIn(t, fresh, oneFile(t, a, id), id)
	must(fresh.Undo(casebook.ScopeBook, anna)).or(t)
	if n := len(must(fresh.Cases("")).or(t)); n != 0 {
		t.Errorf("%d cases after the undo", n)
	}
	takeIn(t, fresh, oneFile(t, a, id), id)
	same(t, theCase(t, a, id), theCase(t, fresh, id))
}

// laptops are two casebooks with one case.
func laptops(t testing.TB) (a, b *casebook.Book, id string) {
	t.Helper()
	a, b = newBook(t), newBook(t)
	id, _ = newCase(t, a)
	must(a.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	takeIn(t, b, oneFile(t, a, id), id)
	return a, b, id
}

// The work of two laptops comes together reading by reading.
func TestTwoLaptops_MergeReadingByReading(t *testing.T) {
	a, b, id := laptops(t)
	must(a.AddReading(id, volts("M02+", "chassis", 2), anna)).or(t)
	must(b.AddReading(id, volts("M03+", "chassis", 3), anna)).or(t)
	must(b.RecordState(id, fault.State{ID: "split", Open: []string{"SD"}}, anna)).or(t)
	check(t, a.SetTitle(id, "front left", anna))
	check(t, b.SetTitle(id, "rear right", anna))
	fromA, fromB := oneFile(t, a, id), oneFile(t, b, id)
	out := takeIn(t, a, fromB, id)
	if !slices.Contains(out.Said, `The title differs: “front left” here, “rear right” there. It stays “front left” here.`) {
		t.Errorf("%q", out.Said)
	}
	if !slices.ContainsFunc(out.Said, func(s string) bool {
		return s == "Reading r2 (M03+ to chassis 3 V) there is called r2_2 here, where r2 names another thing."
	}) {
		t.Errorf("%q", out.Said)
	}
	if c := theCase(t, a, id); len(c.Readings) != 3 || c.Title != "front left" || c.Now != "split" || out.What() != "1 state and 1 reading" {
		t.Errorf("%q, now %s, %d readings, %s", c.Title, c.Now, len(c.Readings), out.What())
	}
	takeIn(t, b, fromA, id)
	if c := theCase(t, b, id); len(c.Readings) != 3 || c.Title != "rear right" || c.Now != "split" {
		t.Errorf("%q, now %s, %d readings", c.Title, c.Now, len(c.Readings))
	}
	// Who knows of both wins: what a keeps now, b takes.
	check(t, a.SetTitle(id, "front left, as agreed", anna))
	takeIn(t, b, oneFile(t, a, id), id)
	if c := theCase(t, b, id); c.Title != "rear right" {
		t.Errorf("%q: b set its own without knowing", c.Title)
	}
	takeIn(t, a, oneFile(t, b, id), id)
	check(t, a.SetTitle(id, "agreed", anna))
	takeIn(t, b, oneFile(t, a, id), id)
	if c := theCase(t, b, id); c.Title != "agreed" {
		t.Errorf("%q", c.Title)
	}
}

// Every table whose rows belong to a case goes where the case goes.
func TestOneFile_TakesEveryTableOfACase(t *testing.T) {
	b := newBook(t)
	id := furnish(t, b)
	file := rawOpen(t, oneFile(t, b, id))
	rows := must(file.Query(`SELECT m.name FROM sqlite_schema m JOIN pragma_table_info(m.name) c ON c.name = 'case_id' WHERE m.type = 'table'`)).or(t)
	var tables []string
	for rows.Next() {
		var name string
		check(t, rows.Scan(&name))
		tables = append(tables, name)
	}
	check(t, rows.Close())
	if len(tables) < 10 {
		t.Fatalf("only %v belong to a case", tables)
	}
	count := func(q interface {
		QueryRow(string, ...any) *sql.Row
	}, table string) (n int) {
		check(t, q.QueryRow("SELECT count(*) FROM "+table+" WHERE case_id = ?", id).Scan(&n))
		return n
	}
	for _, table := range tables {
		if table == "events" || table == "foreign_events" || table == "imports" {
			continue // the log of the file is its own
		}
		if was, is := count(b.Writer(), table), count(file, table); was == 0 || was != is {
			t.Errorf("%s: %d rows, %d in the file (a row of each kind has to be in the sample)", table, was, is)
		}
	}
}

// Group volts that both sides read are both kept, and which ones count is said.
func TestTwoLaptops_SayWhichGroupVoltsCount(t *testing.T) {
	a, b, id := laptops(t)
	check(t, a.EnterGroupVolts(id, "M02", "closed", "dmm", 1, 3.6, anna))
	check(t, b.EnterGroupVolts(id, "M02", "closed", "dmm", 1, 3.7, anna))
	check(t, b.EnterGroupVolts(id, "M03", "closed", "dmm", 1, 3.7, anna))
	out := takeIn(t, a, oneFile(t, b, id), id)
	if len(out.Said) != 1 || out.Said[0] != "Both sides read group volts of M02 in state closed; all are kept, and where both gave a group, the value from there counts now." {
		t.Errorf("%q", out.Said)
	}
	if lists := theCase(t, a, id).GroupVolts; len(lists) != 3 {
		t.Errorf("%d lists", len(lists))
	}
}
