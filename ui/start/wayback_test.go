package start

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault/casebook"
	"halfsplit/ui/casefile"
	"halfsplit/ui/command"
)

// withDemo is a casebook with the demo case, opened.
func withDemo(t *testing.T) *rig {
	r := opened(t)
	demo, err := casefile.Demo()
	if err == nil {
		_, err = r.book.ImportCase(demo, nil, casebook.By{})
	}
	if err != nil {
		t.Fatal(err)
	}
	r.Refresh()
	return r
}

// What was typed of a case outlives Escape, and is gone once the case is begun.
func TestView_LeavingANewCaseKeepsWhatWasTyped(t *testing.T) {
	r := withDemo(t)
	r.typed("n")
	proposed := r.begin.title
	r.key(fyne.KeyEscape)
	if strings.Contains(r.happened, "kept") {
		t.Errorf("nothing was typed, and the foot says %q", r.happened)
	}
	r.typed("n")
	r.w.Canvas().FocusNext()
	r.typed("Warning after the car wash")
	r.key(fyne.KeyEscape)
	if !strings.Contains(r.happened, "kept") {
		t.Errorf("the foot says %q", r.happened)
	}
	r.typed("1")
	r.typed("n")
	if r.begin.symptom != "Warning after the car wash" || r.begin.title != proposed {
		t.Fatalf("opened again it holds %q, %q", r.begin.title, r.begin.symptom)
	}
	r.key(fyne.KeyReturn)
	if len(r.opened) != 1 {
		t.Fatalf("opened: %v", r.opened)
	}
	found, err := r.book.Cases("car wash")
	if err != nil || len(found) != 1 || found[0].ID != r.opened[0] {
		t.Errorf("the symptom is found in %v, %v", found, err)
	}
	r.typed("n")
	if r.begin.symptom != "" {
		t.Errorf("the next case begins with %q", r.begin.symptom)
	}
}

func TestView_ASearchWithoutHitsSaysHowToGoOn(t *testing.T) {
	r := withDemo(t)
	r.typed("/")
	r.replace("zebra")
	if !strings.Contains(r.pageText(), "Nothing is found") || strings.Contains(r.pageText(), "Begin here") {
		t.Errorf("the page says %q", r.pageText())
	}
	r.key(fyne.KeyReturn)
	if !strings.Contains(r.happened, "Esc empties the search") || len(r.opened) > 0 {
		t.Errorf("Enter says %q and opened %v", r.happened, r.opened)
	}
	r.tap("Empty the search")
	if r.search.Text != "" || !strings.Contains(r.listed(), "warning in the rain") {
		t.Errorf("after it the search holds %q, the list\n%s", r.search.Text, r.listed())
	}
}

