package command_test

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/test"

	"halfsplit/ui/command"
	"halfsplit/ui/theme"
)

func TestSet_KeysDoTheirCommand(t *testing.T) {
	done := ""
	shift := fyne.KeyModifier(0)
	s := &command.Set{Modifier: func() fyne.KeyModifier { return shift }}
	do := func(n string) func() { return func() { done = n } }
	s.Add(&command.Command{Name: "link", Runes: "l", Do: do("link")})
	s.Add(&command.Command{Name: "keys", Runes: "?", Do: do("keys")})
	s.Add(&command.Command{Name: "next", Named: []fyne.KeyName{fyne.KeyRight}, Do: do("next")})
	s.Add(&command.Command{Name: "pan", Named: []fyne.KeyName{fyne.KeyRight}, Shift: true, Do: do("pan")})
	for name, c := range map[string]struct {
		press func() bool
		want  string
	}{
		"letter":         {func() bool { return s.Rune('l') }, "link"},
		"capital letter": {func() bool { return s.Rune('L') }, "link"},
		"sign":           {func() bool { return s.Rune('?') }, "keys"},
		"named":          {func() bool { return s.Key(&fyne.KeyEvent{Name: fyne.KeyRight}) }, "next"},
		"with shift":     {func() bool { shift = fyne.KeyModifierShift; return s.Key(&fyne.KeyEvent{Name: fyne.KeyRight}) }, "pan"},
		"unknown":        {func() bool { return s.Rune('x') }, ""},
	} {
		t.Run(name, func(t *testing.T) {
			done, shift = "", 0
			if got := c.press(); got != (c.want != "") || done != c.want {
				t.Errorf("did %q, %v; want %q", done, got, c.want)
			}
		})
	}
}

func TestChip_PressKeysAndTouchSize(t *testing.T) {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: theme.Light})
	done := ""
	s := &command.Set{}
	c := s.Add(&command.Command{Name: "+", Keys: "+", Runes: "+", Do: func() { done += "in " }})
	s.Add(&command.Command{Name: "Whole", Runes: "0", Named: []fyne.KeyName{fyne.KeyEscape}, Do: func() { done += "whole " }})
	b := command.NewChip(c, s)
	if m := b.MinSize(); m.Width < theme.Touch || m.Height < theme.Touch {
		t.Errorf("a button of %v is too small for a finger", m)
	}
	b.Tapped(&fyne.PointEvent{})
	b.TypedKey(&fyne.KeyEvent{Name: fyne.KeyReturn})
	b.TypedRune('0') // goes on to the other command
	b.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEscape})
	if done != "in in whole whole " {
		t.Errorf("did %q", done)
	}
}

// A button whose place is narrow leaves its key away before it cuts its text short, and
// has both back where there is room.
func TestChip_KeepsToItsPlace(t *testing.T) {
	test.NewTempApp(t)
	b := command.NewChip(&command.Command{Name: "Show what this would record", Keys: "Enter", Do: func() {}}, &command.Set{})
	parts := test.WidgetRenderer(b).Objects()
	text, key := parts[1].(*canvas.Text), parts[2].(*canvas.Text)
	full := b.MinSize()
	for _, c := range []struct {
		wide       float32
		key, whole bool
	}{{full.Width, true, true}, {full.Width - 30, false, true}, {full.Width / 2, false, false}, {full.Width + 100, true, true}} {
		b.Resize(fyne.NewSize(c.wide, full.Height))
		if key.Visible() != c.key || (text.Text == b.Command.Name) != c.whole {
			t.Errorf("%g wide: %q, key shown: %v", c.wide, text.Text, key.Visible())
		}
		if at := text.Position().X; at < 0 || at+text.MinSize().Width > c.wide {
			t.Errorf("%g wide: %q runs out of it", c.wide, text.Text)
		}
		if b.MinSize() != full {
			t.Errorf("%g wide: it asks for %v, not %v", c.wide, b.MinSize(), full)
		}
	}
}
