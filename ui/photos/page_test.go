package photos

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
	"halfsplit/ui/command"
	"halfsplit/ui/form"
	"halfsplit/ui/hands"
	"halfsplit/ui/sheet"
	"halfsplit/ui/store"
	"halfsplit/ui/theme"
)

// a rig is the page in a window without a screen, on a case in memory; what runs
// beside the window runs at once.
type rig struct {
	*Page
	t     *testing.T
	w     fyne.Window
	store *store.Memory
	fails error
	dir   string
	left  int
	added int
}

// AddPhoto fails when it is told to.
func (r *rig) AddPhoto(of, name string, data []byte) (store.Photo, error) {
	if r.fails != nil {
		return store.Photo{}, r.fails
	}
	return r.store.AddPhoto(of, name, data)
}
func (r *rig) Photos() ([]store.Photo, error)      { return r.store.Photos() }
func (r *rig) PhotoData(id string) ([]byte, error) { return r.store.PhotoData(id) }

func newRig(t *testing.T, size fyne.Size, of string) *rig {
	a := test.NewTempApp(t)
	a.Settings().SetTheme(&theme.Theme{Force: theme.Light})
	r := &rig{t: t, w: test.NewTempWindow(t, nil), store: store.NewMemory(fault.Case{}), dir: t.TempDir()}
	for _, n := range []string{"a-lead.png", "b-lid.png"} {
		if err := os.WriteFile(filepath.Join(r.dir, n), pngOf(t, flag(400, 300)), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.WriteFile(filepath.Join(r.dir, "c-notes.jpg"), []byte("hello"), 0o600); err != nil {
		t.Fatal(err)
	}
	r.Page = New(Deps{
		Keep: func() Keeper { return r }, Undo: func() string { return r.store.Steps().Undo },
		TakeBack: func() {
			if _, err := r.store.Undo(); err != nil {
				t.Error(err)
			}
			r.Refresh()
		},
		Besides: func() []string { return []string{"state:split", "reading:r3"} },
		Added:   func() { r.added++ }, Back: func() { r.left++ }, Folder: r.dir, Zone: time.UTC,
		Go: func(f func()) { f() }, Do: func(f func()) { f() }, Canvas: func() fyne.Canvas { return r.w.Canvas() },
	})
	r.w.SetPadded(false)
	r.w.SetContent(r.Content())
	r.w.Resize(size)
	r.Open(of)
	r.Focus()
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

// says is everything that can be read on the page.
func (r *rig) says() string {
	var b strings.Builder
	if r.adding {
		b.WriteString(sheet.Text(r.fieldBlocks()))
	} else {
		b.WriteString(sheet.Text(r.Blocks()))
	}
	for _, s := range r.list.Board().List().Shapes {
		b.WriteString(s.Text + "\n")
	}
	return b.String()
}

// press presses a line of the list.
func (r *rig) press(id string) {
	r.t.Helper()
	for _, tg := range r.list.Board().List().Targets {
		if tg.ID == id {
			at := tg.Area[0].World
			e := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(float32(at.X())+4, float32(at.Y())+4)}}
			r.list.Board().MouseDown(e)
			r.list.Board().MouseUp(e)
			return
		}
	}
	r.t.Fatalf("the list has no %s", id)
}

// tap presses a button that is seen.
func (r *rig) tap(name string) {
	r.t.Helper()
	rows := []fyne.CanvasObject{r.buttons}
	if r.adding {
		rows = append(rows, r.fields.Objects()...)
	}
	for _, o := range rows {
		row, ok := o.(*fyne.Container)
		if !ok {
			continue
		}
		for _, b := range row.Objects {
			if c, ok := b.(*command.Chip); ok && c.Visible() && c.Command.Name == name {
				if c.Size().Height < theme.Touch {
					r.t.Errorf("%q is %g high", name, c.Size().Height)
				}
				test.Tap(c)
				return
			}
		}
	}
	r.t.Fatalf("there is no button %q", name)
}

func (r *rig) photos() []store.Photo {
	all, err := r.store.Photos()
	if err != nil {
		r.t.Fatal(err)
	}
	return all
}

// A photo is chosen, looked at, named and added by keys alone, and taken back.
func TestPage_AddsByKeysAlone(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700), "module:M07")
	if !strings.Contains(r.says(), "No photos yet") || !strings.Contains(r.says(), "Add a photo") {
		t.Errorf("an empty page says\n%s", r.says())
	}
	r.key(fyne.KeyReturn) // the one thing that can be done
	r.key(fyne.KeyEnd, fyne.KeyUp, fyne.KeyReturn)
	if r.large == nil || !strings.Contains(r.says(), "b-lid.png") || len(r.photos()) != 0 {
		t.Fatalf("shown %v, added %d:\n%s", r.large != nil, len(r.photos()), r.says())
	}
	r.typed("coolant at the lid")
	r.key(fyne.KeyReturn)
	got := r.photos()
	if len(got) != 1 || got[0].Of != "module:M07" || got[0].Name != "coolant at the lid" || r.added != 1 {
		t.Fatalf("kept %+v, told %d times", got, r.added)
	}
	for _, s := range []string{"coolant at the lid", "Of M07.", "1 photo of this case", "Ctrl Z"} {
		if !strings.Contains(r.says(), s) {
			t.Errorf("the page lacks %q:\n%s", s, r.says())
		}
	}
	r.key(fyne.KeyReturn)
	if !r.full || r.list.Visible() {
		t.Error("Enter does not show it large")
	}
	r.key(fyne.KeyEscape)
	if r.full || !r.list.Visible() || r.left != 0 {
		t.Error("Escape does not lead back to the list")
	}
	r.key(fyne.KeyEscape)
	if r.left != 1 {
		t.Error("Escape does not leave the page")
	}
}

