package drafting

import (
	"path/filepath"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/test"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/topology"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/store"
	"halfsplit/ui/theme"
)

// joinedRow is a row of modules with a whole path.
func joinedRow(t *testing.T) topology.Layout {
	t.Helper()
	l, err := topology.Make(topology.MakeSpec{Modules: 4, Series: 8, Parallel: 2, W: 150, H: 330, Gap: 10, Disconnect: 2})
	if err != nil {
		t.Fatal(err)
	}
	l.Name = "bench"
	return l
}

// a shop is a table on a layout of a casebook that a case rests on, with a reading.
type shop struct {
	*bench
	book         *casebook.Book
	caseID, used string // used is the reason that was recorded
}

func newShop(t *testing.T, l topology.Layout, size fyne.Size) *shop {
	t.Helper()
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: theme.Light})
	book, err := casebook.Create(filepath.Join(t.TempDir(), "shop.casebook"), casebook.Options{NoCopies: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := book.Close(); err != nil {
			t.Error(err)
		}
	})
	fatal := func(id string, err error) string {
		if err != nil {
			t.Fatal(err)
		}
		return id
	}
	id := fatal(book.ImportLayout(l, nil, casebook.By{}))
	c := fault.Case{Title: "case", Now: "closed", States: []fault.State{{ID: "closed"}}, Instruments: []fault.Instrument{{ID: "dmm", Kind: "voltmeter", GainPct: 1, Counts: 1}}}
	s := &shop{book: book, caseID: fatal(book.NewCase(id, c, casebook.By{}))}
	if _, err := book.AddReading(s.caseID, fault.Reading{State: "closed", Quantity: fault.Volts, Red: "M01+", Black: "M01-", Value: 28, Instrument: "dmm"}, casebook.By{}); err != nil {
		t.Fatal(err)
	}
	other := joinedRow(t)
	other.Name, other.Modules[2].Series = "another pack", 7
	otherID := fatal(book.ImportLayout(other, nil, casebook.By{}))
	st, err := store.NewLayoutBook(book, id)
	if err != nil {
		t.Fatal(err)
	}
	b := &bench{t: t, w: test.NewTempWindow(t, nil), st: st}
	s.bench = b
	b.View = New(Deps{Store: st, Go: func(f func()) { f() }, Do: func(f func()) { f() }, Canvas: func() fyne.Canvas { return b.w.Canvas() }, Folder: t.TempDir(), Back: func() { b.left++ },
		CaseVersion: func() (int, error) {
			on, err := book.LayoutOfCase(s.caseID)
			return on.Version, err
		},
		Use: func(who, why string) (string, error) {
			s.used = why
			return "The case rests on it now.", book.UseNewestLayout(s.caseID, casebook.By{Who: who, Why: why})
		},
		Others: func() ([]Other, error) {
			return []Other{{ID: otherID, Name: "another pack", About: "version 1"}}, nil
		}, Other: book.ExportLayout})
	b.w.SetPadded(false)
	b.w.SetContent(b.Content())
	b.w.Resize(size)
	b.Focus()
	return s
}

func usual(t *testing.T, l topology.Layout) *shop { return newShop(t, l, fyne.NewSize(1280, 740)) }

// said is what the sheet says.
func (b *bench) said() string {
	var out strings.Builder
	b.objects(func(o fyne.CanvasObject) {
		board, ok := o.(*easel.Board)
		if l, is := o.(*form.Lines); is {
			board, ok = l.Board(), true
		}
		if ok {
			for _, s := range board.List().Shapes {
				out.WriteString(s.Text + " ")
			}
		}
	})
	return out.String()
}

// says fails where the sheet lacks a text.
func (b *bench) says(want ...string) {
	b.t.Helper()
	for _, w := range want {
		if !strings.Contains(b.said(), w) {
			b.t.Errorf("the sheet lacks %q: %s", w, b.said())
		}
	}
}

func (s *shop) rests() int {
	s.t.Helper()
	on, err := s.book.LayoutOfCase(s.caseID)
	if err != nil {
		s.t.Fatal(err)
	}
	return on.Version
}

// By keys: a change of a drawing in use begins a version; it is compared, the one
// before is looked at, and nothing of that can be changed.
func TestVersions_AnOlderOneIsShownAsItWas(t *testing.T) {
	s := usual(t, joinedRow(t))
	s.key(fyne.KeyTab, fyne.KeyRight) // M01 is chosen and moved
	s.key(fyne.KeyEscape)
	s.typed("7")
	s.says("Version 2, a draft", "Nothing rests on it yet.", "Version 1, in use", "On it rest 1 case and 1 reading.", "All 4 modules match. The circuit is the same", "M01 lies 10 mm further right.")
	s.tap("Look at version 1")
	x := s.st.Layout().Modules[0].X
	if s.draft.Layout.Modules[0].X != x-10 || s.draft.AsItWas != "Version 1, as it was; nothing can be changed here" {
		t.Fatalf("M01 is shown at %g; %q", s.draft.Layout.Modules[0].X, s.draft.AsItWas)
	}
	if s.linker.Visible() {
		t.Error("links are offered on an older version")
	}
	before, steps := s.st.Layout(), s.st.Steps()
	s.key(fyne.KeyTab, fyne.KeyLeft, fyne.KeyDelete)
	s.typed("rdlkpm")
	s.undone(1)
	s.pull(s.draft.Layout.Modules[0].X+75, s.draft.Layout.Modules[0].Y+165, 600, 600)
	s.typed("1")
	s.says("nothing can be changed here")
	s.objects(func(o fyne.CanvasObject) {
		if l, ok := o.(*form.Labelled); ok {
			if e, ok := l.Field.(*form.Entry); ok && !e.Disabled() {
				t.Errorf("%s can be typed into", l.Name)
			}
		}
	})
	if now := s.st.Layout(); s.st.Steps() != steps || now.Modules[0].X != before.Modules[0].X || len(now.Modules) != len(before.Modules) {
		t.Error("something was changed while an older version was shown")
	}
	s.Focus()
	for range 4 {
		if s.draft.AsItWas != "" {
			s.key(fyne.KeyEscape)
		}
	}
	if !s.linker.Visible() {
		t.Error("links are not offered on the newest version")
	}
	if s.draft.AsItWas != "" || s.draft.Layout.Modules[0].X != x || s.left != 0 {
		t.Errorf("Escape does not lead back to the newest: %q, M01 at %g, left %d", s.draft.AsItWas, s.draft.Layout.Modules[0].X, s.left)
	}
}

