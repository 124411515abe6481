package ui

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"halfsplit/ui/sheet"
)

// The answers to what an undo of a state is.
const (
	mistakeID = "undo:mistake"
	byHandID  = "undo:hand"
)

// Undo takes back the newest command. A recorded state is asked about first: a
// typing mistake and a pack that was changed back are two different records.
func (d *Desk) Undo() {
	s := d.store.Steps()
	switch {
	case s.Undo == "":
		d.say("There is nothing to undo.")
	case s.UndoState:
		if d.over() != nil { // the question stands on the sheet
			d.unlay("")
		}
		d.toSheet()
		d.page = undoPage
		d.showSheet(true)
		d.showChips()
		d.say("Nothing is undone yet.")
	default:
		d.takeBack()
	}
}

func (d *Desk) takeBack() {
	name, err := d.store.Undo()
	d.turned("Undone: ", name, err)
}

// Redo does again what was undone last.
func (d *Desk) Redo() {
	if d.store.Steps().Redo == "" {
		d.say("There is nothing to redo.")
		return
	}
	name, err := d.store.Redo()
	d.turned("Done again: ", name, err)
}

func (d *Desk) turned(said, name string, err error) {
	if err != nil {
		d.say("That did not work: " + err.Error() + ".")
		return
	}
	d.afterCommand()
	d.runUndone()
	if o := d.over(); o != nil {
		o.Say(said + name + ".")
	}
	d.timer = d.timer.Keeping(func(id string) bool { _, ok := d.deps.Case.Reading(id); return ok })
	if d.page == entryPage {
		d.showSheet(false)
	}
	d.say(said + name + ".")
}

// undoBlocks ask what an undo of a state is.
func (d *Desk) undoBlocks() []sheet.Block {
	name := d.store.Steps().Undo
	return []sheet.Block{{Kind: sheet.Title, Text: "Undo: " + name + "?", Bold: true},
		{Kind: sheet.Para, Text: "Was it a typing mistake, or was the pack changed back by hand?"},
		{Kind: sheet.Action, ID: mistakeID, Text: "1  A typing mistake", Value: "The record is withdrawn; it stays in the history. The pack was never in that state."},
		{Kind: sheet.Action, ID: byHandID, Text: "2  Changed back by hand", Value: "The record stays, and a new state is recorded: as it was before."},
		{Kind: sheet.Soft, Text: "Esc leaves everything as it is."}}
}

// answerUndo does what was answered.
func (d *Desk) answerUndo(id string) {
	switch id {
	case mistakeID:
		d.page = findingPage
		d.takeBack()
		d.showFinding()
	case byHandID:
		d.changedBack()
	}
}

// changedBack records the state before the present one as a new state.
func (d *Desk) changedBack() {
	c := d.store.Case()
	if len(c.States) < 2 {
		d.say("There is no earlier state; record what was done with S.")
		return
	}
	back := c.States[0]
	for i, s := range c.States {
		if s.ID == c.Now && i > 0 {
			back = c.States[i-1]
		}
	}
	back.ID += "_again"
	s, err := d.store.RecordState(back)
	d.page = findingPage
	if err != nil {
		d.showFinding()
		d.say("That did not work: " + err.Error() + ".")
		return
	}
	d.afterCommand()
	d.showFinding()
	d.say("Changed back by hand: the present state is " + s.ID + ".")
}

// undoKey is a key while the question stands.
func (d *Desk) undoKey(k fyne.KeyName) bool {
	if k != fyne.KeyEscape {
		return false
	}
	d.showFinding()
	d.say("Nothing was undone.")
	return true
}

// Shortcut does what a key with Control does; false for one that is not known.
func (d *Desk) Shortcut(s fyne.Shortcut) bool {
	if d.listing.Busy() {
		return true // until it is stored nothing else is
	}
	switch s := s.(type) {
	case *fyne.ShortcutUndo:
		d.Undo()
	case *fyne.ShortcutRedo:
		d.Redo()
	case *fyne.ShortcutPaste:
		if s.Clipboard == nil {
			return false
		}
		if d.pasteList(s.Clipboard.Content()) {
			return true
		}
		if d.page != entryPage {
			return false
		}
		d.paste(s.Clipboard.Content())
	case *desktop.CustomShortcut:
		ctrl := s.Modifier&(fyne.KeyModifierControl|fyne.KeyModifierSuper) != 0
		switch {
		case ctrl && s.KeyName == fyne.KeyZ && s.Modifier&fyne.KeyModifierShift != 0, ctrl && s.KeyName == fyne.KeyY:
			d.Redo()
		case ctrl && s.KeyName == fyne.KeyZ:
			d.Undo()
		default:
			return false
		}
	default:
		return false
	}
	return true
}

// Shortcuts are those that the window hands to Shortcut.
func Shortcuts() []fyne.Shortcut {
	return []fyne.Shortcut{&fyne.ShortcutUndo{}, &fyne.ShortcutRedo{}, &fyne.ShortcutPaste{},
		&desktop.CustomShortcut{KeyName: fyne.KeyZ, Modifier: fyne.KeyModifierControl | fyne.KeyModifierShift}}
}
