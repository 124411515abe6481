package emergency

import (
	"fyne.io/fyne/v2"

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
	editing bool
	numbers *form.Entry
	steps   *form.Entry
	wrong   string
	root    *fyne.Container
}

// New makes the page.
func New(deps Deps) *Page {
	p := &Page{deps: deps, set: &command.Set{Around: deps.Key}}
	p.list = form.NewList(func(w float64) (*scene.List, float64) {
		text, note := p.deps.Load()
		t, own := Read(text)
		return large(Blocks(t, own, note), w)
	}, func(string) {})
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
	p.root = &fyne.Container{Layout: layout{p}, Objects: []fyne.CanvasObject{p.list, p.buttons, p.edit.Roll}}
	p.edit.Roll.Hide()
	return p
}

// large sets the page in type that is read from a step away, in a column that is
// not too wide to read.
func large(b []sheet.Block, w float64) (*scene.List, float64) {
	const by = 1.4
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

// Edit opens the fields.
func (p *Page) Edit() {
	text, _ := p.deps.Load()
	t, _ := Read(text)
	entry := func(lines int, s string) *form.Entry {
		e := form.NewEntry(lines)
		e.SetText(s)
		e.OnKey, e.OnShortcut = p.fieldKey, p.deps.Shortcut
		return e
	}
	p.numbers, p.steps = entry(5, t.Numbers), entry(9, t.Steps)
	p.editing, p.wrong = true, ""
	p.showEdit()
	p.focus(p.numbers)
}

func (p *Page) showEdit() {
	blocks := []sheet.Block{{Kind: sheet.Title, Text: "The workshop's own numbers and steps", Bold: true},
		{Kind: sheet.Soft, Text: "One to a line; before a number who it is, and a colon. They are kept in the casebook."}}
	buttons := form.NewFlow()
	if p.deps.Save == nil {
		p.wrong = "No casebook is open, so that nothing can be kept now."
	} else {
		save := command.NewChip(&command.Command{Name: "Save this page", Do: p.save}, p.set)
		save.Primary = true
		buttons.Objects = append(buttons.Objects, save)
	}
	if p.wrong != "" {
		blocks = append(blocks, sheet.Block{Kind: sheet.Caution, Text: p.wrong})
	}
	buttons.Objects = append(buttons.Objects, command.NewChip(&command.Command{Name: "Leave it as it was", Keys: "Esc", Do: p.back}, p.set))
	p.edit.Set(easel.NewBoard(theme.Paper, 200, func(w float64) (*scene.List, float64) { return usual(blocks, w) }),
		buttons, form.NewLabelled("Numbers", p.numbers), form.NewLabelled("Steps", p.steps))
	p.list.Hide()
	p.buttons.Hide()
	p.edit.Roll.Show()
	p.root.Refresh()
}

// fieldKey is a key in a field. Tab leaves it: a tab is no part of a number.
func (p *Page) fieldKey(k *fyne.KeyEvent) bool {
	switch {
	case p.deps.Key != nil && p.deps.Key(k):
	case k.Name == fyne.KeyEscape:
		p.back()
	case k.Name == fyne.KeyTab && p.deps.Canvas != nil:
		p.deps.Canvas().FocusNext()
	default:
		return false
	}
	return true
}

func (p *Page) save() {
	if err := p.deps.Save(Text{Numbers: p.numbers.Text, Steps: p.steps.Text}.Write()); err != nil {
		p.wrong = err.Error()
		p.showEdit()
		return
	}
	p.back()
}

// back leaves the fields, or the page.
func (p *Page) back() {
	if !p.editing {
		p.deps.Back()
		return
	}
	p.editing = false
	p.edit.Roll.Hide()
	p.list.Show()
	p.buttons.Show()
	p.root.Refresh()
	p.Focus()
}

// layout puts the buttons above what is read.
type layout struct{ p *Page }

func (l layout) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	row := form.HighFor(l.p.buttons, s.Width)
	l.p.buttons.Move(fyne.NewPos(0, 0))
	l.p.buttons.Resize(fyne.NewSize(s.Width, row))
	l.p.list.Move(fyne.NewPos(0, row))
	l.p.list.Resize(fyne.NewSize(s.Width, s.Height-row))
	l.p.edit.Place(fyne.NewPos(0, 0), fyne.NewSize(min(s.Width, 900), s.Height))
}

func (layout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 200) }
