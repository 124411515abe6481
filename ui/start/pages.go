package start

import (
	"fmt"
	"path/filepath"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/casebook"
	"halfsplit/topology"
	"halfsplit/ui/command"
	"halfsplit/ui/easel"
	"halfsplit/ui/facts"
	"halfsplit/ui/form"
	"halfsplit/ui/scene"
	"halfsplit/ui/sheet"
	"halfsplit/ui/theme"
	"halfsplit/ui/words"
)

// A page of the sheet.
type page uint8

const (
	detailsPage page = iota
	makerPage
	newCasePage
	filesPage
	keysPage
	failPage
	takingPage
	signingPage
	handlingPage
)

// show opens a page of the sheet.
func (v *View) show(p page) {
	lost := v.onSheet()
	v.page = p
	switch p {
	case detailsPage:
		v.sheet.Set(v.details()...)
	case makerPage:
		v.sheet.Set(v.makerThings()...)
	case newCasePage:
		v.sheet.Set(v.newCaseThings()...)
	case filesPage:
		v.sheet.Set(v.fileThings()...)
	case takingPage:
		v.sheet.Set(v.takingThings()...)
	case signingPage:
		v.sheet.Set(v.signingThings()...)
	case handlingPage:
		v.sheet.Set(v.handlingThings()...)
	case keysPage:
		v.sheet.Set(v.words(sheet.Keys(v.set.Helped())), v.row(v.button("Close", "Esc", true, v.back)))
	}
	v.relayout()
	if lost {
		v.Focus()
	}
}

// onSheet says that the keyboard is on a thing of the page, or nowhere.
func (v *View) onSheet() bool {
	if v.root == nil || v.deps.Canvas == nil || fyne.CurrentApp().Driver().CanvasForObject(v.root) == nil {
		return false
	}
	focused := v.deps.Canvas().Focused()
	if focused == nil {
		return true
	}
	on := false
	for _, o := range v.sheet.Objects() {
		switch o := o.(type) {
		case *form.Labelled:
			on = on || holds(o.Field, focused)
		default:
			on = on || holds(o, focused)
		}
	}
	return on
}

func holds(o fyne.CanvasObject, f fyne.Focusable) bool {
	if c, ok := o.(*fyne.Container); ok {
		for _, child := range c.Objects {
			if holds(child, f) {
				return true
			}
		}
		return false
	}
	is, ok := o.(fyne.Focusable)
	return ok && is == f
}

// relayout places everything again; before the first frame there is nothing to
// place.
func (v *View) relayout() {
	if v.root == nil {
		return
	}
	v.root.Refresh()
	v.foot.Refresh()
	for _, c := range v.chips {
		c.Refresh()
	}
}

// words is a part of a page in words.
func (v *View) words(blocks []sheet.Block) *easel.Board {
	return easel.NewBoard(theme.Raised, 200, func(w float64) (*scene.List, float64) {
		l, high := sheet.Draw(blocks, w, easel.Measure)
		return l, high - 12
	})
}

// button is a button of a page; a key that it shows must be one of the view's.
func (v *View) button(name, key string, primary bool, do func()) *command.Chip {
	b := command.NewChip(&command.Command{Name: name, Keys: key, Do: do}, v.set)
	b.Primary = primary
	return b
}

func (v *View) row(buttons ...*command.Chip) *fyne.Container {
	c := form.NewFlow()
	for _, b := range buttons {
		c.Objects = append(c.Objects, b)
	}
	return c
}

