package ui

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/ui/hands"
	"halfsplit/ui/sample"
	"halfsplit/ui/sheet"
)

// a clip is a clipboard with a text.
type clip string

func (c clip) Content() string   { return string(c) }
func (c clip) SetContent(string) {}

// cellRows are rows of the sample's M12, which was not measured, and one that is wrong.
const cellRows = "module;group;U [mV]\nM12;1;3654\nM12;2;3651\nM12;3;rubbish\nM12;4;3660\n"

func tabler(t *testing.T) (r *rig, dir string) {
	dir = t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "cells.csv"), []byte(cellRows), 0o600); err != nil {
		t.Fatal(err)
	}
	r = newRig(t, func(d *Deps) {
		d.Folder, d.Clipboard = dir, func() string { return cellRows }
		d.Store = hands.Book(t, sample.Case())
	})
	r.runJobs()
	return r, dir
}

func (r *rig) onList() string { return sheet.Text(r.listing.Blocks()) }

// By keys alone: the page, the file, what was not read, one step stored and taken back.
func TestListing_ByKeys(t *testing.T) {
	r, _ := tabler(t)
	before := len(r.store.Case().GroupVolts)
	r.key(fyne.KeyF12)
	if r.root.Visible() || !r.listed() || !strings.Contains(r.onList(), "Paste what was copied") {
		t.Fatalf("F12 does not open the page:\n%s", r.onList())
	}
	r.typed("o")
	r.key(fyne.KeyEnd, fyne.KeyDown, fyne.KeyDown, fyne.KeyReturn)
	if !strings.Contains(r.onList(), "Reading cells.csv") {
		t.Fatalf("while it reads it says\n%s", r.onList())
	}
	r.runJobs()
	if s := r.onList(); !strings.Contains(s, "3 values: 1 list of group volts") || !strings.Contains(s, "1 of 5 lines") {
		t.Fatalf("it says\n%s", s)
	}
	if len(r.store.Case().GroupVolts) != before {
		t.Error("it is stored before it was looked at")
	}
	if k := sheet.Text(r.Keys()); !strings.Contains(k, "Store what was read") || strings.Contains(k, "Zoom") {
		t.Errorf("the help lists\n%s", k)
	}
	r.key(fyne.KeyReturn)
	if !strings.Contains(r.onList(), "Storing") {
		t.Errorf("while it stores it says\n%s", r.onList())
	}
	r.Shortcut(&fyne.ShortcutUndo{})
	r.key(fyne.KeyEscape)
	if !r.listed() {
		t.Error("left while it stores")
	}
	r.runJobs()
	c := r.store.Case()
	if r.listed() || len(c.GroupVolts) != before+1 || c.GroupVolts[before].Module != "M12" || c.GroupVolts[before].Volts[3] != 3.66 || r.store.Steps().Undo != "list: 1 list of group volts" {
		t.Fatalf("%+v, undo %q", c.GroupVolts[before:], r.store.Steps().Undo)
	}
	if !strings.Contains(r.happened, "Stored 3 values") || !strings.Contains(r.happened, "1 line not read") {
		t.Errorf("the foot says %q", r.happened)
	}
	r.Shortcut(&fyne.ShortcutUndo{})
	r.runJobs()
	if len(r.store.Case().GroupVolts) != before {
		t.Error("undo leaves something of it")
	}
}

// By presses alone, from the entry page: what is understood is changed by a press.
func TestListing_ByPresses(t *testing.T) {
	r, _ := tabler(t)
	r.pickStage("stage:3")
	r.tapSheet(t, listID)
	if !r.listed() {
		t.Fatal("the line does not open the page")
	}
	tap := func(id string) {
		t.Helper()
		for _, tg := range listTargets(r) {
			if tg == id {
				r.pressList(id)
				r.runJobs()
				return
			}
		}
		t.Fatalf("%s cannot be pressed on\n%s", id, r.onList())
	}
	tap("paste")
	if !strings.Contains(r.onList(), "Take in pasted columns") || !strings.Contains(r.onList(), "Read in state: split") {
		t.Fatalf("it says\n%s", r.onList())
	}
	tap("state")
	if !strings.Contains(r.onList(), "Read in state: closed") {
		t.Errorf("a press does not change the state:\n%s", r.onList())
	}
	tap("column:1")
	if !strings.Contains(r.onList(), "? The monitor counts: not chosen") || !strings.Contains(r.onList(), "nothing yet") {
		t.Errorf("without its group nothing can be stored:\n%s", r.onList())
	}
}

// Where no field wants it, what is pasted is a list; a value goes into the field.
func TestListing_Pasted(t *testing.T) {
	r, _ := tabler(t)
	r.Shortcut(&fyne.ShortcutPaste{Clipboard: clip(cellRows)})
	r.runJobs()
	if !r.listed() || !strings.Contains(r.onList(), "3 values") {
		t.Fatalf("pasted on the finding:\n%s", r.onList())
	}
	r.key(fyne.KeyEscape)
	r.pickStage("stage:3")
	r.Shortcut(&fyne.ShortcutPaste{Clipboard: clip("29.21")})
	if r.listed() || r.form.Raw != "29.21" {
		t.Errorf("a value pasted into the field: %q", r.form.Raw)
	}
	r.Shortcut(&fyne.ShortcutPaste{Clipboard: clip("3.65\n3.66\n")})
	r.runJobs()
	if !r.listed() || r.form.Raw != "29.21" {
		t.Errorf("columns pasted into the field: %q", r.form.Raw)
	}
	if !strings.Contains(r.onList(), "nothing yet") {
		t.Errorf("two values for a pack of 110:\n%s", r.onList())
	}
}

