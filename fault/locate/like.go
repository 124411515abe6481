package locate

import (
	"slices"

	"halfsplit/fault"
)

// A case that is asked about under many premises, one reading mended or left out
// at a time, is for the most part the same case. What follows from the layout, the
// states and the listed volts alone is taken from the data of the case as it
// stands: sections, cell volts, potentials, candidates. None of it is written to
// once it is made.

// sameStates says that two cases have their states alike as far as any circuit
// goes; open is whether links recorded open must be the same too.
func sameState(a, b *fault.State, open bool) bool {
	return a.ID == b.ID && a.Contactors == b.Contactors && a.Monitor == b.Monitor && a.Boards == b.Boards && a.Wet == b.Wet && a.Torqued == b.Torqued &&
		(!open || slices.Equal(a.Open, b.Open)) && slices.Equal(a.Unplugged, b.Unplugged) && slices.Equal(a.Removed, b.Removed) && slices.Equal(a.Connected, b.Connected)
}

// joinStates gives every state's sections.
func (d *data) joinStates() {
	for i := range d.c.States {
		if l := d.like; l != nil && sameState(&d.c.States[i], &l.c.States[i], true) {
			d.joined = append(d.joined, l.joined[i])
			continue
		}
		d.joined = append(d.joined, d.net.In(d.c.States[i].Setting()))
	}
}

// sameCells says that every group's volts are known alike in both data.
func (d *data) sameCells() bool {
	l := d.like
	if l == nil || l.stale != d.stale || len(l.c.GroupVolts) != len(d.c.GroupVolts) || (len(l.c.GroupVolts) > 0 && &l.c.GroupVolts[0] != &d.c.GroupVolts[0]) {
		return false
	}
	listed := !slices.ContainsFunc(l.cells, func(cv *cellVolts) bool { return cv.note != "" })
	for i := range d.c.States {
		if !sameState(&d.c.States[i], &l.c.States[i], !listed) {
			return false
		}
	}
	return listed || d.sameRuns(l)
}

// sameRuns says that no volts read between two taps differ, or whether they count.
func (d *data) sameRuns(l *data) bool {
	if len(d.c.Readings) != len(l.c.Readings) {
		return false
	}
	for i := range d.c.Readings {
		a, b := &d.c.Readings[i], &l.c.Readings[i]
		_, okA := d.net.Node(a.Red)
		_, okB := d.net.Node(a.Black)
		if okA && okB && (a.Value != b.Value || a.State != b.State || a.ID != b.ID || d.without[a.ID] != l.without[b.ID]) {
			return false
		}
	}
	return true
}

// sharePlaces takes over what rests on the sections alone, where they are the same
// ones in the same order and the same of them were read.
func (d *data) sharePlaces() {
	l := d.like
	d.like = nil
	if l == nil || len(d.slots) > len(l.slots) {
		return
	}
	for i := range d.slots {
		a, b := &d.slots[i], &l.slots[i]
		if a.state != b.state || a.sec != b.sec || a.piece != b.piece || (a.sec != nil && &a.phi[0] != &b.phi[0]) {
			return
		}
	}
	d.laid = l.laid
	if len(d.slots) == len(l.slots) && slices.Equal(d.live, l.live) && slices.Equal(d.used, l.used) && d.sameStates(l) {
		l.parts()
		d.things, d.specials, d.cands, d.partsMemo = l.things, l.specials, l.cands, l.partsMemo
	}
}

func (d *data) sameStates(l *data) bool {
	for i := range d.c.States {
		if !sameState(&d.c.States[i], &l.c.States[i], true) {
			return false
		}
	}
	return true
}
