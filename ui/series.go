package ui

import (
	"fmt"
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/ui/easel"
	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
)

// A running is a run of readings in the window: the run that is under way or was
// left, the page on which one is set up, and the line of its end.
type running struct {
	run   *entry.Run // begun and not ended; nil = none
	on    bool       // the page of a reading belongs to it
	setup entry.Setup
	line  int // of the end's list, that the keyboard is on; -1 = none
	begun int // runs of this case so far
	stop  func()

	pressed bool // a key of the pad is at work
	bench   bool // the window is laid out for gloves
}

// quiet is how long nothing must be saved in a run before the finding is computed:
// who types a row of values does not wait for it, nor for its pictures.
const quiet = 600 * time.Millisecond

// restoreRun takes up the run that was kept beside the case. A program that ended in
// the middle of it asks whether to go on.
func (d *Desk) restoreRun() {
	text := d.store.Draft(entry.RunName)
	d.series.begun = entry.RunsBegun(text)
	run, why := entry.RestoreRun(d.pack, text)
	if why != "" {
		d.happened = why
	}
	if run == nil {
		return
	}
	d.series.run = run
	if d.form.Raw != "" && d.atPoint(d.form) { // typed after the run was kept last
		run.Raw = d.form.Raw
	}
	d.series.setup = entry.NewSetup(d.pack, run, d.series.begun)
	if run.On {
		d.page, d.happened = seriesPage, run.Continue()
	}
}

// atPoint says that a form is on the point where the run stands.
func (d *Desk) atPoint(f entry.Form) bool {
	pt, ok := d.series.run.Point()
	return ok && f.Red == pt.Red && f.Black == pt.Black && f.Quantity() == pt.Quantity && f.AfterS == pt.AfterS
}

// openSeries opens the page on which a run is chosen.
func (d *Desk) openSeries() {
	d.toSheet()
	if len(d.pack.Net.Layout.Modules) == 0 {
		d.say("There are no modules to take readings at.")
		return
	}
	s := entry.NewSetup(d.pack, d.series.run, d.series.begun)
	if g, ok := s.Press(d.pack, d.selected); ok {
		s = g
	}
	s.At = entry.SetupWhat
	d.series.setup, d.series.on = s, false
	d.page = seriesPage
	d.showSheet(true)
	d.showChips()
	d.say("Choose what to read, and in which order.")
}

// startSeries begins the run that is set up.
func (d *Desk) startSeries() {
	if t := d.series.setup.Trouble(d.pack); t != "" {
		d.say(t)
		return
	}
	d.series.begun++
	d.series.run = d.series.setup.Run(d.pack)
	d.series.run.Number = d.series.begun
	d.enterRun("Begun: '" + d.series.run.Name + "'.")
}

// continueSeries goes on with the run that was left.
func (d *Desk) continueSeries() {
	r := d.series.run
	if r == nil {
		return
	}
	said := "Going on with '" + r.Name + "'."
	if r.Sheet == "" && r.State != d.deps.Case.Now {
		r.State = d.deps.Case.Now
		said += " The present state is " + r.State + " now: what follows belongs to it."
	}
	d.enterRun(said)
}

// enterRun puts the page of a reading on the run.
func (d *Desk) enterRun(said string) {
	d.series.on, d.page, d.taking = true, entryPage, false
	d.form = d.series.run.Form(d.pack, d.form)
	d.keepRun()
	d.follow()
	d.showSheet(true)
	d.seeField()
	d.showChips()
	d.say(said)
}

// keepRun writes the run beside the case; what keeps it from there is said.
func (d *Desk) keepRun() {
	r := d.series.run
	if r == nil {
		return
	}
	raw := r.Raw
	if d.atPoint(d.form) {
		raw = d.form.Raw
	}
	r.On = d.series.on
	if err := d.store.KeepDraft(entry.RunName, r.Keep(d.pack, raw)); err != nil {
		d.say("The place in the run could not be kept: " + err.Error() + ".")
	}
}

// onBench says that a run is entered with gloves on: its panel is wider, and has
// nothing above it.
func (d *Desk) onBench() bool { return d.inRun() && easel.Sizes().Glove }

// runRoom is what the panel of a run has.
func (d *Desk) runRoom() entry.Room {
	switch {
	case d.frame != nil && (d.frame.low() && d.frame.size.Width >= 500 || d.wideRun()):
		return entry.LowRoom
	case d.onBench():
		return entry.BenchRoom
	}
	return entry.PlainRoom
}

