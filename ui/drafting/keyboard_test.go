package drafting

import (
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
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

// Once a photo has its marks, Enter straightens it, and the length is typed at once.
func TestTable_AfterTheMarksTheKeyboardIsWhereItGoesOn(t *testing.T) {
	b := on(t, topology.Layout{Name: "bench", SeenFrom: "above"})
	b.openFiles()
	b.layTyped(chart(t, t.TempDir(), 400, 300))
	b.begin(Squaring, "photo1")
	b.key(fyne.KeyLeft) // the cross, in the middle of the drawing
	for _, to := range [][]fyne.KeyName{{fyne.KeyUp}, {fyne.KeyRight, fyne.KeyRight}, {fyne.KeyDown, fyne.KeyDown}, {fyne.KeyLeft, fyne.KeyLeft}} {
		b.key(append(to, fyne.KeyReturn)...)
	}
	b.key(fyne.KeyReturn)
	if undo := b.st.Steps().Undo; undo != "straighten photo1" {
		t.Fatalf("Enter after four marks: the last edit is %q; it says %q", undo, b.happened)
	}
	b.key(fyne.KeyReturn, fyne.KeyRight, fyne.KeyRight, fyne.KeyReturn)
	b.typed("960")
	b.key(fyne.KeyReturn)
	if undo := b.st.Steps().Undo; undo != "scale photo1 by 960 mm" {
		t.Errorf("a length after two marks: the last edit is %q; it says %q", undo, b.happened)
	}
}
