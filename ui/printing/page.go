// Package printing is the page on which a bench sheet is made for paper, and on which
// one that was filled in is found again by its number: what is read, in which order,
// on which paper, with its pages drawn as they will come out, and the file that they
// are written to.
//
// It draws no sheet and knows no number itself: package fault/report does. It knows
// fingers and keys; what a number stands for is given back to the window, which goes
// on with it. Nothing is recorded here.
package printing

import (
	"fmt"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/fault"
	"halfsplit/fault/report"
	"halfsplit/fault/series"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
)

// Deps is what the page is given.
type Deps struct {
	Case     func() fault.Case
	Finding  func() *fault.Finding               // of the case as it stands; nil or a nil one = none
	Head     func() string                       // head of the event log; nil or "" = not told
	Now      func() time.Time                    // nil = not told
	Go       func(func())                        // runs beside the window
	Do       func(func())                        // runs on the window's thread
	Enter    func(number string, m report.Match) // goes on with a sheet that was found; nil = nothing can be entered
	Back     func()
	Folder   string // where a file is saved at first
	Canvas   func() fyne.Canvas
	Key      func(*fyne.KeyEvent) bool // keys of the window around; true = taken
	Modifier func() fyne.KeyModifier
	Shortcut func(fyne.Shortcut)
}

// A Page makes sheets and finds them again.
type Page struct {
	deps   Deps
	set    *command.Set
	ask    report.Request // as it is chosen; its state is the present one
	row    int            // of the choices, that the keyboard is on
	sheet  *report.Sheet
	pages  []report.Page
	at     int  // page that is drawn
	drawn  bool // in a low window: the paper in the choices' place
	wrong  string
	said   string
	saving saving
	typing typing

	words   *form.List
	pane    *easel.Pane
	fields  *form.Page
	buttons *fyne.Container
	plain   []*command.Chip // shown while nothing is typed
	turning []*command.Chip // shown where there are several pages
	other   *command.Chip   // shown where a low window has room for one of both
	ground  *canvas.Rectangle
	root    *fyne.Container
}

// New makes the page.
func New(deps Deps) *Page {
	p := &Page{deps: deps, set: &command.Set{Around: deps.Key, Modifier: deps.Modifier}, ground: canvas.NewRectangle(nil)}
	p.ask = report.Request{Paper: report.A4, Kind: series.ToChassis, Order: series.Electrical}
	p.words = form.NewList(func(w float64) (*scene.List, float64) { return sheet.Draw(p.Blocks(), w, easel.Measure) }, p.pick)
	p.words.OnKey, p.words.OnRune = p.set.Key, p.set.Rune
	p.pane = easel.NewPane(paper{p})
	p.pane.ZoomY = true
	p.pane.OnKey, p.pane.OnRune = p.set.Key, p.set.Rune
	p.fields = form.NewPage(18)
	p.commands()
	p.root = &fyne.Container{Layout: layout{p}, Objects: []fyne.CanvasObject{p.ground, p.words, p.pane, p.fields.Roll, p.buttons}}
	return p
}

func (p *Page) commands() {
	p.buttons = form.NewFlow()
	button := func(c *command.Command) *command.Chip {
		b := command.NewChip(p.set.Add(c), p.set)
		p.buttons.Objects = append(p.buttons.Objects, b)
		return b
	}
	button(&command.Command{Name: "Back", Help: "Back to the case", Keys: "Esc", Named: []fyne.KeyName{fyne.KeyEscape}, Do: p.back})
	write := button(&command.Command{Name: "Write the sheet …", Help: "Write the sheet as a PDF file, to be printed", Keys: "Enter", Named: []fyne.KeyName{fyne.KeyReturn, fyne.KeyEnter}, Do: p.save})
	write.Primary = true
	p.plain = []*command.Chip{write}
	if p.deps.Enter != nil {
		p.plain = append(p.plain, button(&command.Command{Name: "Enter a printed sheet …", Help: "Find a printed sheet by its number and type its values in", Keys: "N", Runes: "n", Do: p.find}))
	}
	p.turning = []*command.Chip{
		button(&command.Command{Name: "Page before", Help: "The page before", Keys: "Page up", Named: []fyne.KeyName{fyne.KeyPageUp}, Do: func() { p.turnPage(-1) }}),
		button(&command.Command{Name: "Next page", Help: "The next page", Keys: "Page down", Named: []fyne.KeyName{fyne.KeyPageDown}, Do: func() { p.turnPage(1) }})}
	p.other = button(&command.Command{Name: "Paper", Help: "In a low window: the paper, or what is on it", Keys: "D", Runes: "d", Do: p.turnOver, Label: func() string {
		return map[bool]string{false: "Paper", true: "Choices"}[p.drawn]
	}})
	move := func(key fyne.KeyName, help, keys string, do func()) {
		p.set.Add(&command.Command{Help: help, Keys: keys, Named: []fyne.KeyName{key}, Do: do})
	}
	move(fyne.KeyDown, "Another line", "Up, down", func() { p.move(1) })
	move(fyne.KeyUp, "", "", func() { p.move(-1) })
	move(fyne.KeyRight, "Another choice in the line", "Left, right", func() { p.choose(p.row, 1) })
	move(fyne.KeyLeft, "", "", func() { p.choose(p.row, -1) })
}

