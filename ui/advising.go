package ui

import (
	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/advice"
	"halfsplit/ui/command"
	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
)

// An advising is the page of help with measuring that is open.
type advising struct {
	guide advice.Guide
	from  page           // where the first one was opened
	back  *advice.Socket // the path that a reading is entered for; nil = none
}

// Ids of the lines that lead here from other pages.
const (
	adviceID   = "measuring"
	overTimeID = "over time"
	lockID     = "lock range"
	timerID    = "settle timer"
	socketID   = "socket path"
)

// adviceCommands are the keys of the help with measuring, of the timer and of the
// readings over time. They are keys without a letter: they work while a value is
// typed.
func (d *Desk) adviceCommands() {
	d.set.Add(&command.Command{Name: "Settle timer", Help: "The leads touch: start the settle timer, or end it; on the page of a reading", Keys: "F5", Named: []fyne.KeyName{fyne.KeyF5}, Do: d.toggleTimer})
	d.set.Add(&command.Command{Name: "Over time", Help: "Readings over time: drying, drift, steps, settling", Keys: "F7", Named: []fyne.KeyName{fyne.KeyF7}, Do: d.openOverTime})
	d.set.Add(&command.Command{Name: "Help with measuring", Help: "Choose a test resistor, lock the range, the meter's own input, how long to wait, the socket with the pack in the vehicle", Keys: "F8", Named: []fyne.KeyName{fyne.KeyF8}, Do: d.openAdvice})
}

func (d *Desk) world() advice.World { return advice.World{Pack: d.pack, Form: d.form} }

// openAdvice opens the list of helps, or leaves it.
func (d *Desk) openAdvice() {
	if d.page == guidePage {
		d.leaveAdvice("")
		return
	}
	d.openGuide(advice.List{})
}

// openGuide opens one of the helps.
func (d *Desk) openGuide(g advice.Guide) {
	if len(d.pack.Net.Layout.Modules) == 0 {
		d.say("There are no modules to measure at.")
		return
	}
	d.toSheet()
	if d.page != guidePage {
		d.advising.from = d.page
		if d.page != entryPage { // the place that is looked at
			d.form = entry.Begin(d.pack, d.selected, d.form)
		}
	}
	d.advising.guide = g
	d.page = guidePage
	d.showSheet(true)
	d.showChips()
	d.say("Help with measuring. Nothing is recorded yet.")
}

// setGuide shows a page after something was changed about it.
func (d *Desk) setGuide(g advice.Guide) {
	d.advising.guide = g
	d.showSheet(false)
	d.showChips()
	for _, t := range d.paper.List().Targets { // what the keyboard is on is seen
		if ringedBlock(g.Blocks(d.world()), t.ID) {
			d.rollTo(t.ID, 0)
			return
		}
	}
}

// ringedBlock says that the keyboard is on the line with that id.
func ringedBlock(blocks []sheet.Block, id string) bool {
	for _, b := range blocks {
		if b.On && b.ID == id {
			return true
		}
		for _, t := range b.Tiles {
			if t.On && t.ID == id {
				return true
			}
		}
	}
	return false
}

func (d *Desk) guideRune(r rune) bool {
	if r == '?' {
		return false
	}
	if r == ' ' {
		d.setGuide(d.advising.guide.Turn(d.world(), 1))
		return true
	}
	g, ok := d.advising.guide.Type(r)
	if ok {
		d.setGuide(g)
	}
	return ok
}

func (d *Desk) guideKey(k fyne.KeyName) bool {
	g, w := d.advising.guide, d.world()
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		_, a := g.Primary(w)
		d.act(a)
	case fyne.KeyEscape:
		d.backFromGuide()
	case fyne.KeyBackspace:
		d.setGuide(g.Back())
	case fyne.KeyDown, fyne.KeyUp, fyne.KeyTab:
		by := 1
		if k == fyne.KeyUp || k == fyne.KeyTab && d.set.Shift() {
			by = -1
		}
		d.setGuide(g.Move(w, by))
	case fyne.KeyRight:
		d.setGuide(g.Turn(w, 1))
	case fyne.KeyLeft:
		d.setGuide(g.Turn(w, -1))
	case fyne.KeySpace: // comes as a character too
	default:
		return false
	}
	return true
}

// backFromGuide goes back to the list, and from there to where it was opened.
func (d *Desk) backFromGuide() {
	s, socket := d.advising.guide.(advice.Socket)
	if socket && s.Asked() {
		d.setGuide(s.Back())
		d.say("Nothing was recorded.")
		return
	}
	if _, list := d.advising.guide.(advice.List); !list && d.advising.from != entryPage {
		d.advising.guide = advice.ListAt(d.advising.guide)
		d.showSheet(true)
		d.showChips()
		return
	}
	d.leaveAdvice("")
}

// leaveAdvice goes back to where the help was opened.
func (d *Desk) leaveAdvice(said string) {
	d.page = d.advising.from
	if d.page == guidePage {
		d.page = findingPage
	}
	d.showSheet(true)
	d.showChips()
	if said == "" {
		said = "Left the help with measuring."
	}
	d.say(said)
}