// wideRun says that the panel of a run has its pad beside the field since the window is
// not high enough for it below, and takes the width for that from the drawings.
func (d *Desk) wideRun() bool {
	if d.frame == nil || d.frame.low() || d.frame.size.Width < oneView || !d.inRun() {
		return false
	}
	high := float32(660) // of the desk, from which everything is seen with the pad below
	if d.onBench() {
		high = 760
	}
	return d.frame.size.Height < high
}

// inRun says that the page of a reading belongs to a run.
func (d *Desk) inRun() bool { return d.series.on && d.page == entryPage && d.series.run != nil }

// leaveRun goes back to the finding; the run can be gone on with.
func (d *Desk) leaveRun() {
	d.series.on = false
	d.keepRun()
	d.form.Raw = "" // the run has it
	d.computeNow()
	d.showFinding()
	d.say("Left '" + d.series.run.Name + "'; nothing is lost. * goes on with it.")
}

// goTo shows another point that the run was put on; what was typed and not saved is
// dropped.
func (d *Desk) goTo(moved bool) {
	if !moved {
		d.say("There is no further point in this run.")
		return
	}
	d.series.run.Raw = ""
	d.form = d.series.run.Form(d.pack, d.form)
	d.moved()
	d.say("Entering: " + d.form.Title() + ".")
}

// moved shows the point where the run stands now.
func (d *Desk) moved() {
	d.keepRun()
	d.timed()
	d.follow()
	d.showSheet(false)
	d.seeField()
	d.foot.Refresh()
}

// seeField rolls the panel of a run so that the field and the value across the bench
// are seen; in a window that is too low for both, the field and what follows it.
func (d *Desk) seeField() {
	if d.series.pressed { // the pad stays under the finger
		return
	}
	if d.runRoom() == entry.LowRoom { // all of it stands at the top
		d.paperRoll.Offset.Y = 0
		d.paperRoll.Refresh()
		return
	}
	echo := 66 + 1.2*fyne.Max(44, easel.Sizes().Number())
	for _, t := range d.paper.List().Targets {
		if t.ID != entry.FieldID {
			continue
		}
		top, bottom := float32(t.Area[0].World.Y()), float32(t.Area[2].World.Y())
		if bottom-top+echo > d.paperRoll.Size().Height {
			d.paperRoll.Offset.Y = fyne.Max(0, top-4)
			d.paperRoll.Refresh()
			return
		}
		d.rollTo(entry.FieldID, echo)
		return
	}
}

// runRune is a character of the number pad in a run; false for one that means the
// same as elsewhere.
func (d *Desk) runRune(r rune) bool {
	switch r {
	case '-', '\u2212':
		d.setForm(d.form.Sign())
	case '*':
		d.suspect()
	case '+':
		d.again()
	case '/':
		d.skipPoint()
	default:
		return false
	}
	return true
}

// runKey is a key without a character in a run.
func (d *Desk) runKey(k fyne.KeyName) bool {
	run, f := d.series.run, d.form
	switch k {
	case fyne.KeyReturn, fyne.KeyEnter:
		d.saveInRun(false)
	case fyne.KeyEscape:
		d.leaveRun()
	case fyne.KeyEnd:
		d.openEnd()
	case fyne.KeyF2:
		if g, ok := run.FormOfLast(d.pack, f); ok {
			d.form = g
			d.moved()
			d.say("Editing the last value: " + g.Title() + ".")
		} else {
			d.say("Nothing is saved in this run yet.")
		}
	case fyne.KeyF5:
		d.wait(entry.NextWait(d.timer.Until))
	case fyne.KeyBackspace:
		if f.Raw != "" {
			return false
		}
		d.goTo(run.Step(-1))
	case fyne.KeyPageDown:
		d.goTo(run.Jump(1))
	case fyne.KeyPageUp:
		d.goTo(run.Jump(-1))
	case fyne.KeyLeft, fyne.KeyRight:
		if f.At != entry.Field {
			return d.pinned(f.At)
		}
		d.goTo(run.Step(map[fyne.KeyName]int{fyne.KeyLeft: -1, fyne.KeyRight: 1}[k]))
	default:
		return false
	}
	return true
}

// pinned says that a line of the form is the run's, which is said.
func (d *Desk) pinned(row entry.Row) bool {
	switch row {
	case entry.What, entry.RedLead, entry.BlackLead, entry.Unit, entry.Fitted:
		d.say("The run says where the leads go and what a bare number is. Esc leaves it.")
		return true
	}
	return false
}

