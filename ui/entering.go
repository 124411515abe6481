package ui

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/easel"
	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
	"halfsplit/ui/store"
)

// enter opens the entry sheet for what is selected. A form that was left comes
// back with what had been typed.
func (d *Desk) enter() {
	d.toSheet()
	if len(d.pack.Net.Layout.Modules) == 0 {
		d.say("There are no modules to take a reading at.")
		return
	}
	if d.form.Raw == "" || d.form.Selected() != d.selected {
		d.form = entry.Begin(d.pack, d.selected, d.form)
	}
	d.form.At, d.series.on = entry.Field, false
	d.page, d.taking = entryPage, d.taking && d.form.Raw != ""
	d.follow()
	d.showSheet(true)
	d.showChips()
	d.say("Entering: " + d.form.Title() + ".")
}

// follow selects on the drawings what the form is about.
func (d *Desk) follow() {
	if id := d.form.Selected(); id != d.selected {
		d.selected = id
		d.planPane.Refresh()
		d.rulerPane.Refresh()
		d.reveal()
	}
}

// setForm takes a form that something was changed about.
func (d *Desk) setForm(f entry.Form) {
	moved := f.Selected() != d.form.Selected()
	d.form = f
	d.timed()
	if moved {
		d.follow()
	}
	d.showSheet(false)
	d.showChips()
	switch {
	case d.inRun():
		d.seeField()
	case f.At == entry.Field:
		d.rollTo(entry.FieldID, 22+easel.Sizes().Number()) // and what it means, below it
	}
}

// aim puts the form on another place, which was pressed on a drawing.
func (d *Desk) aim(id string) {
	d.toSheet()
	if d.inRun() {
		if i, ok := d.series.run.Find(d.pack, id); ok {
			d.goTo(d.series.run.Go(i))
		} else {
			d.say("This run has nothing there.")
		}
		return
	}
	d.setForm(entry.Begin(d.pack, id, d.form))
	d.say("Entering: " + d.form.Title() + ".")
}

// entryRune is a character while something is entered.
func (d *Desk) entryRune(r rune) bool {
	if d.inRun() && d.runRune(r) {
		return true
	}
	typing := d.form.Raw != "" && d.form.At == entry.Field
	switch r {
	case '/':
		d.skip(1)
		return true
	case '?', 'n', 'N', 'i', 'I', '*':
		return false // the list of keys, the name, the instruments, a run of readings
	case 'x', 'X':
		if typing || d.inRun() { // a number that it would fall out of is another one
			break
		}
		d.acrossFirst()
		return true
	case 's', 'S':
		if d.form.Raw == "" {
			return false // the state
		}
	case 'r', 'R':
		if typing || d.inRun() {
			break
		}
		if f, ok := d.form.SwitchResistor(); ok {
			d.setForm(f)
			d.say("Entering: " + f.Title() + ".")
		}
		return true
	}
	d.typeRune(r)
	return true // a letter that does not belong there is no command either
}

// typeRune puts a character into the field. What belongs into no number is said at once,
// and the number with it is not saved.
func (d *Desk) typeRune(r rune) {
	f, ok := d.form.Type(r)
	if !ok {
		d.say(fmt.Sprintf("The field takes %d characters; %q was not taken.", entry.Most, string(r)))
		return
	}
	d.setForm(f)
	if !entry.Belongs(r) {
		d.say(fmt.Sprintf("%q belongs into no number: with it this one is not saved. Backspace takes it away.", string(r)))
	}
}

// entryKey is a key without a character while something is entered.
func (d *Desk) entryKey(k fyne.KeyName) bool {
	if d.inRun() && d.runKey(k) {
		return true
	}
	f := d.form
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.saveReading()
	case fyne.KeyEscape:
		d.leaveEntry()
	case fyne.KeyBackspace:
		if g, ok := f.Back(); ok {
			d.setForm(g)
		} else {
			d.skip(-1)
		}
	case fyne.KeyDelete:
		f.Raw, f.Failed = "", ""
		d.setForm(f)
	case fyne.KeyDown:
		d.setForm(f.Move(1))
	case fyne.KeyUp:
		d.setForm(f.Move(-1))
	case fyne.KeyTab:
		by := 1
		if d.set.Shift() {
			by = -1
		}
		d.setForm(f.Move(by))
	case fyne.KeyLeft, fyne.KeyRight:
		by := 1
		if k == fyne.KeyLeft {
			by = -1
		}
		if f.At == entry.Field {
			d.skip(by)
		} else {
			d.setForm(f.Change(d.pack, f.At, by))
		}
	case fyne.KeyPageDown:
		d.skip(1)
	case fyne.KeyPageUp:
		d.skip(-1)
	case fyne.KeySpace, fyne.KeyHome, fyne.KeyEnd:
	default:
		return false
	}
	return true
}

// skip goes on to another place without saving.
func (d *Desk) skip(by int) {
	f, ok := d.form.Step(d.pack, by)
	if !ok {
		d.say("There is no further place in this run.")
		return
	}
	d.setForm(f)
	d.say("Entering: " + f.Title() + ".")
}

// pickEntry is a press on the entry sheet.
func (d *Desk) pickEntry(id string) {
	if key, ok := strings.CutPrefix(id, sheet.PadKey("")); ok {
		d.padKey(key)
		return
	}
	switch id {
	case askMeterID:
		d.askMeter()
		return
	case meterSetID:
		d.askFor(true)
		return
	case meterStateID:
		d.recordInterface()
		return
	case entry.StateID:
		d.openStates()
		return
	case entry.WhoID:
		d.askWho()
		return
	case entry.KitID:
		d.openKit()
		return
	case entry.GapID:
		d.acrossFirst()
		return
	case entry.EndID:
		d.openEnd()
		return
	}
	if row, ok := entry.RowOf(id); ok {
		if d.inRun() && d.pinned(row) {
			return
		}
		f := d.form
		f.At = row
		d.setForm(f.Change(d.pack, row, 1))
	}
}

