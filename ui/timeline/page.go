package timeline

import (
	"fmt"
	"strings"
	"time"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/fault"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/facts"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// Deps is what the page is given.
type Deps struct {
	Pack     func() *facts.Pack // the case as it stands
	Back     func()
	Show     func(id string) // a reading that is to be looked at
	Again    func(s Series)  // a value of it is to be taken
	Copy     func(text string)
	Zone     *time.Location
	Canvas   func() fyne.Canvas
	Key      func(*fyne.KeyEvent) bool // keys of the window around; true = taken
	Modifier func() fyne.KeyModifier
}

// A Page is the list of series, and the chosen one as a plot or as a table.
type Page struct {
	deps     Deps
	set      *command.Set
	all      []Series
	chosen   string // id of a series
	selected string // target of a value
	table    bool
	said     string
	low      bool // the window is low: fewer words, so that the drawing has room

	list    *form.List
	pane    *easel.Pane
	rows    *form.List
	caption *easel.Board
	buttons *fyne.Container
	primary *command.Chip
	zooms   []*command.Chip
	ground  *canvas.Rectangle
	root    *fyne.Container
}

// New makes the page.
func New(deps Deps) *Page {
	if deps.Zone == nil {
		deps.Zone = time.Local
	}
	p := &Page{deps: deps, set: &command.Set{Around: deps.Key, Modifier: deps.Modifier}, ground: canvas.NewRectangle(nil)}
	p.list = form.NewList(p.drawList, func(id string) { p.choose(strings.TrimPrefix(id, seriesID)) })
	p.list.OnKey, p.list.OnRune = p.set.Key, p.set.Rune
	p.rows = form.NewList(p.drawTable, p.mark)
	p.rows.OnKey, p.rows.OnRune = p.set.Key, p.set.Rune
	p.pane = easel.NewPane(p.plot())
	p.pane.ZoomY, p.pane.OnPick, p.pane.OnRune, p.pane.OnKey = false, p.mark, p.set.Rune, p.paneKey
	p.caption = easel.NewBoard(theme.Paper, 200, func(w float64) (*scene.List, float64) {
		l, high := sheet.Draw(p.Blocks(), w, easel.Measure)
		return l, high - 8
	})
	p.commands()
	p.root = &fyne.Container{Layout: layout{p}, Objects: []fyne.CanvasObject{p.ground, p.list, p.pane, p.rows, p.caption, p.buttons}}
	return p
}

func (p *Page) commands() {
	p.buttons = form.NewFlow()
	button := func(c *command.Command) *command.Chip {
		b := command.NewChip(p.set.Add(c), p.set)
		p.buttons.Objects = append(p.buttons.Objects, b)
		return b
	}
	named := func(do func(), keys ...fyne.KeyName) { p.set.Add(&command.Command{Named: keys, Do: do}) }
	button(&command.Command{Name: "Back", Help: "Back from the value that is selected, from the readings over time", Keys: "Esc", Named: []fyne.KeyName{fyne.KeyEscape, fyne.KeyF7}, Do: p.back})
	p.primary = button(&command.Command{Name: "Read it again", Help: "Enter a reading with the same leads; of a selected value, show the reading", Keys: "Enter", Named: []fyne.KeyName{fyne.KeyReturn, fyne.KeyEnter}, Do: p.enter, Label: p.primaryLabel})
	p.primary.Primary = true
	button(&command.Command{Name: "Table", Help: "The values as a table, or as a plot", Keys: "L", Runes: "l", Do: p.toggleTable, Label: func() string {
		if p.table {
			return "As a plot"
		}
		return "As a table"
	}})
	p.zooms = append(p.zooms,
		button(&command.Command{Name: "-", Help: "A longer time", Keys: "-", Runes: "-", Do: func() { p.pane.Zoom(1 / easel.ZoomStep) }}),
		button(&command.Command{Name: "+", Help: "A shorter time", Keys: "+", Runes: "+=", Do: func() { p.pane.Zoom(easel.ZoomStep) }}),
		button(&command.Command{Name: "Whole", Help: "The whole time", Keys: "0", Runes: "0f", Do: p.pane.Fit}))
	if p.deps.Copy != nil {
		button(&command.Command{Name: "Copy", Help: "Copy the series as text", Keys: "C", Runes: "c", Do: p.copy})
	}
	p.set.Add(&command.Command{Help: "The series before and after; home and end, the first and the last", Keys: "Up, down", Named: []fyne.KeyName{fyne.KeyDown}, Do: func() { p.step(1) }})
	named(func() { p.step(-1) }, fyne.KeyUp)
	named(func() { p.step(-len(p.all)) }, fyne.KeyHome)
	named(func() { p.step(len(p.all)) }, fyne.KeyEnd)
	p.set.Add(&command.Command{Help: "The value before and after", Keys: "Left, right", Named: []fyne.KeyName{fyne.KeyRight}, Do: func() { p.walk(1) }})
	named(func() { p.walk(-1) }, fyne.KeyLeft)
	named(func() { p.rows.Page().By(0.8) }, fyne.KeyPageDown)
	named(func() { p.rows.Page().By(-0.8) }, fyne.KeyPageUp)
}

// Keys is the list of the page's keys.
func (p *Page) Keys() []sheet.Block { return sheet.Keys(p.set.Helped()) }

// Content is what is shown.
func (p *Page) Content() fyne.CanvasObject { return p.root }

// Open shows the readings over time, from the series that a selected thing belongs
// to: a reading, a module, a tap; else from the one with the most to show.
func (p *Page) Open(selected string) {
	p.said, p.selected = "", ""
	p.all = Gather(p.deps.Pack())
	kind, what, _ := strings.Cut(selected, ":")
	if s, ok := p.find(kind, what); ok {
		p.chosen = s
		if kind == "reading" {
			p.selected = selected
		}
	} else if _, have := p.series(); !have && len(p.all) > 0 {
		p.chosen = p.all[0].ID
	}
	p.show(true)
	p.list.Reveal(seriesID + p.chosen)
}

// find is the first series of a thing.
func (p *Page) find(kind, what string) (string, bool) {
	for _, s := range p.all {
		switch kind {
		case "reading":
			for _, v := range s.Values {
				if v.Reading == what && !s.Section {
					return s.ID, true
				}
			}
		case "module":
			if of(s.Like.Red, what) && !s.Section {
				return s.ID, true
			}
		case "node":
			if s.Like.Red == what && !s.Section {
				return s.ID, true
			}
		}
	}
	return "", false
}

// of says that a place is a tap of a module, or the module.
func of(ref, module string) bool {
	rest, ok := strings.CutPrefix(ref, module)
	return ok && (rest == "" || strings.ContainsAny(rest[:1], ".+-"))
}

// Refresh takes the case as it is now.
func (p *Page) Refresh() {
	p.all = Gather(p.deps.Pack())
	p.show(false)
}

// Say takes the case as it is now and says what just happened.
func (p *Page) Say(what string) {
	p.said = what
	p.Refresh()
}

// Focus puts the keyboard on the list.
func (p *Page) Focus() {
	if p.deps.Canvas != nil && p.deps.Canvas() != nil {
		p.deps.Canvas().Focus(p.list)
	}
}

// series is the chosen one.
func (p *Page) series() (Series, bool) {
	for _, s := range p.all {
		if s.ID == p.chosen {
			return s, true
		}
	}
	return Series{}, false
}

// plot is the chosen series as the pane shows it.
func (p *Page) plot() *Plot {
	s, _ := p.series()
	pl := NewPlot(s, Beside(p.all, s), p.deps.Zone, easel.Measure)
	pl.Selected = p.selected
	return pl
}

// show draws everything again; whole shows the whole time.
func (p *Page) show(whole bool) {
	p.pane.Set(p.plot(), whole)
	p.caption.Refresh()
	p.list.Refresh()
	p.rows.Refresh()
	for _, o := range p.buttons.Objects {
		o.Refresh()
	}
	p.root.Refresh()
}

// Blocks are what the page says above the drawing.
func (p *Page) Blocks() []sheet.Block {
	s, ok := p.series()
	if !ok {
		return []sheet.Block{{Kind: sheet.Title, Text: "Readings over time", Bold: true},
			{Kind: sheet.Para, Text: "There are no readings yet. What is read more than once with the same leads is drawn here against the time: what dries, what drifts, what steps, what settles. " + OneValue}}
	}
	if p.low { // the list says its name
		return []sheet.Block{{Kind: sheet.Para, Text: s.Says()}}
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: s.Name, Bold: true}, {Kind: sheet.Para, Text: s.Says()}}
	about := strings.ToUpper(s.About[:1]) + s.About[1:] + "."
	if n := len(s.Values) - len(s.Timed()); n > 0 && n < len(s.Values) {
		about += fmt.Sprintf(" %d without a time: in the table only.", n)
	}
	if len(Beside(p.all, s)) > 0 {
		about += " Temperatures stand on the scale at right."
	}
	if p.said != "" {
		about += " " + p.said
	}
	b = append(b, sheet.Block{Kind: sheet.Soft, Text: about})
	if r := p.deps.Pack().Result; s.Section || r.Status == facts.Failed {
		switch {
		case r.Status == facts.Failed:
			b = append(b, sheet.Block{Kind: sheet.Doubt, Text: "The finding failed, and with it the ohms of the sections: " + r.Err + "."})
		case r.Status == facts.Computing || r.Stale:
			b = append(b, sheet.Block{Kind: sheet.Soft, Text: "The finding is being worked out anew; these ohms are of the one before."})
		}
	}
	return b
}

