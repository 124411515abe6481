// Package comparing is the page on which two sets of readings of a case lie side by
// side: the pack twice, shaded by one scale that is locked, and a table of what
// differs by more than the instruments can err, or why the two sets are not
// comparable.
//
// It compares nothing itself: package fault/compare does, and the drawings are those
// of the plan. It knows fingers and keys, records nothing, and never says that
// anything became better or worse.
package comparing

import (
	"fmt"

	"fyne.io/fyne/v2"
	"fyne.io/fyne/v2/canvas"

	"halfsplit/fault"
	"halfsplit/fault/compare"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/facts"
	"halfsplit/ui/form"
	"halfsplit/ui/plan"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// Deps is what the page is given.
type Deps struct {
	Case     func() fault.Case
	Back     func()
	Copy     func(text string) // nil = no such command
	Canvas   func() fyne.Canvas
	Key      func(*fyne.KeyEvent) bool // keys of the window around; true = taken
	Modifier func() fyne.KeyModifier
}

// modes are what both drawings can be shaded by: what the readings of a set alone say.
var modes = []plan.Mode{plan.ByMedian, plan.ByInsulation, plan.ByMissing}

// A side is one of the two sets as it is drawn.
type side struct {
	set  int // index into Page.sets
	plan *plan.Drawing
	pane *easel.Pane
	head *easel.Board
}

// A Page chooses two sets and shows them.
type Page struct {
	deps     Deps
	set      *command.Set
	sets     []compare.Set
	sides    [2]*side // before and after
	result   compare.Comparison
	mode     int // index into modes
	end      int // index into plan.MedianEnds
	selected string
	drawn    bool // in a low window: the drawings in the table's place
	said     string

	words   *form.List
	buttons *fyne.Container
	two     []*command.Chip // shown where there are two sets
	other   *command.Chip   // shown where a low window has room for one of both
	ground  *canvas.Rectangle
	root    *fyne.Container
}

// New makes the page.
func New(deps Deps) *Page {
	p := &Page{deps: deps, set: &command.Set{Around: deps.Key, Modifier: deps.Modifier}, ground: canvas.NewRectangle(nil)}
	p.words = form.NewList(p.draw, p.pick)
	p.words.OnKey, p.words.OnRune = p.set.Key, p.set.Rune
	parts := []fyne.CanvasObject{p.ground, p.words}
	for i := range p.sides {
		s := &side{}
		s.pane = easel.NewPane(subject{p, s})
		s.pane.ZoomY = true
		s.pane.OnPick = p.choose
		s.pane.OnKey, s.pane.OnRune = p.set.Key, p.set.Rune
		s.head = easel.NewBoard(theme.Paper, 160, func(w float64) (*scene.List, float64) { return p.drawHead(i, w), headHigh })
		p.sides[i] = s
		parts = append(parts, s.head, s.pane)
	}
	p.commands()
	p.root = &fyne.Container{Layout: layout{p}, Objects: append(parts, p.buttons)}
	return p
}

func (p *Page) commands() {
	p.buttons = form.NewFlow()
	button := func(c *command.Command) *command.Chip {
		b := command.NewChip(p.set.Add(c), p.set)
		p.buttons.Objects = append(p.buttons.Objects, b)
		return b
	}
	button(&command.Command{Name: "Back", Help: "Back to the case", Keys: "Esc", Named: []fyne.KeyName{fyne.KeyEscape}, Do: p.deps.Back})
	p.two = []*command.Chip{
		button(&command.Command{Name: "Other before", Help: "The next set as the one before", Keys: "B", Runes: "b", Do: func() { p.turn(0, 1) }}),
		button(&command.Command{Name: "Other after", Help: "The next set as the one after", Keys: "A", Runes: "a", Do: func() { p.turn(1, 1) }}),
		button(&command.Command{Name: "Swap", Help: "Swap before and after", Keys: "X", Runes: "x", Do: p.swap}),
		button(&command.Command{Name: "Shading", Help: "Shade both by something else", Keys: "H", Runes: "h", Do: p.shade, Label: func() string { return plan.ModeNames[modes[p.mode]] }}),
		button(&command.Command{Name: "Scale", Help: "Lock the scale of both at another end", Keys: "E", Runes: "e", Do: p.scale, Label: func() string {
			return fmt.Sprintf("Scale ± %g V", plan.MedianEnds[p.end])
		}}),
	}
	if p.deps.Copy != nil {
		p.two = append(p.two, button(&command.Command{Name: "Copy", Help: "Copy the table as text", Keys: "C", Runes: "c", Do: func() {
			p.deps.Copy(p.Text())
			p.say("The comparison is copied as text.")
		}}))
	}
	p.other = button(&command.Command{Name: "Drawings", Help: "In a low window: the drawings, or the table", Keys: "D", Runes: "d", Do: p.turnOver, Label: func() string {
		return map[bool]string{false: "Drawings", true: "Table"}[p.drawn]
	}})
	roll := func(key fyne.KeyName, help, keys string, by float32) {
		p.set.Add(&command.Command{Help: help, Keys: keys, Named: []fyne.KeyName{key}, Do: func() { p.words.Page().By(by) }})
	}
	roll(fyne.KeyPageDown, "Roll the table", "Up, down, page up, page down", 0.8)
	roll(fyne.KeyPageUp, "", "", -0.8)
	roll(fyne.KeyDown, "", "", 0.1)
	roll(fyne.KeyUp, "", "", -0.1)
}

// Keys is the list of the page's keys.
func (p *Page) Keys() []sheet.Block { return sheet.Keys(p.set.Helped()) }

// Content is what is shown.
func (p *Page) Content() fyne.CanvasObject { return p.root }

// Open takes the case as it stands; the last two sets are chosen, or those that were
// before where they are still there.
func (p *Page) Open() {
	p.said = ""
	titles := [2]string{}
	for i, s := range p.sides {
		if s.set < len(p.sets) {
			titles[i] = p.sets[s.set].Title()
		}
	}
	p.sets = compare.Sets(p.deps.Case())
	for i, s := range p.sides {
		s.set = max(0, len(p.sets)-2+i)
		for k, t := range p.sets {
			if titles[i] != "" && t.Title() == titles[i] {
				s.set = k
			}
		}
	}
	p.compare(true)
}

// compare holds the two sets against each other and draws both.
func (p *Page) compare(refit bool) {
	p.result = compare.Comparison{}
	if len(p.sets) >= 2 {
		p.result = compare.Compare(p.sets[p.sides[0].set], p.sets[p.sides[1].set])
		var geo *plan.Geometry
		for _, s := range p.sides {
			s.plan = plan.New(facts.New(p.sets[s.set].Case(), facts.Result{}), geo)
			geo = s.plan.Geo // of the same layout
			s.pane.Set(subject{p, s}, refit)
		}
	}
	p.show()
}

// Refresh draws again what the window's colours changed.
func (p *Page) Refresh() { p.show() }

func (p *Page) show() {
	two := len(p.sets) >= 2
	for _, b := range p.two {
		form.Visible(b, two)
	}
	for _, s := range p.sides {
		s.head.Refresh()
		s.pane.Refresh()
	}
	for _, o := range p.buttons.Objects {
		o.Refresh()
	}
	p.words.Refresh()
	p.root.Refresh()
}

// Say takes the case as it is now and says what just happened.
func (p *Page) Say(what string) {
	p.Open()
	p.say(what)
}

func (p *Page) say(what string) {
	p.said = what
	p.show()
}

func (p *Page) turnOver() {
	p.drawn = !p.drawn
	p.show()
	for _, s := range p.sides { // it had no room to fit into
		s.pane.Set(subject{p, s}, true)
	}
	p.Focus()
}

// turn takes another set as one of the two.
func (p *Page) turn(i, by int) {
	if n := len(p.sets); n >= 2 {
		p.said = ""
		p.sides[i].set = ((p.sides[i].set+by)%n + n) % n
		p.compare(false)
	}
}

func (p *Page) swap() {
	if len(p.sets) < 2 {
		return
	}
	p.sides[0].set, p.sides[1].set = p.sides[1].set, p.sides[0].set
	p.compare(false)
	p.say("Before and after are swapped.")
}

func (p *Page) shade() {
	p.mode = (p.mode + 1) % len(modes)
	p.say("Both are shaded by " + plan.ModeNames[modes[p.mode]] + ".")
}

func (p *Page) scale() {
	p.end = (p.end + 1) % len(plan.MedianEnds)
	p.say(fmt.Sprintf("Both scales of volts from the median end at ± %g V.", plan.MedianEnds[p.end]))
}

// choose marks what was pressed in both drawings.
func (p *Page) choose(id string) {
	p.selected = id
	p.show()
}

// pick is a press on the words.
func (p *Page) pick(id string) {
	switch id {
	case beforeID:
		p.turn(0, 1)
	case afterID:
		p.turn(1, 1)
	default:
		p.choose(id)
	}
}

// Focus puts the keyboard on the page.
func (p *Page) Focus() {
	if p.deps.Canvas != nil && p.deps.Canvas() != nil {
		if p.words.Visible() {
			p.deps.Canvas().Focus(p.words)
		} else {
			p.deps.Canvas().Focus(p.sides[0].pane)
		}
	}
}

// A subject is one set's drawing.
type subject struct {
	p *Page
	s *side
}

func (s subject) Fit(w, h float64) scene.View {
	if s.s.plan == nil {
		return scene.View{ScaleX: 1, ScaleY: 1, W: w, H: h}
	}
	return s.s.plan.Fit(w, h)
}

// Scene shades both sides by the same scale, with the same ends.
func (s subject) Scene(v scene.View) *scene.List {
	if s.s.plan == nil {
		return &scene.List{}
	}
	return s.s.plan.Scene(v, plan.Options{Mode: modes[s.p.mode], MedianEnd: plan.MedianEnds[s.p.end], Selected: s.p.selected}, easel.Measure)
}
