// Package reaching is the page on which a person asks, before anything is measured,
// how small a place a leak can be pinned to on the pack that is drawn: so many
// simulated packs, the answer in words, as a picture and as a table, and both as
// files. The simulation runs beside the window and ends when the page is left.
//
// It simulates nothing itself: package fault/reach does. It knows fingers, keys and
// how an answer is drawn, and nothing of readings.
package reaching

import (
	"context"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/fault"
	"halfsplit/fault/reach"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// A Run answers a question; reach.Run is the one in use.
type Run func(context.Context, reach.Question, func(done, total int)) (reach.Answer, error)

// Deps is what the page is given.
type Deps struct {
	Case     func() fault.Case // the pack that is drawn, with what is at hand to measure it
	Run      Run               // nil = reach.Run
	Go       func(func())      // runs beside the window
	Do       func(func())      // runs on the window's thread
	Back     func()
	Copy     func(text string) // nil = no such command
	Folder   string            // where a file is saved at first
	Canvas   func() fyne.Canvas
	Key      func(*fyne.KeyEvent) bool // keys of the window around; true = taken
	Modifier func() fyne.KeyModifier
	Shortcut func(fyne.Shortcut)
}

// packs are the choices of how many packs of every leak size are drawn.
var packs = []int{5, 10, 20, 50, 100, 200, 500}

// A Page asks, waits and shows.
type Page struct {
	deps   Deps
	set    *command.Set
	packs  int // index into packs
	work   work
	answer *reach.Answer // the last one; nil = none yet
	table  bool
	saving saving
	said   string

	words   *form.List
	picture *easel.Board
	rows    *form.List
	fields  *form.Page
	buttons *fyne.Container
	primary *command.Chip
	after   []*command.Chip // shown once there is an answer
	before  []*command.Chip // shown while nothing is under way
	high    float64         // of the picture's place
	ground  *canvas.Rectangle
	root    *fyne.Container
}

// New makes the page.
func New(deps Deps) *Page {
	if deps.Run == nil {
		deps.Run = reach.Run
	}
	p := &Page{deps: deps, packs: 2, set: &command.Set{Around: deps.Key, Modifier: deps.Modifier}, ground: canvas.NewRectangle(nil)}
	p.words = form.NewList(func(w float64) (*scene.List, float64) { return sheet.Draw(p.Blocks(), w, easel.Measure) }, func(string) {})
	p.rows = form.NewList(p.drawTable, func(string) {})
	for _, l := range []*form.List{p.words, p.rows} {
		l.OnKey, l.OnRune = p.set.Key, p.set.Rune
	}
	p.picture = easel.NewBoard(theme.Paper, 200, func(w float64) (*scene.List, float64) { return p.drawPicture(w, p.high), p.high })
	p.fields = form.NewPage(18)
	p.commands()
	p.root = &fyne.Container{Layout: layout{p}, Objects: []fyne.CanvasObject{p.ground, p.words, p.picture, p.rows, p.fields.Roll, p.buttons}}
	return p
}

func (p *Page) commands() {
	p.buttons = form.NewFlow()
	button := func(c *command.Command) *command.Chip {
		b := command.NewChip(p.set.Add(c), p.set)
		p.buttons.Objects = append(p.buttons.Objects, b)
		return b
	}
	button(&command.Command{Name: "Back", Help: "End what is under way, or go back", Keys: "Esc", Named: []fyne.KeyName{fyne.KeyEscape}, Do: p.back})
	p.primary = button(&command.Command{Name: "Simulate", Help: "Begin, or end what is under way", Keys: "Enter", Named: []fyne.KeyName{fyne.KeyReturn, fyne.KeyEnter}, Do: p.enter, Label: p.primaryLabel})
	p.primary.Primary = true
	p.before = append(p.before,
		button(&command.Command{Name: "Fewer packs", Help: "Fewer simulated packs: sooner done, less sure", Keys: "-", Runes: "-", Do: func() { p.morePacks(-1) }}),
		button(&command.Command{Name: "More packs", Help: "More simulated packs: surer, longer", Keys: "+", Runes: "+=", Do: func() { p.morePacks(1) }}))
	p.after = append(p.after,
		button(&command.Command{Name: "Table", Help: "The answer as a table, or as a picture", Keys: "L", Runes: "l", Do: p.toggleTable, Label: func() string {
			if p.table {
				return "As a picture"
			}
			return "As a table"
		}}),
		button(&command.Command{Name: "Save the table …", Help: "Save the table as CSV", Keys: "S", Runes: "s", Do: func() { p.save(".csv") }}),
		button(&command.Command{Name: "Save the picture …", Help: "Save the picture as PNG, SVG or PDF", Keys: "P", Runes: "p", Do: func() { p.save(".png") }}))
	if p.deps.Copy != nil {
		p.after = append(p.after, button(&command.Command{Name: "Copy", Help: "Copy the table as text", Keys: "C", Runes: "c", Do: p.copy}))
	}
	roll := func(by float32) func() {
		return func() {
			p.words.Page().By(by)
			p.rows.Page().By(by)
		}
	}
	p.set.Add(&command.Command{Help: "Roll the words and the table", Keys: "Up, down, page up, page down", Named: []fyne.KeyName{fyne.KeyPageDown}, Do: roll(0.8)})
	p.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyPageUp}, Do: roll(-0.8)})
	p.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyDown}, Do: roll(0.1)})
	p.set.Add(&command.Command{Named: []fyne.KeyName{fyne.KeyUp}, Do: roll(-0.1)})
}

