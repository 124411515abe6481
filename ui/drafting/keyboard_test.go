package drafting

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/topology"
	"halfsplit/ui/command"
	"halfsplit/ui/form"
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

// A line under what to look at is followed by keys alone: Tab comes to the list, down and
// up step, Enter chooses the thing and gives the keyboard to the drawing.
func TestTable_LinesAreFollowedByKeys(t *testing.T) {
	l := rowOf(t, 3)
	l.Modules[2].Label, l.Modules[1].Label = "A", "A" // two things to look at
	b := on(t, l)
	b.typed("3")
	var lines *form.Lines
	b.objects(func(o fyne.CanvasObject) {
		if x, ok := o.(*form.Lines); ok && lines == nil {
			lines = x
		}
	})
	if lines == nil {
		t.Fatalf("the page of the path has no lines: %s", b.said())
	}
	for range 40 { // by Tab, as a person comes there
		if b.w.Canvas().Focused() == fyne.Focusable(lines) {
			break
		}
		if b.w.Canvas().Focused() == fyne.Focusable(b.pane) {
			b.focusSheet()
			continue
		}
		b.w.Canvas().FocusNext()
	}
	if b.w.Canvas().Focused() != fyne.Focusable(lines) {
		t.Fatalf("Tab does not come to the lines: %T has the keyboard", b.w.Canvas().Focused())
	}
	first := lines.On()
	b.key(fyne.KeyDown)
	second := lines.On()
	if first == "" || second == "" || first == second {
		t.Fatalf("down goes from %q to %q", first, second)
	}
	b.key(fyne.KeyUp)
	if lines.On() != first {
		t.Errorf("up goes to %q and not to %q", lines.On(), first)
	}
	b.key(fyne.KeyDown, fyne.KeyReturn)
	if !b.draft.Has(second) || b.w.Canvas().Focused() != fyne.Focusable(b.pane) {
		t.Errorf("Enter on %s: chosen are %v, %T has the keyboard", second, b.draft.Chosen, b.w.Canvas().Focused())
	}
}

// Ctrl Z in a field that is half typed takes what was typed away, and says so; once more it
// undoes the last edit of the drawing.
func TestTable_UndoInAHalfTypedField(t *testing.T) {
	b := on(t, rowOf(t, 2))
	b.Shortcut(&fyne.ShortcutSelectAll{})
	b.typed("r") // an edit
	turned := b.st.Layout().Modules[0].Angle
	b.draft.Choose("M01", false)
	b.open(fieldsPage)
	e := b.field("Maker's label")
	b.focus(e)
	b.typed("AB12")
	e.TypedShortcut(&fyne.ShortcutUndo{})
	if b.field("Maker's label").Text != "" || b.st.Layout().Modules[0].Angle != turned || !strings.Contains(b.happened, "once more") {
		t.Errorf("after the first: the field holds %q, M01 lies at %g; it says %q", b.field("Maker's label").Text, b.st.Layout().Modules[0].Angle, b.happened)
	}
	b.w.Canvas().Focused().(*form.Entry).TypedShortcut(&fyne.ShortcutUndo{})
	if b.st.Layout().Modules[0].Angle == turned {
		t.Errorf("after the second M01 lies at %g still; it says %q", turned, b.happened)
	}
}

// After an undo out of a field the keyboard is on the drawing, not on a field that is gone.
func TestTable_UndoOutOfAFieldLeadsToTheDrawing(t *testing.T) {
	b := on(t, rowOf(t, 2))
	b.draft.Choose("M01", false)
	b.open(fieldsPage)
	b.focus(b.field("Maker's label"))
	b.typed("AB12")
	b.key(fyne.KeyReturn)
	if got := b.module("M01").Label; got != "AB12" {
		t.Fatalf("the label is %q", got)
	}
	b.focus(b.field("Maker's label"))
	b.w.Canvas().Focused().(*form.Entry).TypedShortcut(&fyne.ShortcutUndo{})
	if got := b.module("M01").Label; got != "" || b.w.Canvas().Focused() != fyne.Focusable(b.pane) {
		t.Errorf("the label is %q, %T has the keyboard", got, b.w.Canvas().Focused())
	}
	b.Shortcut(&fyne.ShortcutRedo{})
	if got := b.module("M01").Label; got != "AB12" {
		t.Errorf("done again the label is %q", got)
	}
}

// Escape on a button of the sheet leads to the drawing, and only then off the table.
func TestTable_EscapeOnTheSheetLeadsToTheDrawing(t *testing.T) {
	b := on(t, rowOf(t, 2))
	b.open(numbersPage)
	if _, ok := b.w.Canvas().Focused().(*command.Chip); !ok {
		t.Fatalf("%T has the keyboard", b.w.Canvas().Focused())
	}
	b.key(fyne.KeyEscape)
	if b.left != 0 || b.w.Canvas().Focused() != fyne.Focusable(b.pane) || !strings.Contains(b.happened, "once more") {
		t.Fatalf("left %d times; %T has the keyboard; it says %q", b.left, b.w.Canvas().Focused(), b.happened)
	}
	b.key(fyne.KeyEscape)
	if b.left != 1 {
		t.Errorf("left %d times", b.left)
	}
}