func (p *Page) choose(id string) {
	p.chosen, p.selected, p.said = id, "", ""
	p.show(true)
	p.list.Reveal(seriesID + id)
}

// step chooses the series so many places on.
func (p *Page) step(by int) {
	if len(p.all) == 0 {
		return
	}
	at := 0
	for i, s := range p.all {
		if s.ID == p.chosen {
			at = i
		}
	}
	p.choose(p.all[max(0, min(len(p.all)-1, at+by))].ID)
}

// walk selects the value so many places on.
func (p *Page) walk(by int) {
	s, ok := p.series()
	if !ok || len(s.Values) == 0 {
		return
	}
	at := -1
	if by < 0 {
		at = len(s.Values)
	}
	for i, v := range s.Values {
		if "reading:"+v.Reading == p.selected {
			at = i
		}
	}
	p.mark("reading:" + s.Values[max(0, min(len(s.Values)-1, at+by))].Reading)
}

// mark selects a value; "" selects none.
func (p *Page) mark(id string) {
	p.selected = id
	p.show(false)
	if id != "" {
		p.rows.Reveal(id)
	}
}

func (p *Page) toggleTable() {
	p.table = !p.table
	p.show(true)
}

func (p *Page) copy() {
	if s, ok := p.series(); ok {
		p.deps.Copy(s.Text(p.deps.Zone))
		p.said = "It is copied as text."
		p.show(false)
	}
}

// paneKey hands on a key; Tab leaves the drawing.
func (p *Page) paneKey(k *fyne.KeyEvent) bool {
	if k.Name == fyne.KeyTab && p.deps.Canvas != nil && p.deps.Canvas() != nil {
		if p.set.Shift() {
			p.deps.Canvas().FocusPrevious()
		} else {
			p.deps.Canvas().FocusNext()
		}
		return true
	}
	return p.set.Key(k)
}

// readable says that a value of the series can be entered.
func readable(s Series) bool {
	return s.Quantity == fault.Volts || s.Quantity == fault.Insulation || s.Section
}

func (p *Page) primaryLabel() string {
	s, ok := p.series()
	switch {
	case !ok:
		return "Enter a reading"
	case p.selected != "":
		return "Show this reading"
	case !readable(s):
		return "Back"
	}
	return "Read it again"
}

func (p *Page) enter() {
	s, ok := p.series()
	switch {
	case p.selected != "":
		p.deps.Show(p.selected)
	case ok && !readable(s):
		p.deps.Back()
	default:
		p.deps.Again(s)
	}
}

// back leaves the selected value, or the page.
func (p *Page) back() {
	if p.selected != "" {
		p.mark("")
		return
	}
	p.deps.Back()
}
