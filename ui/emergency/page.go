package emergency

import (
	"strings"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// Deps is what the page is given.
type Deps struct {
	Load     func() (text, note string) // what is kept, and a remark on where it comes from
	Save     func(text string) error    // nil = nowhere to keep it now
	Back     func()
	Canvas   func() fyne.Canvas
	Key      func(*fyne.KeyEvent) bool // keys of the window around; true = taken
	Shortcut func(fyne.Shortcut)
}

// A Page is the emergency page.
type Page struct {
	deps    Deps
	set     *command.Set
	list    *form.List // what is read; it has the focus, so that keys work
	buttons *fyne.Container
	edit    *form.Page
	ground  *canvas.Rectangle
	editing bool
	draft   *Text // what was typed and neither saved nor thrown away
	numbers *form.Entry
	steps   *form.Entry
	wrong   string
	root    *fyne.Container
}

// New makes the page.
func New(deps Deps) *Page {
	p := &Page{deps: deps, set: &command.Set{Around: deps.Key}, ground: canvas.NewRectangle(nil)}
	p.list = form.NewList(p.draw, func(string) {})
	p.buttons = form.NewFlow()
	for _, c := range []*command.Command{
		{Name: "Back", Keys: "Esc", Named: []fyne.KeyName{fyne.KeyEscape}, Do: p.back},
		{Name: "Write the workshop's own", Keys: "E", Runes: "e", Do: p.Edit},
	} {
		b := command.NewChip(p.set.Add(c), p.set)
		b.Primary = c.Name == "Back"
		p.buttons.Objects = append(p.buttons.Objects, b)
	}
	roll := func(by float32) func() { return func() { p.list.Page().By(by) } }
	p.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyPageDown, fyne.KeyDown}, Do: roll(0.5)})
	p.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyPageUp, fyne.KeyUp}, Do: roll(-0.5)})
	p.list.OnRune = p.set.Rune
	p.list.OnKey = p.set.Key
	p.edit = form.NewPage(18)
	p.root = &fyne.Container{Layout: layout{p}, Objects: []fyne.CanvasObject{p.ground, p.list, p.buttons, p.edit.Roll}}
	p.edit.Roll.Hide()
	return p
}

// draw is the page as it is read: as large as it can be with all of it in sight,
// and never smaller than is read from a step away.
func (p *Page) draw(w float64) (*scene.List, float64) {
	b, room := p.Blocks(), 0.0
	if p.list != nil {
		room = float64(p.list.Size().Height)
	}
	for _, by := range []float64{1.4, 1.3, 1.2} {
		if l, high := large(b, w, by); high <= room {
			return l, high
		}
	}
	return large(b, w, 1.2)
}

// Blocks are what the page says now.
func (p *Page) Blocks() []sheet.Block {
	text, note := p.deps.Load()
	t, own := Read(text)
	b := Blocks(t, own, note)
	if p.draft != nil {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: "Something was typed for this page and is not saved. “Write the workshop's own” goes on with it."})
	}
	return b
}

// large sets the page so many times as large as a sheet, in a column that is not
// too wide to read.
func large(b []sheet.Block, w, by float64) (*scene.List, float64) {
	l, high := sheet.Draw(b, min(w, 1060)/by, func(s string, size float64, bold bool) float64 {
		return easel.Measure(s, size*by, bold) / by
	})
	for i := range l.Shapes {
		s := &l.Shapes[i]
		s.Size, s.Width, s.Round = s.Size*by, s.Width*by, s.Round*by
		for k := range s.Points {
			s.Points[k].World = s.Points[k].World.Mul(by)
			s.Points[k].Px = s.Points[k].Px.Mul(by)
		}
	}
	return l, high * by
}

// usual sets what is filled in.
func usual(b []sheet.Block, w float64) (*scene.List, float64) { return sheet.Draw(b, w, easel.Measure) }

// Content is what the window shows.
func (p *Page) Content() fyne.CanvasObject { return p.root }

// SetSave says how the page is kept from now on.
func (p *Page) SetSave(save func(text string) error) { p.deps.Save = save }

// Open shows what is to be read, whatever was going on: what was being typed is
// kept.
func (p *Page) Open() {
	p.leaveFields()
	p.list.Page().Roll.Offset = fyne.NewPos(0, 0)
}

// Focus puts the keyboard on the page and shows what is kept now.
func (p *Page) Focus() {
	if p.editing {
		p.focus(p.numbers)
		return
	}
	p.list.Refresh()
	p.focus(p.list)
}

func (p *Page) focus(f fyne.Focusable) {
	if p.deps.Canvas != nil && p.deps.Canvas() != nil {
		p.deps.Canvas().Focus(f)
	}
}

// kept is the page as it is kept, or the neutral one.
func (p *Page) kept() Text {
	text, _ := p.deps.Load()
	t, _ := Read(text)
	return t
}

