package shell

import (
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/widget"

	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

var (
	_ fyne.Focusable    = (*wipe)(nil)
	_ desktop.Mouseable = (*wipe)(nil)
)

// A wipe covers the window while a screen is wiped or wet: no press and no key does
// anything but the few that end it. A corner counts when it was held, then the one
// that lies opposite; a cloth does neither. The emergency page stays reachable.
type wipe struct {
	widget.BaseWidget
	s     *Shell
	down  fyne.Position // where the press began
	since time.Time     // when; zero = nothing is pressed
	first int           // the corner that was held, from the top left clockwise; -1 = none
}

// Sizes and times of the lock.
const (
	cornerSide = 130.0
	helpHigh   = 90.0
	held       = 700 * time.Millisecond // how long a corner or the emergency bar is held
	within     = 6 * time.Second        // in which the second corner follows the first
)

func newWipe(s *Shell) *wipe {
	w := &wipe{s: s, first: -1}
	w.ExtendBaseWidget(w)
	return w
}

// toggleLock locks the window, or unlocks it.
func (s *Shell) toggleLock() {
	if s.locked {
		s.unlock()
		return
	}
	if s.over == noPage {
		s.before = s.w.Canvas().Focused()
	}
	s.locked, s.wipe.first, s.over = true, -1, wipePage
	s.endTour()
	s.show()
}

// unlock goes back to the view, as it was left.
func (s *Shell) unlock() {
	s.locked, s.over = false, wipePage
	s.leavePage()
}

// FocusGained does nothing: the whole window is the page.
func (w *wipe) FocusGained() {}

// FocusLost does nothing.
func (w *wipe) FocusLost() {}

// TypedRune does nothing.
func (w *wipe) TypedRune(rune) {}

// TypedKey has the two keys that work.
func (w *wipe) TypedKey(k *fyne.KeyEvent) { w.s.key(k) }

func (w *wipe) now() time.Time {
	if w.s.deps.Now != nil {
		return w.s.deps.Now()
	}
	return time.Now()
}

// MouseDown begins a press.
func (w *wipe) MouseDown(e *desktop.MouseEvent) { w.down, w.since = e.Position, w.now() }

// MouseUp ends it: it counts where it was held at one place.
func (w *wipe) MouseUp(e *desktop.MouseEvent) {
	began := w.since
	w.since = time.Time{}
	if began.IsZero() || w.now().Sub(began) < held {
		return
	}
	if w.onHelp(w.down) && w.onHelp(e.Position) {
		w.s.openPage(emergencyPage)
		return
	}
	at := w.corner(w.down)
	if at < 0 || at != w.corner(e.Position) {
		return
	}
	if w.first >= 0 && at == (w.first+2)%4 {
		w.s.unlock()
		return
	}
	w.first = at
	w.Refresh()
	w.forget()
}

// forget lets go of the first corner after a while.
func (w *wipe) forget() {
	if w.s.deps.Later == nil {
		return
	}
	w.s.deps.Later(within, func() {
		w.first = -1
		w.Refresh()
	})
}

// side is that of a corner, in a window of this size.
func (w *wipe) side() float32 {
	s := w.Size()
	return fyne.Min(cornerSide, fyne.Min(s.Width/3, s.Height/3))
}

// corner is the corner that lies at a place, -1 for none.
func (w *wipe) corner(p fyne.Position) int {
	s, c := w.Size(), w.side()
	left, right, top, bottom := p.X < c, p.X > s.Width-c, p.Y < c, p.Y > s.Height-c
	switch {
	case left && top:
		return 0
	case right && top:
		return 1
	case right && bottom:
		return 2
	case left && bottom:
		return 3
	}
	return -1
}

// help is where the bar of the emergency page lies.
func (w *wipe) help() (at fyne.Position, size fyne.Size) {
	s, c := w.Size(), w.side()
	return fyne.NewPos(c+8, s.Height-fyne.Min(helpHigh, c)), fyne.NewSize(s.Width-2*c-16, fyne.Min(helpHigh, c)-8)
}

func (w *wipe) onHelp(p fyne.Position) bool {
	at, size := w.help()
	return p.X >= at.X && p.X <= at.X+size.Width && p.Y >= at.Y && p.Y <= at.Y+size.Height
}

// says are the words in the middle.
func (w *wipe) says() string {
	if w.first >= 0 {
		return "Now hold the opposite corner for a second."
	}
	return "Wipe the screen: nothing that touches it is taken, and nothing is lost. To go on, press F10, or hold one corner for a second and then the opposite one."
}

// CreateRenderer makes the renderer.
func (w *wipe) CreateRenderer() fyne.WidgetRenderer {
	r := &wipeRenderer{w: w, ground: canvas.NewRectangle(nil), bar: canvas.NewRectangle(nil), stop: canvas.NewText("Emergency: F9, or hold here", nil), title: canvas.NewText("Locked", nil)}
	for range 4 {
		r.corners = append(r.corners, canvas.NewRectangle(nil))
	}
	for range 8 {
		r.lines = append(r.lines, canvas.NewText("", nil))
	}
	return r
}

type wipeRenderer struct {
	w           *wipe
	ground, bar *canvas.Rectangle
	corners     []*canvas.Rectangle
	title, stop *canvas.Text
	lines       []*canvas.Text
}

func (r *wipeRenderer) Destroy()           {}
func (r *wipeRenderer) MinSize() fyne.Size { return fyne.NewSize(200, 150) }
func (r *wipeRenderer) Objects() []fyne.CanvasObject {
	out := []fyne.CanvasObject{r.ground, r.bar, r.title, r.stop}
	for _, c := range r.corners {
		out = append(out, c)
	}
	for _, l := range r.lines {
		out = append(out, l)
	}
	return out
}

func (r *wipeRenderer) Layout(s fyne.Size) {
	v, w, side := easel.Variant(), r.w, r.w.side()
	ink := theme.Colour(theme.Ink, v)
	r.ground.FillColor = theme.Colour(theme.Paper, v)
	r.ground.Resize(s)
	for i, c := range r.corners {
		c.Resize(fyne.NewSize(side-8, side-8))
		x, y := float32(4), float32(4)
		if i == 1 || i == 2 {
			x = s.Width - side + 4
		}
		if i >= 2 {
			y = s.Height - side + 4
		}
		c.Move(fyne.NewPos(x, y))
		c.FillColor, c.StrokeColor, c.StrokeWidth, c.CornerRadius = theme.Colour(theme.Raised, v), theme.Colour(theme.Accent, v), 3, 10
		if w.first >= 0 && i == (w.first+2)%4 {
			c.FillColor = theme.Colour(theme.Accent, v)
		}
	}
	at, size := w.help()
	r.bar.Move(at)
	r.bar.Resize(size)
	r.bar.FillColor, r.bar.StrokeColor, r.bar.StrokeWidth, r.bar.CornerRadius = theme.Colour(theme.Raised, v), theme.Colour(theme.Live, v), 3, 10
	r.place(r.stop, theme.Section, at.Y+size.Height/2, s.Width)
	r.stop.Color = theme.Colour(theme.Live, v)
	y := s.Height*0.38 - 40
	r.title.Color, r.title.TextStyle = ink, fyne.TextStyle{Bold: true}
	r.place(r.title, theme.GloveNumber, y, s.Width)
	y += 46
	lines := scene.Wrap(w.says(), float64(fyne.Min(s.Width-40, 760)), theme.Section, false, easel.Measure)
	for i, l := range r.lines {
		l.Text, l.Color = "", ink
		if i < len(lines) {
			l.Text = lines[i]
			r.place(l, theme.Section, y, s.Width)
			y += 28
		}
	}
}

// place sets a text around the middle of the window at a height.
func (r *wipeRenderer) place(t *canvas.Text, size, y, wide float32) {
	t.TextSize = size
	m := t.MinSize()
	t.Resize(m)
	t.Move(fyne.NewPos((wide-m.Width)/2, y-m.Height/2))
}

func (r *wipeRenderer) Refresh() { r.Layout(r.w.Size()); canvas.Refresh(r.w) }