// A file that was dropped; one that is none; one that ends while it is read.
func TestListing_DroppedAndWrong(t *testing.T) {
	r, dir := tabler(t)
	r.Dropped(filepath.Join(dir, "cells.csv"))
	r.key(fyne.KeyEscape)
	r.runJobs()
	if strings.Contains(r.onList(), "values") || !r.listed() {
		t.Errorf("ended, it is shown all the same:\n%s", r.onList())
	}
	r.Dropped(filepath.Join(dir, "cells.csv"))
	r.runJobs()
	if !strings.Contains(r.onList(), "Take in cells.csv") {
		t.Errorf("dropped:\n%s", r.onList())
	}
	r.listing.Open(filepath.Join(dir, "none.csv"))
	r.runJobs()
	if !strings.Contains(r.onList(), "none.csv: there is no such file") {
		t.Errorf("a file that is not there:\n%s", r.onList())
	}
}

// A bare column of the whole pack: its order is asked, and nothing is stored before.
func TestListing_OrderIsAsked(t *testing.T) {
	r, _ := tabler(t)
	var b strings.Builder
	for i := range 110 {
		fmt.Fprintf(&b, "%.3f\n", 3.65+0.001*float64(i%7))
	}
	r.Shortcut(&fyne.ShortcutPaste{Clipboard: clip(b.String())})
	r.runJobs()
	if !strings.Contains(r.onList(), "? The monitor counts: not chosen") {
		t.Fatalf("it says\n%s", r.onList())
	}
	r.key(fyne.KeyReturn)
	r.runJobs()
	if !r.listed() || !strings.Contains(r.onList(), "Nothing is stored before") {
		t.Errorf("it says\n%s", r.onList())
	}
	r.key(fyne.KeyRight)
	r.runJobs()
	if !strings.Contains(r.onList(), "The monitor counts: forward from the negative end") || !strings.Contains(r.onList(), "110 values: 14 lists") {
		t.Errorf("it says\n%s", r.onList())
	}
	before := len(r.store.Case().GroupVolts)
	r.key(fyne.KeyReturn)
	r.runJobs()
	if c := r.store.Case(); len(c.GroupVolts) != before+14 || !strings.Contains(c.GroupVolts[before].Source, "forward from the negative end") {
		t.Errorf("%d lists", len(c.GroupVolts)-before)
	}
}

// A comma in every line: kept as it was found by Enter, or chosen otherwise.
func TestListing_CommaIsAsked(t *testing.T) {
	r, _ := tabler(t)
	r.Shortcut(&fyne.ShortcutPaste{Clipboard: clip(strings.Repeat("3,622\n3,618\n", 55))})
	r.runJobs()
	if !strings.Contains(r.onList(), "? Columns are parted by: nothing: it is one column") {
		t.Fatalf("it says\n%s", r.onList())
	}
	r.key(fyne.KeyReturn)
	r.runJobs()
	if s := r.onList(); strings.Contains(s, "? Columns are parted") || !strings.Contains(s, "? Decimals are marked by") {
		t.Errorf("it says\n%s", s)
	}
}

// What was read and not stored is still there when the page is opened again.
func TestListing_IsKeptWhenLeft(t *testing.T) {
	r, _ := tabler(t)
	r.Shortcut(&fyne.ShortcutPaste{Clipboard: clip(cellRows)})
	r.runJobs()
	r.key(fyne.KeyEscape)
	if r.listed() || !r.root.Visible() || !strings.Contains(r.happened, "Nothing of it was stored") {
		t.Fatalf("the foot says %q", r.happened)
	}
	r.key(fyne.KeyF12)
	r.runJobs()
	if !strings.Contains(r.onList(), "3 values") {
		t.Errorf("it says\n%s", r.onList())
	}
	r.typed("l")
	r.typed("c")
	if !strings.Contains(r.copy, "line 4\tM12;3;rubbish\t") {
		t.Errorf("copied %q", r.copy)
	}
}

func listTargets(r *rig) (ids []string) {
	for _, tg := range r.listing.Lines().Board().List().Targets {
		ids = append(ids, tg.ID)
	}
	return ids
}

func (r *rig) pressList(id string) { r.listing.Lines().Board().OnPick(id) }

// Where the sheet has the drawings' place, the keys come back to it from the page.
func TestListing_TheKeysComeBackWhereTheSheetHasThePlace(t *testing.T) {
	r, _ := tabler(t)
	r.w.Resize(fyne.NewSize(512, 300))
	r.toSheet()
	if r.planPane.Visible() || r.rulerPane.Visible() {
		t.Fatal("a drawing is beside the sheet")
	}
	r.key(fyne.KeyF12)
	r.key(fyne.KeyEscape)
	if r.listed() {
		t.Fatal("Escape does not leave the page")
	}
	r.typed("s")
	if r.page != statePage {
		t.Errorf("S after the page of lists opens page %d", r.page)
	}
	if r.planPane.Visible() {
		t.Error("the plan is shown over the sheet")
	}
}
