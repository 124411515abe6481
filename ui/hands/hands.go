// Package hands types into a window and keeps a casebook for the tests of the
// views, as a person's hands would: through what has the focus. It is for tests
// only, and knows no view.
package hands

import (
	"path/filepath"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/ui/store"
)

// Key sends keys to what has the focus; that something has it is part of the test.
func Key(t testing.TB, c fyne.Canvas, names ...fyne.KeyName) {
	t.Helper()
	for _, n := range names {
		focused(t, c, string(n)).TypedKey(&fyne.KeyEvent{Name: n})
	}
}

// Type sends the characters of a text to what has the focus.
func Type(t testing.TB, c fyne.Canvas, text string) {
	t.Helper()
	for _, r := range text {
		focused(t, c, string(r)).TypedRune(r)
	}
}

func focused(t testing.TB, c fyne.Canvas, key string) fyne.Focusable {
	t.Helper()
	f := c.Focused()
	if f == nil {
		t.Fatalf("nothing has the focus for %q", key)
	}
	return f
}

// Book is a case in a casebook of its own, closed when the test ends.
func Book(t testing.TB, c fault.Case) *store.Book {
	t.Helper()
	b, err := casebook.Create(filepath.Join(t.TempDir(), "shop.casebook"), casebook.Options{NoCopies: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := b.Close(); err != nil {
			t.Error(err)
		}
	})
	id, err := b.ImportCase(c, nil, casebook.By{})
	if err != nil {
		t.Fatal(err)
	}
	s, err := store.NewBook(b, id)
	if err != nil {
		t.Fatal(err)
	}
	return s
}
