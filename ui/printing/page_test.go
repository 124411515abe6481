package printing_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault"
	"halfsplit/fault/report"
	"halfsplit/fault/series"
	"halfsplit/ui/hands"
	"halfsplit/ui/printing"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
)

type rig struct {
	*printing.Page
	w       fyne.Canvas
	folder  string
	entered []report.Match
}

func show(t *testing.T, c fault.Case) *rig {
	t.Helper()
	test.NewTempApp(t)
	r := &rig{folder: t.TempDir()}
	now := func(f func()) { f() }
	r.Page = printing.New(printing.Deps{Case: func() fault.Case { return c }, Go: now, Do: now, Back: func() {}, Folder: r.folder,
		Enter: func(_ string, m report.Match) { r.entered = append(r.entered, m) }, Canvas: func() fyne.Canvas { return r.w }})
	win := test.NewTempWindow(t, r.Content())
	win.Resize(fyne.NewSize(1280, 800))
	r.w = win.Canvas()
	r.Open()
	r.Focus()
	return r
}

func (r *rig) text() string { return sheet.Text(r.Blocks()) }

// By keys alone: another kind, Letter, written; a file that is there is asked about; a
// folder that is not there is said, and nothing is lost.
func TestPage_WrittenByKeys(t *testing.T) {
	r := show(t, sample.Case())
	hands.Key(t, r.w, fyne.KeyLeft, fyne.KeyDown, fyne.KeyRight, fyne.KeyDown, fyne.KeyRight)
	for _, must := range []string{"Group volts", "in a snake", "Letter"} {
		if !strings.Contains(r.text(), must) {
			t.Fatalf("no %q chosen:\n%s", must, r.text())
		}
	}
	hands.Key(t, r.w, fyne.KeyReturn, fyne.KeyReturn)
	got, err := filepath.Glob(filepath.Join(r.folder, "*.pdf"))
	if err != nil || len(got) != 1 || !strings.Contains(r.text(), "Written: "+got[0]) {
		t.Fatalf("%v %v\n%s", got, err, r.text())
	}
	if err := os.WriteFile(got[0], []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	hands.Key(t, r.w, fyne.KeyReturn, fyne.KeyReturn)
	if data, _ := os.ReadFile(got[0]); string(data) != "mine" {
		t.Fatal("a file was replaced without asking")
	}
	hands.Key(t, r.w, fyne.KeyReturn)
	if data, _ := os.ReadFile(got[0]); !strings.HasPrefix(string(data), "%PDF-") {
		t.Fatal("Enter again does not replace it")
	}
}

// A number that is known is told before it is entered; one that is not keeps what was
// typed.
func TestPage_FoundByItsNumber(t *testing.T) {
	c := sample.Case()
	s, err := report.New(c, report.Request{Kind: series.Joint, Order: series.Reverse})
	if err != nil {
		t.Fatal(err)
	}
	r := show(t, c)
	hands.Type(t, r.w, "n")
	hands.Type(t, r.w, "31")
	hands.Key(t, r.w, fyne.KeyReturn)
	if text := sheet.Text(r.TypingBlocks()); !strings.Contains(text, "has 11 digits") || len(r.entered) != 0 {
		t.Fatalf("two digits:\n%s", text)
	}
	hands.Type(t, r.w, s.Number[2:]) // after the two digits that stayed
	if s.Number[:2] != "31" {
		hands.Key(t, r.w, fyne.KeyEscape)
		hands.Type(t, r.w, "n")
		hands.Type(t, r.w, s.Number)
	}
	hands.Key(t, r.w, fyne.KeyReturn)
	if text := sheet.Text(r.TypingBlocks()); !strings.Contains(text, "Joint resistance") || len(r.entered) != 0 {
		t.Fatalf("not found:\n%s", text)
	}
	hands.Key(t, r.w, fyne.KeyReturn)
	if len(r.entered) != 1 || r.entered[0].Kind != series.Joint || r.entered[0].Order != series.Reverse || r.entered[0].State != c.Now {
		t.Fatalf("entered %+v", r.entered)
	}
}

func TestPage_NothingDrawn(t *testing.T) {
	r := show(t, fault.Case{Title: "empty"})
	if !strings.Contains(r.text(), "No modules are drawn") {
		t.Errorf("not said:\n%s", r.text())
	}
	hands.Key(t, r.w, fyne.KeyRight, fyne.KeyDown, fyne.KeyPageDown)
}
