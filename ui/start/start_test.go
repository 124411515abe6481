package start

import (
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
	"halfsplit/fault/format"
	"halfsplit/ui/casefile"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/hands"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// a rig is the view in a window without a screen, on a casebook of its own; what
// runs beside the window runs at once.
type rig struct {
	*View
	t      *testing.T
	w      fyne.Window
	book   *casebook.Book
	dir    string
	opened []string // cases
	asked  []string // casebooks
}

func newRig(t *testing.T, size fyne.Size) *rig {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(&theme.Theme{Force: theme.Light})
	r := &rig{t: t, w: test.NewTempWindow(t, nil), dir: t.TempDir()}
	var err error
	r.book, err = casebook.Create(filepath.Join(r.dir, "shop.halfsplit"), casebook.Options{NoCopies: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := r.book.Close(); err != nil {
			t.Error(err)
		}
	})
	r.View = New(Deps{
		Path: r.book.Path(), Demo: casefile.Demo, Case: func(id string) { r.opened = append(r.opened, id) },
		Reopen: func(path string, create bool) { r.asked = append(r.asked, path) },
		Copies: func(string) []string { return []string{filepath.Join(r.dir, "2026-03-02.casebook")} },
		Now:    func() time.Time { return time.Date(2026, 3, 2, 10, 0, 0, 0, time.UTC) },
		Folder: r.dir, Go: func(f func()) { f() }, Do: func(f func()) { f() }, Canvas: func() fyne.Canvas { return r.w.Canvas() },
	})
	r.w.SetPadded(false)
	r.w.SetContent(r.Content())
	r.w.Resize(size)
	r.Focus()
	return r
}

// opened is a rig whose casebook is open.
func opened(t *testing.T) *rig {
	r := newRig(t, fyne.NewSize(1280, 800))
	r.SetBook(r.book)
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

// replace types over what the field that has the focus holds.
func (r *rig) replace(s string) {
	e := r.w.Canvas().Focused().(*form.Entry)
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
	r.typed(s)
}

// tap presses a button of the view by its name, where it can be seen.
func (r *rig) tap(name string) {
	r.t.Helper()
	var found *command.Chip
	walk(r.root, func(o fyne.CanvasObject) {
		if c, ok := o.(*command.Chip); ok && found == nil {
			if label := c.Command.Name; label == name || c.Command.Label != nil && c.Command.Label() == name {
				found = c
			}
		}
	})
	if found == nil {
		r.t.Fatalf("there is no button %q", name)
	}
	if s := found.Size(); s.Height < theme.Touch {
		r.t.Errorf("%q is %g high", name, s.Height)
	}
	test.Tap(found)
}

// walk visits what is visible, rolling containers and fields included.
func walk(o fyne.CanvasObject, f func(fyne.CanvasObject)) {
	if !o.Visible() {
		return
	}
	f(o)
	switch o := o.(type) {
	case *fyne.Container:
		for _, c := range o.Objects {
			walk(c, f)
		}
	case *form.Labelled:
		walk(o.Field, f)
	default:
		if s, ok := o.(interface{ CreateRenderer() fyne.WidgetRenderer }); ok {
			if _, scroll := o.(fyne.Scrollable); scroll {
				for _, c := range test.WidgetRenderer(s.(fyne.Widget)).Objects() {
					walk(c, f)
				}
			}
		}
	}
}

// press presses a line of the list.
func (r *rig) press(id string) {
	r.t.Helper()
	for _, tg := range r.list.Board().List().Targets {
		if tg.ID == id {
			p := tg.Area[0].World.Add(tg.Area[2].World).Mul(0.5)
			e := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(float32(p.X()), float32(p.Y()))}}
			r.list.Board().MouseDown(e)
			r.list.Board().MouseUp(e)
			return
		}
	}
	r.t.Fatalf("the list has no %s", id)
}

// listed is what the list says.
func (r *rig) listed() string {
	var b strings.Builder
	for _, s := range r.list.Board().List().Shapes {
		b.WriteString(s.Text + "\n")
	}
	return b.String()
}

// page is what the sheet says.
func (r *rig) pageText() string {
	var b strings.Builder
	walk(r.sheet.Roll, func(o fyne.CanvasObject) {
		if board, ok := o.(*easel.Board); ok {
			for _, s := range board.List().Shapes {
				b.WriteString(s.Text + " ")
			}
		}
	})
	return b.String()
}

