package shell

import (
	"testing"

	"fyne.io/fyne/v2"
)

// The toolkit tells the old size until the window has followed: four steps in a row
// leave the window as large on the screen as it was.
func TestResizing_ChangesInARowKeepTheWindowsSize(t *testing.T) {
	var r resizing
	told := fyne.NewSize(1280, 800)
	shown := 100
	for _, next := range []int{110, 120, 130, 140} {
		r.seen(told, shown)
		shown = next
		r.to(shown)
	}
	if got, want := r.to(shown), fyne.NewSize(1280*100/140.0, 800*100/140.0); !near(got, want) {
		t.Errorf("after four steps %v, want %v", got, want)
	}
	told = fyne.NewSize(1000, 500) // the window followed, and a person drew it to another size
	r.seen(told, shown)
	if got, want := r.to(100), fyne.NewSize(1400, 700); !near(got, want) {
		t.Errorf("back at 100 %% %v, want %v", got, want)
	}
}

func near(a, b fyne.Size) bool {
	return max(a.Width-b.Width, b.Width-a.Width, a.Height-b.Height, b.Height-a.Height) < 0.01
}
