package ui

import (
	"strings"
	"testing"

	"halfsplit/ui/sheet"
)

// Every part opens and closes by its key and by a press, and says how much it
// holds while it is closed.
func TestFold_EveryPartByKeyAndByTouch(t *testing.T) {
	r := ready(t)
	closed := r.onSheet()
	tried := 0
	for _, p := range sheet.Parts {
		if !strings.Contains(closed, p.Name+" (") {
			continue // this finding has nothing of it
		}
		tried++
		r.typed(strings.ToLower(p.Key))
		open := r.onSheet()
		if len(open) <= len(closed) {
			t.Errorf("%s does not open %s", p.Key, p.Name)
		}
		r.tapSheet(t, p.ID)
		if r.onSheet() != closed {
			t.Errorf("a press does not close %s", p.Name)
		}
		r.tapSheet(t, p.ID)
		if r.onSheet() != open {
			t.Errorf("a press does not open %s", p.Name)
		}
		r.typed(strings.ToLower(p.Key))
	}
	if tried < 7 {
		t.Errorf("only %d parts", tried)
	}
}

func TestFold_ComesFromAnotherPageAndSaysWhenThereIsNothing(t *testing.T) {
	r := ready(t)
	r.choose("module:M10")
	r.details()
	r.typed("w")
	if r.page != findingPage || !strings.Contains(r.onSheet(), "f = 68.1 / (68.1 + 125.9)") {
		t.Errorf("W shows page %d:\n%s", r.page, r.onSheet())
	}
	r.result.Finding.Next = r.result.Finding.Next[:1]
	r.typed("z")
	if !strings.Contains(r.happened, "nothing to show") {
		t.Errorf("with one next test it says %q", r.happened)
	}
}
