package shell

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/help"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// A tour points at one real thing after the other: a ring around it, and a card
// with what it is for.
type tour struct {
	s    *Shell
	at   int
	set  *command.Set
	ring *canvas.Rectangle
	card *canvas.Rectangle
	text *easel.Board
	row  *fyne.Container
	next *command.Chip
}

func (s *Shell) beginTour() {
	s.over = noPage
	if s.desk != nil && s.deps.Case == nil {
		s.Cases()
	}
	t := &tour{s: s, set: &command.Set{Around: s.key}, ring: canvas.NewRectangle(nil), card: canvas.NewRectangle(nil)}
	t.text = easel.NewBoard(theme.Raised, 200, nil)
	t.next = command.NewChip(t.set.Add(&command.Command{Name: "Next", Keys: "Enter", Do: func() { t.turn(1) }, Label: func() string {
		if t.at == len(help.Tour)-1 {
			return "Done"
		}
		return "Next"
	}}), t.set)
	t.next.Primary = true
	t.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyRight, fyne.KeyDown}, Do: func() { t.turn(1) }})
	t.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyLeft, fyne.KeyUp}, Do: func() { t.turn(-1) }})
	leave := command.NewChip(t.set.Add(&command.Command{Name: "Leave", Keys: "Esc", Named: []fyne.KeyName{fyne.KeyEscape}, Do: s.leaveTour}), t.set)
	back := command.NewChip(t.set.Add(&command.Command{Name: "Previous", Do: func() { t.turn(-1) }}), t.set)
	t.row = form.NewFlow(t.next, back, leave)
	s.tour = t
	t.draw()
	s.show()
	s.w.Canvas().Focus(t.next)
}

func (s *Shell) endTour() { s.tour = nil }

func (s *Shell) leaveTour() {
	s.endTour()
	s.show()
}

// turn goes to the step so many on. A step in a case opens a copy of the demo case
// where none is open.
func (t *tour) turn(by int) {
	s := t.s
	t.at += by
	if t.at < 0 {
		t.at = 0
	}
	if t.at >= len(help.Tour) {
		s.leaveTour()
		return
	}
	inCase := help.Tour[t.at].At != help.AtMaker && help.Tour[t.at].At != help.AtDemo
	if inCase && s.desk == nil {
		s.start.OpenDemo()
	} else if !inCase && s.desk != nil && s.deps.Case == nil {
		s.Cases()
	}
	s.tour = t // opening and leaving a case ends a tour
	t.draw()
	s.show()
	s.w.Canvas().Focus(t.next)
}

func (t *tour) draw() {
	step := help.Tour[t.at]
	t.text.Draw = drawn([]sheet.Block{{Kind: sheet.Title, Text: fmt.Sprintf("%d of %d: %s", t.at+1, len(help.Tour), step.Title), Bold: true}, {Kind: sheet.Para, Text: step.Text}})
	t.text.Refresh()
	t.next.Refresh()
}

func (t *tour) parts() []fyne.CanvasObject {
	return []fyne.CanvasObject{t.ring, t.card, t.text, t.row}
}

// place puts the ring around the thing and the card where it does not cover it.
func (t *tour) place(size fyne.Size) {
	v := easel.Variant()
	t.ring.StrokeColor, t.ring.StrokeWidth, t.ring.CornerRadius = theme.Colour(theme.Accent, v), 4, 10
	t.card.FillColor, t.card.StrokeColor, t.card.StrokeWidth, t.card.CornerRadius = theme.Colour(theme.Raised, v), theme.Colour(theme.Accent, v), 2, 10
	w := fyne.Min(440, size.Width-24)
	text := t.text.Prepare(w - 16)
	row := form.HighFor(t.row, w-16)
	high := text + row + 12
	x, y := (size.Width-w)/2, (size.Height-high)/2
	t.ring.Hide()
	if pos, of, ok := t.target(); ok {
		t.ring.Show()
		form.Put(t.ring, pos.X-5, pos.Y-5, of.Width+10, of.Height+10)
		if pos.Y+of.Height/2 < size.Height/2 {
			y = fyne.Min(pos.Y+of.Height+18, size.Height-high-12)
		} else {
			y = fyne.Max(12, pos.Y-high-18)
		}
		x = fyne.Max(12, fyne.Min(pos.X+of.Width/2-w/2, size.Width-w-12))
	}
	form.Put(t.card, x, y, w, high)
	form.Put(t.text, x+8, y+4, w-16, text)
	form.Put(t.row, x+8, y+text+4, w-16, row)
}

// target is where the step's thing lies in the window.
func (t *tour) target() (fyne.Position, fyne.Size, bool) {
	want := map[string]func(fyne.CanvasObject) bool{
		help.AtMaker: chipNamed("Make a layout"), help.AtDemo: chipNamed("Demo case"),
		help.AtEnter: chipNamed("Enter a reading"), help.AtState: chipNamed("State"),
	}[help.Tour[t.at].At]
	panes := 0
	if want == nil {
		which := map[string]int{help.AtPlan: 1, help.AtResult: 2}[help.Tour[t.at].At]
		want = func(o fyne.CanvasObject) bool {
			if _, ok := o.(*easel.Pane); ok {
				panes++
				return panes == which
			}
			return false
		}
	}
	return find(t.s.view(), fyne.NewPos(0, 0), want)
}

func chipNamed(name string) func(fyne.CanvasObject) bool {
	return func(o fyne.CanvasObject) bool {
		c, ok := o.(*command.Chip)
		return ok && c.Command.Name == name
	}
}

// find walks what is shown for a thing and says where it lies.
func find(o fyne.CanvasObject, from fyne.Position, want func(fyne.CanvasObject) bool) (fyne.Position, fyne.Size, bool) {
	if !o.Visible() {
		return from, fyne.Size{}, false
	}
	at := from.Add(o.Position())
	if want(o) {
		return at, o.Size(), true
	}
	var inside []fyne.CanvasObject
	switch c := o.(type) {
	case *fyne.Container:
		inside = c.Objects
	case *easel.Roll:
		inside, at = []fyne.CanvasObject{c.Content}, at.Subtract(c.Offset)
	}
	for _, child := range inside {
		if p, s, ok := find(child, at, want); ok {
			return p, s, true
		}
	}
	return at, fyne.Size{}, false
}
