package ui

import (
	"fmt"

	"halfsplit/fault"
	"halfsplit/ui/sheet"
	"halfsplit/ui/states"
)

// mistakenID answers that the pack was so all along and the record was mistaken.
const mistakenID = offerID + "mistaken"

// resting are the standing readings of the present state: what a correction of it
// takes along.
func (d *Desk) resting() (out []fault.Reading) {
	c := &d.deps.Case
	gone := c.Superseded()
	for _, r := range c.Readings {
		if _, old := gone[r.ID]; !old && r.State == c.Now && d.pack.Known {
			out = append(out, r)
		}
	}
	return out
}

// correctionBlocks ask, where readings rest on the present state, whether the pack
// was changed now or was so all along.
func (d *Desk) correctionBlocks() []sheet.Block {
	n := len(d.resting())
	if n == 0 {
		return nil
	}
	what := fmt.Sprintf("%d readings rest", n)
	if n == 1 {
		what = "One reading rests"
	}
	return []sheet.Block{{Kind: sheet.Title, Text: "Changed by hand, or a mistake in the record?"},
		{Kind: sheet.Para, Text: what + " on the present state. Changed by hand since: the button below records it, and they stay with the state that they were taken in."},
		{Kind: sheet.Action, ID: mistakenID, Text: "1  It was so all along: the record was mistaken", Value: "A new state is recorded as well. Each reading is superseded by the same one in it, with this as its reason; nothing is erased. Lists of group volts stay where they are and carry over."}}
}

// recordMistaken records the corrected state, and every reading of the mistaken one
// again in it.
func (d *Desk) recordMistaken() {
	c := d.change.offers[d.change.at]
	was, rest := d.pack.State, d.resting()
	s, err := d.store.RecordState(states.Apply(d.deps.Case.Layout, was, c))
	if err != nil {
		d.change.failed = err.Error()
		d.showSheet(false)
		d.say("Not recorded.")
		return
	}
	moved, err := d.moveReadings(rest, s.ID, "state "+was.ID+" was recorded mistakenly: "+c.Said())
	d.page = findingPage
	d.afterCommand()
	d.form = d.form.NewState(d.pack)
	d.showFinding()
	if err != nil {
		d.say(fmt.Sprintf("The present state is %s; %d of %d readings are in it now: %s.", s.ID, moved, len(rest), err))
		return
	}
	d.say(fmt.Sprintf("The present state is %s, and %d readings are in it now. Undo takes them back one by one.", s.ID, moved))
}

// moveReadings supersedes readings by the same ones in another state. Those that
// name a second meter come after the ones that they name.
func (d *Desk) moveReadings(list []fault.Reading, state, why string) (moved int, err error) {
	now := map[string]string{}
	left := list
	for len(left) > 0 {
		var wait []fault.Reading
		for _, r := range left {
			if r.TogetherWith != "" && now[r.TogetherWith] == "" && names(left, r.TogetherWith) && !names(left, r.ID, r.TogetherWith) {
				wait = append(wait, r)
				continue
			}
			old := r.ID
			r.ID, r.State, r.Supersedes, r.Why = "", state, "", ""
			if to := now[r.TogetherWith]; to != "" {
				r.TogetherWith = to
			}
			got, err := d.store.SupersedeReading(old, r, why)
			if err != nil {
				return moved, err
			}
			now[old] = got.ID
			moved++
		}
		left = wait
	}
	return moved, nil
}

// names says that a list has a reading of that id; with by, that this one names it.
func names(list []fault.Reading, id string, by ...string) bool {
	for _, r := range list {
		if r.ID == id && len(by) == 0 {
			return true
		}
		if len(by) > 0 && r.ID == by[0] && r.TogetherWith == id {
			return true
		}
	}
	return false
}
