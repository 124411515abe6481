package shell

import (
	"math"
	"os"
	"strconv"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"

	"halfsplit/ui/pointer"
)

// afterTyping is how long what is typed may be unsaved: a program that is ended
// loses no more than the last keys of an entry.
const afterTyping = 150 * time.Millisecond

// Run opens the window and returns when it is closed, with what kept the casebook
// from being closed.
func Run(a fyne.App, deps Deps) error {
	w := a.NewWindow("Halfsplit")
	deps.Now, deps.Scale = time.Now, scaler(os.Getenv("FYNE_SCALE"))
	deps.Find = thrift(deps.Find)
	deps.After = func(f func()) { time.AfterFunc(afterTyping, func() { fyne.Do(f) }) }
	deps.Later = func(after time.Duration, f func()) { time.AfterFunc(after, func() { fyne.Do(f) }) }
	deps.Modifier = func() fyne.KeyModifier {
		if d, ok := a.Driver().(desktop.Driver); ok {
			return d.CurrentKeyModifiers()
		}
		return 0
	}
	s := New(a, w, deps)
	w.SetPadded(false)
	w.SetContent(s.Content())
	w.Resize(s.firstSize())
	w.SetMaster()
	s.Listen()
	w.SetOnDropped(func(_ fyne.Position, dropped []fyne.URI) { s.drop(dropped) })
	s.focus()
	deps.After(func() { inOrder(w, deps.After) })
	w.ShowAndRun()
	return s.Close()
}

// inOrder keeps presses in order from when the window is there.
func inOrder(w fyne.Window, after func(func())) {
	if !pointer.Keep(w) {
		after(func() { inOrder(w, after) })
	}
}

// firstSize is the size of the window at the start: the same on the screen
// whatever the text size.
func (s *Shell) firstSize() fyne.Size {
	f := float32(s.kept.Percent()) / 100
	return fyne.NewSize(1280/f, 800/f)
}

// drop takes files that were dropped on the window: on the list of cases to import
// them, on a case as photos of it.
func (s *Shell) drop(dropped []fyne.URI) {
	if s.over != noPage {
		return
	}
	for _, u := range dropped {
		if s.desk != nil {
			s.desk.Dropped(u.Path())
			return // one after the other: each is looked at
		}
		s.start.Import(u.Path())
	}
}

// scaler makes everything larger through the toolkit's own scale, which it reads
// from the environment of this process; usual is what the person set there.
func scaler(usual string) func(percent int) {
	base, err := strconv.ParseFloat(usual, 64)
	if err != nil || !(base > 0) || math.IsInf(base, 0) {
		base = 1
	}
	return func(percent int) {
		// An environment that cannot be set leaves the text as it is.
		_ = os.Setenv("FYNE_SCALE", strconv.FormatFloat(base*float64(percent)/100, 'f', 2, 64))
	}
}
