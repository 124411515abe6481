package drafting

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
	"halfsplit/ui/form"
	"halfsplit/ui/store"
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

// A full disk, or a casebook that can only be read: every edit is refused in words, and the
// drawing stays what is kept.
type fullDisk struct{ store.Layouts }

var errFull = errors.New("the casebook cannot be written: the disk is full")

func (fullDisk) Save(topology.Layout, string) error { return errFull }
func (fullDisk) Undo() (string, error)              { return "", errFull }
func (fullDisk) Redo() (string, error)              { return "", errFull }

func TestTable_WhatCannotBeKeptIsNotShown(t *testing.T) {
	b := on(t, rowOf(t, 3))
	b.deps.Store = fullDisk{b.st}
	before := fmt.Sprintf("%+v", b.st.Layout())
	refused := func(what string) {
		t.Helper()
		if !strings.Contains(b.happened, "the disk is full") {
			t.Errorf("%s: it says %q", what, b.happened)
		}
		if fmt.Sprintf("%+v", b.draft.Layout) != before || fmt.Sprintf("%+v", b.st.Layout()) != before {
			t.Errorf("%s: the drawing is another one", what)
		}
		b.happened = ""
	}
	b.draft.Choose("M02", false)
	b.key(fyne.KeyRight)
	refused("a module moved")
	b.typed("r")
	refused("a module turned")
	b.key(fyne.KeyDelete)
	refused("a module deleted")
	b.typed("d")
	refused("a module duplicated")
	m := b.module("M02")
	b.pull(m.X+75, m.Y+165, m.X+275, m.Y+165)
	refused("a module dragged")
	b.draft.Choose("M02", false)
	b.open(fieldsPage)
	b.focus(b.field("Maker's label"))
	b.typed("AB12")
	b.key(fyne.KeyReturn)
	refused("a label typed")
	if e := b.field("Maker's label"); e.Text != "AB12" {
		t.Errorf("what was typed is gone: %q", e.Text)
	}
	b.Focus()
	b.happened = ""
	b.Shortcut(&fyne.ShortcutUndo{})
	refused("an undo")
	b.typed("l")
	b.key(fyne.KeyTab, fyne.KeyReturn, fyne.KeyTab, fyne.KeyReturn)
	refused("a link")
}
