// Package photos is the page of a case's photos: the list with small pictures, one
// of them large, and how another is added from a file, with a note and what it
// belongs to.
//
// It knows pictures and files, and nothing of readings: what a photo belongs to is
// a name that it is given. What is added is kept by the store and undone by its
// name. Pictures are made beside the window; everything else runs on its thread.
package photos

import (
	"image"
	"slices"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"
	"fyne.io/fyne/v2/container"

	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/store"
	"halfsplit/ui/theme"
)

// Keeper is what the page needs of the store.
type Keeper interface {
	AddPhoto(of, name string, data []byte) (store.Photo, error)
	Photos() ([]store.Photo, error)
	PhotoData(id string) ([]byte, error)
}

// Deps is what the page is given.
type Deps struct {
	Keep     func() Keeper   // the case's store as it is now
	Undo     func() string   // name of what an undo would take back; "" = nothing
	TakeBack func()          // undoes it
	Besides  func() []string // what a new photo may belong to besides what the page was opened for; nil = nothing
	Added    func()          // a photo was added: the case has changed
	Back     func()
	Folder   string // where the search for files begins
	Zone     *time.Location
	Go       func(func()) // runs beside the window
	Do       func(func()) // runs on the window's thread
	Canvas   func() fyne.Canvas
	Key      func(*fyne.KeyEvent) bool // keys of the window around; true = taken
	Shortcut func(fyne.Shortcut)
	Modifier func() fyne.KeyModifier
}

// A Page is the page.
type Page struct {
	deps   Deps
	set    *command.Set
	all    []store.Photo
	chosen string
	of     string // what a new photo would belong to
	said   string // what just happened
	wrong  string // why the photos cannot be read
	small  map[string]shown
	making bool // a small picture is being made
	run    int  // of the large picture
	large  image.Image
	largeW string // why there is no large picture
	full   bool   // point for point

	adding  bool
	file    picker
	buttons *fyne.Container
	undo    *command.Chip
	list    *form.List
	shelf   *shelf
	caption *easel.Board
	image   *canvas.Image
	roll    *container.Scroll
	fields  *form.Page
	ground  *canvas.Rectangle
	root    *fyne.Container
}

// New makes the page.
func New(deps Deps) *Page {
	if deps.Zone == nil {
		deps.Zone = time.Local
	}
	p := &Page{deps: deps, small: map[string]shown{}, set: &command.Set{Around: deps.Key, Modifier: deps.Modifier}}
	p.file.folder = deps.Folder
	p.list = form.NewList(p.draw, p.pick)
	p.list.OnKey, p.list.OnRune = p.set.Key, p.set.Rune
	p.shelf = newShelf(p)
	p.list.Page().Set(p.shelf)
	p.caption = easel.NewBoard(theme.Paper, 200, func(w float64) (*scene.List, float64) {
		l, high := sheet.Draw(p.Blocks(), w, easel.Measure)
		return l, high - 8
	})
	p.image = canvas.NewImageFromImage(nil)
	p.image.FillMode = canvas.ImageFillContain
	p.roll = container.NewScroll(p.image)
	p.fields = form.NewPage(18)
	p.ground = canvas.NewRectangle(nil)
	p.commands()
	p.root = &fyne.Container{Layout: layout{p}, Objects: []fyne.CanvasObject{p.ground, p.list, p.roll, p.caption, p.fields.Roll, p.buttons}}
	return p
}

