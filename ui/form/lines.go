package form

import (
	"slices"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/widget"

	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

var (
	_ fyne.Widget    = (*Lines)(nil)
	_ fyne.Focusable = (*Lines)(nil)
	_ High           = (*Lines)(nil)
)

// Lines are words on a page of which some lead somewhere: by a press, or with the
// keyboard, which steps from one to the next with up and down and follows one with
// Enter or Space.
type Lines struct {
	widget.BaseWidget
	OnKey  func(*fyne.KeyEvent) bool // other keys
	OnRune func(rune)

	board   *easel.Board
	ids     []string // that lead somewhere, from the top
	at      int
	focused bool
	reveal  func(top, bottom float32)
}

// NewLines shows what draw gives for a width and the line that the keyboard is on, ""
// for none; pick follows one of ids.
func NewLines(ids []string, draw func(width float64, on string) (*scene.List, float64), pick func(id string)) *Lines {
	l := &Lines{ids: ids}
	l.board = easel.NewBoard(theme.Raised, 160, func(w float64) (*scene.List, float64) { return draw(w, l.On()) })
	l.board.OnPick = pick
	l.ExtendBaseWidget(l)
	return l
}

// Board is the drawing.
func (l *Lines) Board() *easel.Board { return l.board }

// On is the line that the keyboard is on, "" where it is elsewhere.
func (l *Lines) On() string {
	if !l.focused || l.at >= len(l.ids) {
		return ""
	}
	return l.ids[l.at]
}

// Prepare is the height for a width.
func (l *Lines) Prepare(width float32) float32 { return l.board.Prepare(width) }

// MinSize is that of the drawing.
func (l *Lines) MinSize() fyne.Size { return l.board.MinSize() }

// FocusGained rings the line that the keyboard was on last, the first at first.
func (l *Lines) FocusGained() {
	l.focused = true
	l.step(0)
}

// FocusLost takes the ring away.
func (l *Lines) FocusLost() {
	l.focused = false
	l.board.Refresh()
}

// TypedRune hands characters on.
func (l *Lines) TypedRune(r rune) {
	if l.OnRune != nil && r != ' ' { // Space comes as a key too
		l.OnRune(r)
	}
}

// TypedKey steps, follows, or hands the key on.
func (l *Lines) TypedKey(k *fyne.KeyEvent) {
	switch k.Name {
	case fyne.KeyUp:
		l.step(-1)
	case fyne.KeyDown:
		l.step(1)
	case fyne.KeyHome:
		l.step(-len(l.ids))
	case fyne.KeyEnd:
		l.step(len(l.ids))
	case fyne.KeyReturn, fyne.KeyEnter, fyne.KeySpace:
		if id := l.On(); id != "" {
			l.board.OnPick(id)
		}
	default:
		if l.OnKey != nil {
			l.OnKey(k)
		}
	}
}

// step moves the keyboard, no further than the first and the last line.
func (l *Lines) step(by int) {
	l.at = max(0, min(len(l.ids)-1, l.at+by))
	l.board.Refresh()
	if l.reveal == nil {
		return
	}
	for _, t := range l.board.List().Targets {
		if t.ID != l.On() {
			continue
		}
		at := func(p scene.Point) float64 { return p.World.Y() + p.Px.Y() }
		low := func(a, b scene.Point) int { return int(at(a) - at(b)) }
		l.reveal(float32(at(slices.MinFunc(t.Area, low))), float32(at(slices.MaxFunc(t.Area, low))))
		return
	}
}

// CreateRenderer makes the renderer.
func (l *Lines) CreateRenderer() fyne.WidgetRenderer { return linesRenderer{l} }

type linesRenderer struct{ l *Lines }

func (r linesRenderer) Destroy()                     {}
func (r linesRenderer) MinSize() fyne.Size           { return r.l.MinSize() }
func (r linesRenderer) Objects() []fyne.CanvasObject { return []fyne.CanvasObject{r.l.board} }
func (r linesRenderer) Layout(s fyne.Size)           { r.l.board.Resize(s) }
func (r linesRenderer) Refresh()                     { r.l.board.Refresh() }
