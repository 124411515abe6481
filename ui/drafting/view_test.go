package drafting

import (
	"bytes"
	"fmt"
	"image"
	"image/color"
	"image/png"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/driver/desktop"
	"fyne.io/fyne/v2/test"
	"github.com/go-gl/mathgl/mgl64"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/command"
	"halfsplit/ui/form"
	"halfsplit/ui/hands"
	"halfsplit/ui/sheet"
	"halfsplit/ui/store"
	"halfsplit/ui/theme"
)

// a bench is the table in a window without a screen; what runs beside the window
// runs at once.
type bench struct {
	*View
	t    *testing.T
	w    fyne.Window
	st   store.Layouts
	left int    // how often the table was left
	clip string // the clipboard
}

func newBench(t *testing.T, l topology.Layout, size fyne.Size) *bench {
	test.NewTempApp(t).Settings().SetTheme(&theme.Theme{Force: theme.Light})
	st, err := store.NewLayoutMemory(l)
	if err != nil {
		t.Fatal(err)
	}
	b := &bench{t: t, w: test.NewTempWindow(t, nil), st: st}
	b.View = New(Deps{Store: st, Go: func(f func()) { f() }, Do: func(f func()) { f() }, Canvas: func() fyne.Canvas { return b.w.Canvas() },
		Copy: func(s string) { b.clip = s }, Clipboard: func() string { return b.clip }, Folder: t.TempDir(), Back: func() { b.left++ }})
	b.w.SetPadded(false)
	b.w.SetContent(b.Content())
	b.w.Resize(size)
	b.Focus()
	return b
}

// on is a bench in a window of the usual size.
func on(t *testing.T, l topology.Layout) *bench { return newBench(t, l, fyne.NewSize(1280, 740)) }

func (b *bench) key(names ...fyne.KeyName) { b.t.Helper(); hands.Key(b.t, b.w.Canvas(), names...) }
func (b *bench) typed(s string)            { b.t.Helper(); hands.Type(b.t, b.w.Canvas(), s) }

// replace types over what the field that has the focus holds.
func (b *bench) replace(s string) {
	b.t.Helper()
	e, ok := b.w.Canvas().Focused().(*form.Entry)
	if !ok {
		b.t.Fatalf("%T has the focus, and is no field", b.w.Canvas().Focused())
	}
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
	b.typed(s)
}

func walkObjects(o fyne.CanvasObject, f func(fyne.CanvasObject)) {
	if !o.Visible() {
		return
	}
	f(o)
	switch o := o.(type) {
	case *fyne.Container:
		for _, c := range o.Objects {
			walkObjects(c, f)
		}
	case *form.Labelled:
		walkObjects(o.Field, f)
	}
}

// objects calls f with everything that is on the table.
func (b *bench) objects(f func(fyne.CanvasObject)) {
	walkObjects(b.root, f)
	for _, o := range b.sheet.Objects() {
		walkObjects(o, f)
	}
}

// tap presses a button by what stands on it.
func (b *bench) tap(name string) {
	b.t.Helper()
	var found *command.Chip
	b.objects(func(o fyne.CanvasObject) {
		if c, ok := o.(*command.Chip); ok && found == nil {
			if c.Command.Name == name || c.Command.Label != nil && c.Command.Label() == name {
				found = c
			}
		}
	})
	if found == nil {
		b.t.Fatalf("there is no button %q", name)
	}
	if s := found.Size(); s.Height < theme.Touch {
		b.t.Errorf("%q is %g high", name, s.Height)
	}
	test.Tap(found)
}

// field is the field of a name.
func (b *bench) field(name string) *form.Entry {
	b.t.Helper()
	var found *form.Entry
	b.objects(func(o fyne.CanvasObject) {
		if l, ok := o.(*form.Labelled); ok && strings.HasPrefix(l.Name, name) && found == nil {
			found, _ = l.Field.(*form.Entry)
		}
	})
	if found == nil {
		b.t.Fatalf("there is no field %q", name)
	}
	return found
}

// set types into a field and leaves it.
func (b *bench) set(name, text string) {
	b.t.Helper()
	e := b.field(name)
	b.w.Canvas().Focus(e)
	e.TypedShortcut(&fyne.ShortcutSelectAll{})
	b.typed(text)
	b.Focus()
}

// press presses a place of the layout on the drawing.
func (b *bench) press(x, y float64) {
	v := b.pane.View()
	q := v.Screen(at(b.draft.fromLayout(mgl64.Vec2{x, y})))
	e := &desktop.MouseEvent{PointEvent: fyne.PointEvent{Position: fyne.NewPos(float32(q.X()), float32(q.Y()))}}
	b.pane.MouseDown(e)
	b.pane.MouseUp(e)
}

