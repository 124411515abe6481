package emergency

import (
	"errors"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/ui/command"
	"halfsplit/ui/hands"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// a rig is the page in a window without a screen; kept is the casebook's setting.
type rig struct {
	*Page
	t    *testing.T
	w    fyne.Window
	kept string
	left int // times that the page was left
}

func newRig(t *testing.T, size fyne.Size) *rig {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(&theme.Theme{Force: theme.Light})
	r := &rig{t: t, w: test.NewTempWindow(t, nil)}
	r.Page = New(Deps{
		Load: func() (string, string) { return r.kept, "" },
		Save: func(s string) error { r.kept = s; return nil },
		Back: func() { r.left++ }, Canvas: func() fyne.Canvas { return r.w.Canvas() },
	})
	r.w.SetPadded(false)
	r.w.SetContent(r.Content())
	r.w.Resize(size)
	r.Focus()
	return r
}

func (r *rig) key(names ...fyne.KeyName) {
	r.t.Helper()
	hands.Key(r.t, r.w.Canvas(), names...)
}

func (r *rig) typed(s string) {
	r.t.Helper()
	hands.Type(r.t, r.w.Canvas(), s)
}

// button is a button of the page that is seen.
func (r *rig) button(name string) *command.Chip {
	var rows []fyne.CanvasObject
	if r.editing {
		rows = r.edit.Objects()
	} else {
		rows = []fyne.CanvasObject{r.buttons}
	}
	for _, o := range rows {
		if row, ok := o.(*fyne.Container); ok {
			for _, b := range row.Objects {
				if c := b.(*command.Chip); c.Command.Name == name {
					return c
				}
			}
		}
	}
	return nil
}

func (r *rig) tap(name string) {
	r.t.Helper()
	b := r.button(name)
	if b == nil {
		r.t.Fatalf("there is no button %q", name)
	}
	if b.Size().Height < theme.Touch {
		r.t.Errorf("%q is %g high", name, b.Size().Height)
	}
	test.Tap(b)
}

func (r *rig) says() string { return sheet.Text(r.Blocks()) }

func TestPage_BeginsNeutralAndSaysSo(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700))
	for _, s := range []string{First, "written none down here yet", "This is a neutral text", "Stop work."} {
		if !strings.Contains(r.says(), s) {
			t.Errorf("the page lacks %q", s)
		}
	}
	r.key(fyne.KeyEscape)
	if r.left != 1 {
		t.Error("Escape does not leave the page")
	}
}

// The workshop's own is written, seen and saved by keys alone.
func TestPage_IsWrittenByKeysAlone(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700))
	r.typed("e")
	if r.w.Canvas().Focused() != fyne.Focusable(r.numbers) {
		t.Fatalf("the keyboard is on %T", r.w.Canvas().Focused())
	}
	r.typed("Site fire post: 1234")
	r.w.Canvas().FocusNext()
	if r.w.Canvas().Focused() != fyne.Focusable(r.steps) {
		t.Fatalf("Tab leads to %T", r.w.Canvas().Focused())
	}
	if r.steps.AcceptsTab() {
		t.Error("the field keeps Tab to itself")
	}
	r.w.Canvas().FocusNext()
	if c, ok := r.w.Canvas().Focused().(*command.Chip); !ok || c.Command.Name != "Save this page" {
		t.Fatalf("Tab leads to %T", r.w.Canvas().Focused())
	}
	r.key(fyne.KeyReturn)
	got, own := Read(r.kept)
	if !own || got.Numbers != "Site fire post: 1234" || got.Steps != Default().Steps {
		t.Errorf("kept: %v %+v", own, got)
	}
	if s := r.says(); !strings.Contains(s, "1234") || strings.Contains(s, "neutral text") || strings.Contains(s, "not saved") {
		t.Errorf("the page says\n%s", s)
	}
}

