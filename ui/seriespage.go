package ui

import (
	"strconv"
	"strings"

	"fyne.io/fyne/v2"

	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
)

// openSeriesID is the line that opens the page of a run from elsewhere.
const openSeriesID = "open:series"

// seriesAction is the line that leads to a run of readings.
func seriesAction() sheet.Block {
	return sheet.Block{Kind: sheet.Action, ID: openSeriesID, Text: "A run of readings on the number pad … (*)", Value: "Module volts, group volts, terminals, insulation or joints, in the order you choose."}
}

// setSetup shows the page after something was chosen.
func (d *Desk) setSetup(s entry.Setup) {
	d.series.setup = s
	d.showSheet(false)
	d.showChips()
}

// seriesRune types into the page's lines; 0 goes on with a run that was left.
func (d *Desk) seriesRune(r rune) bool {
	if s, ok := d.series.setup.Type(r); ok {
		d.setSetup(s)
		return true
	}
	switch r {
	case '0':
		d.continueSeries()
		return true
	case ' ':
		d.setSetup(d.series.setup.Turn(d.pack, d.series.setup.At, 1))
		return true
	case '?', 's', 'S', 'n', 'N', 'i', 'I':
		return false
	}
	return true
}

// seriesKey is a key without a character.
func (d *Desk) seriesKey(k fyne.KeyName) bool {
	s := d.series.setup
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		_, _, do := d.primaryAction()
		do()
	case fyne.KeyEscape:
		d.showFinding()
		if d.series.run != nil {
			d.say("'" + d.series.run.Name + "' stays as it was left; * goes on with it.")
		} else {
			d.say("No run was begun.")
		}
	case fyne.KeyBackspace:
		d.setSetup(s.Back())
	case fyne.KeyDown, fyne.KeyUp, fyne.KeyTab:
		by := 1
		if k == fyne.KeyUp || k == fyne.KeyTab && d.set.Shift() {
			by = -1
		}
		d.setSetup(s.Move(d.pack, by))
	case fyne.KeyRight:
		d.setSetup(s.Turn(d.pack, s.At, 1))
	case fyne.KeyLeft:
		d.setSetup(s.Turn(d.pack, s.At, -1))
	case fyne.KeySpace: // comes as a character too
	default:
		return false
	}
	return true
}

// pickSeries is a press on the page.
func (d *Desk) pickSeries(id string) {
	if id == entry.ContinueID {
		d.continueSeries()
		return
	}
	n, ok := strings.CutPrefix(id, entry.RunID)
	row, err := strconv.Atoi(n)
	if !ok || err != nil {
		return
	}
	d.setSetup(d.series.setup.Turn(d.pack, entry.SetupRow(row), 1))
}

// pickForSeries is a press on a drawing while a run is set up.
func (d *Desk) pickForSeries(id string) {
	s, ok := d.series.setup.Press(d.pack, id)
	if !ok {
		if id != "" {
			d.say("This run has nothing there.")
		}
		return
	}
	d.setSetup(s)
	d.choose(id)
}

// seriesPrimary is the button of the page: to go on with a run that was left while
// nothing else was chosen, else to begin.
func (d *Desk) seriesPrimary() (label, key string, do func()) {
	if d.series.run != nil && d.series.setup.At == entry.SetupWhat {
		return d.series.run.Continue(), "Enter", d.continueSeries
	}
	return "Start this run", "Enter", d.startSeries
}

// openEnd opens the end of the run: what is to be looked at again.
func (d *Desk) openEnd() {
	d.keepRun()
	d.toSheet()
	d.page, d.series.line = runEndPage, -1
	if len(d.series.run.Again()) > 0 {
		d.series.line = 0
	}
	d.showSheet(true)
	d.showChips()
	d.say("The end of the run: " + d.series.run.Standing())
}

// endRune says why the line was skipped; 0 ends the run.
func (d *Desk) endRune(r rune) bool {
	if r == '0' {
		d.endSeries()
		return true
	}
	if r < '1' || r > '9' {
		return r != '?'
	}
	d.sayWhy(int(r - '1'))
	return true
}

func (d *Desk) sayWhy(why int) {
	list := d.series.run.Again()
	if d.series.line < 0 || d.series.line >= len(list) {
		d.say("Choose the point first: up and down.")
		return
	}
	i := list[d.series.line]
	if !d.series.run.SayWhy(i, why) {
		d.say(d.series.run.Points()[i].Name() + " was not skipped.")
		return
	}
	d.keepRun()
	for k, j := range list { // on to the next that lacks one
		if reason, skipped := d.series.run.Skipped[j]; k > d.series.line && skipped && reason == "" {
			d.series.line = k
			break
		}
	}
	d.showSheet(false)
	d.say("Skipped: " + d.series.run.Skipped[i] + ".")
}

// endKey is a key without a character.
func (d *Desk) endKey(k fyne.KeyName) bool {
	n := len(d.series.run.Again())
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		_, _, do := d.primaryAction()
		do()
	case fyne.KeyEscape:
		d.enterRun("Back in '" + d.series.run.Name + "'.")
	case fyne.KeyDown, fyne.KeyTab:
		d.series.line = (d.series.line+2)%(n+1) - 1
		d.showEndLine()
	case fyne.KeyUp:
		d.series.line = (d.series.line+n+1)%(n+1) - 1
		d.showEndLine()
	default:
		return false
	}
	return true
}

func (d *Desk) showEndLine() {
	d.showSheet(false)
	d.showChips()
	if list := d.series.run.Again(); d.series.line >= 0 {
		d.rollTo(entry.PointID+strconv.Itoa(list[d.series.line]), 0)
	}
}

// pickEnd is a press on the page: back to a point, or why one was skipped.
func (d *Desk) pickEnd(id string) {
	if n, ok := strings.CutPrefix(id, entry.PointID); ok {
		if i, err := strconv.Atoi(n); err == nil {
			d.backTo(i)
		}
		return
	}
	if id == entry.FinishID {
		d.endSeries()
		return
	}
	if n, ok := strings.CutPrefix(id, entry.WhyID); ok {
		if why, err := strconv.Atoi(n); err == nil {
			d.sayWhy(why)
		}
	}
}

// backTo leads from the end of the run to one of its points.
func (d *Desk) backTo(i int) {
	run := d.series.run
	if !run.Go(i) {
		return
	}
	for k, j := range run.Again() { // presses choose the line for its reason as well
		if j == i {
			d.series.line = k
		}
	}
	run.Raw = ""
	d.enterRun("Back at " + run.Points()[i].Name() + ".")
}

// endPrimary is the button of the page.
func (d *Desk) endPrimary() (label, key string, do func()) {
	if list := d.series.run.Again(); d.series.line >= 0 && d.series.line < len(list) {
		i := list[d.series.line]
		return "Back to " + d.series.run.Points()[i].Name(), "Enter", func() { d.backTo(i) }
	}
	return "End this run", "Enter", d.endSeries
}

// endSeries ends the run; its marks and reasons stay in the casebook.
func (d *Desk) endSeries() {
	run := d.series.run
	run.Ended = true
	d.series.on = false
	d.keepRun()
	d.series.run = nil
	d.form.Raw = ""
	d.showFinding()
	d.computeNow()
	d.say("Ended: '" + run.Name + "', " + run.Standing())
}