func (r *rig) only() fault.Case {
	r.t.Helper()
	cases, err := r.book.Cases("")
	if err != nil || len(cases) != 1 {
		r.t.Fatalf("%d cases, %v", len(cases), err)
	}
	c, _, err := r.book.Case(cases[0].ID)
	if err != nil {
		r.t.Fatal(err)
	}
	return c
}

func TestView_FromNothingToACaseByKeysAlone(t *testing.T) {
	r := opened(t)
	if !strings.Contains(r.listed(), "No cases yet") {
		t.Errorf("an empty casebook says:\n%s", r.listed())
	}
	r.typed("m")
	r.typed("Tray pack")
	r.w.Canvas().FocusNext() // the button that takes one off
	r.w.Canvas().FocusNext()
	r.replace("10")
	r.key(fyne.KeyReturn)
	r.key(fyne.KeyReturn) // a case from the layout that has just come
	r.typed("Wet floor")  // replaces the title that was proposed
	r.key(fyne.KeyReturn)
	c := r.only()
	if c.Title != "Wet floor" || len(c.Layout.Modules) != 10 || c.Layout.Name != "Tray pack" || c.Now != FirstState || c.States[0].Contactors != "" {
		t.Errorf("begun: %q on %q with %d modules in state %q %+v", c.Title, c.Layout.Name, len(c.Layout.Modules), c.Now, c.States)
	}
	if len(r.opened) != 1 {
		t.Errorf("opened: %v", r.opened)
	}
}

func TestView_FromNothingToACaseByTapsAlone(t *testing.T) {
	r := opened(t)
	r.tap("Make a layout")
	r.tap("+") // thirteen modules
	r.tap("Polarity: alternating, across the row")
	r.tap("Save this layout")
	r.tap("New case from this layout")
	r.tap("Begin this case")
	c := r.only()
	if len(c.Layout.Modules) != 13 || c.Layout.Modules[0].Minus != "left" || c.Title == "" {
		t.Errorf("begun: %q with %d modules, minus at the %s", c.Title, len(c.Layout.Modules), c.Layout.Modules[0].Minus)
	}
	r.tap("Cases 1")
	r.press("case:" + r.opened[0])
	r.tap("Open this case")
	if len(r.opened) != 2 || r.opened[0] != r.opened[1] {
		t.Errorf("opened: %v", r.opened)
	}
}

func TestView_NumbersThatMakeNoSenseAreSaidAndNotSaved(t *testing.T) {
	r := opened(t)
	r.typed("m")
	r.w.Canvas().FocusNext()
	r.w.Canvas().FocusNext()
	r.replace("0")
	r.key(fyne.KeyReturn)
	if l, err := r.book.Layouts(); err != nil || len(l) != 0 {
		t.Errorf("saved: %v %v", l, err)
	}
	if !strings.Contains(r.pageText(), "number of modules must be from 1") || r.drawn.plan != nil {
		t.Errorf("the page says %q; a plan is shown: %v", r.pageText(), r.drawn.plan != nil)
	}
	r.replace("twelve")
	if !strings.Contains(r.pageText(), `"twelve" is no whole number`) {
		t.Errorf("the page says %q", r.pageText())
	}
	r.key(fyne.KeyEscape)
	if r.View.page != detailsPage || r.w.Canvas().Focused() != fyne.Focusable(r.list) {
		t.Error("Escape does not lead back to the list")
	}
}

func TestView_DemoIsACopyEachTime(t *testing.T) {
	r := opened(t)
	r.typed("dd")
	cases, err := r.book.Cases("")
	if err != nil || len(cases) != 2 || len(r.opened) != 2 || r.opened[0] == r.opened[1] {
		t.Errorf("%d cases, opened %v, %v", len(cases), r.opened, err)
	}
}

