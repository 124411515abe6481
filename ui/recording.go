package ui

import (
	"fmt"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/sheet"
	"halfsplit/ui/states"
)

// A recording is the page on which a change of state is chosen, looked at, and
// recorded: two presses, never one.
type recording struct {
	offers []states.Change
	own    int // of the offers, those of what is selected
	at     int
	asked  bool // the second step: offers[at] is shown in full
	failed string
	then   *fault.NextTest // the offers are the steps before it, one after another; nil = no such test
	listed int             // of the offers, those of the list; one that was typed comes after
	typed  typedState
	line   int // of typedStates, the one that is typed
}

const offerID = "offer:"

// openStates shows what can be recorded about the state.
func (d *Desk) openStates() {
	d.toSheet()
	own, rest := states.Offers(d.pack, d.selected)
	d.change = recording{offers: append(own, rest...), own: len(own), listed: len(own) + len(rest)}
	d.page = statePage
	d.showSheet(true)
	d.showChips()
	d.say("Choose what was done to the pack.")
}

// ask is the first step.
func (d *Desk) ask(i int) {
	if i < 0 || i >= len(d.change.offers) {
		return
	}
	d.change.at, d.change.asked, d.change.failed = i, true, ""
	d.page = statePage
	d.showSheet(true)
	d.showChips()
	d.say("Nothing is recorded yet.")
}

// recordState is the second step: a new state, present from now on.
func (d *Desk) recordState() {
	c := d.change.offers[d.change.at]
	s, err := d.store.RecordState(states.Apply(d.deps.Case.Layout, d.pack.State, c))
	if err != nil {
		d.change.failed = err.Error()
		d.showSheet(true)
		d.say("Not recorded.")
		return
	}
	d.page = findingPage
	d.afterCommand()
	if d.change.then != nil {
		d.goOnWithTest(c)
		return
	}
	d.form = d.form.NewState(d.pack)
	if strings.HasPrefix(d.selected, "node:") {
		d.choose(d.form.Selected())
	}
	d.showFinding()
	d.say(fmt.Sprintf("%s. The present state is %s.", strings.ToUpper(c.Said()[:1])+c.Said()[1:], s.ID))
}

func (r *recording) blocks(d *Desk) []sheet.Block {
	if r.asked {
		b := states.Preview(d.pack, r.offers[r.at])
		if r.failed != "" {
			b = append(b, sheet.Block{Kind: sheet.Caution, Text: "Not recorded: " + r.failed + "."})
		}
		if r.then == nil {
			b = append(b, d.correctionBlocks()...)
		}
		return append(b, sheet.Block{Kind: sheet.Action, ID: offerID + "back", Text: "Back, record nothing", Value: "Esc"})
	}
	if r.typed.on {
		return r.typedBlocks()
	}
	b := []sheet.Block{{Kind: sheet.Title, Text: "Record a change of state", Bold: true},
		{Kind: sheet.Para, Text: d.pack.StateLine()},
		{Kind: sheet.Soft, Text: "Readings belong to the state in which they were taken. A change makes a new state; earlier readings stay with theirs."}}
	heading := ""
	for i, c := range r.offers[:r.listed] {
		if h := c.Heading(); i >= r.own && h != heading {
			heading = h
			b = append(b, sheet.Block{Kind: sheet.Title, Text: h})
		}
		if i == 0 && r.own > 0 {
			b = append(b, sheet.Block{Kind: sheet.Title, Text: "What is selected"})
		}
		b = append(b, sheet.Block{Kind: sheet.Action, ID: offerID + fmt.Sprint(i), Text: c.Verb() + " …", On: i == r.at})
	}
	for i, t := range typedStates {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: typeID + fmt.Sprint(i), Text: t.text, On: r.at == r.listed+i})
	}
	return append(b, sheet.Block{Kind: sheet.Soft, Text: "Other links and modules: select one, then S."})
}

// stateKey is a key while a change is chosen.
func (d *Desk) stateKey(k fyne.KeyName) bool {
	r := &d.change
	if r.typed.on {
		return d.typedStateKey(k)
	}
	switch k {
	case fyne.KeyEscape:
		if r.then != nil {
			d.showFinding()
			d.say("Nothing was recorded.")
		} else if r.asked {
			r.asked = false
			d.showSheet(true)
			d.showChips()
			d.say("Nothing was recorded.")
		} else {
			d.showFinding()
		}
	case fyne.KeyReturn, fyne.KeyEnter:
		switch {
		case r.asked:
			d.recordState()
		case r.at >= r.listed:
			d.typeState(r.at - r.listed)
		default:
			d.ask(r.at)
		}
	case fyne.KeyDown, fyne.KeyUp, fyne.KeyTab:
		if r.asked {
			return k == fyne.KeyTab
		}
		lines := r.listed + len(typedStates)
		by := 1
		if k == fyne.KeyUp || k == fyne.KeyTab && d.set.Shift() {
			by = lines - 1
		}
		r.at = (r.at + by) % lines
		d.showSheet(false)
		if r.at >= r.listed {
			d.rollTo(typeID+fmt.Sprint(r.at-r.listed), 0)
		} else {
			d.rollTo(offerID+fmt.Sprint(r.at), 0)
		}
	default:
		return false
	}
	return true
}

// pickState is a press on the page.
func (d *Desk) pickState(id string) {
	if d.pickTypedState(id) {
		return
	}
	name, ok := strings.CutPrefix(id, offerID)
	switch {
	case !ok:
		return
	case id == mistakenID:
		d.recordMistaken()
		return
	}
	if name == "back" {
		d.stateKey(fyne.KeyEscape)
		return
	}
	i := 0
	if _, err := fmt.Sscan(name, &i); err == nil {
		d.ask(i)
	}
}

// rollTo brings a line of the sheet into view, and so many pixels below it.
func (d *Desk) rollTo(id string, below float32) {
	for _, t := range d.paper.List().Targets {
		if t.ID != id {
			continue
		}
		top, bottom := float32(t.Area[0].Px.Y()+t.Area[0].World.Y()), float32(t.Area[2].World.Y()+t.Area[2].Px.Y())+below
		high := d.paperRoll.Size().Height
		switch {
		case top < d.paperRoll.Offset.Y:
			d.paperRoll.Offset.Y = top - 8
		case bottom > d.paperRoll.Offset.Y+high:
			d.paperRoll.Offset.Y = fyne.Max(0, fyne.Min(bottom-high+8, top-4)) // what is rolled to stays, whatever does not fit below it
		default:
			return
		}
		d.paperRoll.Refresh()
		return
	}
}
