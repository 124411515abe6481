package listing

import (
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/fault"
	"halfsplit/fault/lists"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/store"
)

// A Keeper is what the page needs of the store.
type Keeper interface {
	AddList(l store.List) (write, taken func() error)
}

// Deps is what the page is given.
type Deps struct {
	Case      func() fault.Case // as it is now
	Store     func() Keeper     // the case's store as it is now
	Stored    func(said string) // a list was stored: the case has changed
	Back      func()
	Clipboard func() string // nil = none
	Copy      func(text string)
	Now       func() string // RFC 3339; "" = no clock
	Zone      *time.Location
	Folder    string       // where the search for files begins
	Go        func(func()) // runs beside the window
	Do        func(func()) // runs on the window's thread
	Canvas    func() fyne.Canvas
	Key       func(*fyne.KeyEvent) bool // keys of the window around; true = taken
	Shortcut  func(fyne.Shortcut)
	Modifier  func() fyne.KeyModifier
}

// ids of what is pressed where there is no list yet.
const (
	pasteID = "paste"
	openID  = "open"
)

// A Page is the page.
type Page struct {
	deps   Deps
	set    *command.Set
	name   string // of the list
	v      view   // as it is shown
	sure   view   // as it was read last
	loaded bool
	at     string // the line that the keyboard is on
	said   string
	wrong  string
	work   job
	run    int // of the present job: what an earlier one still says is not heard

	kind   kind
	from   int  // first of the rows that are shown
	low    bool // there is room for the lines or for the rows
	over   bool // where it is low: the rows are shown
	sorted map[kind][]lists.Row

	choosing bool
	folder   string
	file     chooser

	left, right *form.List
	path        *form.Labelled
	buttons     *fyne.Container
	primary     *command.Chip
	withList    []*command.Chip // shown once there is a list
	withMany    []*command.Chip // shown where not all rows are
	ground      *canvas.Rectangle
	root        *fyne.Container
}

// New makes the page.
func New(deps Deps) *Page {
	if deps.Zone == nil {
		deps.Zone = time.Local
	}
	p := &Page{deps: deps, folder: deps.Folder, ground: canvas.NewRectangle(nil), set: &command.Set{Around: deps.Key, Modifier: deps.Modifier}}
	p.left = form.NewList(func(w float64) (*scene.List, float64) {
		return sheet.DrawSized(p.Blocks(), w, sheet.Sizes{Touch: float64(easel.Sizes().Touch()), Number: float64(easel.Sizes().Number())}, easel.Measure)
	}, p.pick)
	p.right = form.NewList(func(w float64) (*scene.List, float64) {
		if p.choosing {
			return p.drawFolder(w)
		}
		return p.drawRows(w)
	}, func(id string) {
		if p.choosing && id != "" {
			p.pickFile(id)
		}
	})
	for _, l := range []*form.List{p.left, p.right} {
		l.OnKey, l.OnRune = p.set.Key, p.set.Rune
	}
	p.file.where = form.NewEntry(1)
	p.file.where.OnSubmitted = p.typedPath
	p.file.where.OnShortcut = deps.Shortcut
	p.file.where.LeaveBy(deps.Key, p.back)
	p.path = form.NewLabelled("File or folder, Enter opens it", p.file.where)
	p.commands()
	p.root = &fyne.Container{Layout: layout{p}, Objects: []fyne.CanvasObject{p.ground, p.left, p.right, p.path, p.buttons}}
	return p
}

