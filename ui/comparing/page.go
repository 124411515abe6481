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
	"halfsplit/ui/words"
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
	delta    *side    // the difference, on the drawing of the set after
	result   compare.Comparison
	mode     int // index into modes
	end      int // index into plan.MedianEnds
	selected string
	drawn    bool // in a low window: the drawings in the table's place
	own      []ownSpan
	span     spanning
	differs  bool // the difference in the place of the two drawings
	of       int  // what the difference is of
	far      int  // index into chassisEnds
	said     string

	words   *form.List
	buttons *fyne.Container
	scale   *easel.Board    // the scale of the drawings, where they have no room for a legend
	two     []*command.Chip // shown where there are two sets
	tabled  []*command.Chip // of them, in a low window with the table alone
	shaded  []*command.Chip // and with the drawings alone
	ownSpan *command.Chip
	other   *command.Chip // shown where a low window has room for one of both
	ground  *canvas.Rectangle
	root    *fyne.Container
}

// New makes the page.
func New(deps Deps) *Page {
	p := &Page{deps: deps, set: &command.Set{Around: deps.Key, Modifier: deps.Modifier}, ground: canvas.NewRectangle(nil)}
	p.words = form.NewList(p.draw, p.pick)
	p.words.OnKey, p.words.OnRune = p.set.Key, p.rune
	parts := []fyne.CanvasObject{p.ground, p.words}
	for i := range p.sides {
		p.sides[i] = p.newSide(func(w float64) (*scene.List, float64) { return p.drawHead(i, w), headHigh })
	}
	p.delta = p.newSide(func(w float64) (*scene.List, float64) { return p.drawDeltaHead(w), headHigh })
	for _, s := range p.drawings() {
		parts = append(parts, s.head, s.pane)
	}
	p.scale = easel.NewBoard(theme.Paper, 160, func(w float64) (*scene.List, float64) {
		return plan.ScaleLine(p.options(p.delta, false), w, scaleHigh, easel.Measure), scaleHigh
	})
	parts = append(parts, p.scale)
	p.commands()
	p.root = &fyne.Container{Layout: layout{p}, Objects: append(parts, p.buttons)}
	return p
}

// newSide makes a drawing with its head.
func (p *Page) newSide(head func(w float64) (*scene.List, float64)) *side {
	s := &side{}
	s.pane = easel.NewPane(subject{p, s})
	s.pane.ZoomY = true
	s.pane.OnPick = p.choose
	s.pane.OnKey, s.pane.OnRune = p.set.Key, p.rune
	s.head = easel.NewBoard(theme.Paper, 160, head)
	return s
}

// drawings are all three, of which the two or the one are shown.
func (p *Page) drawings() []*side { return []*side{p.sides[0], p.sides[1], p.delta} }

func (p *Page) commands() {
	p.buttons = form.NewFlow()
	button := func(c *command.Command) *command.Chip {
		b := command.NewChip(p.set.Add(c), p.set)
		p.buttons.Objects = append(p.buttons.Objects, b)
		return b
	}
	button(&command.Command{Name: "Back", Help: "Back to the case", Keys: "Esc", Named: []fyne.KeyName{fyne.KeyEscape}, Do: p.leave})
	p.ownSpan = button(&command.Command{Name: "Own span", Help: "A set of your own: one state, from one time to another", Keys: "N", Runes: "n", Do: p.openSpan})
	p.two = []*command.Chip{
		button(&command.Command{Name: "Other before", Help: "The next set as the one before", Keys: "B", Runes: "b", Do: func() { p.turn(0, 1) }}),
		button(&command.Command{Name: "Other after", Help: "The next set as the one after", Keys: "A", Runes: "a", Do: func() { p.turn(1, 1) }}),
		button(&command.Command{Name: "Swap", Help: "Swap before and after", Keys: "X", Runes: "x", Do: p.swap}),
		button(&command.Command{Name: "Difference", Help: "The difference, after less before, as one drawing; or both sets again", Keys: "F", Runes: "f", Do: p.turnDifference, On: func() bool { return p.differs }}),
		button(&command.Command{Name: "Shading", Help: "Shade the drawings by something else", Keys: "H", Runes: "h", Do: p.shade, Label: func() string {
			if p.differs {
				return [differing]string{"Volts inside", "Volts to chassis"}[p.of]
			}
			return plan.ModeNames[modes[p.mode]]
		}}),
		button(&command.Command{Name: "Scale", Help: "Lock the scale at another end", Keys: "E", Runes: "e", Do: p.turnScale, Label: func() string {
			return "Scale ± " + words.Plain(plan.EndText(p.ends()))
		}}),
	}
	p.tabled, p.shaded = []*command.Chip{p.two[2]}, []*command.Chip{p.two[4], p.two[5]}
	if p.deps.Copy != nil {
		p.two = append(p.two, button(&command.Command{Name: "Copy", Help: "Copy the table as text", Keys: "C", Runes: "c", Do: func() {
			p.deps.Copy(p.Text())
			p.say("The comparison is copied as text.")
		}}))
		p.tabled = append(p.tabled, p.two[len(p.two)-1])
	}
	p.other = button(&command.Command{Name: "Drawings", Help: "In a low window: the drawings, or the table", Keys: "D", Runes: "d", Do: p.turnOver, Label: func() string {
		return map[bool]string{false: "Drawings", true: "Table"}[p.drawn]
	}})
	roll := func(key fyne.KeyName, help, keys string, by float32) {
		p.set.Add(&command.Command{Help: help, Keys: keys, Named: []fyne.KeyName{key}, Do: func() { p.words.Page().By(by) }})
	}
	roll(fyne.KeyPageDown, "Roll the table", "Up, down, page up, page down", 0.8)
	roll(fyne.KeyPageUp, "", "", -0.8)
	line := func(key fyne.KeyName, by int) {
		p.set.Add(&command.Command{Named: []fyne.KeyName{key}, Do: func() {
			if p.span.on {
				p.moveSpan(by)
			} else {
				p.words.Page().By(0.1 * float32(by))
			}
		}})
	}
	line(fyne.KeyDown, 1)
	line(fyne.KeyUp, -1)
	p.spanKeys(func(key fyne.KeyName, help, keys string, do func()) {
		p.set.Add(&command.Command{Help: help, Keys: keys, Named: []fyne.KeyName{key}, Do: do})
	})
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
	c := p.deps.Case()
	p.span.on = false
	p.sets = append(compare.Sets(c), p.spans(c)...)
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
		p.delta.plan = plan.New(p.sides[1].plan.Pack, geo)
		p.delta.pane.Set(subject{p, p.delta}, refit)
	}
	p.show()
}

