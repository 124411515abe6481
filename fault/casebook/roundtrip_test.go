package casebook_test

import (
	"testing"

	"halfsplit/fault/format"
)

// Every case of the repository goes in and comes out as it was, also after the
// casebook was closed.
func TestImportCase_ComesOutAsItWas(t *testing.T) {
	b := newBook(t)
	ids := map[string]string{}
	files := caseFiles(t)
	for name, data := range files {
		c, _, err := format.ReadCase(name, data, nil)
		check(t, err)
		ids[name] = must(b.ImportCase(c, data, anna)).or(t)
	}
	for round := range 2 {
		for name, data := range files {
			want, _, _ := format.ReadCase(name, data, nil)
			got := must(b.ExportCase(ids[name])).or(t)
			same(t, want, got)
			raw, err := format.WriteCase(got)
			check(t, err)
			if string(raw) != string(data) {
				t.Errorf("%s is not written as the file it came from (round %d)", name, round)
			}
		}
		holds(t, b)
		b = reopen(t, b)
	}
}