func (p *Page) commands() {
	p.buttons = form.NewFlow()
	button := func(c *command.Command, primary bool) *command.Chip {
		b := command.NewChip(p.set.Add(c), p.set)
		b.Primary = primary
		p.buttons.Objects = append(p.buttons.Objects, b)
		return b
	}
	button(&command.Command{Name: "Back", Help: "Back from full size, from a new photo, from the photos", Keys: "Esc", Named: []fyne.KeyName{fyne.KeyEscape}, Do: p.back}, false)
	button(&command.Command{Name: "Add a photo", Help: "Add a photo from a file", Keys: "A", Runes: "a", Do: p.add}, true)
	button(&command.Command{Name: "Full size", Help: "The photo point for point, or whole; Enter does the same", Keys: "F", Runes: "f", Do: p.toggleFull, On: func() bool { return p.full }}, false)
	p.undo = button(&command.Command{Name: "Undo", Help: "Take back the photo that was added last; it stays in the history", Keys: "Ctrl Z", Do: func() { p.deps.TakeBack() }, Label: p.undoLabel}, false)
	named := func(do func(), keys ...fyne.KeyName) { p.set.Add(&command.Command{Named: keys, Do: do}) }
	p.set.Add(&command.Command{Help: "Next and previous photo or file; home and end, the first and the last", Keys: "Down, up", Named: []fyne.KeyName{fyne.KeyDown}, Do: func() { p.step(1) }})
	named(func() { p.step(-1) }, fyne.KeyUp)
	named(func() { p.step(-len(p.ids())) }, fyne.KeyHome)
	named(func() { p.step(len(p.ids())) }, fyne.KeyEnd)
	named(p.enter, fyne.KeyReturn, fyne.KeyEnter)
	p.set.Add(&command.Command{Help: "Roll the photo in full size, as left and right do", Keys: "Page down, page up", Named: []fyne.KeyName{fyne.KeyPageDown}, Do: func() { p.roam(0, 0.5) }})
	named(func() { p.roam(0, -0.5) }, fyne.KeyPageUp)
	named(func() { p.roam(0.5, 0) }, fyne.KeyRight)
	named(func() { p.roam(-0.5, 0) }, fyne.KeyLeft)
}

// Keys is the list of the page's keys.
func (p *Page) Keys() []sheet.Block { return sheet.Keys(p.set.Helped()) }

// undoLabel names what is taken back, shortened where it is long.
func (p *Page) undoLabel() string {
	name := []rune(p.deps.Undo())
	if len(name) > 28 {
		name = append(name[:27:27], '…')
	}
	return "Undo: " + string(name)
}

// Content is what is shown.
func (p *Page) Content() fyne.CanvasObject { return p.root }

// Open shows the photos; a new one would belong to of.
func (p *Page) Open(of string) {
	p.of, p.said, p.file.instead = of, "", nil
	p.Refresh()
}

// Offer opens a file that was dropped on the window.
func (p *Page) Offer(path string) {
	p.add()
	p.file.take(p, path)
}

// Say reads the photos again and says what just happened.
func (p *Page) Say(what string) {
	p.said = what
	p.Refresh()
}

// Focus puts the keyboard on the list.
func (p *Page) Focus() { p.focus(p.list) }

func (p *Page) focus(f fyne.Focusable) {
	if p.deps.Canvas != nil && p.deps.Canvas() != nil {
		p.deps.Canvas().Focus(f)
	}
}

// Refresh reads the photos again.
func (p *Page) Refresh() {
	all, err := p.deps.Keep().Photos()
	p.all, p.wrong = all, ""
	if err != nil {
		p.wrong = err.Error()
	}
	if !slices.Contains(p.ids(), p.chosen) && !p.adding {
		p.chosen = ""
		if len(all) > 0 {
			p.chosen = all[len(all)-1].ID // the newest
		}
	}
	p.makeSmall()
	p.showLarge()
}

// ids are what is listed now, in order.
func (p *Page) ids() []string {
	if p.adding {
		return p.file.listing.IDs()
	}
	var out []string
	for _, ph := range p.all {
		out = append(out, ph.ID)
	}
	return out
}

// show draws everything again.
func (p *Page) show() {
	p.image.Image = p.large
	p.image.Refresh()
	p.caption.Refresh()
	if p.adding && len(p.fields.Objects()) > 0 {
		p.fields.Objects()[0].Refresh()
		p.fields.Again()
	}
	p.list.Refresh()
	p.shelf.Refresh()
	for _, o := range p.buttons.Objects {
		o.Refresh()
	}
	p.root.Refresh()
}

