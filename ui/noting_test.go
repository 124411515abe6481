package ui

import (
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/sheet"
)

func TestNote_ByKeysAlone(t *testing.T) {
	r := newRig(t, func(d *Deps) { clocked(d); d.Who = "Ada" })
	r.runJobs()
	r.typed("j")
	if len(r.store.Case().Noted) != 0 || !strings.Contains(r.happened, "Select a module") {
		t.Fatalf("with nothing selected it says %q", r.happened)
	}
	r.choose("module:M10")
	r.typed("j")
	r.key(fyne.KeyDown, fyne.KeyDown)
	r.typed("Green crust, tap 2")
	r.key(fyne.KeySpace) // the key of a blank
	if r.page != notePage {
		t.Fatalf("on page %d", r.page)
	}
	r.key(fyne.KeyReturn)
	r.runJobs()
	n := r.store.Case().Noted
	if len(n) != 1 || n[0].Place != "M10" || n[0].What != fault.NotedMark || n[0].Why != "Green crust, tap 2" || n[0].Who != "Ada" || n[0].At == "" {
		t.Fatalf("noted %+v", n)
	}
	for _, want := range []string{"Module M10", "Noted here", "Burn or corrosion: Green crust, tap 2 (Ada; weight 10)"} {
		if !strings.Contains(r.onSheet(), want) {
			t.Errorf("%q is missing in\n%s", want, r.onSheet())
		}
	}
	r.key(fyne.KeyEscape)
	r.typed("y")
	if !strings.Contains(r.onSheet(), "What persons noted") || !strings.Contains(r.onSheet(), "Green crust") {
		t.Errorf("the finding lacks it:\n%s", r.onSheet())
	}
	if !strings.Contains(r.store.Steps().Undo, "M10 noted as mark") {
		t.Errorf("undo is named %q", r.store.Steps().Undo)
	}
}

func TestNote_ByTapsAloneAndWithdrawn(t *testing.T) {
	r := ready(t)
	r.press(t, r.planPane, "link:SD")
	r.tapSheet(t, noteHereID)
	r.tapSheet(t, noteWhatID+fault.NotedChafed)
	r.tapKeys(t, "W", "O", "R", "N")
	r.primary.Tapped(nil)
	r.runJobs()
	n := r.store.Case().Noted
	if len(n) != 1 || n[0].Place != "SD" || n[0].What != fault.NotedChafed || n[0].Why != "Worn" {
		t.Fatalf("noted %+v", n)
	}
	r.tapSheet(t, sheet.NotedID+n[0].ID)
	r.primary.Tapped(nil)
	if len(r.store.Case().Noted) != 1 || !strings.Contains(r.onSheet(), "for a reason") {
		t.Fatalf("withdrawn without a reason:\n%s", r.onSheet())
	}
	r.tapKeys(t, "D", "I", "R", "T")
	r.primary.Tapped(nil)
	r.runJobs()
	if len(r.store.Case().Noted) != 0 || r.page != selectionPage || strings.Contains(r.onSheet(), "Noted here") {
		t.Errorf("after withdrawal on page %d:\n%s", r.page, r.onSheet())
	}
}

// What was typed and left comes back for the same place.
func TestNote_LeavingKeepsWhatWasTyped(t *testing.T) {
	r := ready(t)
	r.choose("module:M10")
	r.typed("jdamp")
	r.key(fyne.KeyEscape)
	if len(r.store.Case().Noted) != 0 {
		t.Fatal("noted by leaving")
	}
	r.typed("j")
	if r.noting.why != "damp" {
		t.Errorf("it holds %q", r.noting.why)
	}
	r.key(fyne.KeyEscape)
	r.choose("module:M09")
	r.typed("j")
	if r.noting.why != "" || r.noting.place != "M09" {
		t.Errorf("another place holds %q of %s", r.noting.why, r.noting.place)
	}
}