// pickGuide is a press on the page.
func (d *Desk) pickGuide(id string) {
	g, a := d.advising.guide.Pick(d.world(), id)
	if a.Kind != advice.Nothing {
		d.advising.guide = g
		d.act(a)
		return
	}
	if g == d.advising.guide { // a place that is named
		if _, ok := d.noteableID(id); ok {
			d.choose(id)
		}
		return
	}
	d.setGuide(g)
}

// noteableID says that an id is a module or a link of the pack.
func (d *Desk) noteableID(id string) (string, bool) {
	for _, m := range d.pack.Net.Layout.Modules {
		if id == "module:"+m.ID {
			return m.ID, true
		}
	}
	for _, l := range d.pack.Net.Layout.Links {
		if id == "link:"+l.ID {
			return l.ID, true
		}
	}
	return "", false
}

// act carries out what a page asks for.
func (d *Desk) act(a advice.Act) {
	switch a.Kind {
	case advice.Open:
		d.openGuide(a.Guide)
	case advice.Again:
		d.setGuide(a.Guide)
	case advice.AddResistor:
		d.adopt(a.Resistor, d.store.AddResistor(a.Resistor))
	case advice.UseResistor:
		d.adopt(a.Resistor, nil)
	case advice.AddInstrument:
		d.adoptInstrument(a.Instrument)
	case advice.LockRange:
		d.lockRange(a.Range)
	case advice.StartTimer:
		d.page = entryPage
		d.startTimer()
	case advice.StopTimer:
		d.stopTimer("The timer is ended.")
	case advice.Enter:
		d.enterFor(a.Form)
	case advice.RecordState:
		d.recordSocket(a.State)
	case advice.Finding:
		d.showFinding()
	case advice.OverTime:
		d.openOverTime()
	}
}

// adopt uses a test resistor from now on.
func (d *Desk) adopt(r fault.Resistor, err error) {
	if err != nil {
		d.say("Not added: " + err.Error() + ".")
		return
	}
	if _, have := d.deps.Case.Resistor(r.ID); !have {
		d.afterCommand()
	}
	d.form.Resistor = r.ID
	d.leaveAdvice(r.ID + " is in this case and chosen for the next reading. Its measured ohms can be described with I.")
}

// adoptInstrument records a description that was measured, and uses it.
func (d *Desk) adoptInstrument(in fault.Instrument) {
	if err := d.store.AddInstrument(in); err != nil {
		if p, ok := d.advising.guide.(advice.Input); ok {
			d.setGuide(p.Failed(err.Error()))
		}
		d.say("Not recorded.")
		return
	}
	d.afterCommand()
	d.form.Instrument, d.form.Range = in.ID, 0
	d.leaveAdvice(in.ID + " is recorded and chosen for the next reading; the earlier description stays.")
}

// lockRange locks the range for the readings to come; 0 leaves it to the meter.
func (d *Desk) lockRange(max float64) {
	d.form.Range = max
	said := "The meter chooses its range."
	if max > 0 {
		said = "The range is locked for the readings to come; lock it on the meter too."
	}
	d.leaveAdvice(said)
}

// enterFor opens the entry page for a step of the socket's path, which comes back to
// it.
func (d *Desk) enterFor(f entry.Form) {
	s, ok := d.advising.guide.(advice.Socket)
	d.form = f
	d.form.At = entry.Field
	d.page = entryPage
	d.follow()
	if ok {
		d.advising.back = &s
	}
	d.showSheet(true)
	d.showChips()
	d.say("Entering: " + d.form.Title() + ". It comes back to the socket's path.")
}

// returnToSocket goes back to the path that a reading was entered for; false where
// there is none.
func (d *Desk) returnToSocket() bool {
	if d.advising.back == nil {
		return false
	}
	d.advising.back = nil
	d.advising.guide, d.advising.from = advice.NewSocket(d.world()), findingPage
	d.page = guidePage
	d.showSheet(true)
	d.showChips()
	return true
}

// recordSocket records the state that the path begins with.
func (d *Desk) recordSocket(st fault.State) {
	s, err := d.store.RecordState(st)
	if err != nil {
		if g, ok := d.advising.guide.(advice.Socket); ok {
			d.setGuide(g.Failed(err.Error()))
		}
		d.say("Not recorded.")
		return
	}
	d.afterCommand()
	d.form = d.form.NewState(d.pack)
	d.setGuide(advice.NewSocket(d.world()))
	d.say("The state is recorded as " + s.ID + ".")
}

// withAdvice adds the ways to the help and to the readings over time to a page.
func withAdvice(b []sheet.Block) []sheet.Block {
	return append(b,
		sheet.Block{Kind: sheet.Action, ID: adviceID, Text: "Help with measuring …", Value: "Test resistor, range, the meter's input, waiting, the socket: F8."},
		sheet.Block{Kind: sheet.Action, ID: overTimeID, Text: "Readings over time …", Value: "Drying, drift, steps, settling: F7."},
		compareAction())
}

// pickAdvice is a press on one of those ways; false for any other line.
func (d *Desk) pickAdvice(id string) bool {
	switch id {
	case adviceID:
		d.openAdvice()
	case overTimeID:
		d.openOverTime()
	case compareID:
		d.openComparing()
	case paperID:
		d.openPrinting()
	case socketID:
		d.openGuide(advice.NewSocket(d.world()))
	case lockID:
		d.openGuide(advice.Range{})
	case timerID, advice.StopID:
		d.toggleTimer()
	default:
		return false
	}
	return true
}
