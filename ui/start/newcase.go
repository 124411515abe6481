package start

import (
	"encoding/json"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/command"
	"halfsplit/ui/form"
	"halfsplit/ui/sheet"
)

// FirstState is the state that a new case begins in: nothing of it is recorded.
const FirstState = "as_found"

// A newCase is a case in the making.
type newCase struct {
	layoutID, pack string
	title, symptom string
	kit            fault.Case // the case whose instruments and test resistors are taken over
	from           string     // its name; "" = none
	without        bool       // they are not
	proposed       string     // the title that was not typed
}

// typed says that something was filled in that would be lost.
func (n *newCase) typed() bool {
	return n.layoutID != "" && (n.title != n.proposed || strings.TrimSpace(n.symptom) != "")
}

// openNewCase begins a case from the layout that is chosen, or that the chosen
// case has.
func (v *View) openNewCase() {
	kind, id, _ := strings.Cut(v.chosen, ":")
	n := newCase{}
	switch kind {
	case "layout":
		for _, l := range v.layouts {
			if l.ID == id {
				n.layoutID, n.pack = l.ID, l.Name
			}
		}
	case "case":
		for _, c := range v.cases {
			if c.ID == id {
				n.layoutID, n.pack = c.LayoutID, c.Layout
			}
		}
	}
	if n.layoutID == "" {
		v.say("A case needs a layout: make one, or import one.")
		return
	}
	n.title = PackName(n.pack) + ", " + v.now().Format("2 Jan 2006")
	n.proposed = n.title
	if v.begin.typed() { // left before it was begun
		n.symptom, n.without = v.begin.symptom, v.begin.without
		if v.begin.title != v.begin.proposed {
			n.title = v.begin.title
		}
	}
	n.kit, n.from = v.kit()
	v.begin = n
	v.show(newCasePage)
	v.focusFirst()
}

// kit is the case that was changed last among those with instruments.
func (v *View) kit() (fault.Case, string) {
	all, err := v.book.Cases("")
	if err != nil {
		return fault.Case{}, ""
	}
	for i, s := range all {
		if i == 10 {
			break
		}
		if c, _, err := v.book.Case(s.ID); err == nil && len(c.Instruments) > 0 {
			return c, CaseName(s.Title)
		}
	}
	return fault.Case{}, ""
}

func (n *newCase) kitWords() string {
	if n.from == "" {
		return "No case has instruments yet: they are added with the first reading."
	}
	if n.without {
		return "No instruments are taken over."
	}
	var ids []string
	for _, i := range n.kit.Instruments {
		ids = append(ids, i.ID)
	}
	for _, r := range n.kit.Resistors {
		ids = append(ids, r.ID)
	}
	return "Taken over from the case “" + n.from + "”: " + strings.Join(ids, ", ") + ". Look at them before the first reading: they must be the ones in hand."
}

func (v *View) newCaseThings() []fyne.CanvasObject {
	n := &v.begin
	head := func() []sheet.Block {
		return []sheet.Block{{Kind: sheet.Title, Text: "New case", Bold: true}, {Kind: sheet.Row, Text: "Pack", Value: PackName(n.pack)}}
	}
	title, symptom := v.entry(1), v.entry(3)
	title.SetText(n.title)
	symptom.SetText(n.symptom)
	title.OnChanged = func(s string) { n.title = s }
	symptom.OnChanged = func(s string) { n.symptom = s }
	title.OnSubmitted = func(string) { v.beginCase() }
	things := []fyne.CanvasObject{v.words(head()),
		form.NewLabelled("Title", title), form.NewLabelled("What the customer says, in their words", symptom)}
	kit := v.words(nil)
	draw := func() { kit.Draw = v.words([]sheet.Block{{Kind: sheet.Soft, Text: n.kitWords()}}).Draw }
	draw()
	things = append(things, kit)
	if n.from != "" {
		var b *command.Chip
		b = command.NewChip(&command.Command{Name: "Kit", Do: func() {
			n.without = !n.without
			draw()
			kit.Refresh()
			b.Refresh()
			v.sheet.Again()
		}, Label: func() string {
			if n.without {
				return "Take the instruments over"
			}
			return "Begin without instruments"
		}}, v.set)
		things = append(things, v.row(b))
	}
	return append(things, v.row(v.button("Begin this case", "Enter", true, v.beginCase), v.button("Leave", "Esc", false, v.back)),
		v.words([]sheet.Block{{Kind: sheet.Soft, Text: "The case begins in the state “" + FirstState + "”, of which nothing is recorded yet: treat all as live."}}))
}

// beginCase records the case and opens it.
func (v *View) beginCase() {
	n := v.begin
	c := fault.Case{Title: strings.TrimSpace(n.title), Now: FirstState, States: []fault.State{{ID: FirstState}}}
	if n.from != "" && !n.without {
		c.Instruments, c.Resistors = n.kit.Instruments, n.kit.Resistors
	}
	if s := strings.TrimSpace(n.symptom); s != "" {
		raw, err := json.Marshal(s)
		if err != nil {
			v.fail("The case was not begun", err)
			return
		}
		c.Extra = topology.Extra{"symptom": raw}
	}
	id, err := v.book.NewCase(n.layoutID, c, v.by())
	if err != nil {
		v.fail("The case was not begun", err)
		return
	}
	v.begin = newCase{}
	v.arrived("case:"+id, "Begun: "+CaseName(c.Title)+".")
	v.deps.Case(id)
}

// openDemo takes a copy of the demo case in and opens it. The demo itself is
// built into the program and stays as it is.
func (v *View) openDemo() {
	c, err := v.deps.Demo()
	if err == nil {
		var id string
		id, err = v.book.ImportCase(c, nil, v.by())
		if err == nil {
			v.arrived("case:"+id, "A copy of the demo case is in the casebook.")
			v.deps.Case(id)
			return
		}
	}
	v.fail("The demo case was not opened", err)
}

// OpenDemo opens a copy of the demo case, as its button does.
func (v *View) OpenDemo() { v.act(v.openDemo) }