// Keys is the list of the page's keys.
func (p *Page) Keys() []sheet.Block { return sheet.Keys(p.set.Helped()) }

// Content is what is shown.
func (p *Page) Content() fyne.CanvasObject { return p.root }

// Open shows the page; an answer of before stays on it.
func (p *Page) Open() {
	p.said = ""
	p.saving = saving{}
	p.show()
}

// Refresh draws again what the window's colours or the case changed.
func (p *Page) Refresh() { p.show() }

// Say shows what just happened.
func (p *Page) Say(what string) {
	p.said = what
	p.show()
}

// Close ends what is under way; call it when the page or the window is left.
func (p *Page) Close() { p.stop() }

// Focus puts the keyboard on the page.
func (p *Page) Focus() {
	if p.saving.path != nil {
		p.focusOn(p.saving.path)
		return
	}
	p.focusOn(p.words)
}

func (p *Page) focusOn(o fyne.Focusable) {
	if p.deps.Canvas != nil && p.deps.Canvas() != nil {
		p.deps.Canvas().Focus(o)
	}
}

// show draws everything again.
func (p *Page) show() {
	for _, b := range p.after {
		form.Visible(b, p.answer != nil && !p.work.on() && !p.saving.on())
	}
	for _, b := range p.before {
		form.Visible(b, !p.work.on() && !p.saving.on())
	}
	form.Visible(p.primary, !p.saving.on()) // the saving has its own
	for _, o := range p.buttons.Objects {
		o.Refresh()
	}
	p.words.Refresh()
	p.rows.Refresh()
	p.picture.Refresh()
	p.root.Refresh()
}

func (p *Page) morePacks(by int) {
	if p.work.on() {
		return
	}
	p.packs = max(0, min(len(packs)-1, p.packs+by))
	p.said = ""
	p.show()
}

func (p *Page) toggleTable() {
	if p.answer == nil {
		return
	}
	p.table, p.saving = !p.table, saving{}
	p.show()
	p.Focus()
}

// back ends what is under way, leaves the saving, or leaves the page.
func (p *Page) back() {
	switch {
	case p.work.on():
		p.cancel()
	case p.saving.on():
		p.leaveSaving("Nothing was saved.")
	default:
		p.deps.Back()
	}
}

func (p *Page) primaryLabel() string {
	switch {
	case p.work.on():
		return "End the simulation"
	case p.answer != nil:
		return "Simulate again"
	}
	return "Simulate"
}

func (p *Page) enter() {
	if p.work.on() {
		p.cancel()
		return
	}
	p.start()
}
