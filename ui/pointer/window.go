package pointer

import (
	"fyne.io/fyne/v2"
	"github.com/go-gl/glfw/v3.4/glfw"
)

// Keep puts the presses of a window in order. It is called on the toolkit's thread, and
// false says that the window is not there yet.
func Keep(w fyne.Window) bool {
	native, ok := w.(interface{ RunWithContext(func()) })
	if !ok {
		return true // no window of a desktop: nothing to put in order
	}
	var view *glfw.Window
	native.RunWithContext(func() { view = glfw.GetCurrentContext() })
	if view == nil {
		return false
	}
	o := &Order{Later: fyne.Do}
	moved, pressed := view.SetCursorPosCallback(nil), view.SetMouseButtonCallback(nil)
	view.SetCursorPosCallback(func(v *glfw.Window, x, y float64) {
		o.Moved()
		moved(v, x, y)
	})
	view.SetMouseButtonCallback(func(v *glfw.Window, b glfw.MouseButton, a glfw.Action, m glfw.ModifierKey) {
		o.Pressed(func() { pressed(v, b, a, m) })
	})
	return true
}
