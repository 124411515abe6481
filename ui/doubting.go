package ui

import (
	"fmt"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/doubt"
	"halfsplit/ui/sheet"
	"halfsplit/ui/store"
)

// A doubting is the doubt that is being answered.
type doubting struct {
	of     fault.Doubt
	failed string // why the last answer could not be recorded
}

// openDoubts are the doubts of the finding that nobody answered yet.
func (d *Desk) openDoubts() (out []fault.Doubt) {
	if f := d.result.Finding; f != nil {
		for _, q := range f.Doubts {
			if !doubt.Stands(&d.deps.Case, q) {
				out = append(out, q)
			}
		}
	}
	return out
}

// nextDoubt opens the first doubt, or from one the next.
func (d *Desk) nextDoubt() {
	open := d.openDoubts()
	if len(open) == 0 {
		d.say("There is no doubt to answer.")
		return
	}
	at := 0
	for i, q := range open {
		if of := d.doubting.of; d.page == doubtPage && q.Reading == of.Reading && q.Kind == of.Kind && q.With == of.With {
			at = (i + 1) % len(open)
		}
	}
	d.showDoubt(open[at])
}

// pickDoubt is a press on a doubt of the finding.
func (d *Desk) pickDoubt(id string) {
	f := d.result.Finding
	if d.whatIf.stands() && d.seen().Result.Finding != nil {
		f = d.seen().Result.Finding
	}
	i := 0
	if _, err := fmt.Sscan(strings.TrimPrefix(id, sheet.DoubtID), &i); err == nil && f != nil && i >= 0 && i < len(f.Doubts) {
		d.showDoubt(f.Doubts[i])
	}
}

func (d *Desk) showDoubt(q fault.Doubt) {
	d.toSheet()
	d.doubting = doubting{of: q}
	d.page = doubtPage
	if doubt.OfReading(q) {
		d.choose("reading:" + q.Reading)
	}
	d.showSheet(true)
	d.showChips()
	d.say("Nothing is changed yet.")
}

// doubtRune chooses an action by its number.
func (d *Desk) doubtRune(r rune) bool {
	i := int(r - '1')
	list := sheet.Remedies(d.pack, d.doubting.of)
	if r < '1' || r > '9' {
		return false
	}
	if i < len(list) {
		d.answerDoubt(list[i].ID)
	}
	return true
}

// answerDoubt does what was chosen.
func (d *Desk) answerDoubt(id string) {
	q := d.doubting.of
	switch id {
	case sheet.UseCorrected:
		d.useCorrected(q)
	case sheet.KeepAsRead:
		d.askReason(reason{title: "Keep " + q.Reading + " as read", label: "Keep it as read",
			about: "Say why it stands, though it would fit if " + strings.TrimRight(q.FitsIf, ".") + ". The reading then counts as it is, and the note stands beside it.",
			do:    func(note string) (string, error) { return d.keepAsRead(q, note) }})
	case sheet.GoDescribe:
		d.describe(q)
	case sheet.ReadAgain:
		d.choose("reading:" + q.Reading)
		d.enter()
	case sheet.ShowReading:
		d.choose("reading:" + q.Reading)
		d.details()
	}
}

// useCorrected records the values that would fit, each as a correction with its
// reason; all of them or none.
func (d *Desk) useCorrected(q fault.Doubt) {
	mended, err := doubt.Mended(&d.deps.Case, q)
	var said []string
	for _, r := range mended {
		if err != nil {
			break
		}
		old := r.Supersedes
		r.Supersedes = ""
		if r, err = d.store.SupersedeReading(old, r, doubt.Why(q)); err == nil {
			said = append(said, r.ID+" takes the place of "+old+": "+store.Name(r))
		}
	}
	if err != nil {
		for range said {
			if _, undo := d.store.Undo(); undo != nil {
				err = fmt.Errorf("%w; and one correction could not be taken back: %w", err, undo)
			}
		}
		d.doubting.failed = err.Error()
		d.showSheet(true)
		d.say("Nothing was recorded.")
		return
	}
	d.page = findingPage
	d.afterCommand()
	d.showSheet(true)
	d.showChips()
	d.sayRecorded(strings.Join(said, "; ") + ". Undo takes it back.")
}

// keepAsRead records that a reading stands, as a correction of itself by the same
// value: nothing of the earlier record is changed.
func (d *Desk) keepAsRead(q fault.Doubt, note string) (string, error) {
	r, err := doubt.Standing(&d.deps.Case, q.Reading, note)
	if err != nil {
		return "", err
	}
	r.Supersedes = ""
	r, err = d.store.SupersedeReading(q.Reading, r, doubt.WhyKept(note))
	if err != nil {
		return "", err
	}
	return "Kept as read: " + r.ID + " stands for " + q.Reading + " with the same value. Undo takes it back.", nil
}

// describe leads to where the thing is described that a doubt is about.
func (d *Desk) describe(q fault.Doubt) {
	switch doubt.RemedyOf(q) {
	case doubt.Kit:
		d.openKit()
		d.say("Describe " + q.With + " as its manual does; here under a new name.")
	case doubt.State:
		d.openStates()
		d.say("Record what was connected while both meters were on.")
	case doubt.Layout:
		d.openStage(drawStage)
		d.say(doubt.Words(q) + ": compare the drawing with the pack.")
	}
}

// drawStage is the number of the stage in which the pack is drawn.
const drawStage = 2
