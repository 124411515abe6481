package ui

import (
	"context"
	"errors"
	"strings"
	"time"

	"fyne.io/fyne/v2"

	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/ui/facts"
	"halfsplit/ui/ruler"
)

// Compute works the finding out beside the window. One that is under way is
// cancelled; its result is dropped.
func (d *Desk) Compute() {
	if d.deps.Find == nil || len(d.deps.Case.Layout.Modules) == 0 {
		return
	}
	if d.cancel != nil {
		d.cancel()
	}
	d.dropWhatIf() // it was asked of the case as it was
	d.also = ""
	ctx, cancel := context.WithCancel(context.Background())
	d.cancel = cancel
	d.run++
	run, c := d.run, d.deps.Case
	d.result.Status = facts.Computing
	d.work()
	d.showAll(false)
	d.deps.Go(func() {
		f, err := d.deps.Find(ctx, c)
		signs := cells.Signatures(c)
		d.deps.Do(func() { d.done(run, f, signs, err) })
	})
}

// Cancel stops the computation; the last finding stays, marked out of date.
func (d *Desk) Cancel() {
	if d.cancel == nil {
		return
	}
	d.cancel()
	d.cancel = nil
	d.run++ // whatever still comes is not shown
	d.result.Status = facts.Cancelled
	d.work()
	d.say("The finding was cancelled.")
	d.showAll(false)
}

// Close stops what is under way; call it when the window is gone.
func (d *Desk) Close() {
	d.keepAll()
	d.dropWhatIf()
	d.stopTimer("")
	d.hangUpMeter()
	if d.series.stop != nil {
		d.series.stop()
	}
	d.reaching.Close()
	d.listing.Close()
	if d.cancel != nil {
		d.cancel()
		d.cancel = nil
	}
	d.run++ // a finding that was ready before it could be cancelled has nowhere to go
}

// done takes a computation's result, unless another has been started since.
func (d *Desk) done(run int, f fault.Finding, signs []cells.Signature, err error) {
	if run != d.run {
		return
	}
	d.cancel()
	d.cancel = nil
	switch {
	case errors.Is(err, context.Canceled):
		d.result.Status = facts.Cancelled
		d.say("The finding was cancelled.")
	case err != nil:
		d.result.Status, d.result.Err = facts.Failed, err.Error()
		d.say("The finding failed.")
	default:
		d.startGlide()
		d.lead = 0
		d.result = facts.Result{Status: facts.Ready, Finding: &f, Signs: signs}
		if err := d.store.SaveFinding(f); err != nil {
			d.say("The finding could not be kept: " + err.Error() + ".")
			break
		}
		if d.page == entryPage { // what was saved last stands there
			break
		}
		d.say(strings.TrimSpace(d.also + " The finding is ready: " + facts.Verdict(&f) + "."))
		d.also = ""
	}
	d.work()
	d.showAll(false)
}

// glideTime is how long skyline and chassis marks take to a new finding.
const glideTime = 150 * time.Millisecond

// Glide is a Deps.Glide that moves by the window's own clock.
func Glide(tick func(share float32)) { fyne.NewAnimation(glideTime, tick).Start() }

// startGlide lets skyline and chassis marks move from the finding that is shown
// to the one that comes.
func (d *Desk) startGlide() {
	if d.deps.Glide == nil || d.result.Finding == nil {
		return
	}
	g := ruler.Glide{Share: map[string]float64{}, Mid: map[string]float64{}, Left: 1}
	for id, s := range d.pack.Share {
		g.Share[id] = s
	}
	for i := range d.pack.Sections {
		if u, ok := d.pack.Sections[i].ChassisAt(); ok {
			g.Mid[d.pack.Sections[i].From] = float64(u.Mid)
		}
	}
	d.glide = g
	run := d.run
	d.deps.Glide(func(share float32) {
		if run != d.run { // another finding is under way
			share = 1
		}
		d.glide.Left = 1 - float64(share)
		d.rulerPane.Refresh()
	})
}

// Computing says that a finding is under way.
func (d *Desk) Computing() bool { return d.cancel != nil }