func (p *Page) commands() {
	p.buttons = form.NewFlow()
	button := func(c *command.Command) *command.Chip {
		b := command.NewChip(p.set.Add(c), p.set)
		p.buttons.Objects = append(p.buttons.Objects, b)
		return b
	}
	button(&command.Command{Name: "Back", Help: "End what is under way, leave the search for a file, or go back; what was read stays", Keys: "Esc", Named: []fyne.KeyName{fyne.KeyEscape}, Do: p.back})
	button(&command.Command{Name: "Paste", Help: "Take in what was copied, instead of what is shown", Keys: "Ctrl V, P", Runes: "p", Do: p.paste})
	button(&command.Command{Name: "Open a file", Help: "Look for a CSV or text file", Keys: "O", Runes: "o", Do: p.choose})
	p.primary = button(&command.Command{Name: "Store", Help: "Store what was read, as one step; in the search for a file, open it", Keys: "Enter", Named: []fyne.KeyName{fyne.KeyReturn, fyne.KeyEnter}, Do: p.enter, Label: p.primaryLabel})
	p.primary.Primary = true
	p.withList = append(p.withList, p.primary,
		button(&command.Command{Name: "Rows", Help: "All rows, those that were not read, those whose place was read before", Keys: "L", Runes: "l", Do: p.nextKind, Label: p.kindLabel}))
	p.withMany = append(p.withMany,
		button(&command.Command{Name: "Earlier", Help: "The hundred rows before those that are shown", Keys: ",", Runes: ",", Do: func() { p.moreRows(-1) }}),
		button(&command.Command{Name: "Later", Help: "The hundred rows after those that are shown", Keys: ".", Runes: ".", Do: func() { p.moreRows(1) }}))
	if p.deps.Copy != nil {
		p.withList = append(p.withList, button(&command.Command{Name: "Copy not read", Help: "Copy every row that was not read, with its line and the reason", Keys: "C", Runes: "c", Do: p.copy}))
	}
	named := func(help, keys string, do func(), names ...fyne.KeyName) {
		p.set.Add(&command.Command{Help: help, Keys: keys, Named: names, Do: do})
	}
	named("Another line, or file", "Up, down", func() { p.step(1) }, fyne.KeyDown)
	named("", "", func() { p.step(-1) }, fyne.KeyUp)
	named("Change what the line says; a press does the same", "Left, right", func() { p.change(p.at, 1) }, fyne.KeyRight, fyne.KeySpace)
	named("", "", func() { p.change(p.at, -1) }, fyne.KeyLeft)
	named("Roll the rows", "Page down, page up", func() { p.right.Page().By(0.85) }, fyne.KeyPageDown)
	named("", "", func() { p.right.Page().By(-0.85) }, fyne.KeyPageUp)
}

// Keys is the list of the page's keys.
func (p *Page) Keys() []sheet.Block { return sheet.Keys(p.set.Helped()) }

// Content is what is shown.
func (p *Page) Content() fyne.CanvasObject { return p.root }

// Enter shows the page; a list that was read before and not stored stays on it, read
// anew for the case as it is now.
func (p *Page) Enter() {
	p.said = ""
	if p.has() && p.work == idle {
		p.v.c, p.v.weighed = p.deps.Case(), nil
		p.again(p.v.m)
	}
	p.show()
}

// Refresh draws again what the window's colours or the case changed.
func (p *Page) Refresh() { p.show() }

// Say shows what just happened.
func (p *Page) Say(what string) {
	p.said = what
	p.show()
}

// Busy says that a list is being stored: nothing else is recorded until it is.
func (p *Page) Busy() bool { return p.work == storing }

// Close ends what is under way; call it when the page or the window is left.
func (p *Page) Close() { p.end() }

// Focus puts the keyboard on the lines, or on the files.
func (p *Page) Focus() {
	if p.deps.Canvas == nil || p.deps.Canvas() == nil {
		return
	}
	if p.choosing || !p.left.Visible() {
		p.deps.Canvas().Focus(p.right)
		return
	}
	p.deps.Canvas().Focus(p.left)
}

// has says that a list is shown.
func (p *Page) has() bool { return p.loaded }

func (p *Page) options() lists.Options {
	o := lists.Options{Name: p.name, Zone: p.deps.Zone}
	if p.deps.Now != nil {
		o.Now = p.deps.Now()
	}
	return o
}

// reset forgets which rows were looked at.
func (p *Page) reset() { p.from, p.sorted = 0, nil }

// show draws everything again.
func (p *Page) show() {
	for _, b := range p.withList {
		form.Visible(b, p.has() && p.work != storing && !p.choosing)
	}
	for _, b := range p.withMany {
		form.Visible(b, p.has() && p.work != storing && !p.choosing && len(p.rows()) > shownRows)
	}
	form.Visible(p.primary, p.choosing || p.has() && p.work != storing)
	for _, o := range p.buttons.Objects {
		o.Refresh()
	}
	p.left.Refresh()
	p.right.Refresh()
	p.root.Refresh()
}

func (p *Page) primaryLabel() string {
	switch {
	case p.choosing:
		return "Open"
	case len(p.v.p.Asks) > 0:
		return "Answer what is asked"
	case p.v.p.Stored() == 0:
		return "Nothing to store yet"
	}
	return "Store these " + counted(p.v.p.Values, "value", "values")
}

// Lines are the list of what can be changed.
func (p *Page) Lines() *form.List { return p.left }
