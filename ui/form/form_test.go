package form

import (
	"fmt"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// window shows something in a window of a size without a screen.
func window(t *testing.T, o fyne.CanvasObject, w, h float32) fyne.Window {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(&theme.Theme{Force: theme.Light})
	win := test.NewTempWindow(t, o)
	win.SetPadded(false)
	win.Resize(fyne.NewSize(w, h))
	return win
}

func key(f fyne.Focusable, names ...fyne.KeyName) {
	for _, n := range names {
		f.TypedKey(&fyne.KeyEvent{Name: n})
	}
}

func typed(f fyne.Focusable, s string) {
	for _, r := range s {
		f.TypedRune(r)
	}
}

// The window's keys are asked before the field takes them.
func TestEntry_GivesKeysBack(t *testing.T) {
	e := NewEntry(1)
	window(t, e, 300, 60)
	var asked []fyne.KeyName
	e.OnKey = func(k *fyne.KeyEvent) bool {
		asked = append(asked, k.Name)
		return k.Name == fyne.KeyEscape || k.Name == fyne.KeyBackspace
	}
	typed(e, "12")
	key(e, fyne.KeyEscape, fyne.KeyBackspace, fyne.KeyLeft)
	typed(e, "x")
	if len(asked) != 3 || e.Text != "1x2" {
		t.Errorf("asked for %v, the field holds %q", asked, e.Text)
	}
}

func TestEntry_HandsOnShortcutsThatItDoesNotKnow(t *testing.T) {
	e := NewEntry(1)
	window(t, e, 300, 60)
	var got []string
	e.OnShortcut = func(s fyne.Shortcut) { got = append(got, s.ShortcutName()) }
	e.TypedShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyEqual, Modifier: fyne.KeyModifierControl})
	typed(e, "two words")
	e.TypedShortcut(&desktop.CustomShortcut{KeyName: fyne.KeyLeft, Modifier: fyne.KeyModifierControl}) // a word back
	typed(e, "+")
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
	if len(got) != 1 || e.Text != "two +words" || e.SelectedText() != "two +words" {
		t.Errorf("handed on %v; the field holds %q, selected %q", got, e.Text, e.SelectedText())
	}
}

func TestEntry_SelectAllIsTypedOver(t *testing.T) {
	e := NewEntry(1)
	window(t, e, 120, 60)
	e.SetText("a proposed title that is longer than the field")
	e.SelectAll()
	if e.CursorColumn != 0 || e.SelectedText() != e.Text {
		t.Errorf("the cursor is at %d, selected is %q", e.CursorColumn, e.SelectedText())
	}
	typed(e, "mine")
	if e.Text != "mine" {
		t.Errorf("the field holds %q", e.Text)
	}
}

// Tab leaves a field for several lines too, forward and back.
func TestEntry_TabLeadsOn(t *testing.T) {
	one, many, last := NewEntry(1), NewEntry(3), NewEntry(1)
	w := window(t, &fyne.Container{Layout: &Column{}, Objects: []fyne.CanvasObject{one, NewLabelled("Words", many), last}}, 300, 300)
	w.Canvas().Focus(one)
	for i, want := range []*Entry{many, last} {
		w.Canvas().FocusNext()
		if w.Canvas().Focused() != fyne.Focusable(want) {
			t.Fatalf("step %d leads to %T", i, w.Canvas().Focused())
		}
	}
	w.Canvas().FocusPrevious()
	if w.Canvas().Focused() != fyne.Focusable(many) || many.AcceptsTab() {
		t.Errorf("back leads to %T; the field keeps Tab: %v", w.Canvas().Focused(), many.AcceptsTab())
	}
}

func TestEntry_IsHighEnoughForAFinger(t *testing.T) {
	a := test.NewTempApp(t)
	for _, glove := range []bool{false, true} {
		a.Settings().SetTheme(&theme.Theme{Force: theme.Light, Glove: glove})
		if h := NewEntry(1).MinSize().Height; h < easel.Sizes().Touch() || h < theme.Touch {
			t.Errorf("glove view %v: %g high", glove, h)
		}
	}
}

