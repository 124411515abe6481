package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/doubt"
	"halfsplit/ui/sheet"
)

func TestDoubt_KeptAsReadByKeysAlone(t *testing.T) {
	r := ready(t)
	before := recorded(r)
	r.typed("k")
	if !strings.Contains(r.onSheet(), "r9: its sign may be reversed") || r.Selected() != "reading:r9" {
		t.Fatalf("K shows\n%s", r.onSheet())
	}
	r.typed("3")
	r.key(fyne.KeyReturn)
	if recorded(r) != before || !strings.Contains(r.onSheet(), "say why it stands") {
		t.Fatalf("kept without a note:\n%s", r.onSheet())
	}
	r.typed("Read twice, Q and W")
	r.key(fyne.KeyReturn)
	r.runJobs()
	got := r.last()
	if recorded(r) != before+1 || got.Stands != "Read twice, Q and W" || got.Value != 6.7 || got.Supersedes != "r9" || got.Raw != "6.7" || got.Why != doubt.WhyKept(got.Stands) {
		t.Fatalf("recorded %+v", got)
	}
	for _, want := range []string{"Doubts", got.ID + ", 6.7 V", "Kept as read: Read twice, Q and W"} {
		if !strings.Contains(r.onSheet(), want) {
			t.Errorf("%q is missing in\n%s", want, r.onSheet())
		}
	}
	if !strings.Contains(r.store.Steps().Undo, "6.7 V") {
		t.Errorf("undo is named %q", r.store.Steps().Undo)
	}
	r.Undo()
	if recorded(r) != before {
		t.Error("undo keeps it")
	}
}

func TestDoubt_TheCorrectedValueByTapsAlone(t *testing.T) {
	r := ready(t)
	before := recorded(r)
	r.tapSheet(t, sheet.DoubtID+"0")
	r.tapSheet(t, sheet.UseCorrected)
	r.runJobs()
	got := r.last()
	if recorded(r) != before+1 || got.Value != -6.7 || got.Supersedes != "r9" || !strings.HasPrefix(got.Why, "corrected: its sign is reversed") || got.Raw != "" {
		t.Fatalf("recorded %+v", got)
	}
	if old, ok := r.deps.Case.Reading("r9"); !ok || old.Value != 6.7 {
		t.Errorf("the old reading is %+v", old)
	}
	if !strings.Contains(r.happened, got.ID) || !strings.Contains(r.happened, "Undo") {
		t.Errorf("it says %q", r.happened)
	}
}

// A blank typed into a note is a key of its own as well: it must not leave the page.
func TestReason_ABlankStaysInTheNote(t *testing.T) {
	r := ready(t)
	r.typed("k3")
	for _, c := range "read twice" {
		r.typed(string(c))
		if c == ' ' {
			r.key(fyne.KeySpace)
		}
	}
	if r.page != reasonPage || r.reason.text != "read twice" {
		t.Errorf("on page %d with %q", r.page, r.reason.text)
	}
	r.key(fyne.KeyEscape)
	if r.page != doubtPage || recorded(r) != 9 {
		t.Errorf("Escape leads to page %d, %d readings", r.page, recorded(r))
	}
}
