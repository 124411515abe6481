// Package pointer keeps what a pointer does in its order. The toolkit takes up a movement
// once a frame and a press at once: where both come together, as from a touch screen, a
// press would count where the pointer lay before, and press what nobody touched. Here
// such a press waits until the movement before it was taken up.
//
// It knows the window's pointer and nothing of what is shown.
package pointer

// An Order tells which presses wait. Its methods are called on one thread.
type Order struct {
	Later func(func()) // runs it once the movements so far were taken up

	moved   bool // since they were
	waiting int  // presses and releases
}

// Moved is told before a movement.
func (o *Order) Moved() {
	if o.moved {
		return
	}
	o.moved = true
	o.Later(func() { o.moved = false })
}

// Pressed does a press, or a release, when all before it is done.
func (o *Order) Pressed(do func()) {
	if !o.moved && o.waiting == 0 {
		do()
		return
	}
	o.waiting++
	o.Later(func() {
		o.waiting--
		do()
	})
}