// pull drags from one place of the layout to another.
func (b *bench) pull(x, y, x1, y1 float64) {
	v := b.pane.View()
	p, q := v.Screen(at(b.draft.fromLayout(mgl64.Vec2{x, y}))), v.Screen(at(b.draft.fromLayout(mgl64.Vec2{x1, y1})))
	pos := func(c mgl64.Vec2) fyne.PointEvent {
		return fyne.PointEvent{Position: fyne.NewPos(float32(c.X()), float32(c.Y()))}
	}
	b.pane.MouseDown(&desktop.MouseEvent{PointEvent: pos(p)})
	const steps = 8
	for i := 1; i <= steps; i++ {
		b.pane.Dragged(&fyne.DragEvent{PointEvent: pos(p.Add(q.Sub(p).Mul(float64(i) / steps)))})
	}
	b.pane.MouseUp(&desktop.MouseEvent{PointEvent: pos(q)})
	b.pane.DragEnd()
}

// undone takes back so many edits.
func (b *bench) undone(n int) {
	for range n {
		b.Shortcut(&fyne.ShortcutUndo{})
	}
}

func (b *bench) module(id string) topology.Module {
	b.t.Helper()
	for _, m := range b.st.Layout().Modules {
		if m.ID == id {
			return m
		}
	}
	b.t.Fatalf("there is no module %s", id)
	return topology.Module{}
}

// Forty modules are put down, joined and kept by keys alone: two keys a link.
func TestTable_FortyModulesByKeysAlone(t *testing.T) {
	b := on(t, topology.Layout{Name: "bench", SeenFrom: "above"})
	b.typed("m")
	b.key(fyne.KeyReturn)
	b.typed("w")
	b.replace("39")
	b.key(fyne.KeyReturn)
	if n := len(b.st.Layout().Modules); n != 40 {
		t.Fatalf("%d modules were put down: %s", n, b.happened)
	}
	b.key(fyne.KeyEscape)
	b.typed("l")
	b.key(fyne.KeyTab) // from M01- to M01+
	b.key(fyne.KeyReturn)
	for range 39 {
		b.key(fyne.KeyReturn)
	}
	b.key(fyne.KeyEscape, fyne.KeyEscape)
	l := b.st.Layout()
	net, problems := topology.Compile(l)
	if len(l.Links) != 39 || len(net.Strings) != 1 || len(net.Strings[0].Modules) != 40 {
		t.Fatalf("%d links, %d strings, %v", len(l.Links), len(net.Strings), problems)
	}
	for i, m := range net.Strings[0].Modules {
		if m != i {
			t.Errorf("place %d of the string is module %d", i, m)
		}
	}
	b.undone(3)
	if n := len(b.st.Layout().Links); n != 36 {
		t.Errorf("after three undone edits there are %d links", n)
	}
}

// The same by presses alone.
func TestTable_ByPressesAlone(t *testing.T) {
	b := on(t, topology.Layout{Name: "bench", SeenFrom: "above"})
	b.tap("Put down")
	b.tap("Put down this module")
	b.tap("Put down")
	b.field("Copies").SetText("2")
	b.tap("Put these down")
	b.tap("Let go")
	b.tap("Link")
	one, two := b.module("M01"), b.module("M02")
	b.press(one.X+75, one.Y+330)
	b.press(two.X+75, two.Y+330)
	links := b.st.Layout().Links
	if len(links) != 1 || links[0].From != "M01+" || links[0].To != "M02-" {
		t.Fatalf("joined: %+v; it says %q", links, b.happened)
	}
	b.tap("Let go")
	b.press(two.X+75, two.Y+165)
	if !slices.Equal(b.draft.Chosen, edit.Selection{"M02"}) {
		t.Fatalf("chosen: %v", b.draft.Chosen)
	}
	b.tap("Delete")
	if l := b.st.Layout(); len(l.Modules) != 2 || len(l.Links) != 0 || !strings.Contains(b.happened, "L01") {
		t.Errorf("after deleting: %d modules, %d links; it says %q", len(l.Modules), len(l.Links), b.happened)
	}
	b.undone(1)
	if l := b.st.Layout(); len(l.Modules) != 3 || len(l.Links) != 1 {
		t.Errorf("undone: %d modules, %d links", len(l.Modules), len(l.Links))
	}
}