func TestView_SearchFindsPackSymptomAndPlace(t *testing.T) {
	r := opened(t)
	demo, err := casefile.Demo()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := r.book.ImportCase(demo, nil, casebook.By{}); err != nil {
		t.Fatal(err)
	}
	r.Refresh()
	for query, found := range map[string]bool{"": true, "rain": true, "DEMO pack": true, "warning zebra": false, "zebra": false} {
		r.key(fyne.KeyHome)
		r.typed("/")
		if query != "" {
			r.replace(query)
		}
		if got := strings.Contains(r.listed(), "warning in the rain"); got != found {
			t.Errorf("%q finds it: %v\n%s", query, got, r.listed())
		}
		if !found && !strings.Contains(r.listed(), "No cases with “"+query+"”") {
			t.Errorf("%q: the empty list says\n%s", query, r.listed())
		}
		r.key(fyne.KeyEscape, fyne.KeyEscape)
		if r.search.Text != "" {
			t.Errorf("Escape leaves %q in the search", r.search.Text)
		}
	}
}

func TestView_ExportAndImportKeepTheCase(t *testing.T) {
	r := opened(t)
	r.typed("d")
	first := r.opened[0]
	r.typed("x")
	r.replace("out")
	r.key(fyne.KeyReturn)
	path := filepath.Join(r.dir, "out.json")
	if _, err := os.Stat(path); err != nil {
		t.Fatal(err)
	}
	r.typed("i")
	r.key(fyne.KeyEnd, fyne.KeyReturn) // the only file, below the folders
	cases, err := r.book.Cases("")
	if err != nil || len(cases) != 2 {
		t.Fatalf("%d cases, %v; the page says %q", len(cases), err, r.pageText())
	}
	var files [2]string
	for i, id := range []string{first, strings.TrimPrefix(r.chosen, "case:")} {
		c, err := r.book.ExportCase(id)
		if err != nil {
			t.Fatal(err)
		}
		if raw := string(c.Extra[headField]); (i == 1) != strings.Contains(raw, `"event":`) {
			t.Errorf("case %d names the log %q", i, raw)
		}
		delete(c.Extra, headField)
		b, err := format.WriteCase(c)
		if err != nil {
			t.Fatal(err)
		}
		files[i] = string(b)
	}
	if files[0] != files[1] || r.chosen == "case:"+first {
		t.Error("what came back is another case")
	}
}

func TestView_ExportAsksBeforeItWritesOver(t *testing.T) {
	r := opened(t)
	r.typed("d")
	path := filepath.Join(r.dir, "mine.json")
	if err := os.WriteFile(path, []byte("precious"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.typed("x")
	r.replace("mine")
	r.key(fyne.KeyReturn)
	if b, _ := os.ReadFile(path); string(b) != "precious" || !strings.Contains(r.pageText(), "already") {
		t.Fatalf("the file holds %.20q; the page says %q", b, r.pageText())
	}
	r.tap("Keep that file, use another name")
	if r.files.name != "mine-2.json" {
		t.Errorf("the other name is %q", r.files.name)
	}
	r.tap("Write this file")
	if b, _ := os.ReadFile(path); string(b) != "precious" {
		t.Errorf("the file holds %.20q", b)
	}
	r.typed("x")
	r.replace("mine")
	r.key(fyne.KeyReturn)
	r.tap("Write over it")
	if b, _ := os.ReadFile(path); !strings.HasPrefix(string(b), "{") {
		t.Errorf("the file holds %.20q", b)
	}
	left, err := filepath.Glob(filepath.Join(r.dir, ".halfsplit-*"))
	if err != nil || len(left) > 0 {
		t.Errorf("left behind: %v %v", left, err)
	}
}

func TestView_BadFilesAreSaidInPlainWords(t *testing.T) {
	r := opened(t)
	write := func(name, text string) string {
		path := filepath.Join(r.dir, name)
		if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		return path
	}
	for name, c := range map[string]struct{ path, says string }{
		"a folder":          {r.dir, "is a folder"},
		"nothing":           {filepath.Join(r.dir, "none.json"), "no such file"},
		"text":              {write("text.json", "hello"), "Nothing was taken in"},
		"other JSON":        {write("other.json", "{}"), "format"},
		"half a case":       {write("half.json", `{"format":"halfsplit-case/1","title":"x"`), "half.json"},
		"a layout of notes": {write("l.json", `{"format":"halfsplit-layout/1","modules":7}`), "modules"},
	} {
		t.Run(name, func(t *testing.T) {
			r.typed("i")
			r.Import(c.path)
			if !strings.Contains(r.pageText(), c.says) {
				t.Errorf("says %q, want %q", r.pageText(), c.says)
			}
			r.back()
		})
	}
	if cases, err := r.book.Cases(""); err != nil || len(cases) > 0 {
		t.Errorf("taken in: %v %v", cases, err)
	}
}

func TestView_TroubleSaysWhatIsWrongAndWhatCanBeDone(t *testing.T) {
	for name, c := range map[string]struct {
		kind casebook.Kind
		says []string
	}{
		"damaged":   {casebook.Damaged, []string{"damaged", "nothing was written", "copy"}},
		"newer":     {casebook.Newer, []string{"newer version", "nothing was written"}},
		"foreign":   {casebook.Foreign, []string{"no casebook", "was left as it is"}},
		"read-only": {casebook.ReadOnly, []string{"cannot be written", "Nothing was changed"}},
		"missing":   {casebook.Missing, []string{"no casebook here", "Nothing was written"}},
		"full":      {casebook.Full, []string{"disk is full", "still there"}},
		"busy":      {casebook.Busy, []string{"Another program", "try again"}},
	} {
		t.Run(name, func(t *testing.T) {
			r := newRig(t, fyne.NewSize(1024, 700))
			r.SetTrouble("/shop/book", &casebook.Error{Kind: c.kind, Path: "/shop/book", Text: "is as it is", Err: errors.New("x")})
			for _, s := range append(c.says, "/shop/book: is as it is.") {
				if !strings.Contains(r.pageText(), s) {
					t.Errorf("the page lacks %q:\n%s", s, r.pageText())
				}
			}
			r.tap("Try again")
			r.SetTrouble("/shop/book", &casebook.Error{Kind: c.kind, Path: "/shop/book", Text: "is as it is"})
			r.press(copyID + filepath.Join(r.dir, "2026-03-02.casebook"))
			if len(r.asked) != 2 || r.asked[0] != "/shop/book" || !strings.HasSuffix(r.asked[1], "2026-03-02.casebook") {
				t.Errorf("asked to open %v", r.asked)
			}
			r.typed("m")
			if r.View.page == makerPage {
				t.Error("a layout can be made without a casebook to keep it")
			}
		})
	}
}

func TestView_SaysThatItIsOpening(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 800))
	if !strings.Contains(r.listed(), "Opening the casebook") || !strings.Contains(r.pageText(), "in a moment") {
		t.Errorf("list:\n%s\nsheet:\n%s", r.listed(), r.pageText())
	}
}

