package casebook_test

import (
	"fmt"
	"path/filepath"
	"testing"

	"halfsplit/fault/casebook"
)

// A disk that is full: a clear error, nothing that was acknowledged is lost, and
// work goes on when there is room again.
func TestFull_NothingIsLost(t *testing.T) {
	b := newBook(t)
	id, layout := newCase(t, b)
	pages := 0
	check(t, b.Writer().QueryRow("PRAGMA page_count").Scan(&pages))
	var limit int
	check(t, b.Writer().QueryRow(fmt.Sprintf("PRAGMA max_page_count = %d", pages+6)).Scan(&limit))
	kept := 0
	var err error
	for ; kept < 1000 && err == nil; kept++ {
		_, err = b.AddReading(id, volts("M01+", "chassis", 1.25), anna)
	}
	kept--
	wantKind(t, err, casebook.Full, "the disk is full; nothing of this was saved, and everything saved before is still there")
	_, err = b.AddPhoto(id, "plan", "large.jpg", make([]byte, 1<<20), anna)
	wantKind(t, err, casebook.Full, "the disk is full")
	if n := len(theCase(t, b, id).Readings); n != kept || kept == 0 {
		t.Errorf("%d readings, %d were acknowledged", n, kept)
	}
	holds(t, b)
	check(t, b.Writer().QueryRow("PRAGMA max_page_count = 1000000").Scan(&limit))
	must(b.AddReading(id, volts("M01+", "chassis", 1.25), anna)).or(t)
	must(b.NewCase(layout, begun("another"), anna)).or(t)
	b = reopen(t, b)
	if n := len(theCase(t, b, id).Readings); n != kept+1 {
		t.Errorf("%d readings after all, want %d", n, kept+1)
	}
	holds(t, b)
}

// Opened for reading alone: everything can be looked at, nothing can be changed,
// and the file stays as it is.
func TestReadOnly_LooksAndLeaves(t *testing.T) {
	path := sample(t)
	before := read(t, path)
	b := must(casebook.Open(path, casebook.Options{ReadOnly: true})).or(t)
	all := must(b.Cases("")).or(t)
	c := theCase(t, b, all[0].ID)
	if len(c.Readings) == 0 {
		t.Error("no readings")
	}
	_, err := b.AddReading(all[0].ID, volts("M01+", "chassis", 1), anna)
	wantKind(t, err, casebook.ReadOnly, "is open for reading alone")
	_, err = b.Undo(all[0].ID, anna)
	wantKind(t, err, casebook.ReadOnly, "is open for reading alone")
	check(t, b.SaveAs(t.Context(), filepath.Join(t.TempDir(), "copy.casebook"), false))
	holds(t, b)
	check(t, b.Close())
	if string(read(t, path)) != string(before) {
		t.Error("the file was changed")
	}
	leftOnly(t, filepath.Dir(path), filepath.Base(path))
}