func TestTable_DragsMoveSnapAndBox(t *testing.T) {
	b := on(t, rowOf(t, 3))
	m := b.module("M03")
	b.pull(m.X+75, m.Y+165, m.X+75+33, m.Y+165+101)
	if now := b.module("M03"); now.X != m.X+30 || now.Y != m.Y+100 {
		t.Errorf("dragged by 33, 101 mm it moved by %g, %g on a grid of 10", now.X-m.X, now.Y-m.Y)
	}
	b.key(fyne.KeyEscape)
	b.typed("v")
	b.pull(-40, -40, 315, 380)
	if !slices.Equal(b.draft.Chosen, edit.Selection{"M01", "M02"}) {
		t.Errorf("the box chose %v", b.draft.Chosen)
	}
	b.key(fyne.KeyDown)
	if y := b.module("M02").Y; y != 10 || b.module("M01").Y != 10 || b.module("M03").Y != 100 {
		t.Errorf("a key moved M02 to y %g", y)
	}
	b.undone(2)
	if b.module("M03").X != m.X || b.module("M03").Y != m.Y {
		t.Error("undone it is not where it was")
	}
}

func TestTable_FieldsOfSeveralAtOnceAndWhatIsWrong(t *testing.T) {
	b := on(t, rowOf(t, 3))
	b.Shortcut(&fyne.ShortcutSelectAll{})
	b.open(fieldsPage)
	b.set("Groups in series", "12")
	for _, m := range b.st.Layout().Modules {
		if m.Series != 12 {
			t.Errorf("%s has %d groups", m.ID, m.Series)
		}
	}
	b.set("Width", "-3")
	if b.module("M01").W != 150 {
		t.Errorf("a width of -3 mm was kept: %g", b.module("M01").W)
	}
	if e := b.field("Width"); e.Text != "-3" {
		t.Errorf("what was typed is gone: %q", e.Text)
	}
	if !strings.Contains(b.pathWords(), "Width") && !strings.Contains(b.happened, "wide") && !strings.Contains(b.wrong, "mm") {
		t.Errorf("nothing says what is wrong: %q", b.wrong)
	}
	b.set("Width", "160,5")
	if w := b.module("M02").W; w != 160.5 {
		t.Errorf("a decimal comma gave %g", w)
	}
}

// pathWords is what the sheet says in words.
func (b *bench) pathWords() string {
	var out strings.Builder
	for _, k := range b.pathBlocks() {
		out.WriteString(k.Text)
	}
	return out.String()
}

func TestTable_EnterRenamesEverywhere(t *testing.T) {
	l := rowOf(t, 2)
	l, _, err := edit.Link(l, "M01+", "M02-", topology.Busbar)
	if err != nil {
		t.Fatal(err)
	}
	b := on(t, l)
	b.press(75, 165)
	b.set("Bench number", "M77")
	if k := b.st.Layout().Links[0]; k.From != "M77+" {
		t.Errorf("the link still begins at %s", k.From)
	}
	b.set("Bench number", "M02")
	if _, ok := b.draft.kinds["M77"]; !ok || !strings.Contains(b.happened, "M02") {
		t.Errorf("a number that is taken was given: %q", b.happened)
	}
}

// A short is named with its volts and the way to it.
func TestTable_AShortIsNamedWithTheWayToIt(t *testing.T) {
	l := rowOf(t, 3)
	for _, k := range [][2]string{{"M01+", "M02-"}, {"M02+", "M03-"}, {"M03+", "M01-"}} {
		var err error
		if l, _, err = edit.Link(l, k[0], k[1], topology.Busbar); err != nil {
			t.Fatal(err)
		}
	}
	b := on(t, l)
	b.open(pathPage)
	var said []sheet.Block
	for _, k := range b.problemBlocks() {
		if k.ID != "" {
			said = append(said, k)
		}
	}
	if len(said) == 0 || !strings.Contains(said[0].Text, "short") || b.draft.Kind(said[0].ID) != edit.LinkKind {
		t.Fatalf("to look at: %+v", said)
	}
	b.goTo(said[0].ID)
	b.key(fyne.KeyDelete)
	if _, problems := topology.Compile(b.st.Layout()); slices.ContainsFunc(problems, func(p topology.Problem) bool { return p.Kind == topology.Loop }) {
		t.Error("the short is still there")
	}
}

func TestTable_CopiesGoFromOneLayoutToAnother(t *testing.T) {
	a := on(t, rowOf(t, 3))
	a.Shortcut(&fyne.ShortcutSelectAll{})
	a.Shortcut(&fyne.ShortcutCopy{})
	b := on(t, rowOf(t, 2))
	b.clip = a.clip
	b.Shortcut(&fyne.ShortcutPaste{})
	if n := len(b.st.Layout().Modules); n != 5 {
		t.Fatalf("%d modules after pasting three; it says %q", n, b.happened)
	}
	b.clip = "just some text"
	b.Shortcut(&fyne.ShortcutPaste{})
	if n := len(b.st.Layout().Modules); n != 5 || !strings.HasPrefix(b.happened, "Not done") {
		t.Errorf("pasting text gave %d modules and says %q", n, b.happened)
	}
}

