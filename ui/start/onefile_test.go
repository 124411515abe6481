package start

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/ui/form"
)

// A case goes out as one file and comes back into another casebook, by keys alone;
// the same again changes nothing and says so.
func TestView_OneFileOutAndInByKeys(t *testing.T) {
	r := withDemo(t)
	r.View.Refresh()
	id := r.cases[0].ID
	if err := r.book.SetTitle(id, "the case", casebook.By{}); err != nil {
		t.Fatal(err)
	}
	r.View.Refresh()
	r.typed("e")
	r.replace("out")
	r.key(fyne.KeyReturn)
	path := filepath.Join(r.dir, "out"+BookEnding)
	if !strings.HasPrefix(r.happened, "Written: "+path) || !strings.Contains(r.happened, "at event") {
		t.Fatal(r.happened)
	}
	other := opened(t)
	other.typed("i")
	other.typed("/")
	other.replace(path)
	other.key(fyne.KeyReturn)
	if other.happened != "Taken in: the case the case." || other.page != takingPage {
		t.Fatalf("%q on page %d", other.happened, other.page)
	}
	text := other.pageText()
	for _, want := range []string{"the case", "Readings", "This casebook", "It came from"} {
		if !strings.Contains(text, want) {
			t.Errorf("the page lacks %q:\n%s", want, text)
		}
	}
	other.key(fyne.KeyEscape)
	other.Import(path) // as if dropped
	if !strings.Contains(other.happened, "nothing was changed") {
		t.Error(other.happened)
	}
	r.typed("c")
	r.replace("table")
	r.key(fyne.KeyReturn)
	if data, err := os.ReadFile(filepath.Join(r.dir, "table.csv")); err != nil || !strings.HasPrefix(string(data), "kind,label,") {
		t.Errorf("%.80q, %v", data, err)
	}
}

// A file with several cases asks which; one that does not hold is refused in words.
func TestView_TakeInAsksAndRefuses(t *testing.T) {
	r := withDemo(t)
	r.typed("d")
	many := filepath.Join(r.dir, "many.casebook")
	if err := r.book.SaveAs(context.Background(), many, false); err != nil {
		t.Fatal(err)
	}
	other := opened(t)
	other.Import(many)
	if other.page != takingPage || len(other.taking.cases) != 2 {
		t.Fatalf("page %d with %d cases", other.page, len(other.taking.cases))
	}
	other.tap(CaseName(other.taking.cases[1].Title) + ", " + Count(other.taking.cases[1].Readings, "reading"))
	if all, err := other.book.Cases(""); err != nil || len(all) != 1 {
		t.Errorf("%d cases, %v", len(all), err)
	}
	bad := filepath.Join(r.dir, "bad.casebook")
	if err := os.WriteFile(bad, []byte("SQLite format 3\x00 and no more"), 0o600); err != nil {
		t.Fatal(err)
	}
	other.Import(bad)
	if other.page != filesPage || !strings.Contains(other.files.wrong, "Nothing was taken in.") {
		t.Errorf("page %d: %q", other.page, other.files.wrong)
	}
	if err := os.Truncate(many, 20000); err != nil {
		t.Fatal(err)
	}
	other.Import(many)
	if !strings.Contains(other.files.wrong, "damaged or cut short") || strings.Contains(other.files.wrong, "copy beside it") {
		t.Errorf("cut short: %q", other.files.wrong)
	}
	if err := os.WriteFile(bad, []byte("a shopping list"), 0o600); err != nil {
		t.Fatal(err)
	}
	other.Import(bad)
	if !strings.Contains(other.files.wrong, "is no casebook, though its name ends like one's") {
		t.Errorf("%q", other.files.wrong)
	}
}

// What is shown is signed with name and role, and a later change shows.
func TestView_SignsWhatIsShown(t *testing.T) {
	r := withDemo(t)
	r.View.Refresh()
	id := r.cases[0].ID
	r.typed("s")
	if text := r.pageText(); !strings.Contains(text, "Nobody has signed") || !strings.Contains(text, "To be signed") {
		t.Fatal(text)
	}
	r.key(fyne.KeyReturn)
	if r.w.Canvas().Focused() != fyne.Focusable(r.labelled("Name")) {
		t.Errorf("Enter goes to %T", r.w.Canvas().Focused())
	}
	r.tap("Record this sign-off")
	if !strings.Contains(r.signing.wrong, "needs the name") {
		t.Errorf("%q", r.signing.wrong)
	}
	r.tap("The readings")
	r.focusFirst()
	r.typed("Ben Example")
	r.key(fyne.KeyReturn)
	if !strings.Contains(r.signing.wrong, "in which role") {
		t.Errorf("%q", r.signing.wrong)
	}
	if r.w.Canvas().Focused() != fyne.Focusable(r.labelled("Role")) {
		t.Errorf("without a role the keyboard is on %T", r.w.Canvas().Focused())
	}
	r.typed("supervisor")
	r.key(fyne.KeyReturn)
	if text := r.pageText(); !strings.Contains(text, "Ben Example, supervisor") || !strings.Contains(text, "What was signed is unchanged.") {
		t.Errorf("%s\n%s", r.happened, text)
	}
	c, _, err := r.book.Case(id)
	if err != nil {
		t.Fatal(err)
	}
	reading := c.Readings[0]
	if _, err := r.book.SupersedeReading(id, reading.ID, fault.Reading{State: reading.State, Quantity: fault.Volts, Red: reading.Red, Black: reading.Black, Value: 1}, casebook.By{Why: "typed wrong"}); err != nil {
		t.Fatal(err)
	}
	r.key(fyne.KeyEscape)
	r.typed("s")
	if text := r.pageText(); !strings.Contains(text, "Of an earlier state") {
		t.Error(text)
	}
}

// labelled is the field of the page with a name.
func (r *rig) labelled(name string) *form.Entry {
	r.t.Helper()
	for _, o := range r.sheet.Objects() {
		if l, ok := o.(*form.Labelled); ok && l.Name == name {
			return l.Field.(*form.Entry)
		}
	}
	r.t.Fatalf("there is no field %q", name)
	return nil
}

// By keys alone a file is written into a folder that was typed: Enter goes there, and
// the next one writes.
func TestView_WritesIntoATypedFolder(t *testing.T) {
	r := withDemo(t)
	folder := filepath.Join(r.dir, "elsewhere")
	if err := os.Mkdir(folder, 0o700); err != nil {
		t.Fatal(err)
	}
	r.typed("c")
	r.focus(r.files.path)
	r.files.path.SetText(folder)
	r.key(fyne.KeyReturn)
	if r.files.folder != folder || r.w.Canvas().Focused() != fyne.Focusable(r.labelled("Name of the file")) {
		t.Fatalf("in %s, the keyboard on %T", r.files.folder, r.w.Canvas().Focused())
	}
	r.key(fyne.KeyReturn)
	if all, err := os.ReadDir(folder); err != nil || len(all) != 1 {
		t.Errorf("%v, %v; it says %q, %q", all, err, r.happened, r.files.wrong)
	}
}