// suspect marks what is typed, or with an empty field the value that was saved last.
func (d *Desk) suspect() {
	run := d.series.run
	if d.form.Raw != "" || d.form.Again || d.form.Suspect || run.Last < 0 {
		d.setForm(d.form.Trust())
		return
	}
	on := !run.Suspect.Has(run.Last)
	if err := d.remark(run.Last, on); err != nil {
		d.say("Not marked: " + err.Error() + ".")
		return
	}
	run.Mark(run.Last, on)
	d.keepRun()
	d.showSheet(false)
	word := "Marked as suspect: "
	if !on {
		word = "No longer marked: "
	}
	d.say(word + run.Points()[run.Last].Name() + ".")
}

// remark records the mark of a reading that was saved without it, or takes it back:
// the same value anew, with the mark, in place of the one before. A group's mark
// stays with the run; its list has no room for one.
func (d *Desk) remark(i int, on bool) error {
	x, ok := d.series.run.Value(d.pack, i)
	if !ok || on == strings.Contains(x.Note, entry.SuspectNote) {
		return nil
	}
	old, why := x.ID, "marked as suspect after it was saved"
	x.ID, x.Supersedes, x.Why = "", "", ""
	if on {
		x.Note = strings.TrimPrefix(x.Note+"; "+entry.SuspectNote, "; ")
	} else {
		x.Note, why = strings.Trim(strings.Replace(x.Note, entry.SuspectNote, "", 1), "; "), "the mark as suspect was taken back"
	}
	if _, err := d.store.SupersedeReading(old, x, why); err != nil {
		return err
	}
	d.afterRecord()
	return nil
}

// again saves what is typed and asks for a second reading of the same point; with an
// empty field it goes back for one to the point that was saved last.
func (d *Desk) again() {
	run := d.series.run
	switch {
	case d.form.Raw != "":
		d.saveInRun(true)
	case run.Last >= 0 && run.Go(run.Last):
		d.form = run.FormAgain(d.pack, d.form)
		d.moved()
		d.say("A second reading of " + run.Points()[run.At].Name() + ".")
	default:
		d.say("Nothing is saved in this run yet.")
	}
}

// skipPoint leaves the point out; why is asked for at the end of the run.
func (d *Desk) skipPoint() {
	run := d.series.run
	name, at := run.Points()[run.At].Name(), run.At
	more := run.Skip()
	d.series.run.Raw, d.form.Raw = "", ""
	if !more {
		d.openEnd()
		return
	}
	d.goTo(true)
	if !run.Taken.Has(at) {
		d.say("Skipped " + name + "; why is asked for at the end.")
	}
}

// saveInRun records what is typed and goes on to the next point, or stays for a
// second reading of the same one. The finding is not waited for.
func (d *Desk) saveInRun(stay bool) {
	f, run := d.form, d.series.run
	if f.Raw == "" {
		d.say("Type what the meter shows; / skips.")
		return
	}
	said, how, doubt := "", "", ""
	if e, err := f.Parse(d.pack); err == nil {
		said, how = f.EchoParts(e)
		doubt = strings.TrimSpace(run.Doubt(d.pack, f) + " " + d.early())
	}
	name, err := d.recordInRun()
	if err != nil {
		f.Failed = err.Error()
		d.setForm(f)
		d.say("Not saved.")
		return
	}
	d.afterRecord()
	run.Mark(run.At, f.Suspect || f.Again && run.Suspect.Has(run.At))
	more := true
	if stay {
		run.Counted(f.Raw, said, how, doubt)
	} else {
		more = run.Accepted(f.Raw, said, how, doubt)
	}
	run.Raw = ""
	d.form.Last = name
	d.waited()
	switch {
	case !more:
		d.form = run.Form(d.pack, d.form)
		d.form.Raw = ""
		d.openEnd()
		d.say("Saved: " + name + ". That was the last point.")
		return
	case stay:
		d.form = run.FormAgain(d.pack, d.form)
	default:
		d.form = run.Form(d.pack, d.form)
	}
	d.moved()
	d.say("Saved: " + name + ".")
}

// early says that a value which belongs to a time was typed well before it; "" for
// nothing, and where no timer runs.
func (d *Desk) early() string {
	s := d.timer.After(d.clock())
	if !d.timer.Running() || d.form.AfterS == 0 || s > d.form.AfterS-3 {
		return ""
	}
	return fmt.Sprintf("Typed %.0f s after touching, recorded as of %g s.", s, d.form.AfterS)
}

// recordInRun hands the reading of the form to the store.
func (d *Desk) recordInRun() (name string, err error) {
	f := d.form
	r, err := f.Reading(d.pack)
	if err != nil {
		return "", err
	}
	r.At = d.now()
	r = d.stampInRun(r)
	return d.record(r)
}

