package casebook_test

import (
	"fmt"
	"os"
	"path/filepath"
	"testing"
	"time"

	"halfsplit/fault/casebook"
)

// A copy a day, the newest ten of them, each a casebook of its own.
func TestCopies_Daily(t *testing.T) {
	now := time.Date(2026, 2, 25, 8, 0, 0, 0, time.Local)
	o := casebook.Options{Now: func() time.Time { return now }}
	path := filepath.Join(t.TempDir(), "shop.casebook")
	b := must(casebook.Create(path, o)).or(t)
	id, _ := newCase(t, b)
	check(t, b.Close())
	if exists(casebook.CopiesFolder(path)) {
		t.Error("a copy of a casebook that was just made")
	}
	for day := range 12 {
		for range 2 { // the second opening of a day makes none
			b := must(casebook.Open(path, o)).or(t)
			check(t, b.CopyDone())
			must(b.AddReading(id, volts("M01+", "chassis", float64(day)), anna)).or(t)
			check(t, b.Close())
			now = now.Add(time.Hour)
		}
		now = now.Add(22 * time.Hour)
	}
	copies := must(casebook.Copies(path)).or(t)
	if len(copies) != 10 {
		t.Fatalf("%d copies: %v", len(copies), copies)
	}
	for i, c := range copies {
		if want := fmt.Sprintf("2026-%s.casebook", now.AddDate(0, 0, -i-1).Format("01-02")); filepath.Base(c) != want {
			t.Errorf("copy %d is %s, want %s", i, c, want)
		}
		b := must(casebook.Open(c, casebook.Options{ReadOnly: true})).or(t)
		if n := len(theCase(t, b, id).Readings); n != 2*(11-i) {
			t.Errorf("%s has %d readings, want %d", c, n, 2*(11-i))
		}
		holds(t, b)
		check(t, b.Close())
	}
}

// What else lies in the folder stays, and a folder that cannot be made is told
// and keeps nobody from working.
func TestCopies_OnlyTheirOwn(t *testing.T) {
	path := sample(t)
	write(t, casebook.CopiesFolder(path), []byte("a file where the folder should be"))
	b := must(casebook.Open(path, casebook.Options{})).do(t, closing)
	err := b.CopyDone()
	if err == nil || casebook.KindOf(err) != casebook.Failed {
		t.Errorf("%v", err)
	}
	newCase(t, b)
	other := sample(t)
	notes := filepath.Join(casebook.CopiesFolder(other), "notes.txt")
	check(t, must(casebook.Open(other, casebook.Options{})).or(t).Close())
	write(t, notes, []byte("mine"))
	for day := range 12 {
		write(t, filepath.Join(casebook.CopiesFolder(other), fmt.Sprintf("2020-01-%02d.casebook", day+1)), []byte("old"))
	}
	half, busy := filepath.Join(casebook.CopiesFolder(other), ".2020-01-01.casebook.1.tmp"), filepath.Join(casebook.CopiesFolder(other), ".2020-01-02.casebook.2.tmp")
	write(t, half, []byte("half a copy"))
	write(t, busy, []byte("being made"))
	check(t, os.Chtimes(half, time.Time{}, time.Now().Add(-25*time.Hour)))
	o := casebook.Options{Now: func() time.Time { return time.Now().AddDate(0, 0, 1) }}
	b = must(casebook.Open(other, o)).do(t, closing)
	check(t, b.CopyDone())
	if exists(half) || !exists(busy) {
		t.Error("half a copy is left, or one that is being made is gone")
	}
	if n := len(must(casebook.Copies(other)).or(t)); n != 10 || !exists(notes) {
		t.Errorf("%d copies, notes there: %v", n, exists(notes))
	}
}