// Refresh draws again what the window's colours changed.
func (p *Page) Refresh() { p.show() }

func (p *Page) show() {
	for _, s := range p.drawings() {
		s.head.Refresh()
		s.pane.Refresh()
	}
	p.scale.Refresh()
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
	p.refit()
}

// refit fits the drawings into a place that they did not have before.
func (p *Page) refit() {
	p.show()
	for _, s := range p.drawings() {
		s.pane.Set(subject{p, s}, true)
	}
	p.Focus()
}

// turnDifference shows the difference in the place of the two sets, or them again; in
// a low window it comes in the table's place.
func (p *Page) turnDifference() {
	if len(p.sets) < 2 {
		return
	}
	p.differs = !p.differs
	p.drawn = true
	if p.differs {
		p.said = differNames[p.of] + ", after less before, on one scale that is locked."
	} else {
		p.said = "Both sets side by side."
	}
	p.refit()
}

// ends is the end that the scale is locked to, in V.
func (p *Page) ends() float64 {
	if p.differs && p.of == ofChassis {
		return chassisEnds[p.far]
	}
	return plan.MedianEnds[p.end]
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
	if p.differs {
		p.of = (p.of + 1) % differing
		p.say(differNames[p.of] + ", after less before.")
		return
	}
	p.mode = (p.mode + 1) % len(modes)
	p.say("Both are shaded by " + plan.ModeNames[modes[p.mode]] + ".")
}

func (p *Page) turnScale() {
	if p.differs && p.of == ofChassis {
		p.far = (p.far + 1) % len(chassisEnds)
	} else {
		p.end = (p.end + 1) % len(plan.MedianEnds)
	}
	if p.differs {
		p.say("The scale of the difference ends at ± " + plan.EndText(p.ends()) + ".")
		return
	}
	p.say(fmt.Sprintf("Both scales of volts from the median end at ± %g V.", plan.MedianEnds[p.end]))
}

// choose marks what was pressed in both drawings.
func (p *Page) choose(id string) {
	p.selected = id
	p.show()
}

// pick is a press on the words.
func (p *Page) pick(id string) {
	var row int
	if n, err := fmt.Sscanf(id, spanID+"%d", &row); n == 1 && err == nil && p.span.on {
		p.turnSpan(row, 1)
		return
	}
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
			p.deps.Canvas().Focus(p.shown()[0].pane)
		}
	}
}

// A subject is one set's drawing.
type subject struct {
	p *Page
	s *side
}

func (s subject) Fit(w, h float64) scene.View {
	switch {
	case s.s.plan == nil:
		return scene.View{ScaleX: 1, ScaleY: 1, W: w, H: h}
	case h < legendFrom:
		return s.s.plan.FitBare(w, h)
	}
	return s.s.plan.Fit(w, h)
}

// Scene shades both sides by the same scale, with the same ends.
func (s subject) Scene(v scene.View) *scene.List {
	if s.s.plan == nil {
		return &scene.List{}
	}
	return s.s.plan.Scene(v, s.p.options(s.s, v.H < legendFrom), easel.Measure)
}

// options are what a drawing is shaded by; bare ones have their scale below them.
func (p *Page) options(s *side, bare bool) plan.Options {
	o := plan.Options{Mode: modes[p.mode], MedianEnd: plan.MedianEnds[p.end], Selected: p.selected, Bare: bare}
	if p.differs && s == p.delta && s.plan != nil {
		o.Mode = plan.ByDifference
		o.Differences = differences(s.plan.Pack.Net, p.result, p.of, p.ends())
	}
	return o
}

// shown are the drawings that are seen where drawings are.
func (p *Page) shown() []*side {
	if p.differs {
		return []*side{p.delta}
	}
	return p.sides[:]
}
