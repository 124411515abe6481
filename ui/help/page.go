package help

import (
	"fyne.io/fyne/v2"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
)

// Deps is what the page is given.
type Deps struct {
	Keys   func() []sheet.Block // of the screen that one comes from
	Show   func()               // begins the tour
	Back   func()
	Canvas func() fyne.Canvas
	Key    func(*fyne.KeyEvent) bool // keys of the window around; true = taken
}

// A Page is the help.
type Page struct {
	deps    Deps
	set     *command.Set
	part    int // 0 first case, 1 words, 2 keys
	list    *form.List
	buttons *fyne.Container
	chips   []*command.Chip
	root    *fyne.Container
}

// New makes the page.
func New(deps Deps) *Page {
	p := &Page{deps: deps, set: &command.Set{Around: deps.Key}}
	p.list = form.NewList(func(w float64) (*scene.List, float64) {
		return sheet.Draw(p.Blocks(), min(w, 820), easel.Measure)
	}, func(string) {})
	p.buttons = form.NewFlow()
	add := func(c *command.Command, primary bool) {
		b := command.NewChip(p.set.Add(c), p.set)
		b.Primary = primary
		p.chips = append(p.chips, b)
		p.buttons.Objects = append(p.buttons.Objects, b)
	}
	add(&command.Command{Name: "Back", Keys: "Esc", Named: []fyne.KeyName{fyne.KeyEscape}, Do: func() { p.deps.Back() }}, false)
	for i, name := range []string{"First case", "Words", "Keys"} {
		key := string(rune('1' + i))
		add(&command.Command{Name: name, Keys: key, Runes: key, Do: func() { p.turn(i) }, On: func() bool { return p.part == i }}, false)
	}
	add(&command.Command{Name: "Show me", Keys: "S", Runes: "s", Do: func() { p.deps.Show() }}, true)
	roll := func(by float32) func() { return func() { p.list.Page().By(by) } }
	p.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyPageDown, fyne.KeyDown, fyne.KeySpace}, Do: roll(0.6)})
	p.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyPageUp, fyne.KeyUp}, Do: roll(-0.6)})
	p.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyRight}, Do: func() { p.turn((p.part + 1) % 3) }})
	p.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyLeft}, Do: func() { p.turn((p.part + 2) % 3) }})
	p.list.OnRune = p.set.Rune
	p.list.OnKey = p.set.Key
	p.root = &fyne.Container{Layout: layout{p}, Objects: []fyne.CanvasObject{p.list, p.buttons}}
	return p
}

// Blocks are what the page shows now.
func (p *Page) Blocks() []sheet.Block {
	switch p.part {
	case 1:
		return WordBlocks()
	case 2:
		var b []sheet.Block
		if p.deps.Keys != nil {
			b = p.deps.Keys()
		}
		return append(b, WindowKeys()...)
	}
	return TourBlocks()
}

// Content is what the window shows.
func (p *Page) Content() fyne.CanvasObject { return p.root }

// Focus puts the keyboard on the page.
func (p *Page) Focus() {
	p.list.Refresh()
	if p.deps.Canvas != nil && p.deps.Canvas() != nil {
		p.deps.Canvas().Focus(p.list)
	}
}

func (p *Page) turn(part int) {
	p.part = part
	p.chips[len(p.chips)-1].Primary = part == 0 // it shows what that part tells
	p.list.Page().Roll.Offset = fyne.NewPos(0, 0)
	p.list.Refresh()
	for _, c := range p.chips {
		c.Refresh()
	}
}

// layout puts the buttons above what is read.
type layout struct{ p *Page }

func (l layout) Layout(_ []fyne.CanvasObject, s fyne.Size) {
	row := form.HighFor(l.p.buttons, s.Width)
	l.p.buttons.Move(fyne.NewPos(0, 0))
	l.p.buttons.Resize(fyne.NewSize(s.Width, row))
	l.p.list.Move(fyne.NewPos(0, row))
	l.p.list.Resize(fyne.NewSize(s.Width, s.Height-row))
}

func (layout) MinSize([]fyne.CanvasObject) fyne.Size { return fyne.NewSize(300, 200) }