// By presses: what changes electrically stands before the button that lets the case
// rest on it, and a press on it goes to the thing.
func TestVersions_TheCaseComesToRestOnTheDrawing(t *testing.T) {
	s := usual(t, joinedRow(t))
	changed := s.st.Layout()
	changed.Links = append([]topology.Link(nil), changed.Links...)
	for i := range changed.Links {
		if changed.Links[i].ID == "SD" {
			changed.Links[i].Kind = topology.Fuse
		}
	}
	s.do(result{name: "a fuse", do: func(layout) (layout, error) { return changed, nil }})
	s.tap("Let the case rest on this drawing …")
	s.says("It rests on version 1. This drawing is version 2.", "By this, a reading by the one may mean something else", "SD is a fuse, not a disconnect.")
	s.goToChange("SD")
	if !s.draft.Has("SD") {
		t.Errorf("chosen: %v", s.draft.Chosen)
	}
	s.tap("Let the case rest on this drawing")
	if s.rests() != 2 || s.used != "" {
		t.Fatalf("the case rests on version %d, reason %q; it says %q", s.rests(), s.used, s.happened)
	}
	s.says("It rests on version 2, which is this drawing.")
}

// A drawing without a whole path is said to be one, and needs a named person's reason.
func TestVersions_APartialLayoutNeedsAReason(t *testing.T) {
	s := usual(t, rowOf(t, 3))
	s.key(fyne.KeyTab, fyne.KeyRight, fyne.KeyEscape)
	s.typed("7")
	s.says("Partial layout: sections only.")
	s.tap("Let the case rest on this drawing")
	if s.rests() != 1 || !strings.Contains(s.happened, "partial layout, sections only") {
		t.Fatalf("without a reason it rests on version %d: %q", s.rests(), s.happened)
	}
	s.says("A reason stands under a name")
	s.w.Canvas().Focus(s.field("Name"))
	s.typed("Ada")
	s.w.Canvas().Focus(s.field("Reason"))
	s.typed("The rest of the path is under the cover.")
	s.key(fyne.KeyReturn)
	history, err := s.book.History(s.caseID, 20)
	if err != nil || s.rests() != 2 {
		t.Fatal(s.rests(), s.happened, err)
	}
	found := false
	for _, e := range history {
		found = found || e.Who == "Ada" && e.Why == "Partial layout: sections only. The rest of the path is under the cover."
	}
	if said := s.said(); strings.Count(said, "Partial layout: sections only.") != 2 { // both versions that the case rested on
		t.Errorf("what is partial is not said: %s", said)
	}
	if !found {
		t.Errorf("the reason is not in the history: %+v", history)
	}
}

// A pack in front is held against another layout of the casebook.
func TestVersions_AnotherLayoutIsComparedByPressesAndByKeys(t *testing.T) {
	s := usual(t, joinedRow(t))
	s.tap("Versions")
	s.tap("Compare with another layout of this casebook …")
	s.key(fyne.KeyReturn)
	s.says("This drawing against another pack", "3 of 4 modules match", "M03 has 8 groups, not 7.")
	if !strings.Contains(s.happened, "Compared with another pack: 3 of 4 modules match") {
		t.Errorf("it says %q", s.happened)
	}
	s.tap("Compare with another")
	s.tap("another pack")
	s.says("M03 has 8 groups, not 7.")
	s.Focus()
	s.key(fyne.KeyEscape)
	s.says("Version 1, in use")
	if s.left != 0 {
		t.Error("Escape leaves the table")
	}
}

func TestVersions_SmallWindow(t *testing.T) {
	s := newShop(t, rowOf(t, 3), fyne.NewSize(512, 330))
	s.draft.Choose("M01", false)
	s.do(s.draft.moved(mgl64.Vec2{10, 0}))
	s.draft.Choose("", false)
	s.open(versionsPage)
	s.says("Version 1, in use")
	if _, ok := s.w.Canvas().Focused().(*command.Chip); !ok || s.sheet.Roll.Offset.Y > 0 {
		t.Errorf("%T has the keyboard, and the page is rolled by %g", s.w.Canvas().Focused(), s.sheet.Roll.Offset.Y)
	}
	s.tap("Drawing")
	if !s.pane.Visible() {
		t.Error("the drawing does not come back")
	}
}