func TestPage_AddsByTapsAlone(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700), "reading:r3")
	for _, name := range []string{"file:a-lead.png", "file:b-lid.png"} {
		r.tap("Add a photo")
		r.press(name)
		if name == "file:b-lid.png" {
			r.tap("It belongs to state split")
			r.tap("It belongs to the case as a whole")
		}
		r.tap("Add this photo")
	}
	got := r.photos()
	if len(got) != 2 || got[0].Of != "reading:r3" || got[0].Name != "a-lead.png" || got[1].Of != "" {
		t.Fatalf("kept %+v", got)
	}
	r.press(got[0].ID)
	if r.chosen != got[0].ID || !strings.Contains(sheet.Text(r.Blocks()), "Of reading r3.") {
		t.Errorf("chosen %q:\n%s", r.chosen, sheet.Text(r.Blocks()))
	}
	r.tap("Undo")
	if len(r.photos()) != 1 || strings.Contains(r.says(), "b-lid.png") {
		t.Errorf("after undo %d photos:\n%s", len(r.photos()), r.says())
	}
	r.tap("Undo")
	if r.undo.Visible() || !strings.Contains(r.says(), "No photos yet") {
		t.Errorf("nothing is left to undo, and the button is seen: %v\n%s", r.undo.Visible(), r.says())
	}
}

func TestPage_WhatIsWrongIsSaidAndCanBeMended(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700), "")
	r.typed("a")
	r.press("file:c-notes.jpg")
	if !strings.Contains(r.says(), "c-notes.jpg: is no picture that can be shown") || !strings.Contains(r.says(), "Nothing was added.") {
		t.Errorf("says\n%s", r.says())
	}
	path := filepath.Join(r.dir, "none.png")
	r.typedPath(path)
	if e, ok := r.w.Canvas().Focused().(*form.Entry); !ok || e.Text != path || !strings.Contains(r.says(), "no such file") {
		t.Errorf("the keyboard is on %T:\n%s", r.w.Canvas().Focused(), r.says())
	}
	half := filepath.Join(r.dir, "half.png")
	whole := pngOf(t, flag(40, 30))
	if err := os.WriteFile(half, whole[:len(whole)-20], 0o600); err != nil {
		t.Fatal(err)
	}
	r.typedPath(half)
	if !strings.Contains(r.says(), "It cannot be shown: the picture's file is damaged") {
		t.Errorf("half a picture says\n%s", r.says())
	}
	r.press("file:a-lead.png")
	r.typed("lead")
	r.fails = errors.New("the disk is full; nothing of this was saved")
	r.key(fyne.KeyReturn)
	if !r.adding || r.file.entry.Text != "lead" || !strings.Contains(r.says(), "Not added: the disk is full") {
		t.Errorf("adding %v, note %q:\n%s", r.adding, r.file.entry.Text, r.says())
	}
	r.fails = nil
	r.key(fyne.KeyReturn)
	if len(r.photos()) != 1 {
		t.Errorf("kept %+v", r.photos())
	}
}