// photo is the chosen one.
func (p *Page) photo() (store.Photo, bool) {
	for _, ph := range p.all {
		if ph.ID == p.chosen {
			return ph, true
		}
	}
	return store.Photo{}, false
}

// Blocks are what the page says beside the list.
func (p *Page) Blocks() []sheet.Block {
	var b []sheet.Block
	ph, ok := p.photo()
	switch {
	case p.wrong != "":
		b = append(b, sheet.Block{Kind: sheet.Title, Text: "The photos cannot be read", Bold: true}, sheet.Block{Kind: sheet.Caution, Text: p.wrong + "."})
	case ok:
		b = append(b, sheet.Block{Kind: sheet.Title, Text: ph.Name, Bold: true},
			sheet.Block{Kind: sheet.Para, Text: "Of " + Spoken(ph.Of) + ".  " + About(ph, p.deps.Zone)})
	default:
		b = append(b, sheet.Block{Kind: sheet.Title, Text: "Photos of this case", Bold: true},
			sheet.Block{Kind: sheet.Para, Text: "“Add a photo” takes one from a file."})
	}
	if p.largeW != "" {
		b = append(b, sheet.Block{Kind: sheet.Caution, Text: p.largeW})
	}
	if p.file.begun() && !p.adding {
		b = append(b, sheet.Block{Kind: sheet.Soft, Text: "Something was typed for a photo that is not added; “Add a photo” goes on with it."})
	}
	if p.said != "" {
		b = append(b, sheet.Block{Kind: sheet.Para, Text: p.said})
	}
	return b
}

// draw is the list.
func (p *Page) draw(width float64) (*scene.List, float64) {
	if p.adding {
		return p.file.draw(width)
	}
	if len(p.all) == 0 {
		l := &scene.List{}
		return l, notice(l, 20, "No photos yet", "A photo shows what a reading cannot: where coolant stood, how a lead lay, what a label says. It stays in the casebook with the case, and belongs to what is selected when the page is opened.", width)
	}
	return drawRows(p.all, p.chosen, func(id string) string {
		s, done := p.small[id]
		switch {
		case !done:
			return "reading it …"
		case s.small == nil:
			return s.wrong
		}
		return ""
	}, p.deps.Zone, width)
}

func (p *Page) pick(id string) {
	if p.adding {
		p.file.pick(p, id)
		return
	}
	p.choose(id)
}

func (p *Page) choose(id string) {
	p.chosen, p.said = id, ""
	p.showLarge()
	p.list.Reveal(id)
}

// step chooses the row so many places on, or the last that way.
func (p *Page) step(by int) {
	ids := p.ids()
	if len(ids) == 0 {
		return
	}
	at := p.chosen
	if p.adding {
		at = p.file.chosen
	}
	id := ids[max(0, min(len(ids)-1, max(0, slices.Index(ids, at))+by))]
	if p.adding {
		p.file.chosen = id
		p.list.Refresh()
		p.list.Reveal(id)
		return
	}
	p.choose(id)
}

// enter opens what is chosen: large, or the file.
func (p *Page) enter() {
	switch {
	case p.adding:
		p.file.pick(p, p.file.chosen)
	case len(p.all) == 0:
		p.add()
	default:
		p.toggleFull()
	}
}

func (p *Page) toggleFull() {
	if p.large == nil {
		return
	}
	p.full = !p.full
	p.show()
}

// roam rolls the picture by shares of its pane, where it is shown in full.
func (p *Page) roam(x, y float32) {
	if !p.full {
		return
	}
	o, s, c := p.roll.Offset, p.roll.Size(), p.image.MinSize()
	p.roll.Offset = fyne.NewPos(fyne.Max(0, fyne.Min(c.Width-s.Width, o.X+x*s.Width)), fyne.Max(0, fyne.Min(c.Height-s.Height, o.Y+y*s.Height)))
	p.roll.Refresh()
}

// back leaves full size, the file, or the page.
func (p *Page) back() {
	switch {
	case p.adding:
		p.leaveAdding()
	case p.full:
		p.full = false
		p.show()
	default:
		p.deps.Back()
	}
}
