package comparing_test

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/hands"
	"halfsplit/ui/sheet"
)

// A span is chosen by keys alone, named, and compared; it stays when the page is opened
// again. One that ends before it begins is said and not taken.
func TestPage_ASpanOfOnesOwn(t *testing.T) {
	p, w, copied, left := page(t, twice())
	hands.Type(t, w, "n")
	if text := sheet.Text(p.Blocks()); !strings.Contains(text, "State: after") || !strings.Contains(text, "From: 2026-03-02 11:30:00") || !strings.Contains(text, "To: 2026-03-02 11:32:00") {
		t.Fatalf("the page says\n%s", text)
	}
	hands.Key(t, w, fyne.KeyRight, fyne.KeyRight, fyne.KeyDown, fyne.KeyRight, fyne.KeyDown, fyne.KeyReturn) // from the last, to the first
	if text := sheet.Text(p.Blocks()); !strings.Contains(text, "ends before it begins") {
		t.Fatalf("not said:\n%s", text)
	}
	hands.Key(t, w, fyne.KeyUp, fyne.KeyRight, fyne.KeyUp, fyne.KeyLeft, fyne.KeyUp, fyne.KeyUp) // to the second, from the second; the name
	hands.Key(t, w, fyne.KeyBackspace)
	hands.Type(t, w, "bx")
	hands.Key(t, w, fyne.KeyUp, fyne.KeyReturn)
	hands.Type(t, w, "c")
	for _, must := range []string{"After (A): span bx, state after, 2026-03-02 11:31", "1 reading", "M02- to chassis"} {
		if !strings.Contains(*copied, must) {
			t.Errorf("no %q in\n%s", must, *copied)
		}
	}
	p.Open()
	if text := sheet.Text(p.Blocks()); !strings.Contains(text, "span bx") {
		t.Errorf("forgotten:\n%s", text)
	}
	hands.Type(t, w, "n")
	hands.Key(t, w, fyne.KeyEscape)
	if *left {
		t.Error("Escape left the page, not the choice")
	}
}
