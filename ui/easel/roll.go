package easel

import (
	"math"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/container"
)

var _ fyne.Draggable = (*Roll)(nil)

// Slop is how far a finger moves that only presses, in pixels.
const Slop = 10

// drawn is what a finger is rolling now. There is one pointer, and Fyne's own thread.
var drawn *Roll

// A Roll is a column that is rolled by a finger drawn over it as well as by the wheel
// and by its bar; what the finger passes is not pressed.
type Roll struct {
	container.Scroll
	by      fyne.Delta     // drawn by the finger that is on it
	first   *fyne.Position // where that finger came down, in the window
	rolling bool
}

// NewRoll rolls what is given.
func NewRoll(content fyne.CanvasObject) *Roll {
	r := &Roll{}
	r.Content, r.Direction = content, container.ScrollVerticalOnly
	r.ExtendBaseWidget(r)
	return r
}

// Dragged follows the finger, from the first movement that is none of a press.
func (r *Roll) Dragged(e *fyne.DragEvent) {
	if r.first == nil {
		at := e.AbsolutePosition.SubtractXY(e.Dragged.DX, e.Dragged.DY)
		r.first = &at
	}
	r.by.DX += e.Dragged.DX
	r.by.DY += e.Dragged.DY
	down := e.Dragged.DY
	if !r.rolling {
		if math.Hypot(float64(r.by.DX), float64(r.by.DY)) <= Slop {
			return
		}
		r.rolling, down, drawn = true, r.by.DY, r
	}
	r.ScrollToOffset(r.Offset.SubtractXY(0, down))
}

// DragEnd lets go. A finger that trembled has pressed: what it is on is tapped, since
// the window takes every movement for a drag.
func (r *Roll) DragEnd() {
	first, rolling := r.first, r.rolling
	r.first, r.rolling, r.by, drawn = nil, false, fyne.Delta{}, nil
	if first == nil || rolling {
		return
	}
	if t := tappable(r.Content, first.Subtract(fyne.CurrentApp().Driver().AbsolutePositionForObject(r.Content))); t != nil {
		t.Tapped(&fyne.PointEvent{AbsolutePosition: *first})
	}
}

// tappable is what a place lies on that can be tapped; nil = nothing there.
func tappable(o fyne.CanvasObject, at fyne.Position) fyne.Tappable {
	if !o.Visible() || at.X < 0 || at.Y < 0 || at.X >= o.Size().Width || at.Y >= o.Size().Height {
		return nil
	}
	if t, ok := o.(fyne.Tappable); ok {
		return t
	}
	if c, ok := o.(*fyne.Container); ok {
		for i := len(c.Objects) - 1; i >= 0; i-- {
			if t := tappable(c.Objects[i], at.Subtract(c.Objects[i].Position())); t != nil {
				return t
			}
		}
	}
	return nil
}
