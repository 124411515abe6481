package drafting

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
	"halfsplit/ui/form"
)

// Nonsense in every field of what is chosen, in a small window too: refused in words or
// kept as a layout, and undone edit by edit it is what it was.
func TestTable_NonsenseInEveryFieldIsSurvived(t *testing.T) {
	for _, size := range []fyne.Size{{Width: 1280, Height: 740}, {Width: 400, Height: 300}} {
		b := newBench(t, rowOf(t, 3), size)
		before := len(b.st.Layout().Modules)
		for _, text := range []string{"", "-1", "NaN", "1e400", "ⅷ", "\x00", strings.Repeat("9", 400), "M01", "a b", "'; --", "1,2,3"} {
			b.Shortcut(&fyne.ShortcutSelectAll{})
			b.open(fieldsPage)
			n := len(b.sheet.Objects())
			for i := 0; i < n && i < len(b.sheet.Objects()); i++ {
				l, e := b.entryAt(i)
				if e == nil {
					continue
				}
				e.SetText(text)
				if e.OnSubmitted != nil {
					e.OnSubmitted(text)
				}
				if b.happened == "" {
					t.Errorf("%q in %q says nothing", text, l)
				}
			}
		}
		for i := 0; b.st.Steps().Undo != "" && i < 500; i++ {
			b.undo()
		}
		if n := len(b.st.Layout().Modules); n != before || b.module("M01").Series != 8 {
			t.Errorf("undone to the beginning there are %d modules, M01 with %d groups", n, b.module("M01").Series)
		}
		b.undo() // nothing is left
		if !strings.Contains(b.happened, "nothing to undo") {
			t.Errorf("with nothing to undo it says %q", b.happened)
		}
	}
}

// Everything is deleted, five hundred edits are undone and done again.
func TestTable_EverythingDeletedAndUndoneManyTimes(t *testing.T) {
	b := on(t, rowOf(t, 12))
	b.Shortcut(&fyne.ShortcutSelectAll{})
	for range 250 {
		b.key(fyne.KeyRight)
	}
	b.key(fyne.KeyDelete)
	if n := len(b.st.Layout().Modules); n != 0 {
		t.Fatalf("%d modules are left", n)
	}
	b.key(fyne.KeyDelete, fyne.KeyTab, fyne.KeyReturn, fyne.KeyEscape)
	b.undone(500)
	if m := b.module("M12"); m.X != 11*160 {
		t.Errorf("undone M12 lies at %g", m.X)
	}
	for range 251 {
		b.redo()
	}
	if n := len(b.st.Layout().Modules); n != 0 {
		t.Errorf("done again %d modules are there", n)
	}
}

// A photo that ends in its middle is refused by its name, and nothing is laid below.
func TestTable_ATruncatedPhotoIsRefused(t *testing.T) {
	b := on(t, topology.Layout{Name: "bench"})
	path := chart(t, t.TempDir(), 400, 300)
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	half := filepath.Join(t.TempDir(), "half.png")
	if err := os.WriteFile(half, raw[:len(raw)/2], 0o600); err != nil {
		t.Fatal(err)
	}
	b.openFiles()
	b.layTyped(half)
	if len(b.st.Layout().Underlays) != 0 || b.browser.wrong == "" || b.busy {
		t.Errorf("laid %d; it says %q; busy %v", len(b.st.Layout().Underlays), b.browser.wrong, b.busy)
	}
	if !strings.Contains(b.browser.wrong, "Nothing was laid below") {
		t.Errorf("it says %q", b.browser.wrong)
	}
	for _, text := range []string{"{", `{"format":"halfsplit-layout/1","modules":[{}]}`, "\x00\xff"} {
		b.clip = text
		b.Shortcut(&fyne.ShortcutPaste{})
		if !strings.HasPrefix(b.happened, "Not done") {
			t.Errorf("pasting %q says %q", text, b.happened)
		}
	}
}

// entryAt is the field at a place of the sheet; nil where none is.
func (b *bench) entryAt(i int) (string, *form.Entry) {
	l, ok := b.sheet.Objects()[i].(*form.Labelled)
	if !ok {
		return "", nil
	}
	e, _ := l.Field.(*form.Entry)
	return l.Name, e
}
