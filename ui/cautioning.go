package ui

import (
	"slices"
	"strings"

	"halfsplit/ui/caution"
	"halfsplit/ui/entry"
	"halfsplit/ui/sheet"
)

// A cautioning is which cautions were said, and the page that they stand on now.
type cautioning struct {
	memory caution.Memory
	page   page
	visit  int
}

// visited counts a page that was opened: what was said in full on the one before
// stands as one line from then on.
func (d *Desk) visited() {
	if d.cautions.visit == 0 || d.cautions.page != d.page {
		d.cautions.page = d.page
		d.cautions.visit++
	}
}

func (d *Desk) moment() caution.Moment {
	return caution.Moment{State: d.deps.Case.Now, Who: d.deps.Who, Visit: d.cautions.visit, Now: d.clockTime()}
}

// withEntryCaution puts the caution of the reading that is entered over its form, in
// full until the page is left or a press folds it: the pad does not move by itself. As
// one line it stands below the pad.
func (d *Desk) withEntryCaution(b []sheet.Block) []sheet.Block {
	if len(b) == 0 {
		return b
	}
	place, t := caution.Reading, caution.ForReading(d.pack)
	switch d.form.Kind {
	case entry.WithResistor:
		place, t = caution.Resistor, caution.ForResistor(d.pack, d.form.Resistor)
	case entry.Insulation:
		place, t = caution.Tester, caution.ForTester(d.pack, d.form.Force)
	}
	over, at := d.cautions.memory.Blocks(d.pack, place, t, d.moment()), 1
	if over[0].Kind == sheet.Action { // one line: the field and its pad keep their room
		at = slices.IndexFunc(b, func(k sheet.Block) bool { return k.Kind == sheet.Pad }) + 1
	}
	return slices.Concat(b[:at], over, b[at:])
}

// withFindingCautions puts what the finding warns of into one line once it was said
// in full.
func (d *Desk) withFindingCautions(b []sheet.Block) []sheet.Block {
	f := d.result.Finding
	if f == nil || d.whatIf.stands() {
		return b
	}
	isOne := func(k sheet.Block) bool { return k.Kind == sheet.Caution && slices.Contains(f.Cautions, k.Text) }
	at := slices.IndexFunc(b, isOne)
	if at < 0 {
		return b
	}
	given := d.cautions.memory.Given(d.pack, caution.Finding, f.Cautions, d.moment())
	return slices.Concat(b[:at], given, slices.DeleteFunc(slices.Clone(b[at:]), isOne))
}

// pickCaution says a caution in full again that stood as one line, and folds one that
// was read.
func (d *Desk) pickCaution(id string) bool {
	place, ok := strings.CutPrefix(id, caution.OpenID)
	if ok {
		d.cautions.memory.Turn(place)
		d.showSheet(false)
	}
	return ok
}

// openCautions says those of this page in full.
func (d *Desk) openCautions() {
	any := false
	for _, b := range d.blocks() {
		if place, ok := strings.CutPrefix(b.ID, caution.OpenID); ok && !d.cautions.memory.Full(place) {
			any = d.pickCaution(b.ID) || any
		}
	}
	if !any {
		d.say("The cautions of this page stand in full, or it has none.")
		return
	}
	d.say("The cautions of this page are said in full.")
}