func TestTable_EscapeLetsGoStepByStepThenLeaves(t *testing.T) {
	b := on(t, rowOf(t, 2))
	b.press(75, 165)
	b.typed("l")
	b.key(fyne.KeyReturn)
	for i, want := range []func() bool{
		func() bool { return b.draft.From == "" && b.draft.Tool == Linking },
		func() bool { return b.draft.Tool == Choosing && len(b.draft.Chosen) == 1 },
		func() bool { return len(b.draft.Chosen) == 0 },
	} {
		b.key(fyne.KeyEscape)
		if !want() || b.left != 0 {
			t.Fatalf("after Escape %d: tool %d, from %q, chosen %v, left %d", i+1, b.draft.Tool, b.draft.From, b.draft.Chosen, b.left)
		}
	}
	b.key(fyne.KeyEscape)
	if b.left != 1 {
		t.Error("the last Escape does not leave")
	}
}

// chart is a photo whose left half is dark.
func chart(t *testing.T, dir string, w, h int) string {
	t.Helper()
	m := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			if x >= w/2 {
				m.SetGray(x, y, color.Gray{Y: 220})
			}
		}
	}
	var buf bytes.Buffer
	if err := png.Encode(&buf, m); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(dir, "pack.png")
	if err := os.WriteFile(path, buf.Bytes(), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// A photo is laid below, straightened and scaled, by keys alone.
func TestTable_APhotoIsStraightenedAndScaled(t *testing.T) {
	b := on(t, topology.Layout{Name: "bench", SeenFrom: "above"})
	path := chart(t, t.TempDir(), 400, 300)
	b.openFiles()
	b.focus(b.field("Path"))
	b.typed(path)
	b.key(fyne.KeyReturn)
	l := b.st.Layout()
	if len(l.Underlays) != 1 || l.Underlays[0].W != 1000 {
		t.Fatalf("laid below: %+v; it says %q %q", l.Underlays, b.happened, b.browser.wrong)
	}
	id := l.Underlays[0].ID
	b.begin(Squaring, id)
	u := l.Underlays[0]
	for _, c := range [4][2]float64{{0.1, 0.1}, {0.9, 0.2}, {0.8, 0.9}, {0.2, 0.8}} {
		b.press(u.X+c[0]*u.W, u.Y+c[1]*u.H)
	}
	b.tap("Straighten the photo")
	u = b.st.Layout().Underlays[0]
	if c := u.Corners; c[0][0] < 38 || c[0][0] > 42 || c[2][1] < 266 || c[2][1] > 274 {
		t.Fatalf("its corners lie at %v of 400 by 300 points", c)
	}
	b.press(u.X, u.Y)
	b.press(u.X+u.W, u.Y)
	b.focus(b.field("Between the two marks"))
	b.typed("1600")
	b.key(fyne.KeyReturn)
	if w := b.st.Layout().Underlays[0].W; w < 1590 || w > 1610 {
		t.Errorf("scaled by 1600 mm it is %g mm wide; it says %q", w, b.happened)
	}
	b.typed("[[")
	if o := b.st.Layout().Underlays[0].Opacity; o > 0.45 {
		t.Errorf("two steps fainter it has %g", o)
	}
	b.tap("Photos")
	b.tap("Lock it where it lies")
	b.begin(Measuring, id)
	if b.draft.Tool == Measuring || !strings.Contains(b.happened, "locked") {
		t.Errorf("a locked photo can be scaled: %q", b.happened)
	}
}

// A press by keys: the cross is moved and Enter presses there.
func TestTable_TheSketchByKeys(t *testing.T) {
	b := on(t, rowOf(t, 1))
	b.typed("k")
	b.key(fyne.KeyReturn, fyne.KeyRight, fyne.KeyRight, fyne.KeyDown, fyne.KeyReturn)
	l := b.st.Layout()
	if len(l.Sketch) != 1 || len(l.Sketch[0].Points) < 3 {
		t.Fatalf("the sketch: %+v; it says %q", l.Sketch, b.happened)
	}
	b.undone(1)
	if len(b.st.Layout().Sketch) != 0 {
		t.Error("undone the line is still there")
	}
}

func TestTable_AFileThatIsNoPictureIsRefusedInWords(t *testing.T) {
	b := on(t, topology.Layout{Name: "bench"})
	path := filepath.Join(t.TempDir(), "notes.jpg")
	if err := os.WriteFile(path, []byte("no picture"), 0o600); err != nil {
		t.Fatal(err)
	}
	b.openFiles()
	b.layTyped(path)
	if len(b.st.Layout().Underlays) != 0 || !strings.Contains(b.browser.wrong, "notes.jpg") {
		t.Errorf("it says %q", b.browser.wrong)
	}
}

// The tools, the drawing and the sheet have room in small windows too, and every
// button is high enough for a finger.
func TestTable_SmallWindows(t *testing.T) {
	for _, size := range []fyne.Size{{Width: 1024, Height: 640}, {Width: 700, Height: 900}, {Width: 512, Height: 330}, {Width: 410, Height: 280}} {
		t.Run(fmt.Sprint(size), func(t *testing.T) {
			b := newBench(t, rowOf(t, 4), size)
			if !b.pane.Visible() || b.pane.Size().Height < 60 || b.pane.Size().Width < 200 {
				t.Errorf("the drawing is %v", b.pane.Size())
			}
			b.open(fieldsPage)
			if !b.sheet.Roll.Visible() || b.sheet.Roll.Size().Height < 80 {
				t.Errorf("the sheet is %v, visible %v", b.sheet.Roll.Size(), b.sheet.Roll.Visible())
			}
			b.other()
			if !b.pane.Visible() {
				t.Error("the drawing does not come back")
			}
		})
	}
}

// Traced over a photo: outlines are drawn corner to corner.
func TestTable_OutlinesAreDrawnByDragging(t *testing.T) {
	b := on(t, topology.Layout{Name: "bench", SeenFrom: "above"})
	b.tap("Put down")
	b.tap("Draw outlines by dragging")
	b.pull(0, 0, 152, 331)
	b.pull(163, 2, 309, 329)
	l := b.st.Layout()
	if len(l.Modules) != 2 || l.Modules[0].W != 150 || l.Modules[0].H != 330 || l.Modules[1].X != 160 {
		t.Fatalf("drawn: %+v; it says %q", l.Modules, b.happened)
	}
	b.pull(400, 400, 403, 402)
	if n := len(b.st.Layout().Modules); n != 2 {
		t.Errorf("a drag of 3 mm made a module: %d", n)
	}
}

// A stack that is chosen goes along with any of its modules.
func TestTable_AStackMovesAsAWhole(t *testing.T) {
	b := on(t, rowOf(t, 3))
	b.Shortcut(&fyne.ShortcutSelectAll{})
	b.newStack(edit.Selection{"M01", "M02", "M03"})
	id := b.st.Layout().Stacks[0].ID
	if !b.draft.Has(id) {
		t.Fatalf("the new stack is not chosen: %v", b.draft.Chosen)
	}
	before := b.st.Layout().Stacks[0]
	b.pull(75, 165, 75, 265)
	if s := b.st.Layout().Stacks[0]; s.Y != before.Y+100 {
		t.Errorf("the stack moved from %g to %g", before.Y, s.Y)
	}
}

// In a low window the sheet has the drawing's place: Escape out of a field leads to the
// drawing, F6 there and back, and a module that was put down is seen at once.
func TestTable_InALowWindowFieldsLeadToTheDrawing(t *testing.T) {
	b := newBench(t, topology.Layout{Name: "bench", SeenFrom: "above"}, fyne.NewSize(512, 330))
	b.typed("m")
	if b.pane.Visible() {
		t.Fatal("the page did not come")
	}
	b.key(fyne.KeyEscape)
	if !b.pane.Visible() || b.w.Canvas().Focused() != fyne.Focusable(b.pane) {
		t.Errorf("after Escape the drawing is visible: %v; %T has the keyboard", b.pane.Visible(), b.w.Canvas().Focused())
	}
	b.key(fyne.KeyF6)
	b.key(fyne.KeyF6)
	if !b.pane.Visible() {
		t.Error("F6 does not come back out of a field")
	}
	b.typed("m")
	b.key(fyne.KeyReturn)
	if !b.pane.Visible() || len(b.st.Layout().Modules) != 1 {
		t.Errorf("a module was put down: %d; the drawing is visible: %v", len(b.st.Layout().Modules), b.pane.Visible())
	}
	b.typed("w")
	b.replace("3")
	b.key(fyne.KeyReturn)
	if n := len(b.st.Layout().Modules); n != 4 || !b.pane.Visible() {
		t.Errorf("%d modules; it says %q", n, b.happened)
	}
}
