package easel_test

import (
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"fyne.io/fyne/v2/widget"

	"halfsplit/ui/easel"
	"halfsplit/ui/scene"
	"halfsplit/ui/theme"
)

// finger draws over a roll from one place to another and lets go, as the window tells it:
// the thing under the finger hears where it came down and where it left.
func finger(r *easel.Roll, b *easel.Board, from, to fyne.Position) {
	e := func(at fyne.Position) *desktop.MouseEvent {
		return &desktop.MouseEvent{PointEvent: fyne.PointEvent{AbsolutePosition: at, Position: at.Add(r.Offset)}}
	}
	b.MouseDown(e(from))
	for at := from; at != to; {
		next := fyne.NewPos(to.X, at.Y+max(-6, min(6, to.Y-at.Y)))
		r.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{AbsolutePosition: next}, Dragged: fyne.NewDelta(next.X-at.X, next.Y-at.Y)})
		at = next
	}
	b.MouseUp(e(to))
	r.DragEnd()
}

// lines is a board of lines as high as a finger, each of which is pressed by its number.
func lines(pressed *[]string) *easel.Board {
	b := easel.NewBoard(theme.Paper, 100, func(w float64) (*scene.List, float64) {
		l := &scene.List{}
		for i := range 20 {
			y := 44 * float64(i)
			l.Target(string(rune('a'+i)), 0, scene.At(0, y), scene.At(w, y), scene.At(w, y+44), scene.At(0, y+44))
		}
		return l, 20 * 44
	})
	b.OnPick = func(id string) { *pressed = append(*pressed, id) }
	return b
}

func TestRoll_aFingerDrawnOverItRollsAndPressesNothing(t *testing.T) {
	test.NewTempApp(t)
	var pressed []string
	b := lines(&pressed)
	r := easel.NewRoll(b)
	w := test.NewTempWindow(t, r)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(200, 300))

	finger(r, b, fyne.NewPos(100, 250), fyne.NewPos(100, 50))
	if r.Offset.Y != 200 || len(pressed) != 0 {
		t.Errorf("drawn up by 200: rolled by %g, pressed %v", r.Offset.Y, pressed)
	}
	finger(r, b, fyne.NewPos(100, 20), fyne.NewPos(100, 290))
	if r.Offset.Y != 0 || len(pressed) != 0 {
		t.Errorf("drawn down past its top: rolled by %g, pressed %v", r.Offset.Y, pressed)
	}
	finger(r, b, fyne.NewPos(100, 60), fyne.NewPos(103, 64)) // it trembled
	if r.Offset.Y != 0 || len(pressed) != 1 || pressed[0] != "b" {
		t.Errorf("a press of the second line that trembles: rolled by %g, pressed %v", r.Offset.Y, pressed)
	}
	r.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{AbsolutePosition: fyne.NewPos(100, 60)}, Dragged: fyne.NewDelta(0, -180)})
	b.MouseUp(&desktop.MouseEvent{PointEvent: fyne.PointEvent{AbsolutePosition: fyne.NewPos(100, 60), Position: fyne.NewPos(100, 240)}})
	r.DragEnd()
	if r.Offset.Y != 180 || len(pressed) != 1 {
		t.Errorf("drawn up by 180 within one frame: rolled by %g, pressed %v", r.Offset.Y, pressed)
	}
}

func TestRoll_aPressThatTremblesTapsAButtonAndARollDoesNot(t *testing.T) {
	test.NewTempApp(t)
	taps := 0
	button := widget.NewButton("Back", func() { taps++ })
	inner := &fyne.Container{Layout: rows{}, Objects: []fyne.CanvasObject{button, widget.NewLabel("below")}}
	r := easel.NewRoll(inner)
	w := test.NewTempWindow(t, r)
	w.SetPadded(false)
	w.Resize(fyne.NewSize(200, 100))
	draw := func(by float32) {
		r.Dragged(&fyne.DragEvent{PointEvent: fyne.PointEvent{AbsolutePosition: fyne.NewPos(50, 20+by)}, Dragged: fyne.NewDelta(0, by)})
		r.DragEnd()
	}
	if draw(-40); taps != 0 {
		t.Error("drawing over the button tapped it")
	}
	r.ScrollToOffset(fyne.Position{})
	if draw(4); taps != 1 {
		t.Errorf("a press that trembles tapped %d times", taps)
	}
}

// rows puts things below each other, each 200 pixels high.
type rows struct{}

func (rows) Layout(objects []fyne.CanvasObject, s fyne.Size) {
	for i, o := range objects {
		o.Move(fyne.NewPos(0, 200*float32(i)))
		o.Resize(fyne.NewSize(s.Width, 200))
	}
}

func (rows) MinSize(objects []fyne.CanvasObject) fyne.Size {
	return fyne.NewSize(100, 200*float32(len(objects)))
}