// details is what is known of the chosen thing, and what can be done with it.
func (v *View) details() []fyne.CanvasObject {
	switch v.status {
	case opening:
		return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Opening the casebook", Bold: true},
			{Kind: sheet.Para, Text: "Cases and layouts will be here in a moment."}})}
	case troubled:
		return v.troubleThings()
	}
	kind, id, _ := strings.Cut(v.chosen, ":")
	var back []*command.Chip
	if v.detail && v.frame.narrow() {
		back = append(back, v.button("Back to the list", "Esc", false, v.back))
	}
	switch kind {
	case "case":
		for _, c := range v.cases {
			if c.ID == id {
				buttons := append([]*command.Chip{v.button("Open this case", "Enter", true, v.open)}, back...)
				return []fyne.CanvasObject{v.row(buttons...), v.words(caseBlocks(c, v)),
					v.row(v.button("Its drawing", "G", false, func() { v.act(v.drawChosen) }), v.button("Sign-offs", "S", false, func() { v.act(v.openSigning) }), v.button("Export as one file", "E", false, func() { v.act(v.openOneFile) }),
						v.button("Readings as CSV", "C", false, func() { v.act(v.openTable) }), v.button("Export to JSON", "X", false, func() { v.act(v.openExport) }),
						v.button("New case from this layout", "N", false, func() { v.act(v.openNewCase) }))}
			}
		}
	case "layout":
		for _, l := range v.layouts {
			if l.ID == id {
				buttons := append([]*command.Chip{v.button("New case from this layout", "Enter", true, v.open)}, back...)
				return []fyne.CanvasObject{v.row(buttons...), v.words(layoutBlocks(l, v)),
					v.row(v.button("Draw", "G", false, func() { v.act(v.drawChosen) }), v.button("Export to JSON", "X", false, func() { v.act(v.openExport) })),
					v.layoutButtons()}
			}
		}
	}
	if v.search.Text != "" {
		return []fyne.CanvasObject{v.words([]sheet.Block{{Kind: sheet.Title, Text: "Nothing is found", Bold: true},
			{Kind: sheet.Para, Text: fmt.Sprintf("The casebook has %s and %s with these words.", Count(len(v.cases), "case"), Count(len(v.layouts), "layout"))}}),
			v.row(append([]*command.Chip{v.button("Empty the search", "Esc", true, v.back)}, back...)...)}
	}
	return append([]fyne.CanvasObject{v.words(firstBlocks(len(v.layouts) > 0)),
		v.row(v.button("Draw a pack", "P", true, func() { v.act(v.drawNew) }), v.button("Make a layout", "M", false, func() { v.act(v.openMaker) }), v.button("Open the demo case (a copy)", "D", false, func() { v.act(v.openDemo) }))}, v.row(back...))
}

func caseBlocks(c casebook.CaseSummary, v *View) []sheet.Block {
	b := []sheet.Block{
		{Kind: sheet.Title, Text: CaseName(c.Title), Bold: true},
		{Kind: sheet.Row, Text: "Pack", Value: PackName(c.Layout)},
	}
	if c.Symptom != "" {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Symptom", Value: c.Symptom})
	}
	state := "not known; treat all as live"
	if c.Present != "" {
		state = c.Present + ", as recorded"
	}
	b = append(b,
		sheet.Block{Kind: sheet.Row, Text: "Present state", Value: state},
		sheet.Block{Kind: sheet.Row, Text: "Readings", Value: Count(c.Readings, "reading")},
		sheet.Block{Kind: sheet.Row, Text: "Begun", Value: When(c.Created, v.now())},
		sheet.Block{Kind: sheet.Row, Text: "Changed", Value: When(c.Changed, v.now())},
		sheet.Block{Kind: sheet.Title, Text: "Last finding"},
		sheet.Block{Kind: sheet.Para, Text: FindingWords(casebook.CaseSummary{Verdict: c.Verdict, Statement: c.Statement, Stale: c.Stale})})
	return b
}

func layoutBlocks(l casebook.LayoutInfo, v *View) []sheet.Block {
	row := LayoutRow(l, v.now(), nil)
	b := []sheet.Block{
		{Kind: sheet.Title, Text: row.Title, Bold: true},
		{Kind: sheet.Row, Text: "Status", Value: row.About},
		{Kind: sheet.Row, Text: "Used by", Value: Count(l.Cases, "case")},
		{Kind: sheet.Row, Text: "Changed", Value: row.When},
	}
	lay, err := v.book.ExportLayout(l.ID)
	if err != nil {
		return append(b, sheet.Block{Kind: sheet.Caution, Text: words.Sentence(err.Error())})
	}
	b = append(b, sheet.Block{Kind: sheet.Row, Text: "Built of", Value: Summary(lay)})
	if len(lay.Modules) > 0 && facts.New(fault.Case{Layout: lay}, facts.Result{}).Partial() {
		b = append(b, sheet.Block{Kind: sheet.Row, Text: "Path", Value: "partial layout: sections only"})
	}
	_, problems := topology.Compile(lay)
	if len(problems) > 0 {
		b = append(b, sheet.Block{Kind: sheet.Title, Text: "To look at"})
		for i, p := range problems {
			if i == 6 {
				b = append(b, sheet.Block{Kind: sheet.Soft, Text: "and " + Count(len(problems)-6, "more thing") + "."})
				break
			}
			b = append(b, sheet.Block{Kind: sheet.Item, Text: words.Sentence(p.Text)})
		}
	}
	return b
}

