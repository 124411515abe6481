package shell

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"halfsplit/ui"
	"halfsplit/ui/sheet"
)

// key is a key that works everywhere; true = taken.
func (s *Shell) key(k *fyne.KeyEvent) bool {
	switch k.Name {
	case fyne.KeyF9:
		s.openPage(emergencyPage)
	case fyne.KeyF1:
		s.openPage(helpPage)
	case fyne.KeyF3:
		s.Cases()
	case fyne.KeyF4:
		s.openPage(lookPage)
	case fyne.KeyF10:
		s.toggleLock()
	default:
		return false
	}
	return true
}

// Listen makes the window's keys work whatever has the focus.
func (s *Shell) Listen() {
	c := s.w.Canvas()
	// Nothing has the focus: it goes back to where it belongs, and the key with it.
	c.SetOnTypedRune(func(r rune) {
		s.focus()
		if f := c.Focused(); f != nil {
			f.TypedRune(r)
		}
	})
	c.SetOnTypedKey(func(k *fyne.KeyEvent) {
		if s.key(k) {
			return
		}
		s.focus()
		if f := c.Focused(); f != nil {
			f.TypedKey(k)
		}
	})
	all := append(ui.Shortcuts(), &fyne.ShortcutCopy{}, &fyne.ShortcutSelectAll{})
	for _, name := range []fyne.KeyName{fyne.KeyEqual, fyne.KeyPlus, fyne.KeyMinus, fyne.Key0} {
		for _, m := range []fyne.KeyModifier{fyne.KeyModifierControl, fyne.KeyModifierControl | fyne.KeyModifierShift} {
			all = append(all, &desktop.CustomShortcut{KeyName: name, Modifier: m})
		}
	}
	for _, sc := range all {
		c.AddShortcut(sc, s.shortcut)
	}
}

// shortcut is a key with Control: the text size everywhere, the others the desk's.
func (s *Shell) shortcut(sc fyne.Shortcut) {
	if s.locked {
		return
	}
	if c, ok := sc.(*desktop.CustomShortcut); ok && c.Modifier&fyne.KeyModifierControl != 0 {
		switch c.KeyName {
		case fyne.KeyEqual, fyne.KeyPlus:
			s.largerText(1)
			return
		case fyne.KeyMinus:
			s.largerText(-1)
			return
		case fyne.Key0:
			s.textSize(0)
			return
		}
	}
	if s.table != nil && s.over == noPage {
		s.table.Shortcut(sc)
		return
	}
	if s.desk != nil && s.over == noPage {
		s.desk.Shortcut(sc)
	}
}

// screenKeys are the keys of the view below the help.
func (s *Shell) screenKeys() []sheet.Block {
	if s.table != nil {
		return s.table.Keys()
	}
	if s.desk != nil {
		return s.desk.Keys()
	}
	return s.start.Keys()
}
