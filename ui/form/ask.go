package form

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// Ask shows words, a field with its name, and two buttons: what is done with the field,
// and leave. The caller puts the keyboard on the field; its cursor is at its end.
func (p *Page) Ask(words func(width float64) (*scene.List, float64), name string, field *Entry, set *command.Set, do *command.Command, leave func()) {
	head := easel.NewBoard(theme.Paper, 200, func(w float64) (*scene.List, float64) {
		l, high := words(w)
		return l, high - 8
	})
	primary := command.NewChip(do, set)
	primary.Primary = true
	p.Set(head, NewLabelled(name, field), NewFlow(primary, command.NewChip(&command.Command{Name: "Leave", Keys: "Esc", Do: leave}, set)))
	field.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEnd})
}

// NewAsked makes a field that holds text: changed is told of what is typed, Enter does
// and Escape leaves; around has the keys of the window first.
func NewAsked(text string, changed func(string), do func(), shortcut func(fyne.Shortcut), around func(*fyne.KeyEvent) bool, leave func()) *Entry {
	e := NewEntry(1)
	e.SetText(text)
	e.OnChanged = changed
	e.OnSubmitted = func(string) { do() }
	e.OnShortcut = shortcut
	e.LeaveBy(around, leave)
	return e
}