func TestStepper(t *testing.T) {
	for _, c := range []struct {
		text       string
		less, more string // after one press
	}{
		{"5", "4", "6"}, {"1", "1", "2"}, {"8", "7", "8"}, {"90", "8", "8"}, {"-3", "1", "1"}, {" 4 ", "3", "5"}, {"", "1", "1"}, {"four", "1", "1"},
	} {
		t.Run(c.text, func(t *testing.T) {
			changes := 0
			s := NewStepper(c.text, 1, 8, &command.Set{}, func() { changes++ })
			window(t, s.Object(), 300, 60)
			test.Tap(s.Less())
			less := s.Entry.Text
			s.Entry.SetText(c.text)
			test.Tap(s.More())
			if less != c.less || s.Entry.Text != c.more {
				t.Errorf("less %q, more %q", less, s.Entry.Text)
			}
			if changes == 0 && c.less != c.text {
				t.Error("its owner was not told")
			}
		})
	}
}

func TestStepper_ByKeysAlone(t *testing.T) {
	s := NewStepper("5", 1, 8, &command.Set{}, func() {})
	w := window(t, s.Object(), 300, 60)
	w.Canvas().Focus(s.Less())
	key(w.Canvas().Focused(), fyne.KeySpace)
	w.Canvas().FocusNext()
	s.Entry.SelectAll()
	typed(w.Canvas().Focused(), "7")
	w.Canvas().FocusNext()
	key(w.Canvas().Focused(), fyne.KeyReturn, fyne.KeyReturn)
	if s.Entry.Text != "8" {
		t.Errorf("it shows %q", s.Entry.Text)
	}
}

// rows is a list of so many rows, each 50 high, and what was picked of it.
func rows(n int) (l *List, picked *[]string) {
	picked = &[]string{}
	l = NewList(func(w float64) (*scene.List, float64) {
		d := &scene.List{}
		for i := range n {
			y := float64(i) * 50
			id := fmt.Sprint(i)
			d.Rect(id, scene.At(0, y), scene.At(w, y+50), scene.Ink(theme.Raised), scene.Paint{}, 1, 0)
			d.Target(id, 0, scene.At(0, y), scene.At(w, y), scene.At(w, y+50), scene.At(0, y+50))
		}
		return d, float64(n) * 50
	}, func(id string) { *picked = append(*picked, id) })
	return l, picked
}

func TestList_PressesAndKeys(t *testing.T) {
	l, picked := rows(20)
	w := window(t, l, 300, 200)
	var keys []fyne.KeyName
	var runes []rune
	l.OnKey = func(k *fyne.KeyEvent) bool { keys = append(keys, k.Name); return true }
	l.OnRune = func(r rune) bool { runes = append(runes, r); return true }
	e := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(20, 120)}}
	l.Board().MouseDown(e)
	l.Board().MouseUp(e)
	if len(*picked) != 1 || (*picked)[0] != "2" {
		t.Errorf("picked %v", *picked)
	}
	if w.Canvas().Focused() != fyne.Focusable(l) || !l.focused || l.ring.StrokeColor == theme.Colour(theme.None, theme.Light) {
		t.Errorf("the press leaves the keyboard on %T, ring %v", w.Canvas().Focused(), l.ring.StrokeColor)
	}
	key(l, fyne.KeyDown)
	typed(l, "m")
	if len(keys) != 1 || len(runes) != 1 {
		t.Errorf("handed on %v %q", keys, runes)
	}
	w.Canvas().Unfocus()
	if l.focused || l.ring.StrokeColor != theme.Colour(theme.None, theme.Light) {
		t.Error("the ring stays without the keyboard")
	}
}

func TestList_RevealRollsNoFurtherThanNeeded(t *testing.T) {
	l, _ := rows(20)
	window(t, l, 300, 200)
	for _, c := range []struct {
		id  string
		top float32 // of what is seen
	}{{"2", 0}, {"10", 358}, {"9", 358}, {"19", 808}, {"0", 0}} {
		l.Reveal(c.id)
		if got := l.Page().Roll.Offset.Y; got != c.top {
			t.Errorf("row %s: rolled to %g, want %g", c.id, got, c.top)
		}
	}
}

