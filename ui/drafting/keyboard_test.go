package drafting

import (
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
)

// A button of the sheet that fills the sheet anew keeps the keyboard, whether it
// unfolds something, takes the next of some words or makes an edit.
func TestTable_AButtonOfTheSheetKeepsTheKeyboard(t *testing.T) {
	b := on(t, rowOf(t, 3))
	b.Shortcut(&fyne.ShortcutSelectAll{})
	b.open(fieldsPage)
	has := func(name string) {
		t.Helper()
		c, ok := b.w.Canvas().Focused().(*command.Chip)
		if !ok || c.Command.Name != name {
			t.Fatalf("the keyboard is on %T %v, not on %q; it says %q", b.w.Canvas().Focused(), c, name, b.happened)
		}
		shown := false
		b.objects(func(o fyne.CanvasObject) { shown = shown || o == fyne.CanvasObject(c) })
		if !shown {
			t.Fatalf("%q is not on the sheet any more", name)
		}
	}
	b.key(fyne.KeyReturn)
	has("Move, turn, copy, align: fewer")
	for _, c := range b.buttons() {
		if c.Command.Name == "Turn end for end" {
			b.focus(c)
		}
	}
	b.key(fyne.KeyReturn)
	has("Turn end for end")
	if m := b.module("M01"); m.Minus != "bottom" && m.Angle == 0 {
		t.Errorf("M01 was not turned: %+v", m)
	}
	b.key(fyne.KeyReturn)
	if undo := b.st.Steps().Undo; undo == "" {
		t.Error("nothing was kept")
	}
}
