package form

import (
	"strconv"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
)

// A Stepper is a whole number that is typed, or goes up and down by presses.
type Stepper struct {
	Entry     *Entry
	Low, High int
	row       *fyne.Container
}

// NewStepper shows a number. Its buttons do not go outside of low and high; what
// is typed is the owner's to judge.
func NewStepper(value string, low, high int, set *command.Set, changed func()) *Stepper {
	s := &Stepper{Entry: NewEntry(1), Low: low, High: high}
	s.Entry.SetText(value)
	s.Entry.OnChanged = func(string) { changed() }
	less := command.NewChip(&command.Command{Name: "-", Do: func() { s.by(-1) }}, set)
	more := command.NewChip(&command.Command{Name: "+", Do: func() { s.by(1) }}, set)
	s.row = &fyne.Container{Layout: threesome{}, Objects: []fyne.CanvasObject{less, s.Entry, more}}
	return s
}

// Object is what to show.
func (s *Stepper) Object() fyne.CanvasObject { return s.row }

// Less is the button that takes one off.
func (s *Stepper) Less() *command.Chip { return s.row.Objects[0].(*command.Chip) }

// More is the button that adds one.
func (s *Stepper) More() *command.Chip { return s.row.Objects[2].(*command.Chip) }

func (s *Stepper) by(d int) {
	n, err := strconv.Atoi(strings.TrimSpace(s.Entry.Text))
	if err != nil {
		n = s.Low - d
	}
	s.Entry.SetText(strconv.Itoa(max(s.Low, min(s.High, n+d))))
}

// threesome gives the outer two their least width and the middle the rest.
type threesome struct{}

func (threesome) Layout(o []fyne.CanvasObject, s fyne.Size) {
	side := fyne.Max(o[0].MinSize().Width, s.Height)
	x := float32(0)
	for i, w := range []float32{side, s.Width - 2*side - 2*gap, side} {
		o[i].Move(fyne.NewPos(x, 0))
		o[i].Resize(fyne.NewSize(fyne.Max(0, w), s.Height))
		x += w + gap
	}
}

func (threesome) MinSize(o []fyne.CanvasObject) fyne.Size {
	m := o[1].MinSize()
	side := o[0].MinSize()
	return fyne.NewSize(m.Width+2*side.Width+2*gap, fyne.Max(m.Height, side.Height))
}
