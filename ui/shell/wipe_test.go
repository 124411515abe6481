package shell

import (
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
)

// locked is a window of a case with the lock on, a hand on its clock and on the
// screen.
func locked(t *testing.T) (r *rig, hold func(x, y float32, long time.Duration)) {
	t.Helper()
	now := time.Date(2026, 3, 2, 10, 0, 0, 0, time.UTC)
	r = run(t, shop(t), func(d *Deps) { d.Now = func() time.Time { return now } })
	r.key(fyne.KeyReturn)
	r.key(fyne.KeyF10)
	if r.view() != fyne.CanvasObject(r.wipe) || len(r.ground.Objects) != 1 {
		t.Fatal("F10 does not lock the whole window")
	}
	return r, func(x, y float32, long time.Duration) {
		e := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x, y)}}
		r.wipe.MouseDown(e)
		now = now.Add(long)
		r.wipe.MouseUp(e)
	}
}

// A cloth presses keys and moves about: nothing happens.
func TestWipe_TakesNothingButItsWaysOut(t *testing.T) {
	r, hold := locked(t)
	desk, glove := r.desk, r.kept.Glove
	r.typed("0123456789s*/+-\r ")
	r.key(fyne.KeyEscape, fyne.KeyReturn, fyne.KeyF1, fyne.KeyF3, fyne.KeyF4, fyne.KeyDelete)
	r.shortcut(&fyne.ShortcutUndo{})
	hold(20, 20, 100*time.Millisecond) // short
	hold(640, 400, 2*time.Second)      // no corner
	hold(20, 20, time.Second)          // a corner, and then the one beside it
	hold(1270, 20, time.Second)        // which begins anew
	hold(1270, 20, time.Second)        // the same again
	hold(20, 20, time.Second)          // beside it once more
	e := func(x, y float32) *desktop.MouseEvent {
		return &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(x, y)}}
	}
	r.wipe.MouseDown(e(20, 20)) // across the screen
	r.wipe.MouseUp(e(1270, 790))
	if !r.locked || r.over != wipePage || r.desk != desk || r.kept.Glove != glove {
		t.Errorf("locked %v, page %d", r.locked, r.over)
	}
}

func TestWipe_OppositeCornersOrTheKeyUnlock(t *testing.T) {
	r, hold := locked(t)
	hold(1270, 20, time.Second)
	hold(20, 790, time.Second)
	if r.locked || r.over != noPage || r.view() != r.desk.Content() {
		t.Error("two opposite corners do not unlock")
	}
	r.key(fyne.KeyF10, fyne.KeyF10)
	if r.locked || r.view() != r.desk.Content() {
		t.Error("the key does not unlock")
	}
}

func TestWipe_EmergencyIsReachedThroughIt(t *testing.T) {
	r, hold := locked(t)
	for _, open := range []func(){func() { r.key(fyne.KeyF9) }, func() { hold(640, 770, time.Second) }} {
		open()
		if r.view() != r.emergency.Content() {
			t.Fatal("the emergency page does not open")
		}
		r.Cases()
		r.leavePage()
		if !r.locked || r.over != wipePage {
			t.Fatal("from the emergency page the window is not locked again")
		}
	}
}

func TestWipe_ItsButtonStandsOnTopInTheGloveView(t *testing.T) {
	r := run(t, shop(t), nil)
	r.kept.Glove = true
	r.changedLook()
	r.tap("Lock")
	if !r.locked {
		t.Error("the button does not lock")
	}
	r.w.Resize(fyne.NewSize(320, 300))
	if c := r.wipe.side(); c < 60 || 2*c > 300 {
		t.Errorf("in a small window a corner is %g", c)
	}
	if at, size := r.wipe.help(); size.Height < 60 || size.Width < 60 || at.X < r.wipe.side() {
		t.Errorf("the emergency bar is %v at %v", size, at)
	}
	test.WidgetRenderer(r.wipe).Refresh()
}