// Edit opens the fields, with what was typed before and not saved.
func (p *Page) Edit() {
	t := p.kept()
	if p.draft != nil {
		t = *p.draft
	}
	p.editing, p.wrong = true, ""
	p.fill(t)
	p.showEdit()
	p.focus(p.numbers)
}

// fill makes the fields, with a text in them.
func (p *Page) fill(t Text) {
	entry := func(lines int, s string) *form.Entry {
		e := form.NewEntry(lines)
		e.SetText(s)
		e.OnKey, e.OnShortcut = p.fieldKey, p.deps.Shortcut
		return e
	}
	p.numbers, p.steps = entry(5, t.Numbers), entry(9, t.Steps)
}

func (p *Page) showEdit() {
	blocks := []sheet.Block{{Kind: sheet.Title, Text: "The workshop's own numbers and steps", Bold: true},
		{Kind: sheet.Soft, Text: "One to a line; before a number who it is, and a colon. They are kept in the casebook."}}
	if p.draft != nil {
		blocks = append(blocks, sheet.Block{Kind: sheet.Para, Text: "This is what was typed before and not saved."})
	}
	if p.deps.Save == nil {
		p.wrong = "No casebook is open, so that nothing can be kept now."
	}
	if p.wrong != "" {
		blocks = append(blocks, sheet.Block{Kind: sheet.Caution, Text: p.wrong})
	}
	button := func(name, keys string, primary bool, do func()) *command.Chip {
		b := command.NewChip(&command.Command{Name: name, Keys: keys, Do: do}, p.set)
		b.Primary = primary
		return b
	}
	buttons := form.NewFlow()
	if p.deps.Save != nil {
		buttons.Objects = append(buttons.Objects, button("Save this page", "", true, p.save))
	}
	buttons.Objects = append(buttons.Objects, button("Back", "Esc", p.deps.Save == nil, p.back))
	others := form.NewFlow(button("Put the neutral text here", "", false, func() { p.put(Default()) }))
	if p.draft != nil {
		others.Objects = append(others.Objects, button("Put back what is saved", "", false, func() {
			p.draft = nil
			p.put(p.kept())
		}))
	}
	p.edit.Set(easel.NewBoard(theme.Paper, 200, func(w float64) (*scene.List, float64) { return usual(blocks, w) }),
		form.NewLabelled("Numbers", p.numbers), form.NewLabelled("Steps", p.steps), buttons, others)
	p.list.Hide()
	p.buttons.Hide()
	p.edit.Roll.Show()
	p.root.Refresh()
}

// put fills the fields with another text; nothing is saved by it.
func (p *Page) put(t Text) {
	p.wrong = ""
	p.fill(t)
	p.showEdit()
	p.focus(p.numbers)
}

// fieldKey is a key in a field.
func (p *Page) fieldKey(k *fyne.KeyEvent) bool {
	switch {
	case p.deps.Key != nil && p.deps.Key(k):
	case k.Name == fyne.KeyEscape:
		p.back()
	default:
		return false
	}
	return true
}

func (p *Page) typed() Text { return Text{Numbers: p.numbers.Text, Steps: p.steps.Text} }

func (p *Page) save() {
	text := p.typed().Write()
	if p.typed() == Default() { // nothing of the workshop's own
		text = ""
	}
	if err := p.deps.Save(text); err != nil {
		p.wrong = "Not saved: " + strings.TrimSuffix(err.Error(), ".") + "."
		p.showEdit()
		p.focus(p.numbers)
		return
	}
	p.draft = nil
	p.fill(p.kept())
	p.back()
}

// leaveFields goes back to what is read; what was typed is kept until it is saved
// or put back.
func (p *Page) leaveFields() {
	if !p.editing {
		return
	}
	p.editing, p.draft = false, nil
	if t := p.typed(); t != p.kept() {
		p.draft = &t
	}
	p.edit.Roll.Hide()
	p.list.Show()
	p.buttons.Show()
	p.root.Refresh()
}

// back leaves the fields, or the page.
func (p *Page) back() {
	if !p.editing {
		p.deps.Back()
		return
	}
	p.leaveFields()
	p.Focus()
}

// layout puts the buttons above what is read.
type layout struct{ p *Page }

func (l layout) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	l.p.ground.FillColor = theme.Colour(theme.Paper, easel.Variant())
	l.p.ground.Resize(s)
	row := form.HighFor(l.p.buttons, s.Width)
	l.p.buttons.Move(fyne.NewPos(0, 0))
	l.p.buttons.Resize(fyne.NewSize(s.Width, row))
	l.p.list.Move(fyne.NewPos(0, row))
	l.p.list.Resize(fyne.NewSize(s.Width, s.Height-row))
	l.p.edit.Place(fyne.NewPos(0, 0), fyne.NewSize(min(s.Width, 900), s.Height))
}

func (layout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 200) }
