package shell

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/ui/casefile"
	"halfsplit/ui/command"
	"halfsplit/ui/emergency"
	"halfsplit/ui/hands"
	"halfsplit/ui/help"
	"halfsplit/ui/sample"
	"halfsplit/ui/theme"
)

// a rig is the window without a screen; what runs beside it runs at once.
type rig struct {
	*Shell
	t     *testing.T
	w     fyne.Window
	scale int
}

func noCopies(path string, create bool) (*casebook.Book, error) {
	if create {
		return casebook.Create(path, casebook.Options{NoCopies: true})
	}
	return casebook.Open(path, casebook.Options{NoCopies: true})
}

// shop is a casebook with the demo case in a folder of its own.
func shop(t *testing.T) string {
	path := filepath.Join(t.TempDir(), "shop.halfsplit")
	b, err := noCopies(path, true)
	if err != nil {
		t.Fatal(err)
	}
	demo, err := casefile.Demo()
	if err == nil {
		_, err = b.ImportCase(demo, nil, casebook.By{})
	}
	if err = errors.Join(err, b.Close()); err != nil {
		t.Fatal(err)
	}
	return path
}

// run opens the window on a casebook; the caller closes it, or the test does.
func run(t *testing.T, path string, edit func(*Deps)) *rig {
	r := &rig{t: t}
	a := test.NewTempApp(t)
	r.w = test.NewTempWindow(t, nil)
	deps := Deps{
		Find: func(context.Context, fault.Case) (fault.Finding, error) { return sample.Finding(), nil },
		Demo: casefile.Demo, Path: path, Open: noCopies, Remember: path + "-window.json", Folder: filepath.Dir(path),
		Now:   func() time.Time { return time.Date(2026, 3, 2, 10, 0, 0, 0, time.UTC) },
		Scale: func(p int) { r.scale = p }, Go: func(f func()) { f() }, Do: func(f func()) { f() },
	}
	if edit != nil {
		edit(&deps)
	}
	r.Shell = New(a, r.w, deps)
	r.w.SetPadded(false)
	r.w.SetContent(r.Content())
	r.w.Resize(fyne.NewSize(1280, 800))
	r.Listen()
	r.focus()
	t.Cleanup(func() {
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	})
	return r
}

func (r *rig) key(names ...fyne.KeyName) {
	r.t.Helper()
	hands.Key(r.t, r.w.Canvas(), names...)
}

func (r *rig) typed(s string) {
	r.t.Helper()
	hands.Type(r.t, r.w.Canvas(), s)
}

// tap presses a button of the bar or of the page by its name.
func (r *rig) tap(name string) {
	r.t.Helper()
	for _, o := range r.ground.Objects {
		if p, s, ok := find(o, fyne.NewPos(0, 0), chipNamed(name)); ok {
			if s.Height < theme.Touch || p.X < 0 || p.Y < 0 || p.X+s.Width > 1280 || p.Y+s.Height > 800 {
				r.t.Errorf("%q lies at %v, %v large", name, p, s)
			}
			var c *command.Chip
			find(o, fyne.NewPos(0, 0), func(o fyne.CanvasObject) bool {
				if b, is := o.(*command.Chip); is && b.Command.Name == name && c == nil {
					c = b
				}
				return false
			})
			test.Tap(c)
			return
		}
	}
	r.t.Fatalf("no button %q", name)
}

