package pointer_test

import (
	"testing"

	"pgregory.net/rapid"

	"halfsplit/ui/pointer"
)

// A window as the toolkit runs it: movements are taken up once a frame, what waits after
// them, and presses count where the pointer was taken up last.
type window struct {
	order       *pointer.Order
	new, at     int
	queue       []func()
	pressed     []int
	taken, want []int
}

func newWindow() *window {
	w := &window{}
	w.order = &pointer.Order{Later: func(f func()) { w.queue = append(w.queue, f) }}
	return w
}

func (w *window) move(to int) { w.order.Moved(); w.new = to }

func (w *window) press(n int) {
	w.want = append(w.want, n)
	w.order.Pressed(func() { w.taken, w.pressed = append(w.taken, n), append(w.pressed, w.at) })
}

func (w *window) frame() {
	w.at = w.new
	for len(w.queue) > 0 {
		f := w.queue[0]
		w.queue = w.queue[1:]
		f()
	}
}

func TestOrder_aPressCountsWhereThePointerCameDown(t *testing.T) {
	w := newWindow()
	w.move(10)
	w.frame()
	w.move(70)
	w.press(1)
	w.press(2) // the release
	w.frame()
	if len(w.pressed) != 2 || w.pressed[0] != 70 || w.pressed[1] != 70 {
		t.Errorf("a touch at 70 counted at %v", w.pressed)
	}
	w.press(3)
	if len(w.pressed) != 3 {
		t.Error("a press of a pointer at rest waits")
	}
}

// No press is lost or overtakes another, and none counts before the movement that came
// before it.
func TestOrder_NothingIsLostOrOvertaken(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := newWindow()
		n, frames := 0, map[int]int{} // the place as of each press
		for _, what := range rapid.SliceOf(rapid.IntRange(0, 2)).Draw(t, "what") {
			switch what {
			case 0:
				w.move(w.new + 1)
			case 1:
				frames[n] = w.new
				w.press(n)
				n++
			default:
				w.frame()
			}
		}
		w.frame()
		if len(w.taken) != len(w.want) {
			t.Fatalf("%d of %d presses", len(w.taken), len(w.want))
		}
		for i, id := range w.taken {
			if id != i {
				t.Fatalf("press %d came as number %d", id, i)
			}
			if w.pressed[i] < frames[i] {
				t.Fatalf("press %d at %d counted at %d", i, frames[i], w.pressed[i])
			}
		}
	})
}
