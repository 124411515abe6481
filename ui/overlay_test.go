package ui

import (
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault/report"
	"halfsplit/fault/series"
	"halfsplit/ui/sheet"
)

// By a press to before and after and back by Escape, and from paper to lists: one page
// lies over the desk at a time.
func TestOverlay_OnePageAtATime(t *testing.T) {
	r := ready(t)
	r.tapSheet(t, compareID)
	if r.root.Visible() || r.over() != r.comparing || len(r.Keys()) < 5 {
		t.Fatalf("a press does not open before and after: over %v, %d keys", r.over(), len(r.Keys()))
	}
	r.key(fyne.KeyEscape)
	if !r.root.Visible() || r.over() != nil || r.w.Canvas().Focused() == nil {
		t.Fatal("Escape does not lead back to the desk")
	}
	shifted(r, fyne.KeyF12)
	if r.over() != r.printing || r.root.Visible() {
		t.Fatal("Shift F12 does not open the bench sheets")
	}
	r.openListing()
	if r.over() != r.listing || r.printing.Content().Visible() {
		t.Error("the page of lists lies over another page")
	}
}

// A sheet is written to a file, and typed in by its number for the state that it was
// printed for, which is not the present one any more.
func TestPrinting_TypedInForTheStateOfTheSheet(t *testing.T) {
	folder := t.TempDir()
	var later []func()
	r := newRig(t, func(d *Deps) { inBook(t, &later)(d); d.Folder = folder })
	r.runJobs()
	was := r.deps.Case.Now
	s, err := report.New(r.deps.Case, report.Request{Paper: report.A4, Kind: series.ToChassis, Order: series.Electrical})
	if err != nil {
		t.Fatal(err)
	}
	shifted(r, fyne.KeyF12)
	r.key(fyne.KeyReturn, fyne.KeyReturn)
	r.runJobs()
	if got, err := filepath.Glob(filepath.Join(folder, "*.pdf")); err != nil || len(got) != 1 {
		t.Fatalf("written: %v, %v", got, err)
	}
	r.key(fyne.KeyEscape)

	st, _ := r.deps.Case.State(was)
	st.ID, st.Wet = "later", new(bool)
	if _, err := r.store.RecordState(st); err != nil {
		t.Fatal(err)
	}
	r.afterCommand()
	r.runJobs()
	shifted(r, fyne.KeyF12)
	r.typed("n")
	test.Type(r.w.Canvas().Focused(), s.Number)
	r.key(fyne.KeyReturn)
	if m := r.printing.TypingBlocks(); !strings.Contains(sheet.Text(m), "printed for state "+was) {
		t.Fatalf("a sheet of another state is not told:\n%s", sheet.Text(m))
	}
	r.key(fyne.KeyReturn)
	if !r.inRun() || !r.root.Visible() || r.series.run.Sheet != s.Number || !strings.Contains(r.onSheet(), "not for the present state later") {
		t.Fatalf("the sheet is not entered:\n%s", r.onSheet())
	}
	r.typed("123.4")
	r.key(fyne.KeyReturn)
	r.runJobs()
	all := r.store.Case().Readings
	got, first := all[len(all)-1], s.Boxes[0]
	if got.State != was || got.Value != 123.4 || got.Red != first.Red || got.Black != first.Black {
		t.Errorf("recorded %+v, want 123.4 V at %s to %s in state %s", got, first.Red, first.Black, was)
	}
	if now := r.store.Case().Now; now != "later" {
		t.Errorf("the present state became %s", now)
	}
}

// What is no number of a sheet is said, and nothing is lost.
func TestPrinting_AWrongNumber(t *testing.T) {
	r := ready(t)
	before := len(r.store.Case().Readings)
	shifted(r, fyne.KeyF12)
	r.typed("n")
	for _, c := range []struct{ typed, says string }{{"12", "digits"}, {"99-999999-999", "No sheet"}} {
		test.Type(r.w.Canvas().Focused(), c.typed)
		r.key(fyne.KeyReturn)
		if got := sheet.Text(r.printing.TypingBlocks()); !strings.Contains(got, c.says) {
			t.Errorf("%q: %s", c.typed, got)
		}
		r.key(fyne.KeyEscape)
		r.typed("n")
	}
	r.key(fyne.KeyEscape, fyne.KeyEscape)
	if !r.root.Visible() || len(r.store.Case().Readings) != before {
		t.Error("Escape twice does not lead back, or something was recorded")
	}
}

func shifted(r *rig, k fyne.KeyName) {
	r.shift = true
	r.key(k)
	r.shift = false
}

// A low window has room for the words or for what is drawn, and D turns from one to the
// other, with the keyboard on what is shown.
func TestOverlay_LowWindow(t *testing.T) {
	r := ready(t)
	r.w.Resize(fyne.NewSize(640, 400))
	for _, page := range []struct {
		open func()
		back string
	}{{r.openComparing, "Table"}, {r.openPrinting, "Choices"}} {
		page.open()
		words := r.w.Canvas().Focused()
		r.typed("d")
		drawn := r.w.Canvas().Focused()
		if drawn == nil || drawn == words || !drawn.(fyne.CanvasObject).Visible() || words.(fyne.CanvasObject).Visible() {
			t.Errorf("%s: D does not turn to what is drawn", page.back)
		}
		r.typed("d")
		if r.w.Canvas().Focused() != words || !words.(fyne.CanvasObject).Visible() {
			t.Errorf("%s: D does not turn back", page.back)
		}
		r.key(fyne.KeyEscape)
	}
}
