package command

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/widget"

	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

var (
	_ fyne.Tappable  = (*Chip)(nil)
	_ fyne.Focusable = (*Chip)(nil)
)

// A Chip is a command's button: high enough for a finger, with its key written
// small, filled where it is the chosen one of its group. A key that it does not
// know goes to the set, so that keys work wherever the focus is.
type Chip struct {
	widget.BaseWidget
	Command *Command
	Set     *Set
	Primary bool   // the one action that is most likely wanted: filled
	Compact bool   // without its key, where there is little room
	Stop    bool   // leads to what to do in an emergency: outlined in red
	OnFocus func() // may be nil: rolls the button into view
	focused bool
}

// NewChip makes a command's button.
func NewChip(c *Command, s *Set) *Chip {
	b := &Chip{Command: c, Set: s}
	b.ExtendBaseWidget(b)
	return b
}

// Tapped does the command.
func (b *Chip) Tapped(*fyne.PointEvent) { b.Command.Do() }

// FocusGained draws the focus ring.
func (b *Chip) FocusGained() {
	b.focused = true
	b.Refresh()
	if b.OnFocus != nil {
		b.OnFocus()
	}
}

// FocusLost takes the ring away.
func (b *Chip) FocusLost() { b.focused = false; b.Refresh() }

// TypedRune hands characters to the set.
func (b *Chip) TypedRune(r rune) {
	if r != ' ' { // Space comes as a key too
		b.Set.Rune(r)
	}
}

// TypedKey presses the button with Space or Enter; other keys go to the set.
func (b *Chip) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeySpace, fyne.KeyReturn, fyne.KeyEnter:
		b.Command.Do()
	default:
		b.Set.Key(k)
	}
}

// Wide is the button's width with its key, whether or not that is shown.
func (b *Chip) Wide() float32 {
	name := b.Command.Name
	if b.Command.Label != nil {
		name = b.Command.Label()
	}
	w := fyne.MeasureText(name, theme.Text, fyne.TextStyle{}).Width + 16
	if b.Command.Keys != "" && b.Command.Keys != name {
		w += fyne.MeasureText(b.Command.Keys, theme.Small, fyne.TextStyle{}).Width + 6
	}
	return fyne.Max(w, easel.Sizes().Touch())
}

// CreateRenderer makes the button's renderer.
func (b *Chip) CreateRenderer() fyne.WidgetRenderer {
	r := &chipRenderer{b: b, box: canvas.NewRectangle(nil), text: canvas.NewText("", nil), key: canvas.NewText("", nil)}
	r.text.TextSize, r.key.TextSize = theme.Text, theme.Small
	r.box.CornerRadius = 6
	r.apply()
	return r
}

type chipRenderer struct {
	b         *Chip
	box       *canvas.Rectangle
	text, key *canvas.Text
	name      string // the text as it is where there is room
}

func (r *chipRenderer) Destroy() {}
func (r *chipRenderer) Objects() []fyne.CanvasObject {
	return []fyne.CanvasObject{r.box, r.text, r.key}
}

func (r *chipRenderer) MinSize() fyne.Size {
	k := r.key.MinSize()
	w := fyne.MeasureText(r.name, theme.Text, fyne.TextStyle{}).Width + 16
	if r.key.Text != "" {
		w += k.Width + 6
	}
	least := easel.Sizes().Touch()
	return fyne.NewSize(fyne.Max(w, least), least)
}

// Layout leaves the key away, and then shortens the text, where its place is
// narrower than the button would be.
func (r *chipRenderer) Layout(s fyne.Size) {
	r.box.Resize(s)
	r.text.Text = r.name
	t, k := r.text.MinSize(), r.key.MinSize()
	w := t.Width
	if r.key.Text != "" && (s.Width <= 0 || w+6+k.Width <= s.Width-8) {
		w += 6 + k.Width
		r.key.Show()
	} else {
		r.key.Hide()
	}
	if room := float64(s.Width - 8); room > 0 && float64(w) > room {
		r.text.Text = scene.Shorten(r.name, room, theme.Text, false, easel.Measure)
		t = r.text.MinSize()
		w = t.Width
	}
	x := (s.Width - w) / 2
	r.text.Move(fyne.NewPos(x, (s.Height-t.Height)/2))
	r.key.Move(fyne.NewPos(x+t.Width+6, (s.Height-k.Height)/2+1))
	r.text.Resize(t)
	r.key.Resize(k)
}

func (r *chipRenderer) Refresh() {
	r.apply()
	r.Layout(r.b.Size())
	canvas.Refresh(r.text)
	canvas.Refresh(r.key)
	canvas.Refresh(r.b)
}

func (r *chipRenderer) apply() {
	v := easel.Variant()
	on := r.b.Primary || r.b.Command.On != nil && r.b.Command.On()
	r.text.Text, r.key.Text = r.b.Command.Name, r.b.Command.Keys
	if r.b.Command.Label != nil {
		r.text.Text = r.b.Command.Label()
	}
	r.name = r.text.Text
	if r.key.Text == r.text.Text || r.b.Compact {
		r.key.Text = ""
	}
	r.box.FillColor, r.box.StrokeColor, r.box.StrokeWidth = theme.Colour(theme.Raised, v), theme.Colour(theme.Hairline, v), 1
	r.text.Color, r.key.Color = theme.Colour(theme.Accent, v), theme.Colour(theme.Soft, v)
	if r.b.Stop {
		r.box.StrokeColor, r.box.StrokeWidth, r.text.Color = theme.Colour(theme.Live, v), 2, theme.Colour(theme.Live, v)
	}
	if on {
		r.box.FillColor = theme.Colour(theme.Accent, v)
		r.text.Color, r.key.Color = theme.Colour(theme.Raised, v), theme.Colour(theme.Raised, v)
	}
	if on && r.b.Stop {
		r.box.FillColor = theme.Colour(theme.Live, v)
	}
	if r.b.focused {
		r.box.StrokeColor, r.box.StrokeWidth = theme.Colour(theme.Accent, v), 3
		if on {
			r.box.StrokeColor = theme.Colour(theme.Ink, v)
		}
	}
}
