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
		r.from(told, shown)
		shown = next
	}
	if got, want := r.to(shown), fyne.NewSize(1280*100/140.0, 800*100/140.0); !near(got, want) {
		t.Errorf("after four steps %v, want %v", got, want)
	}
	r.whole = fyne.Size{} // settled; then a person drew the window to another size
	r.from(fyne.NewSize(1000, 500), shown)
	if got, want := r.to(100), fyne.NewSize(1400, 700); !near(got, want) {
		t.Errorf("back at 100 %% %v, want %v", got, want)
	}
}

func near(a, b fyne.Size) bool {
	return max(a.Width-b.Width, b.Width-a.Width, a.Height-b.Height, b.Height-a.Height) < 0.01
}
