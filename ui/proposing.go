package ui

import (
	"fmt"
	"strconv"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/command"
	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
	"halfsplit/ui/states"
)

// proposal is the next test that leads, where one stands for the case as it is.
func (d *Desk) proposal() (fault.NextTest, bool) {
	if d.whatIf.stands() {
		return fault.NextTest{}, false
	}
	return sheet.Proposal(d.pack, d.lead)
}

// proposalCommands are the keys of the next test that have no letter.
func (d *Desk) proposalCommands() {
	d.set.Add(&command.Command{Name: "Another test", Help: "Another of the proposed tests in the lead, to be taken instead", Keys: "Shift Enter",
		Named: []fyne.KeyName{fyne.KeyReturn, fyne.KeyEnter}, Shift: true, Do: d.nextProposal})
	d.set.Add(&command.Command{Name: "Minutes", Help: "The workshop's own minutes for the link or board that is selected, or that the next test begins with", Keys: "F2",
		Named: []fyne.KeyName{fyne.KeyF2}, Do: d.editMinutes})
}

// proposedAction is what the button at the foot of the finding's page does: what is
// typed already is gone on with, what was pointed at since comes before the
// proposal; ok is false where neither is so and nothing is proposed.
func (d *Desk) proposedAction() (label string, do func(), ok bool) {
	if d.pointed || d.whatIf.stands() {
		return "", nil, false
	}
	if d.form.Raw != "" {
		return "Go on with what is typed", d.goOnTyping, true
	}
	n, ok := d.proposal()
	if !ok {
		return "", nil, false
	}
	if c := states.ForTest(d.pack, n); len(c) > 0 {
		return c[0].Verb() + " …", d.takeProposal, true
	}
	return "Enter this reading", d.takeProposal, true
}

// goOnTyping opens the form with what is typed in it.
func (d *Desk) goOnTyping() {
	d.choose(d.form.Selected())
	d.enter()
}

// takeProposal begins the test that leads: with the first change of the pack, in two
// steps, or with its reading.
func (d *Desk) takeProposal() {
	n, ok := d.proposal()
	if !ok {
		return
	}
	d.toSheet()
	c := states.ForTest(d.pack, n)
	if len(c) == 0 {
		d.enterProposed(n)
		return
	}
	d.change = recording{offers: c, own: len(c), then: &n}
	d.ask(0)
}

// goOnWithTest follows a recorded change: to the next one, or to the reading.
func (d *Desk) goOnWithTest(c states.Change) {
	said := strings.ToUpper(c.Said()[:1]) + c.Said()[1:] + "."
	if next := d.change.at + 1; next < len(d.change.offers) {
		d.ask(next)
		d.say(said + " The next step is not recorded yet.")
		return
	}
	d.enterProposed(*d.change.then)
	d.say(said + " Entering: " + d.form.Title() + ".")
}

// enterProposed opens the form of a proposed reading.
func (d *Desk) enterProposed(n fault.NextTest) {
	d.form = entry.Propose(d.pack, n, d.form)
	d.page, d.taking = entryPage, true
	d.follow()
	d.showSheet(true)
	d.showChips()
	d.say("Entering: " + d.form.Title() + ".")
}

// acrossFirst puts the gap that was opened before the reading that it was opened for.
func (d *Desk) acrossFirst() {
	if _, ok := d.form.GapFirst(d.pack); !ok {
		return
	}
	if d.form.Raw != "" {
		d.say("Save what is typed first, or delete it: it belongs to " + d.form.Title() + ".")
		return
	}
	d.setForm(d.form.AcrossGap(d.pack))
	d.say("Entering: " + d.form.Title() + ". It comes back to the proposed reading.")
}

// testTaken goes back to the finding after a proposed reading was saved.
func (d *Desk) testTaken(name string) {
	d.showFinding()
	said := "Saved: " + name + "."
	if d.Computing() {
		said += " The next test is being worked out."
	}
	d.sayRecorded(said)
}

// nextProposal lets the next of the proposed tests lead.
func (d *Desk) nextProposal() {
	if _, ok := d.proposal(); !ok {
		d.say("No test is proposed for the case as it is.")
		return
	}
	d.leadWith((d.lead + 1) % len(d.result.Finding.Next))
}

func (d *Desk) leadWith(i int) {
	d.lead = i
	d.toSheet()
	d.showFinding()
	d.planPane.Refresh()
	d.rulerPane.Refresh()
	d.say(fmt.Sprintf("Next test, number %d of %d.", i+1, len(d.result.Finding.Next)))
}

// pickProposal is a press on a line about the next test.
func (d *Desk) pickProposal(id string) bool {
	if n, ok := strings.CutPrefix(id, sheet.TakeID); ok {
		if i, err := strconv.Atoi(n); err == nil {
			d.leadWith(i)
		}
		return true
	}
	return d.pickMinutes(id)
}

// leads are where the drawings mark the leads: those of the form while a reading is
// entered, else those of the test that leads; "" for none.
func (d *Desk) leads() (red, black string) {
	if d.page == entryPage {
		red, black = d.form.Red, d.form.Black
	} else if n, ok := d.proposal(); ok && d.pack.Result.Finding != nil {
		red, black = n.Red, n.Black
	}
	if _, chassis := topology.ChassisRef(red); chassis {
		red = ""
	}
	if _, chassis := topology.ChassisRef(black); chassis {
		black = ""
	}
	return red, black
}