func firstBlocks(layouts bool) []sheet.Block {
	b := []sheet.Block{{Kind: sheet.Title, Text: "Begin here", Bold: true}}
	if layouts {
		return append(b, sheet.Block{Kind: sheet.Para, Text: "Choose a row, or begin something new."})
	}
	return append(b,
		sheet.Block{Kind: sheet.Item, Text: "Make a layout: how many modules there are, of how many groups, and where the disconnect sits."},
		sheet.Block{Kind: sheet.Item, Text: "Begin a case from it and enter what the meter shows."},
		sheet.Block{Kind: sheet.Item, Text: "Or open a copy of the demo case and look around. Nothing that you do to a copy changes the demo."})
}

// troubleThings say why the casebook is not open.
func (v *View) troubleThings() []fyne.CanvasObject {
	copies, kind := v.copies(), casebook.KindOf(v.err)
	again := v.button("Try again", "", true, func() { v.reopen(v.deps.Path, false) })
	another, begin := v.button("Open another casebook", "", false, v.openAnother), v.button("Begin a new casebook", "", false, v.beginBook)
	buttons := []*command.Chip{again, another, begin}
	if len(copies) > 0 {
		newest := v.button("Open the newest copy", "", false, func() { v.reopen(copies[0], false) })
		buttons = []*command.Chip{again, newest, another, begin}
		if kind == casebook.Damaged { // trying again shows the same
			buttons = []*command.Chip{newest, again, another, begin}
		}
	} else if kind == casebook.Damaged {
		buttons = []*command.Chip{another, again, begin}
	}
	switch kind {
	case casebook.Missing:
		buttons = append([]*command.Chip{begin, again}, buttons[1:len(buttons)-1]...)
	case casebook.Foreign, casebook.Newer:
		buttons[0], buttons[len(buttons)-2] = another, again
	}
	if v.last != "" && v.last != v.deps.Path {
		buttons = append([]*command.Chip{v.button("Back to the casebook before", "", true, func() { v.reopen(v.last, false) })}, buttons...)
	}
	for i, b := range buttons {
		b.Primary = i == 0
	}
	return []fyne.CanvasObject{v.words(Trouble(v.deps.Path, v.err, len(copies) > 0)), v.row(buttons...)}
}

// copies are the daily copies beside the casebook, newest first.
func (v *View) copies() []string {
	if v.deps.Copies == nil {
		return nil
	}
	return v.deps.Copies(v.deps.Path)
}

// reopen leaves the casebook to the window, which comes back with it or with
// what is wrong.
func (v *View) reopen(path string, create bool) {
	if v.book != nil {
		v.last = v.book.Path()
	}
	v.SetOpening(path)
	v.deps.Reopen(path, create)
}

// copyDay is the day of a copy by its file's name.
func copyDay(path string) string { return strings.TrimSuffix(filepath.Base(path), filepath.Ext(path)) }

// Fail says what went wrong outside of the view.
func (v *View) Fail(title string, err error) { v.fail(title, err) }

// fail opens the page that says what went wrong.
func (v *View) fail(title string, err error) {
	v.page = failPage
	v.sheet.Set(v.words([]sheet.Block{{Kind: sheet.Title, Text: title, Bold: true}, {Kind: sheet.Para, Text: words.Sentence(err.Error())},
		{Kind: sheet.Soft, Text: "Nothing was changed by this."}}), v.row(v.button("Close", "Esc", true, v.back)))
	v.say(title + ".")
	v.relayout()
}