func TestShell_RestartReturnsToTheLastCase(t *testing.T) {
	path := shop(t)
	r := run(t, path, nil)
	if r.desk != nil {
		t.Fatal("a case is open at the first start")
	}
	r.key(fyne.KeyReturn)
	if r.desk == nil || !strings.Contains(r.deskName, "warning in the rain") {
		t.Fatalf("Enter opened %q", r.deskName)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	r = run(t, path, nil)
	if r.desk == nil || r.bar.name() != r.deskName {
		t.Fatal("the second start does not go back to the case")
	}
	r.tap("‹ Cases")
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	if r = run(t, path, nil); r.desk != nil {
		t.Error("the third start opens a case that was left")
	}
}

// The page is one key and one press away from every view, and Escape leads back.
func TestShell_EmergencyFromEverywhere(t *testing.T) {
	for name, reach := range map[string]func(*rig){
		"the cases":    func(*rig) {},
		"a search":     func(r *rig) { r.typed("/") },
		"the maker":    func(r *rig) { r.typed("m") },
		"a new case":   func(r *rig) { r.typed("n") },
		"an import":    func(r *rig) { r.typed("i") },
		"a case":       func(r *rig) { r.key(fyne.KeyReturn) },
		"a reading":    func(r *rig) { r.key(fyne.KeyReturn, fyne.KeyTab, fyne.KeyReturn) },
		"a state":      func(r *rig) { r.key(fyne.KeyReturn); r.typed("s") },
		"the photos":   func(r *rig) { r.key(fyne.KeyReturn); r.typed("o") },
		"a name":       func(r *rig) { r.key(fyne.KeyReturn); r.typed("n") },
		"the help":     func(r *rig) { r.key(fyne.KeyF1) },
		"the look":     func(r *rig) { r.key(fyne.KeyF4) },
		"the tour":     func(r *rig) { r.key(fyne.KeyF1); r.typed("s") },
		"a bar button": func(r *rig) { r.w.Canvas().Focus(r.bar.right.Objects[0].(fyne.Focusable)) },
	} {
		t.Run(name, func(t *testing.T) {
			r := run(t, shop(t), nil)
			reach(r)
			desk := r.desk
			r.key(fyne.KeyF9)
			if r.over != emergencyPage {
				t.Fatal("F9 does not open it")
			}
			r.key(fyne.KeyF9, fyne.KeyEscape)
			if r.over != noPage || r.desk != desk {
				t.Fatal("Escape does not lead back")
			}
			reached := r.w.Canvas().Focused()
			if reached == nil {
				t.Error("nothing has the focus after it")
			}
			r.tap("Emergency")
			r.tap("Back")
			if r.over != noPage || r.desk != desk {
				t.Error("its buttons do not lead there and back")
			}
		})
	}
}

func TestShell_EmergencyWithoutACasebook(t *testing.T) {
	path := filepath.Join(t.TempDir(), "none.halfsplit")
	r := run(t, path, nil)
	r.key(fyne.KeyF9)
	if text, _ := r.loadEmergency(); text != "" {
		t.Errorf("without a casebook there is %q", text)
	}
	r.typed("e")
	r.key(fyne.KeyEscape, fyne.KeyEscape)
	if r.over != noPage {
		t.Error("Escape does not lead back")
	}
}

// What the workshop wrote is in the casebook, and still readable when the
// casebook is not.
func TestShell_TheWorkshopsWordsOutliveADamagedCasebook(t *testing.T) {
	path := shop(t)
	r := run(t, path, nil)
	r.key(fyne.KeyF9)
	r.typed("e")
	r.typed("Site fire post: 1234")
	r.tap("Save this page")
	if text, note := r.loadEmergency(); !strings.Contains(text, "1234") || note != "" {
		t.Fatalf("kept: %q, %q", text, note)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err == nil {
		_, err = f.WriteAt(make([]byte, 9000), 4096)
		err = errors.Join(err, f.Close())
	}
	if err != nil {
		t.Fatal(err)
	}
	before, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	r = run(t, path, nil)
	if r.book != nil {
		t.Fatal("a damaged casebook was opened")
	}
	r.key(fyne.KeyF9)
	if text, note := r.loadEmergency(); !strings.Contains(text, "1234") || !strings.Contains(note, "No casebook is open") {
		t.Errorf("shown: %q, %q", text, note)
	}
	if after, err := os.ReadFile(path); err != nil || string(after) != string(before) {
		t.Errorf("the damaged file was changed, %v", err)
	}
}

func TestShell_TextGrowsByKeysAndIsRemembered(t *testing.T) {
	path := shop(t)
	r := run(t, path, nil)
	plus := &desktop.CustomShortcut{KeyName: fyne.KeyEqual, Modifier: fyne.KeyModifierControl}
	minus := &desktop.CustomShortcut{KeyName: fyne.KeyMinus, Modifier: fyne.KeyModifierControl}
	r.shortcut(plus)
	r.shortcut(plus)
	r.shortcut(minus)
	r.typed("/") // a field swallows shortcuts: it hands this one on
	r.w.Canvas().Focused().(fyne.Shortcutable).TypedShortcut(plus)
	if r.scale != 150 {
		t.Errorf("the scale is %d %%", r.scale)
	}
	for range 20 {
		r.shortcut(plus)
	}
	if r.scale != 250 {
		t.Errorf("the scale ends at %d %%", r.scale)
	}
	r.key(fyne.KeyF4)
	r.typed("g3")
	if th := r.app.Settings().Theme().(*theme.Theme); !th.Glove || th.Force != theme.Dark || th.Touch()*float32(r.scale)/100 < 60 {
		t.Errorf("the look is %+v", th)
	}
	if err := r.Close(); err != nil {
		t.Fatal(err)
	}
	r = run(t, path, nil)
	if th := r.app.Settings().Theme().(*theme.Theme); r.scale != 250 || !th.Glove || th.Force != theme.Dark {
		t.Errorf("the second start has %d %% and %+v", r.scale, th)
	}
}

// Colours chosen on the desk keep the glove view.
func TestShell_GloveButtonsAreLarge(t *testing.T) {
	r := run(t, shop(t), nil)
	r.key(fyne.KeyF4)
	r.typed("g")
	r.key(fyne.KeyEscape)
	r.typed("d")
	seen := 0
	find(r.ground, fyne.NewPos(0, 0), func(o fyne.CanvasObject) bool {
		if c, ok := o.(*command.Chip); ok {
			seen++
			if c.Size().Height < theme.GloveTouch {
				t.Errorf("%q is %g high", c.Command.Name, c.Size().Height)
			}
		}
		return false
	})
	if seen < 6 {
		t.Errorf("only %d buttons seen", seen)
	}
}

// Every step of the tour points at something that is there and in view.
func TestShell_TourPointsAtRealThings(t *testing.T) {
	r := run(t, shop(t), nil)
	r.key(fyne.KeyF1)
	r.typed("s")
	for i, step := range help.Tour {
		if r.tour == nil || r.tour.at != i {
			t.Fatalf("step %d is not shown", i+1)
		}
		at, size, ok := r.tour.target()
		if !ok || size.Width < 20 || size.Height < 20 || at.X < 0 || at.Y < 0 || at.X+size.Width > 1281 || at.Y+size.Height > 801 {
			t.Errorf("%q points at %v, %v large, found %v", step.Title, at, size, ok)
		}
		card := r.tour.card
		if p, s := card.Position(), card.Size(); p.X < 0 || p.Y < 0 || p.X+s.Width > 1280 || p.Y+s.Height > 800 {
			t.Errorf("%q: its card lies at %v, %v large", step.Title, p, s)
		}
		r.key(fyne.KeyReturn)
	}
	if r.tour != nil || r.desk == nil {
		t.Errorf("after the last step: a tour %v, a case %v", r.tour != nil, r.desk != nil)
	}
}

func TestShell_ACaseFileNeedsNoCasebook(t *testing.T) {
	c := sample.Case()
	r := run(t, filepath.Join(t.TempDir(), "x.json"), func(d *Deps) { d.Case = &c })
	if r.desk == nil || r.book != nil || r.bar.back.Visible() {
		t.Fatal("the file's case is not shown alone")
	}
	r.key(fyne.KeyF3, fyne.KeyF9, fyne.KeyEscape)
	if r.desk == nil {
		t.Error("its case is gone")
	}
}

func TestShell_FolderNotesAndNothingAreNoCasebook(t *testing.T) {
	dir := t.TempDir()
	notes := filepath.Join(dir, "notes.halfsplit")
	if err := os.WriteFile(notes, []byte(strings.Repeat("notes ", 400)), 0o600); err != nil {
		t.Fatal(err)
	}
	for name, path := range map[string]string{"a folder": dir, "notes": notes, "nothing": filepath.Join(dir, "none.halfsplit")} {
		t.Run(name, func(t *testing.T) {
			r := run(t, path, func(d *Deps) { d.Remember = "" })
			if r.book != nil || r.desk != nil {
				t.Error("it was opened")
			}
			r.tap("Try again")
			r.key(fyne.KeyF9, fyne.KeyEscape)
		})
	}
	if b, err := os.ReadFile(notes); err != nil || !strings.HasPrefix(string(b), "notes notes") || len(b) != 2400 {
		t.Errorf("the notes are %d bytes long, %v", len(b), err)
	}
}

func TestShell_EmergencyDefaultIsNeutral(t *testing.T) {
	if text, own := emergency.Read(""); own || text.Numbers != "" {
		t.Errorf("the default has numbers %q", text.Numbers)
	}
}