// Keys is the list of the page's keys.
func (p *Page) Keys() []sheet.Block { return sheet.Keys(p.set.Helped()) }

// Content is what is shown.
func (p *Page) Content() fyne.CanvasObject { return p.root }

// Open shows the page for the case as it stands; what was chosen last stays chosen
// where the case still has it.
func (p *Page) Open() {
	p.said, p.saving, p.typing = "", saving{}, typing{}
	p.make()
}

// Refresh draws again what the window's colours or the case changed.
func (p *Page) Refresh() { p.make() }

// make works the sheet out anew.
func (p *Page) make() {
	c := p.deps.Case()
	p.ask.State = c.Now
	p.ask.Finding, p.ask.Head, p.ask.At = nil, "", time.Time{}
	if _, ok := c.Resistor(p.ask.Resistor); !ok || p.ask.Kind != series.ToChassis {
		p.ask.Resistor = ""
	}
	if _, ok := c.Instrument(p.ask.Instrument); !ok {
		p.ask.Instrument = ""
	}
	if p.deps.Finding != nil && p.ask.Expected {
		p.ask.Finding = p.deps.Finding()
	}
	if p.deps.Head != nil {
		p.ask.Head = p.deps.Head()
	}
	if p.deps.Now != nil {
		p.ask.At = p.deps.Now()
	}
	if p.ask.Order == series.OneStack && p.ask.Stack == "" {
		p.ask.Order = series.Electrical
	}
	s, err := report.New(c, p.ask)
	p.sheet, p.pages, p.wrong = s, nil, ""
	if err != nil {
		p.sheet, p.wrong = nil, err.Error()
	} else {
		p.pages = s.Pages()
	}
	p.at = max(0, min(p.at, len(p.pages)-1))
	p.pane.Set(paper{p}, false)
	p.show()
}

func (p *Page) show() {
	for _, o := range p.buttons.Objects {
		o.Refresh()
	}
	p.words.Refresh()
	p.pane.Refresh()
	p.root.Refresh()
}

// Say takes the case as it is now and says what just happened.
func (p *Page) Say(what string) {
	p.said = what
	p.make()
}

func (p *Page) say(what string) {
	p.said = what
	p.show()
}

func (p *Page) turnOver() {
	p.drawn = !p.drawn
	p.show()
	p.Focus()
}

func (p *Page) turnPage(by int) {
	if n := len(p.pages); n > 1 {
		p.at = ((p.at+by)%n + n) % n
		p.pane.Set(paper{p}, true)
		p.say(fmt.Sprintf("Page %d of %d.", p.at+1, n))
	}
}

// back leaves what is typed, or the page.
func (p *Page) back() {
	switch {
	case p.saving.busy: // it is written whole in a moment
	case p.saving.on:
		p.saving = saving{}
		p.leave("Nothing was written.")
	case p.typing.on:
		p.typing = typing{}
		p.leave("")
	default:
		p.deps.Back()
	}
}

func (p *Page) leave(said string) {
	p.fields.Set()
	p.say(said)
	p.Focus()
}

// Focus puts the keyboard on the page.
func (p *Page) Focus() {
	switch {
	case p.saving.on && p.saving.path != nil:
		p.focusOn(p.saving.path)
	case p.typing.on && p.typing.field != nil:
		p.focusOn(p.typing.field)
	case p.pane.Visible() && !p.words.Visible():
		p.focusOn(p.pane)
	default:
		p.focusOn(p.words)
	}
}

func (p *Page) focusOn(o fyne.Focusable) {
	if p.deps.Canvas != nil && p.deps.Canvas() != nil {
		p.deps.Canvas().Focus(o)
	}
}
