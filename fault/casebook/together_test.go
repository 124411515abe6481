package casebook_test

import (
	"path/filepath"
	"sync"
	"testing"

	"halfsplit/fault/casebook"
)

// Two windows of one program: each sees what the other recorded, and the log is
// one.
func TestTwoBooks_OfOneFile(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	other := must(casebook.Open(b.Path(), casebook.Options{NoCopies: true})).or(t)
	head := must(b.Head()).or(t)
	must(other.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	if now := must(b.Head()).or(t); now == head {
		t.Error("the other window's reading does not show in the head")
	}
	if n := len(theCase(t, b, id).Readings); n != 1 {
		t.Errorf("%d readings seen from the other window", n)
	}
	if name, err := b.Undo(id, anna); err != nil || name != "M01+ to chassis 1 V" {
		t.Errorf("undo of the other window's reading: %q, %v", name, err)
	}
	check(t, b.Close()) // the first to close leaves the file to the other
	must(other.AddReading(id, volts("M01+", "chassis", 2), anna)).or(t)
	holds(t, other)
	check(t, other.Close())
	for _, s := range []string{"-wal", "-shm", "-journal"} {
		if exists(b.Path() + s) {
			t.Errorf("%s is left after the last window closed", s)
		}
	}
	holds(t, must(casebook.Open(b.Path(), casebook.Options{NoCopies: true})).do(t, closing))
}

// Two programs write at once: every command of both is there.
func TestTwoPrograms_WriteTheSameFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "two.casebook")
	b := must(casebook.Create(path, casebook.Options{NoCopies: true})).do(t, closing)
	id, _ := newCase(t, b)
	c := start(t, "enter", path, id, "15")
	acknowledged := map[string]bool{}
	for range 15 {
		acknowledged[must(b.AddReading(id, volts("M01+", "chassis", 1.25), anna)).or(t).ID] = true
	}
	<-c.done
	check(t, c.Wait())
	for _, line := range c.said() {
		acknowledged[line] = true
	}
	if len(acknowledged) != 45 {
		t.Errorf("%d commands, want 45: %v", len(acknowledged), c.said())
	}
	allThere(t, b, id, acknowledged)
}

// One Book from many goroutines.
func TestBook_FromManyGoroutines(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	var all sync.WaitGroup
	for range 4 {
		all.Go(func() {
			for range 5 {
				if _, err := b.AddReading(id, volts("M01+", "chassis", 1.25), anna); err != nil {
					t.Error(err)
				}
				if _, _, err := b.Case(id); err != nil {
					t.Error(err)
				}
			}
		})
	}
	all.Wait()
	if n := len(theCase(t, b, id).Readings); n != 20 {
		t.Errorf("%d readings", n)
	}
	holds(t, b)
}

// Somebody who holds the file for too long: a clear error, and nothing is lost.
func TestBusy_IsToldAndNothingIsLost(t *testing.T) {
	b := newBook(t)
	id, _ := newCase(t, b)
	must(b.AddReading(id, volts("M01+", "chassis", 1), anna)).or(t)
	must(b.Writer().Exec("PRAGMA busy_timeout = 50")).or(t)
	raw := rawOpen(t, b.Path())
	tx := must(raw.Begin()).or(t)
	must(tx.Exec("INSERT INTO settings (key) VALUES ('hold')")).or(t)
	_, err := b.AddReading(id, volts("M02+", "chassis", 2), anna)
	wantKind(t, err, casebook.Busy, "another window or program is writing")
	if n := len(theCase(t, b, id).Readings); n != 1 {
		t.Errorf("%d readings while another holds the file", n)
	}
	check(t, tx.Rollback())
	must(b.AddReading(id, volts("M02+", "chassis", 2), anna)).or(t)
	holds(t, b)
}
