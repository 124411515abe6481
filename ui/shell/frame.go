package shell

import (
	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// A bar is the row of buttons on top: where one is, and the ways that are open
// from everywhere.
type bar struct {
	s           *Shell
	back        *command.Chip
	lock        *command.Chip // of the glove view
	left, right *fyne.Container
	ground      *canvas.Rectangle
	line        *canvas.Rectangle
	title       *canvas.Text
}

func newBar(s *Shell) *bar {
	b := &bar{s: s, ground: canvas.NewRectangle(nil), line: canvas.NewRectangle(nil), title: canvas.NewText("", nil)}
	chip := func(c *command.Command) *command.Chip { return command.NewChip(c, s.set) }
	b.back = chip(&command.Command{Name: "‹ Cases", Keys: "F3", Do: s.Cases})
	b.left = form.NewFlow(b.back)
	stop := chip(&command.Command{Name: "Emergency", Keys: "F9", Do: func() { s.openPage(emergencyPage) }, On: func() bool { return s.over == emergencyPage }})
	stop.Stop = true
	b.lock = chip(&command.Command{Name: "Lock", Keys: "F10", Do: s.toggleLock})
	b.right = form.NewFlow(
		b.lock,
		chip(&command.Command{Name: "Help", Keys: "F1", Do: func() { s.openPage(helpPage) }, On: func() bool { return s.over == helpPage }}),
		chip(&command.Command{Name: "View", Keys: "F4", Do: func() { s.openPage(lookPage) }, On: func() bool { return s.over == lookPage }}),
		stop)
	return b
}

func (b *bar) parts() []fyne.CanvasObject {
	return []fyne.CanvasObject{b.ground, b.title, b.left, b.right, b.line}
}

// name is where one is, in words.
func (b *bar) name() string {
	s := b.s
	switch {
	case s.over == wipePage:
		return "Locked"
	case s.over == emergencyPage:
		return "Emergency"
	case s.over == helpPage:
		return "Help"
	case s.over == lookPage:
		return "View"
	case s.table != nil:
		return s.table.Title()
	case s.desk != nil:
		return s.deskName
	}
	return "Halfsplit"
}

func (b *bar) refresh() {
	v := easel.Variant()
	b.ground.FillColor, b.line.FillColor = theme.Colour(theme.Paper, v), theme.Colour(theme.Hairline, v)
	b.title.Color, b.title.TextSize, b.title.TextStyle = theme.Colour(theme.Soft, v), theme.Text, fyne.TextStyle{Bold: true}
	if away := (b.s.desk != nil || b.s.table != nil) && b.s.deps.Case == nil || b.s.over != noPage && b.s.deps.Case == nil; away && !b.s.locked {
		b.back.Show()
	} else {
		b.back.Hide()
	}
	if b.s.kept.Glove && !b.s.locked {
		b.lock.Show()
	} else {
		b.lock.Hide()
	}
	for _, row := range []*fyne.Container{b.left, b.right} {
		for _, o := range row.Objects {
			o.Refresh()
		}
	}
}

// layout places the bar in a width and says how high it is.
func (b *bar) layout(width float32) float32 {
	wide := func(c *fyne.Container) float32 {
		w := float32(6)
		for _, o := range c.Objects {
			if o.Visible() {
				w += o.MinSize().Width + 6
			}
		}
		return w
	}
	l, r := wide(b.left), wide(b.right)
	if !b.back.Visible() {
		l = 12
	}
	high := form.HighFor(b.right, fyne.Min(r, width))
	if l+r > width { // two rows
		high = form.HighFor(b.right, width)
		top := form.HighFor(b.left, width)
		form.Put(b.left, 0, 0, width, top)
		form.Put(b.right, 0, top-6, width, high)
		if top > 0 {
			high += top - 6
		}
		b.title.Hide()
	} else {
		form.Put(b.left, 0, 0, l, high)
		form.Put(b.right, width-r, 0, r, high)
		b.title.Show()
		b.title.Text = scene.Shorten(b.name(), float64(width-l-r-24), theme.Text, true, easel.Measure)
		form.Put(b.title, l+8, (high-b.title.MinSize().Height)/2, width-l-r-24, b.title.MinSize().Height)
		b.title.Refresh()
	}
	form.Put(b.ground, 0, 0, width, high)
	form.Put(b.line, 0, high-1, width, 1)
	return high
}

// A frame puts the bar above the view.
type frame struct{ s *Shell }

// MinSize is small: what does not fit rolls.
func (f *frame) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(260, 200) }