// What was typed outlives Escape.
func TestPage_LeavingKeepsWhatWasTyped(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700), "module:M07")
	r.typed("a")
	r.press("file:a-lead.png")
	r.typed("lead")
	r.key(fyne.KeyEscape)
	if r.left != 0 || r.adding || !strings.Contains(r.says(), "not added") {
		t.Fatalf("left %d, adding %v:\n%s", r.left, r.adding, r.says())
	}
	r.typed("a")
	if r.file.entry.Text != "lead" || r.large == nil {
		t.Errorf("opened again the note is %q, the picture seen: %v", r.file.entry.Text, r.large != nil)
	}
}

// A photo whose bytes are no picture, from another program, is listed with why it
// cannot be seen.
func TestPage_AKeptFileThatIsNoPicture(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700), "")
	if _, err := r.store.AddPhoto("", "notes", []byte("hello")); err != nil {
		t.Fatal(err)
	}
	r.Refresh()
	if !strings.Contains(r.says(), "It cannot be shown: is no picture") || !strings.Contains(r.says(), "cannot be") {
		t.Errorf("says\n%s", r.says())
	}
	if r.buttons.Objects[2].Visible() {
		t.Error("there is a full size of nothing")
	}
}

// Nothing lies outside the window or over another thing, at any size.
func TestPage_FitsTheWindow(t *testing.T) {
	for _, size := range []fyne.Size{{Width: 1920, Height: 1000}, {Width: 1024, Height: 640}, {Width: 640, Height: 400}, {Width: 480, Height: 320}} {
		r := newRig(t, size, "module:M07")
		r.typed("a")
		r.press("file:a-lead.png")
		inside := func(what string, o fyne.CanvasObject) {
			p, s := o.Position(), o.Size()
			if p.X < 0 || p.Y < 0 || p.X+s.Width > size.Width+0.5 || p.Y+s.Height > size.Height+0.5 || s.Width < 60 || s.Height < 40 {
				t.Errorf("at %v the %s lies at %v, %v large", size, what, p, s)
			}
		}
		inside("list", r.list)
		if size.Height > 500 {
			inside("picture", r.roll)
		}
		inside("fields", r.fields.Roll)
		r.tap("Add this photo")
		inside("list", r.list)
		inside("picture", r.roll)
		if r.caption.Visible() {
			inside("caption", r.caption)
		} else if size.Height > 500 {
			t.Errorf("at %v there is no caption", size)
		}
	}
}

// A photo can belong to the present state, whatever the page was opened for.
func TestPage_APhotoOfAState(t *testing.T) {
	r := newRig(t, fyne.NewSize(1280, 700), "reading:r3")
	r.tap("Add a photo")
	r.press("file:a-lead.png")
	r.tap("It belongs to state split")
	r.tap("Add this photo")
	if got := r.photos(); len(got) != 1 || got[0].Of != "state:split" {
		t.Fatalf("kept %+v", got)
	}
	r.tap("Add a photo")
	r.press("file:b-lid.png")
	r.tap("Add this photo")
	if got := r.photos(); len(got) != 2 || got[1].Of != "reading:r3" {
		t.Errorf("the next one is of %+v", got)
	}
}
