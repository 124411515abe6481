package start

import (
	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/facts"
	"halfsplit/ui/form"
	"halfsplit/ui/plan"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
)

// A preview is the plan of what the maker's numbers give, or why they give none.
type preview struct {
	plan *plan.Drawing
	why  string
}

// Fit shows the whole of it.
func (p *preview) Fit(w, h float64) scene.View {
	if p.plan == nil {
		return scene.View{ScaleX: 1, ScaleY: 1, W: w, H: h}
	}
	const edge = 46 // for terminals and their names
	return scene.Fit(p.plan.Geo.Bounds, w, h, edge, 24, edge, 24)
}

// Scene draws it, without the legend: nothing is known of the pack yet.
func (p *preview) Scene(v scene.View) *scene.List {
	l := &scene.List{}
	if p.plan != nil {
		for _, s := range p.plan.Scene(v, plan.Options{Mode: plan.BySuspicion}, easel.Measure).Shapes {
			if s.ID != "" {
				l.Add(s)
			}
		}
		return l
	}
	y := v.H/2 - 30
	for _, s := range append([]string{"Nothing is drawn from these numbers."}, scene.Wrap(p.why, v.W-60, theme.Text, false, easel.Measure)...) {
		l.Text("", scene.Point{World: v.World([2]float64{v.W / 2, y})}, scene.Middle, scene.Middle, scene.Ink(theme.Ink), theme.Text, false, s)
		y += theme.Text * leading
	}
	return l
}

func (p *preview) draw(f Fields) (topology.Layout, error) {
	l, err := f.Layout()
	p.plan, p.why = nil, ""
	if err != nil {
		p.why = err.Error()
		return l, err
	}
	// As built: nothing of it is open, and no state is on record.
	built := fault.State{ID: FirstState, Contactors: fault.Closed}
	p.plan = plan.New(facts.New(fault.Case{Layout: l, Now: built.ID, States: []fault.State{built}}, facts.Result{}), nil)
	return l, nil
}

func (v *View) openMaker() {
	v.show(makerPage)
	v.focusFirst()
}

// focusFirst puts the keyboard into the first field of the page.
func (v *View) focusFirst() {
	for _, o := range v.sheet.Objects() {
		if l, ok := o.(*form.Labelled); ok {
			if e, ok := l.Field.(*form.Entry); ok {
				v.focus(e)
				e.SelectAll() // typing replaces what was proposed
				return
			}
		}
	}
}

// makerThings are the maker's fields. What they make is drawn at every change.
func (v *View) makerThings() []fyne.CanvasObject {
	f := &v.fields
	summary := v.words(nil)
	changed := func() {
		l, err := v.drawn.draw(*f)
		b := []sheet.Block{{Kind: sheet.Title, Text: "Make a layout", Bold: true}}
		if err != nil {
			b = append(b, sheet.Block{Kind: sheet.Caution, Text: err.Error()})
		} else {
			b = append(b, sheet.Block{Kind: sheet.Para, Text: Summary(l)})
		}
		summary.Draw = v.words(b).Draw
		summary.Refresh()
		v.pane.Set(&v.drawn, true)
		v.sheet.Again()
	}
	text := func(name string, to *string) fyne.CanvasObject {
		e := v.entry(1)
		e.SetText(*to)
		e.OnChanged = func(s string) { *to = s; changed() }
		e.OnSubmitted = func(string) { v.saveLayout() }
		return form.NewLabelled(name, e)
	}
	number := func(name string, to *string, low, high int) fyne.CanvasObject {
		var s *form.Stepper
		s = form.NewStepper(*to, low, high, v.set, func() { *to = s.Entry.Text; changed() })
		s.Entry.OnKey = v.key
		s.Entry.OnShortcut = v.deps.Shortcut
		s.Entry.OnSubmitted = func(string) { v.saveLayout() }
		return form.NewLabelled(name, s.Object())
	}
	turn := command.NewChip(&command.Command{Name: "Terminals", Do: func() { f.HeadToTail = !f.HeadToTail; changed() }, Label: func() string {
		if f.HeadToTail {
			return "Polarity: head to tail along the row"
		}
		return "Polarity: alternating, across the row"
	}}, v.set)
	turnDo := turn.Command.Do
	turn.Command.Do = func() { turnDo(); turn.Refresh() }
	changed()
	return []fyne.CanvasObject{
		summary,
		v.row(v.button("Save this layout", "Enter", true, v.saveLayout), v.button("Leave", "Esc", false, v.back)),
		text("Pack label", &f.Name),
		number("Modules in series", &f.Modules, 1, topology.MostModules),
		number("Groups in series in a module (s)", &f.Series, 1, topology.MostSeries),
		number("Cells in parallel in a group (p)", &f.Parallel, 1, topology.MostParallel),
		number("Modules in a row (0: all in one)", &f.PerRow, 0, topology.MostModules),
		number("Disconnect after module (0: none)", &f.Disconnect, 0, topology.MostModules),
		v.row(turn),
		text("Width of a module, mm", &f.Width), text("Depth of a module, mm", &f.Depth), text("Gap between modules, mm", &f.Gap),
		text("Nominal volts of the pack (empty: not known)", &f.Nominal), text("Highest working volts (empty: not known)", &f.Working),
	}
}

// saveLayout puts the layout into the casebook and chooses it there.
func (v *View) saveLayout() {
	l, err := v.fields.Layout()
	if err != nil {
		v.say(err.Error())
		return
	}
	id, err := v.book.ImportLayout(l, nil, v.by())
	if err != nil {
		v.fail("The layout was not saved", err)
		return
	}
	v.arrived("layout:"+id, "Saved: the layout "+PackName(l.Name)+".")
	v.fields.Name = ""
}

// arrived shows a thing that has just come into the casebook.
func (v *View) arrived(id, said string) {
	v.wish, v.detail = id, true
	v.search.SetText("")
	v.show(detailsPage)
	v.say(said)
	v.load()
	v.Focus()
}