// Layout places bar, view and tour.
func (f *frame) Layout(objects []fyne.CanvasObject, size fyne.Size) {
	s := f.s
	if s.over == wipePage { // the bar is locked too
		form.Put(s.view(), 0, 0, size.Width, size.Height)
		return
	}
	s.bar.refresh()
	high := s.bar.layout(size.Width)
	form.Put(s.view(), 0, high, size.Width, size.Height-high)
	if s.tour != nil {
		s.tour.place(size)
	}
}

// view is what is shown below the bar.
func (s *Shell) view() fyne.CanvasObject {
	switch {
	case s.over == wipePage:
		return s.wipe
	case s.over == emergencyPage:
		return s.emergency.Content()
	case s.over == helpPage:
		return s.help.Content()
	case s.over == lookPage:
		return s.look.Content()
	case s.table != nil:
		return s.table.Content()
	case s.desk != nil:
		return s.desk.Content()
	}
	return s.start.Content()
}

// show puts the present view into the window and the keyboard on it.
func (s *Shell) show() {
	s.ground.Objects = append([]fyne.CanvasObject{s.view()}, s.bar.parts()...)
	if s.over == wipePage {
		s.ground.Objects = s.ground.Objects[:1]
	}
	if s.tour != nil {
		s.ground.Objects = append(s.ground.Objects, s.tour.parts()...)
	}
	s.ground.Refresh()
	s.focus()
	s.w.SetTitle("Halfsplit: " + s.bar.name())
}

// focus puts the keyboard on the view, once the window holds it.
func (s *Shell) focus() {
	if s.w.Content() != fyne.CanvasObject(s.ground) {
		return
	}
	switch {
	case s.over == wipePage:
		s.w.Canvas().Focus(s.wipe)
	case s.over == emergencyPage:
		s.emergency.Focus()
	case s.over == helpPage:
		s.help.Focus()
	case s.over == lookPage:
		s.look.Focus()
	case s.table != nil:
		s.table.Focus()
	case s.desk != nil:
		s.desk.Focus()
	default:
		s.start.Focus()
	}
}

// openPage opens a page over the view, and remembers what had the focus.
func (s *Shell) openPage(p place) {
	if s.locked && p != emergencyPage {
		return
	}
	if p == emergencyPage { // to be read, also where somebody was writing it
		s.emergency.Open()
	}
	if s.over == p {
		s.focus()
		return
	}
	if s.over == noPage {
		s.before = s.w.Canvas().Focused()
	}
	s.over = p
	s.endTour()
	s.show()
}

// back is Escape on the bar: out of the page, or the keyboard back to the view.
func (s *Shell) back() {
	if s.over != noPage {
		s.leavePage()
		return
	}
	s.focus()
}

// leavePage goes back to the view, as it was left.
func (s *Shell) leavePage() {
	if s.over == noPage {
		return
	}
	if s.locked && s.over != wipePage { // from the emergency page back to the lock
		s.over = wipePage
		s.show()
		return
	}
	if s.locked {
		return
	}
	s.over = noPage
	s.show()
	if o, ok := s.before.(fyne.CanvasObject); ok && o.Visible() {
		s.w.Canvas().Focus(s.before)
	}
	s.before = nil
}
