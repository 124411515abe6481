package casebook_test

import (
	"fmt"
	"path/filepath"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
)

// pack is a string of 12 modules of 8 groups, as a case of its own.
func pack(t testing.TB) fault.Case { return caseFile(t, "S1") }

// filled is a casebook with cases of so many readings each.
func filled(t testing.TB, cases, readings int) (path string, ids []string) {
	t.Helper()
	path = filepath.Join(t.TempDir(), "shop.casebook")
	b := must(casebook.Create(path, casebook.Options{NoCopies: true})).or(t)
	for n := range cases {
		c := pack(t)
		c.Title = fmt.Sprintf("case %d", n)
		c.Readings = nil
		for i := range readings {
			c.Readings = append(c.Readings, fault.Reading{ID: fmt.Sprintf("r%d", i+1), At: "2026-03-02T10:04:00Z", State: c.States[0].ID,
				Quantity: fault.Volts, Red: fmt.Sprintf("M%02d+", i%12+1), Black: "chassis", Value: float64(i) / 10, Raw: fmt.Sprint(i), Instrument: c.Instruments[0].ID})
		}
		ids = append(ids, must(b.ImportCase(c, nil, anna)).or(t))
	}
	check(t, b.Close())
	return path, ids
}

// One reading: checked, logged, and on the disk.
func BenchmarkAddReading(b *testing.B) {
	path, ids := filled(b, 1, 100)
	book := must(casebook.Open(path, casebook.Options{NoCopies: true})).do(b, closing)
	c := theCase(b, book, ids[0])
	r := fault.Reading{State: c.States[0].ID, Quantity: fault.Volts, Red: "M09+", Black: "chassis", Value: 3.5, Instrument: c.Instruments[0].ID}
	for b.Loop() {
		must(book.AddReading(ids[0], r, anna)).or(b)
	}
}

// Opening 200 cases of 40 readings, with the check of the file.
func BenchmarkOpen200Cases(b *testing.B) {
	path, _ := filled(b, 200, 40)
	for b.Loop() {
		book := must(casebook.Open(path, casebook.Options{NoCopies: true})).or(b)
		if n := len(must(book.Cases("")).or(b)); n != 200 {
			b.Fatal(n)
		}
		check(b, book.Close())
	}
}

// A case of 2,000 readings.
func BenchmarkCaseOf2000Readings(b *testing.B) {
	path, ids := filled(b, 1, 2000)
	book := must(casebook.Open(path, casebook.Options{NoCopies: true})).do(b, closing)
	for b.Loop() {
		if n := len(theCase(b, book, ids[0]).Readings); n != 2000 {
			b.Fatal(n)
		}
	}
}

// A correction, its undo and redo in a case of 2,000 readings: the whole case is
// checked each time.
func BenchmarkCorrectUndoRedoOf2000(b *testing.B) {
	path, ids := filled(b, 1, 2000)
	book := must(casebook.Open(path, casebook.Options{NoCopies: true})).do(b, closing)
	r, _ := func() (fault.Reading, bool) { c := theCase(b, book, ids[0]); return c.Reading("r7") }()
	r.ID, r.Value = "", 36.2
	for b.Loop() {
		must(book.SupersedeReading(ids[0], "r7", r, why("typed wrong"))).or(b)
		must(book.Undo(ids[0], anna)).or(b)
		must(book.Redo(ids[0], anna)).or(b)
		must(book.Undo(ids[0], anna)).or(b)
	}
}
