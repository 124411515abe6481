package drafting

import (
	"slices"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/form"
)

// buttons are those of the sheet, in the order in which Tab goes.
func (v *View) buttons() (all []*command.Chip) {
	for _, o := range v.sheet.Objects() {
		if l, ok := o.(*form.Labelled); ok {
			o = l.Field
		}
		if c, ok := o.(*fyne.Container); ok {
			for _, o := range c.Objects {
				if b, ok := o.(*command.Chip); ok {
					all = append(all, b)
				}
			}
		}
	}
	return all
}

// onSheet says that the keyboard is on a button or a line of the sheet.
func (v *View) onSheet() bool {
	if v.deps.Canvas == nil || v.deps.Canvas() == nil {
		return false
	}
	switch f := v.deps.Canvas().Focused().(type) {
	case *command.Chip:
		return slices.Contains(v.buttons(), f)
	case *form.Lines:
		return slices.Contains(v.sheet.Objects(), fyne.CanvasObject(f))
	}
	return false
}

// offTheSheet takes Escape on the sheet where it would leave the table: it leads to the
// drawing first, as it does out of a field.
func (v *View) offTheSheet(k *fyne.KeyEvent) bool {
	if k.Name != fyne.KeyEscape || v.inHand() || v.browser.on || v.pasted != nil || v.versions.looking > 0 || v.page == versionsPage || v.page == keysPage || !v.onSheet() {
		return false
	}
	v.toDrawing()
	v.say("Esc once more leaves the table.")
	return true
}

// keepButton looks which button of the sheet has the keyboard; what it returns gives
// it, once the sheet was filled anew, to the button of the same name, or to the one in
// the same place. Whoever unfolds a page by keys would otherwise begin again at the top
// of the window.
func (v *View) keepButton() (back func()) {
	none := func() {}
	if v.deps.Canvas == nil || v.deps.Canvas() == nil {
		return none
	}
	had, ok := v.deps.Canvas().Focused().(*command.Chip)
	before := v.buttons()
	at := slices.Index(before, had)
	if !ok || at < 0 {
		return none
	}
	return func() {
		now := v.buttons()
		if len(now) == 0 {
			v.focus(v.pane)
			return
		}
		to := slices.IndexFunc(now, func(b *command.Chip) bool { return b.Command.Name == had.Command.Name })
		if to < 0 {
			to = min(at, len(now)-1)
		}
		v.focus(now[to])
	}
}

// focusButton puts the keyboard on a button of the sheet by its name, where there is one.
func (v *View) focusButton(name string) {
	all := v.buttons()
	if i := slices.IndexFunc(all, func(b *command.Chip) bool { return b.Command.Name == name }); i >= 0 {
		v.focus(all[i])
	}
}

// entryOf is the field that stands below a name; nil = none.
func entryOf(o fyne.CanvasObject) *form.Entry {
	if l, ok := o.(*form.Labelled); ok {
		e, _ := l.Field.(*form.Entry)
		return e
	}
	return nil
}

// fieldCalled is a field of the sheet by its name; nil = none.
func (v *View) fieldCalled(name string) *form.Entry {
	for _, o := range v.sheet.Objects() {
		if l, ok := o.(*form.Labelled); ok && l.Name == name {
			return entryOf(o)
		}
	}
	return nil
}

// focusField puts the keyboard in a field of the sheet, where there is one.
func (v *View) focusField(name string) {
	if e := v.fieldCalled(name); e != nil {
		v.focus(e)
		e.SelectAll()
	}
}

// againTyping is again for what comes beside a person who may be typing: a field keeps
// the keyboard and what is half typed in it, and nothing of that is kept yet.
func (v *View) againTyping() {
	var had *form.Entry
	name := ""
	for _, o := range v.sheet.Objects() {
		if e := entryOf(o); e != nil && v.deps.Canvas != nil && v.deps.Canvas() != nil && v.deps.Canvas().Focused() == fyne.Focusable(e) {
			had, name = e, o.(*form.Labelled).Name
		}
	}
	v.again()
	if had == nil {
		return
	}
	had.OnLeave = nil
	if now := v.fieldCalled(name); now != nil {
		now.SetText(had.Text)
		now.CursorColumn = had.CursorColumn
		v.focus(now)
	}
}

// focusWanted puts the keyboard on what the sheet asks for now: its first field, or the
// button that is most likely wanted.
func (v *View) focusWanted() {
	for _, o := range v.sheet.Objects() {
		switch o := o.(type) {
		case *form.Labelled:
			if e, ok := o.Field.(*form.Entry); ok {
				v.focus(e)
				e.SelectAll()
				return
			}
		case *fyne.Container:
			for _, o := range o.Objects {
				if b, ok := o.(*command.Chip); ok && b.Primary {
					v.focus(b)
					return
				}
			}
		}
	}
}