// stampInRun gives a reading its seconds after touching: those of its point, else of
// the settle timer.
func (d *Desk) stampInRun(r fault.Reading) fault.Reading {
	if r.AfterTouchS != nil {
		return d.fromMeter(r)
	}
	return d.stamp(r)
}

// typePad types a key's characters, or none of them where one does not belong.
func (d *Desk) typePad(key string) {
	f, ok := d.form, true
	for _, r := range key {
		if f, ok = f.Type(r); !ok {
			return
		}
	}
	d.setForm(f)
}

// runPadKey is a key of the run's pad.
func (d *Desk) runPadKey(key string) {
	if s, ok := entry.Waits(key); ok {
		d.wait(s)
		return
	}
	d.series.pressed = true
	defer func() { d.series.pressed = false }()
	defer d.holdPad()()
	switch key {
	case entry.BackKey:
		d.entryKey(fyne.KeyBackspace)
	case entry.SuspectKey:
		d.suspect()
	case entry.AgainKey:
		d.again()
	case entry.SkipKey:
		d.skipPoint()
	case entry.EditKey:
		d.runKey(fyne.KeyF2)
	case entry.ListKey:
		d.openEnd()
	case entry.LeaveKey:
		d.leaveRun()
	case "-", ">":
		d.setForm(d.form.Sign())
	default:
		d.typePad(key)
	}
}

// wait starts the settle timer for so many seconds, or ends it at 0. The values of
// insulation have times of their own.
func (d *Desk) wait(s float64) {
	if d.form.AfterS > 0 && !d.timer.Running() {
		s = d.form.AfterS
	}
	d.stopTimer("")
	if s == 0 {
		d.showSheet(false)
		d.say("The settle timer is ended.")
		return
	}
	d.startTimer()
	d.timer.Until = s
	d.showSheet(false)
	d.say(fmt.Sprintf("The leads touch: the value is asked for at %g s.", s))
}

// waited ends the settle timer after its value, unless the next value of the same
// point has a later time.
func (d *Desk) waited() {
	if !d.timer.Running() {
		return
	}
	if pt, ok := d.series.run.Point(); ok && pt.AfterS > d.timer.Until && pt.Red == d.form.Red && pt.Black == d.form.Black {
		d.timer = d.timer.Cleared()
		d.timer.Until = pt.AfterS
		return
	}
	d.stopTimer("")
}

// afterRecord takes the case as it is now without the finding, which is computed as
// soon as nothing was saved for a moment.
func (d *Desk) afterRecord() {
	d.dropWhatIf()
	d.deps.Case = d.store.Case()
	d.result.Stale = d.result.Finding != nil
	if d.cancel != nil { // a finding of fewer readings has nowhere to go
		d.cancel()
		d.cancel = nil
		d.run++
	}
	d.work()
	d.computeLater()
}

// computeLater computes the finding after a pause.
func (d *Desk) computeLater() {
	if d.series.stop != nil {
		d.series.stop()
	}
	d.series.stop = d.later(quiet, func() {
		d.series.stop = nil
		d.Compute()
	})
}

// computeNow computes a finding that was put off.
func (d *Desk) computeNow() {
	if d.series.stop != nil {
		d.series.stop()
		d.series.stop = nil
		d.Compute()
	}
}

// later calls do on the window's thread after a time, unless it is stopped.
func (d *Desk) later(after time.Duration, do func()) (stop func()) {
	if d.deps.Later != nil {
		return d.deps.Later(after, do)
	}
	stopped := false // read and written on the window's thread
	t := time.AfterFunc(after, func() {
		d.deps.Do(func() {
			if !stopped {
				do()
			}
		})
	})
	return func() { stopped = true; t.Stop() }
}

// runUndone takes a run back to the point whose value was withdrawn.
func (d *Desk) runUndone() {
	run := d.series.run
	if run == nil || !run.Undone(d.pack) {
		return
	}
	if d.inRun() {
		run.Raw = ""
		d.form = run.Form(d.pack, d.form)
		d.follow()
	}
	d.keepRun()
}

// runBlocks are the panel of the run, with the countdown where one runs.
func (d *Desk) runBlocks() []sheet.Block {
	var waiting []sheet.Block
	if d.timer.Running() {
		big, about := d.timer.Words(d.clock())
		waiting = []sheet.Block{{Kind: sheet.Echo, Text: fmt.Sprintf("Settle timer, %g s", d.timer.Until), Value: big, Unit: about}}
	}
	return append(d.series.run.Blocks(d.pack, d.form, d.deps.Who, waiting, d.runRoom()), append(d.meterBlocks(), d.ratingBlocks(sheet.Soft)...)...)
}