// In a narrow view the list gives way to the sheet, and the keyboard follows.
func TestView_NarrowShowsOneAtATime(t *testing.T) {
	r := newRig(t, fyne.NewSize(640, 400))
	r.SetBook(r.book)
	r.typed("d")
	r.Refresh()
	r.back()
	if !r.list.Visible() || r.sheet.Roll.Visible() {
		t.Fatalf("list %v, sheet %v", r.list.Visible(), r.sheet.Roll.Visible())
	}
	r.press("case:" + r.opened[0])
	if r.list.Visible() || !r.sheet.Roll.Visible() {
		t.Fatalf("pressed: list %v, sheet %v", r.list.Visible(), r.sheet.Roll.Visible())
	}
	r.key(fyne.KeyReturn)
	if len(r.opened) != 2 {
		t.Errorf("Enter on the sheet opened %v", r.opened)
	}
	r.key(fyne.KeyEscape)
	if !r.list.Visible() || r.w.Canvas().Focused() != fyne.Focusable(r.list) {
		t.Error("Escape does not lead back to the list")
	}
}

func TestView_EveryStringHasItsGlyphs(t *testing.T) {
	g, err := theme.NewGlyphs()
	if err != nil {
		t.Fatal(err)
	}
	r := opened(t)
	r.typed("d")
	check := func(where, s string) {
		for _, miss := range g.Missing(strings.ReplaceAll(s, "\n", "")) {
			t.Errorf("%s: the font lacks %q", where, string(miss))
		}
	}
	for _, k := range []string{"m", "i", "x", "n", "?", "2", "1"} {
		r.typed(k)
		check(k, r.listed()+r.pageText())
		for _, h := range r.hint() {
			check("hint", h)
		}
		r.back()
	}
	for kind := casebook.Failed; kind <= casebook.Nothing; kind++ {
		check("trouble", sheet.Text(Trouble("p", &casebook.Error{Kind: kind, Text: "x"}, kind%2 == 0)))
	}
}