// What was typed outlives Escape, is announced, and can be thrown away on purpose.
func TestPage_LeavingKeepsWhatWasTyped(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700))
	r.tap("Write the workshop's own")
	r.key(fyne.KeyEscape)
	if strings.Contains(r.says(), "not saved") {
		t.Error("nothing was typed, and the page speaks of it")
	}
	r.typed("e")
	r.typed("Gate: 77")
	r.key(fyne.KeyEscape)
	if r.kept != "" || r.left != 0 || !strings.Contains(r.says(), "not saved") {
		t.Fatalf("kept %q, left %d, says\n%s", r.kept, r.left, r.says())
	}
	r.typed("e")
	if r.numbers.Text != "Gate: 77" {
		t.Fatalf("the field holds %q", r.numbers.Text)
	}
	r.tap("Put back what is saved")
	if r.numbers.Text != "" {
		t.Errorf("the field holds %q", r.numbers.Text)
	}
	r.tap("Back")
	if strings.Contains(r.says(), "not saved") || r.left != 0 {
		t.Errorf("says\n%s", r.says())
	}
}

// Who opens the page in an emergency reads it, also where somebody was writing.
func TestPage_OpensToBeRead(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700))
	r.typed("e")
	r.typed("Gate: 77")
	r.Open()
	r.Focus()
	if r.editing || !r.list.Visible() || r.edit.Roll.Visible() || r.w.Canvas().Focused() != fyne.Focusable(r.list) {
		t.Errorf("editing %v, read %v, fields %v", r.editing, r.list.Visible(), r.edit.Roll.Visible())
	}
	r.typed("e")
	if r.numbers.Text != "Gate: 77" {
		t.Errorf("the field holds %q", r.numbers.Text)
	}
}

func TestPage_TheNeutralTextComesBack(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700))
	r.kept = Text{Numbers: "Gate: 77", Steps: "Ring the bell."}.Write()
	r.Focus()
	if !strings.Contains(r.says(), "Ring the bell.") {
		t.Fatalf("says\n%s", r.says())
	}
	r.tap("Write the workshop's own")
	r.tap("Put the neutral text here")
	if r.steps.Text != Default().Steps || r.numbers.Text != "" || !strings.Contains(r.kept, "77") {
		t.Fatalf("fields %q, %q; kept %q before it is saved", r.numbers.Text, r.steps.Text, r.kept)
	}
	r.tap("Save this page")
	if !strings.Contains(r.says(), "This is a neutral text") {
		t.Errorf("says\n%s", r.says())
	}
}

func TestPage_WhatCannotBeSavedStaysInTheFields(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700))
	r.SetSave(func(string) error { return errors.New("the disk is full; nothing of this was saved") })
	r.typed("e")
	r.typed("Gate: 77")
	r.tap("Save this page")
	if !r.editing || r.numbers.Text != "Gate: 77" || !strings.Contains(r.wrong, "disk is full") {
		t.Errorf("editing %v, field %q, wrong %q", r.editing, r.numbers.Text, r.wrong)
	}
	r.SetSave(nil)
	r.key(fyne.KeyEscape)
	r.typed("e")
	if r.button("Save this page") != nil || !strings.Contains(r.wrong, "No casebook is open") {
		t.Errorf("without a casebook it says %q", r.wrong)
	}
}

// All of the neutral text is in sight in the smallest window that is promised.
func TestPage_FitsTheWindow(t *testing.T) {
	for _, size := range []fyne.Size{{Width: 1024, Height: 650}, {Width: 1280, Height: 740}, {Width: 1920, Height: 1020}} {
		r := newRig(t, size)
		w := float64(r.list.Size().Width)
		if _, high := r.draw(w); high > float64(r.list.Size().Height) {
			t.Errorf("at %v the page is %.0f high in %.0f", size, high, r.list.Size().Height)
		}
		l, _ := r.draw(w)
		for _, s := range l.Shapes {
			if s.Text != "" && s.Size < theme.Text {
				t.Errorf("at %v %q is set in %g", size, s.Text, s.Size)
			}
		}
	}
}