// A file that is dropped on the window and cannot be taken in opens the import
// where the file lies.
func TestView_ADroppedFileThatIsWrongOpensTheImport(t *testing.T) {
	r := withDemo(t)
	folder := filepath.Join(r.dir, "stick")
	path := filepath.Join(folder, "notes.case.json")
	if err := os.Mkdir(folder, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte("hello"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.Import(path)
	if r.View.page != filesPage || !strings.Contains(r.pageText(), "Nothing was taken in") {
		t.Fatalf("page %d says %q", r.View.page, r.pageText())
	}
	if !strings.Contains(r.listed(), "notes.case.json") {
		t.Errorf("the list shows\n%s", r.listed())
	}
	r.key(fyne.KeyEscape)
	if r.View.page != detailsPage {
		t.Error("Escape does not lead back")
	}
}

// Tab leads from the list of files to the path, and so does the slash.
func TestView_ThePathIsNearTheList(t *testing.T) {
	r := withDemo(t)
	r.typed("i")
	if r.search.Visible() {
		t.Error("the search for cases is shown above files")
	}
	r.w.Canvas().FocusNext()
	if r.w.Canvas().Focused() != fyne.Focusable(r.files.path) {
		t.Errorf("Tab leads to %T", r.w.Canvas().Focused())
	}
	r.key(fyne.KeyEscape)
	r.typed("i")
	r.typed("/")
	if r.w.Canvas().Focused() != fyne.Focusable(r.files.path) {
		t.Errorf("/ leads to %T", r.w.Canvas().Focused())
	}
	r.replace(filepath.Join(r.dir, "none.json"))
	r.key(fyne.KeyReturn)
	if !strings.Contains(r.pageText(), "no such file") {
		t.Errorf("the page says %q", r.pageText())
	}
	if !strings.HasSuffix(r.files.path.Text, "none.json") || r.w.Canvas().Focused() != fyne.Focusable(r.files.path) {
		t.Errorf("the path to mend is %q, the keyboard on %T", r.files.path.Text, r.w.Canvas().Focused())
	}
	r.replace(filepath.Join(r.dir, "no", "folder"))
	r.key(fyne.KeyReturn, fyne.KeyEscape)
	r.typed("i")
	if r.files.path.Text != r.dir {
		t.Errorf("opened again the path is %q", r.files.path.Text)
	}
}

// The first button of the page is the one that can help.
func TestView_TroubleOffersWhatHelpsFirst(t *testing.T) {
	for name, c := range map[string]struct {
		kind   casebook.Kind
		copies bool
		first  string
	}{
		"damaged, with copies": {casebook.Damaged, true, "Open the newest copy"},
		"damaged":              {casebook.Damaged, false, "Open another casebook"},
		"missing":              {casebook.Missing, false, "Begin a new casebook"},
		"missing, with copies": {casebook.Missing, true, "Begin a new casebook"},
		"busy":                 {casebook.Busy, true, "Try again"},
		"newer":                {casebook.Newer, false, "Open another casebook"},
		"read-only":            {casebook.ReadOnly, false, "Try again"},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, fyne.NewSize(1280, 800))
			if !c.copies {
				r.deps.Copies = nil
			}
			r.SetTrouble(filepath.Join(r.dir, "mine.halfsplit"), &casebook.Error{Kind: c.kind, Text: "is as it is"})
			var names []string
			for _, o := range r.sheet.Objects() {
				if row, ok := o.(*fyne.Container); ok {
					for _, b := range row.Objects {
						chip := b.(*command.Chip)
						names = append(names, chip.Command.Name)
						if chip.Primary != (len(names) == 1) {
							t.Errorf("%q is filled: %v", chip.Command.Name, chip.Primary)
						}
					}
				}
			}
			most := 3
			if c.copies {
				most = 4
			}
			seen := map[string]bool{}
			for _, n := range names {
				seen[n] = true
			}
			if len(seen) != most || len(names) != most || names[0] != c.first {
				t.Errorf("offers %q", names)
			}
		})
	}
}

func TestView_AMissingCasebookIsBegunWhereItWasLookedFor(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 800))
	path := filepath.Join(r.dir, "mine.halfsplit")
	r.SetTrouble(path, &casebook.Error{Kind: casebook.Missing, Path: path, Text: "there is no such file"})
	r.tap("Begin a new casebook")
	if r.files.name != "mine.halfsplit" || r.files.folder != r.dir {
		t.Fatalf("proposes %q in %q", r.files.name, r.files.folder)
	}
	r.tap("Begin it here")
	if len(r.asked) != 1 || r.asked[0] != path {
		t.Errorf("asked for %v", r.asked)
	}
}

// Another casebook is opened from the list too, and the one before is one press
// away when that fails.
func TestView_AnotherCasebookAndBack(t *testing.T) {
	r := withDemo(t)
	other := filepath.Join(r.dir, "other.halfsplit")
	if err := os.WriteFile(other, []byte("hello"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.typed("o")
	r.press("file:other.halfsplit")
	if len(r.asked) != 1 || r.asked[0] != other {
		t.Fatalf("asked for %v", r.asked)
	}
	r.SetTrouble(other, &casebook.Error{Kind: casebook.Foreign, Path: other, Text: "is no casebook"})
	r.tap("Back to the casebook before")
	if len(r.asked) != 2 || r.asked[1] != r.book.Path() {
		t.Errorf("asked for %v", r.asked)
	}
	r.SetBook(r.book)
	r.tap("Import")
	r.tap("Begin a new casebook")
	r.tap("Begin it here")
	if len(r.asked) != 3 || !strings.HasSuffix(r.asked[2], BookEnding) {
		t.Errorf("asked for %v", r.asked)
	}
}