// Buttons go to the next row where there is no room, and nothing lies over
// another.
func TestFlow_WrapsWithoutOverlap(t *testing.T) {
	test.NewTempApp(t)
	row := NewFlow()
	for _, name := range []string{"Save this layout", "Leave", "Keep that file, use another name", "Write over it", "Hidden"} {
		row.Objects = append(row.Objects, command.NewChip(&command.Command{Name: name}, &command.Set{}))
	}
	row.Objects[4].Hide()
	for _, width := range []float32{120, 260, 400, 900} {
		high := HighFor(row, width)
		row.Resize(fyne.NewSize(width, high))
		for i, o := range row.Objects[:4] {
			p, s := o.Position(), o.Size()
			if p.X < 0 || p.X+s.Width > width || p.Y+s.Height > high {
				t.Errorf("in %g: button %d lies at %v, %v large, in %g", width, i, p, s, high)
			}
			for k, q := range row.Objects[:i] {
				if at, z := q.Position(), q.Size(); p.X < at.X+z.Width && at.X < p.X+s.Width && p.Y < at.Y+z.Height && at.Y < p.Y+s.Height {
					t.Errorf("in %g: buttons %d and %d lie over each other", width, k, i)
				}
			}
		}
	}
	if one, many := HighFor(row, 900), HighFor(row, 120); many < 4*one-30 {
		t.Errorf("one row is %g high, four are %g", one, many)
	}
	if h := HighFor(NewFlow(), 300); h != 0 {
		t.Errorf("no buttons are %g high", h)
	}
}

// What gets the keyboard is seen, whatever it stands in.
func TestPage_FollowsTheKeyboard(t *testing.T) {
	set := &command.Set{}
	first := NewEntry(1)
	s := NewStepper("5", 1, 8, set, func() {})
	last := command.NewChip(&command.Command{Name: "Save", Do: func() {}}, set)
	p := NewPage(16)
	w := window(t, p.Roll, 300, 120)
	tall := NewEntry(8)
	p.Set(NewLabelled("First", first), tall, NewLabelled("How many", s.Object()), NewFlow(command.NewChip(&command.Command{Name: "A long name of a button"}, set), last))
	p.Place(fyne.NewPos(0, 0), fyne.NewSize(300, 120))
	at := func(o fyne.CanvasObject) (top float32) {
		return fyne.CurrentApp().Driver().AbsolutePositionForObject(o).Y
	}
	for name, o := range map[string]interface {
		fyne.CanvasObject
		fyne.Focusable
	}{"field": first, "number": s.Entry, "plus": s.More(), "button": last} {
		w.Canvas().Focus(o)
		if y := at(o); y < 0 || y+o.Size().Height > 120 {
			t.Errorf("the %s with the keyboard lies at %g, %g high, in 120", name, y, o.Size().Height)
		}
	}
}

// A page rolls when it is too high, and begins at its top when it shows other
// things.
func TestPage_Rolls(t *testing.T) {
	p := NewPage(16)
	window(t, p.Roll, 300, 200)
	var many []fyne.CanvasObject
	for i := range 12 {
		many = append(many, NewLabelled(fmt.Sprint("Field ", i), NewEntry(1)))
	}
	p.Set(many...)
	p.Place(fyne.NewPos(0, 0), fyne.NewSize(300, 200))
	if len(p.Objects()) != 12 {
		t.Fatalf("%d things", len(p.Objects()))
	}
	last := many[11]
	if x, w := last.Position().X, last.Size().Width; x != 16 || w != 300-32 {
		t.Errorf("a field lies at %g, %g wide", x, w)
	}
	p.By(100)
	if bottom := last.Position().Y + last.Size().Height; bottom > p.Roll.Offset.Y+200 {
		t.Errorf("rolled to %g, the last field ends at %g", p.Roll.Offset.Y, bottom)
	}
	p.By(-0.5)
	if p.Roll.Offset.Y <= 0 {
		t.Errorf("half a page back is %g", p.Roll.Offset.Y)
	}
	e := last.(*Labelled).Field.(*Entry)
	p.By(-100)
	e.FocusGained()
	if top, bottom := last.Position().Y, last.Position().Y+last.Size().Height; p.Roll.Offset.Y > top || p.Roll.Offset.Y+200 < bottom {
		t.Errorf("the field with the keyboard lies from %g to %g, seen is from %g", top, bottom, p.Roll.Offset.Y)
	}
	p.Set(many[0])
	if p.Roll.Offset.Y != 0 {
		t.Errorf("other things begin at %g", p.Roll.Offset.Y)
	}
}
