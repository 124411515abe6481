package ui

import (
	"math"
	"strconv"
	"strings"
	"time"

	"halfsplit/fault"
	"halfsplit/ui/advice"
	"halfsplit/ui/easel"
	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
)

// tick is how often the countdown is drawn.
const tick = 500 * time.Millisecond

// clock is the time by which the timer counts.
func (d *Desk) clock() time.Time {
	if d.deps.Now != nil {
		return d.deps.Now()
	}
	return time.Now()
}

// ticking calls do again and again on the window's thread, until it is stopped.
func (d *Desk) ticking(do func()) (stop func()) {
	if d.deps.Tick != nil {
		return d.deps.Tick(tick, do)
	}
	t, done := time.NewTicker(tick), make(chan struct{})
	go func() {
		for {
			select {
			case <-t.C:
				d.deps.Do(do)
			case <-done:
				return
			}
		}
	}()
	return func() { t.Stop(); close(done) }
}

// circuit is what the leads touch in the form: another one ends the timer.
func circuit(f entry.Form) string {
	s := strings.Join([]string{f.Red, f.Black, f.Instrument}, "|")
	if f.Kind == entry.WithResistor {
		s += "|" + f.Resistor
	}
	return s
}

// toggleTimer starts the timer on the page of a reading, or ends it.
func (d *Desk) toggleTimer() {
	switch {
	case d.timer.Running():
		d.stopTimer("The timer is ended.")
	case d.page != entryPage:
		d.openGuide(advice.Settle{})
	default:
		d.startTimer()
	}
}

func (d *Desk) startTimer() {
	d.page = entryPage
	d.stopTimer("")
	d.timer = advice.Touch(d.clock(), circuit(d.form))
	d.stopTick = d.ticking(d.tock)
	d.showSheet(false)
	d.showChips()
	d.rollTo(entry.FieldID, 46+easel.Sizes().Number()) // and the countdown below it
	d.say("The timer runs: the first value is asked for at 2 s.")
}

// stopTimer ends it; what was saved stays.
func (d *Desk) stopTimer(said string) {
	if d.stopTick != nil {
		d.stopTick()
		d.stopTick = nil
	}
	d.timer = advice.Timer{}
	if said == "" {
		return
	}
	if d.page == entryPage {
		d.showSheet(false)
	}
	d.say(said)
}

// tock draws the countdown; a timer whose leads were moved, or whose page is left,
// ends.
func (d *Desk) tock() {
	switch {
	case !d.timer.Running():
	case d.page != entryPage:
		d.stopTimer("")
	case d.timer.For != circuit(d.form):
		d.stopTimer("The timer is ended: the leads are on another place.")
	default:
		d.paper.Refresh()
		d.frame.layoutSheet()
	}
}

// entryBlocks are the page of a reading with the timer and the helps of this place.
func (d *Desk) entryBlocks() []sheet.Block {
	if d.inRun() {
		return d.runBlocks()
	}
	form := append(d.form.Blocks(d.pack, d.deps.Who), listAction(), paperAction())
	now, typing := d.clock(), d.form.Raw != ""
	var out []sheet.Block
	for i, b := range form {
		if i > 0 && form[i-1].Kind == sheet.Input && b.Kind == sheet.Big && d.timer.Running() { // the value, or three dots
			if typing {
				out = append(out, b)
			}
			out = append(out, d.timer.Countdown(now, typing)...)
			continue
		}
		if b.Kind == sheet.Pad {
			out = append(out, d.beforePad()...)
		}
		out = append(out, b)
		if b.Kind == sheet.Pad {
			out = append(out, d.afterPad()...)
		}
	}
	return out
}

// beforePad is what must be seen while a value is typed.
func (d *Desk) beforePad() []sheet.Block {
	b := d.meterBlocks()
	if d.form.Kind != entry.ToChassis && d.form.Kind != entry.WithResistor {
		return b
	}
	if r, mixed := advice.Mixed(d.world()); mixed {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: lockID, Text: "Lock the " + strconv.FormatFloat(r.Max, 'f', -1, 64) + " V range for both ends …", Value: "The two ends of this section fall on different ranges."})
	}
	return b
}

// afterPad are the helps of this place.
func (d *Desk) afterPad() []sheet.Block {
	b := append(d.ratingBlocks(sheet.Soft), d.timer.Blocks()...)
	if !d.timer.Running() && (d.form.Kind == entry.ToChassis || d.form.Kind == entry.WithResistor) {
		b = append(b, sheet.Block{Kind: sheet.Action, ID: timerID, Text: "The leads touch: start the settle timer (F5)", Value: "It asks for values at 2, 5, 10\u2009s."})
	}
	return append(b, sheet.Block{Kind: sheet.Action, ID: adviceID, Text: "Help with this measurement … (F8)", Value: "Test resistor, range, the meter's input, how long to wait."})
}

// timed notes when a value began to be typed.
func (d *Desk) timed() {
	switch {
	case !d.timer.Running():
	case d.form.Raw == "":
		d.timer = d.timer.Cleared()
	default:
		d.timer = d.timer.Typing(d.clock())
	}
}

// stamp gives a reading its seconds after touching: of the one that it corrects, or
// while the timer runs.
func (d *Desk) stamp(r fault.Reading) fault.Reading {
	if old, ok := d.deps.Case.Reading(d.form.Corrects); ok { // a correction was read when the old one was
		r.AfterTouchS = old.AfterTouchS
	}
	if d.timer.Running() && d.timer.For == circuit(d.form) && r.Quantity == fault.Volts && d.form.Corrects == "" {
		s := d.timer.Counts(d.clock())
		r.AfterTouchS = &s
	}
	return d.fromMeter(r)
}

// taken is the form after a timed value was saved: at the same place, until the
// values have settled. ok is false where no timer runs.
func (d *Desk) taken(r fault.Reading, name string) (settled, ok bool) {
	if r.AfterTouchS == nil || !d.timer.Running() || d.form.Corrects != "" {
		return false, false
	}
	v := advice.Timed{After: *r.AfterTouchS, Value: r.Value}
	if all := d.store.Case().Readings; len(all) > 0 { // it has its id from the store
		v.ID = all[len(all)-1].ID
	}
	if in, known := d.deps.Case.Instrument(r.Instrument); known {
		if rg, _, held := in.RangeOf(r); held {
			v.Count, v.SD = rg.Count, math.Max(in.CountSD(rg), rg.Count/math.Sqrt(12))
		}
	}
	d.timer = d.timer.With(v)
	if d.timer.Settled() {
		d.stopTimer("")
		return true, true
	}
	d.form.Raw, d.form.Failed, d.form.Last = "", "", name
	return false, true
}

// afterWords say when after touching a value was taken.
func afterWords(r fault.Reading) string {
	if r.AfterTouchS == nil {
		return ""
	}
	return ", " + strconv.FormatFloat(*r.AfterTouchS, 'f', -1, 64) + " s after touching"
}

func settledWords(settled bool) string {
	if settled {
		return ". Settled: two values 10 s apart agree within 2 counts"
	}
	return ""
}