func (d *Desk) padKey(key string) {
	if d.inRun() {
		d.runPadKey(key)
		return
	}
	switch key {
	case "Back":
		defer d.holdPad()()
		d.entryKey(fyne.KeyBackspace)
	case "Skip":
		d.skip(1)
	default:
		defer d.holdPad()()
		f, ok := d.form, true
		for _, r := range key {
			if f, ok = f.Type(r); !ok {
				return
			}
		}
		d.setForm(f)
	}
}

// holdPad keeps the pad under the finger: what it returns rolls the sheet by as much
// as what stands above the pad has grown or shrunk since.
func (d *Desk) holdPad() func() {
	before, ok := d.padTop()
	return func() {
		after, still := d.padTop()
		if !ok || !still || before == after {
			return
		}
		most := fyne.Max(0, d.paper.MinSize().Height-d.paperRoll.Size().Height)
		d.paperRoll.Offset.Y = fyne.Max(0, fyne.Min(most, d.paperRoll.Offset.Y+after-before))
		d.paperRoll.Refresh()
	}
}

// padTop is where the pad begins on the sheet.
func (d *Desk) padTop() (float32, bool) {
	for _, t := range d.paper.List().Targets {
		if strings.HasPrefix(t.ID, sheet.PadKey("")) {
			return float32(t.Area[0].Px.Y() + t.Area[0].World.Y()), true
		}
	}
	return 0, false
}

// paste puts the clipboard's text into the field, as far as it belongs there.
func (d *Desk) paste(text string) {
	f := d.form
	for _, r := range strings.TrimSpace(text) {
		g, ok := f.Type(r)
		if !ok {
			break
		}
		f = g
	}
	d.setForm(f)
}

// leaveEntry goes back to the finding; what was typed stays in the form.
func (d *Desk) leaveEntry() {
	if d.form.Corrects != "" {
		d.form = entry.Begin(d.pack, "", entry.Form{Instrument: d.form.Instrument, Range: d.form.Range, Resistor: d.form.Resistor, Last: d.form.Last})
	}
	if !d.returnToSocket() {
		d.showFinding()
	}
	if d.form.Raw != "" {
		d.say("Left with " + d.form.Raw + " typed and not saved; Enter goes on with it.")
	} else {
		d.say("Left. What was saved stays.")
	}
}

// saveReading records what was typed and goes on to the next place.
func (d *Desk) saveReading() {
	if d.inRun() {
		d.saveInRun(false)
		return
	}
	f := d.form
	if f.Raw != "" && d.paperRoll.Offset.Y > 0 {
		defer d.holdPad()()
	}
	if f.Raw == "" {
		d.say("Type what the meter shows, then Enter saves it.")
		return
	}
	r, err := f.Reading(d.pack)
	var name string
	if err == nil {
		r.At = d.now()
		r = d.stamp(r)
		name, err = d.record(r)
	}
	if err != nil {
		f.Failed = err.Error()
		d.setForm(f)
		d.say("Not saved.")
		return
	}
	settled, timed := d.taken(r, name)
	d.afterCommand()
	if timed && !settled {
		d.showSheet(false)
		d.say("Saved: " + name + afterWords(r) + ".")
		return
	}
	proposed := d.taking && f.IsProposed(d.pack)
	d.form = f.Saved(d.pack, name)
	if proposed {
		d.testTaken(name + settledWords(settled))
		return
	}
	if d.returnToSocket() {
		d.say("Saved: " + name + settledWords(settled) + ". Back at the socket's path.")
		return
	}
	d.follow()
	d.showSheet(false)
	if f.Kind == entry.ModuleVolts && d.form.Kind == entry.ToChassis {
		name += ". That was the last module; next is " + d.form.Title()
	}
	d.say("Saved: " + name + settledWords(settled) + ".")
}

// record hands the form's reading to the store.
func (d *Desk) record(r fault.Reading) (name string, err error) {
	f := d.form
	switch {
	case f.Corrects != "":
		r, err = d.store.SupersedeReading(f.Corrects, r, f.Why)
	case f.ToList():
		err = d.store.TypeGroupVolts(f.Module, r.State, r.Instrument, f.Group, r.Value, typedOrAnswered(r, f.Typed(d.pack)))
		return fmt.Sprintf("%s group %d %s V", f.Module, f.Group, strconv.FormatFloat(r.Value, 'f', -1, 64)), err
	default:
		r, err = d.store.AddReading(r)
	}
	return store.Name(r), err
}

// typedOrAnswered is what the log says of a group's value: the keystrokes, or the
// connected meter's own answer and who it is.
func typedOrAnswered(r fault.Reading, typed string) string {
	if r.Answer == "" {
		return typed
	}
	by := r.AnsweredBy
	if by == "" {
		by = "the connected meter"
	}
	return r.Answer + " from " + by
}

// now is the time that is recorded, "" where there is no clock.
func (d *Desk) now() string {
	if d.deps.Now == nil {
		return ""
	}
	return d.deps.Now().UTC().Format(time.RFC3339)
}

// afterCommand shows the case as it is now and computes its finding anew. The
// last finding stays, marked as older.
func (d *Desk) afterCommand() {
	d.dropWhatIf()
	d.deps.Case = d.store.Case()
	d.result.Stale = d.result.Finding != nil
	d.Compute()
	if d.cancel == nil { // nothing that computes
		d.work()
		d.showAll(false)
	}
}
