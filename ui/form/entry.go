// Package form is what a person fills in: fields that give the window's keys
// back, numbers that go up and down by a press, lists that are walked by keys
// and by presses, and rows of buttons that wrap.
//
// It knows fingers and keys, not what the fields are for. Everything here runs
// on Fyne's own thread.
package form

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"halfsplit/ui/easel"
	"halfsplit/ui/theme"
)

var _ fyne.Focusable = (*Entry)(nil)

// An Entry is a field. Keys that a field has no use for, such as Escape and the
// function keys, go to OnKey; so does a shortcut that it does not know.
type Entry struct {
	widget.Entry
	OnKey      func(*fyne.KeyEvent) bool // true = taken; asked first
	OnShortcut func(fyne.Shortcut)       // may be nil
	OnFocus    func()                    // may be nil
	OnLeave    func()                    // the keyboard has left the field; may be nil
	OnUndo     func(redo bool)           // undo and redo; nil = of the typing alone, as the toolkit has it
	Held       string                    // what it holds while nothing is half typed
	reveal     func()                    // rolls the page that it stands on; nil = none
}

// NewEntry makes a field; lines > 1 makes one for several lines.
func NewEntry(lines int) *Entry {
	e := &Entry{}
	e.ExtendBaseWidget(e)
	e.Wrapping = fyne.TextWrapOff
	if lines > 1 {
		e.MultiLine = true
		e.Wrapping = fyne.TextWrapWord
		e.SetMinRowsVisible(lines)
	}
	return e
}

// LeaveBy gives the field's keys to first, and Escape to leave.
func (e *Entry) LeaveBy(first func(*fyne.KeyEvent) bool, leave func()) {
	e.OnKey = func(k *fyne.KeyEvent) bool {
		if first != nil && first(k) {
			return true
		}
		if k.Name == fyne.KeyEscape {
			leave()
			return true
		}
		return false
	}
}

// TypedKey asks OnKey first.
func (e *Entry) TypedKey(k *fyne.KeyEvent) {
	if e.OnKey != nil && e.OnKey(k) {
		return
	}
	e.Entry.TypedKey(k)
}

// SelectAll selects the text so that typing replaces it, with its beginning in
// sight where it is longer than the field.
func (e *Entry) SelectAll() {
	shift := &fyne.KeyEvent{Name: desktop.KeyShiftLeft}
	e.Entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyEnd})
	e.Entry.KeyDown(shift)
	e.Entry.TypedKey(&fyne.KeyEvent{Name: fyne.KeyHome})
	e.Entry.KeyUp(shift)
}

// TypedShortcut keeps what a field does itself, such as copying, and hands on
// the others.
func (e *Entry) TypedShortcut(s fyne.Shortcut) {
	if c, ok := s.(*desktop.CustomShortcut); ok && e.OnShortcut != nil && c.Modifier&fyne.KeyModifierControl != 0 && !ownShortcut(c) {
		e.OnShortcut(c)
		return
	}
	_, redo := s.(*fyne.ShortcutRedo)
	if _, undo := s.(*fyne.ShortcutUndo); (undo || redo) && e.OnUndo != nil {
		e.OnUndo(redo)
		return
	}
	e.Entry.TypedShortcut(s)
}

// ownShortcut says that a field moves by words with it.
func ownShortcut(c *desktop.CustomShortcut) bool {
	switch c.KeyName {
	case fyne.KeyLeft, fyne.KeyRight, fyne.KeyBackspace, fyne.KeyDelete, fyne.KeyHome, fyne.KeyEnd:
		return true
	}
	return false
}

// AcceptsTab says that Tab leads on from every field, from one for several lines
// too.
func (e *Entry) AcceptsTab() bool { return false }

// FocusGained tells OnFocus.
func (e *Entry) FocusGained() {
	e.Entry.FocusGained()
	if e.reveal != nil {
		e.reveal()
	}
	if e.OnFocus != nil {
		e.OnFocus()
	}
}

// FocusLost tells OnLeave.
func (e *Entry) FocusLost() {
	e.Entry.FocusLost()
	if e.OnLeave != nil {
		e.OnLeave()
	}
}

// MinSize is never lower than a finger needs.
func (e *Entry) MinSize() fyne.Size {
	m := e.Entry.MinSize()
	return fyne.NewSize(fyne.Max(m.Width, 80), fyne.Max(m.Height, easel.Sizes().Touch()))
}

// Labelled puts a field's name above it.
type Labelled struct {
	widget.BaseWidget
	Name  string
	Field fyne.CanvasObject
}

// NewLabelled names a field.
func NewLabelled(name string, field fyne.CanvasObject) *Labelled {
	l := &Labelled{Name: name, Field: field}
	l.ExtendBaseWidget(l)
	return l
}

// CreateRenderer makes the renderer.
func (l *Labelled) CreateRenderer() fyne.WidgetRenderer {
	r := &labelledRenderer{l: l, name: canvas.NewText("", nil)}
	r.apply()
	return r
}

type labelledRenderer struct {
	l    *Labelled
	name *canvas.Text
}

func (r *labelledRenderer) Destroy() {}
func (r *labelledRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.name, r.l.Field}
}

const nameHigh = 20

func (r *labelledRenderer) MinSize() fyne.Size {
	m := r.l.Field.MinSize()
	return fyne.NewSize(m.Width, m.Height+nameHigh)
}

func (r *labelledRenderer) Layout(s fyne.Size) {
	r.name.Move(fyne.NewPos(0, 0))
	r.l.Field.Move(fyne.NewPos(0, nameHigh))
	r.l.Field.Resize(fyne.NewSize(s.Width, s.Height-nameHigh))
}

func (r *labelledRenderer) Refresh() {
	r.apply()
	canvas.Refresh(r.l)
}

func (r *labelledRenderer) apply() {
	r.name.Text, r.name.TextSize = r.l.Name, theme.Small+1
	r.name.Color = theme.Colour(theme.Soft, easel.Variant())
}
