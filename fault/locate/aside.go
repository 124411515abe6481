package locate

import (
	"fmt"
	"slices"

	"halfsplit/fault"
)

// A condition is what may change a leak itself between states, so that readings
// of two conditions do not speak of the same leak.
type condition struct{ wet, torqued string }

func (d *data) condition(si int) condition {
	s := d.c.States[si]
	word := func(p *bool, yes, no string) string {
		switch {
		case p == nil:
			return ""
		case *p:
			return yes
		}
		return no
	}
	return condition{word(s.Wet, "wet", "dry"), word(s.Torqued, "torqued", "loosened")}
}

// differ says what two conditions are known to differ in; "" where nothing
// recorded tells them apart.
func (c condition) differ(o condition) string {
	switch {
	case c.wet != "" && o.wet != "" && c.wet != o.wet:
		return c.wet + ", not " + o.wet
	case c.torqued != "" && o.torqued != "" && c.torqued != o.torqued:
		return c.torqued + ", not " + o.torqued
	}
	return ""
}

// setAside keeps readings of one condition for weighing, and of the others only
// their sections' own numbers: drying or loosening changes the leak. The
// condition kept is that of the present state where it was read, else the one
// with most readings to chassis, the later of equals.
func (d *data) setAside() {
	count := make([]int, len(d.joined))
	for i := range d.obs {
		if si := d.stateOf(&d.obs[i]); si >= 0 && !d.obs[i].within {
			count[si]++
		}
	}
	main := d.stateIndex(d.c.Now)
	if main < 0 || count[main] < 2 {
		main = -1
		most := 0
		for si, n := range count {
			if n > 0 && n >= most {
				main, most = si, n
			}
		}
	}
	if main < 0 {
		return
	}
	if !slices.ContainsFunc(d.c.States, func(s fault.State) bool { return d.differ(d.stateIndex(s.ID), main) != "" }) {
		return
	}
	kept := d.obs[:0:0]
	for i := range d.obs {
		o := d.obs[i]
		si := d.stateOf(&o)
		if what := d.differ(si, main); what != "" {
			for _, id := range o.ids() {
				d.leave(id, fmt.Sprintf("taken in state %s (%s) and weighed by itself only: the leak may have changed since. The finding rests on the condition of state %s",
					d.c.States[si].ID, what, d.c.States[main].ID))
			}
			d.aside = append(d.aside, o)
			continue
		}
		kept = append(kept, o)
	}
	d.obs = kept
}

// differ says what the condition of one state is and that of another is not.
func (d *data) differ(si, other int) string {
	if si < 0 || other < 0 {
		return ""
	}
	return d.condition(si).differ(d.condition(other))
}

// stateOf is the state that an observation was taken in, -1 if it touches no
// section.
func (d *data) stateOf(o *observation) int {
	for _, e := range [2]end{o.red, o.black} {
		if !e.chassis() && d.slots[e.slot].state >= 0 {
			return d.slots[e.slot].state
		}
	}
	for i := range o.elements {
		for _, e := range [2]end{o.elements[i].a, o.elements[i].b} {
			if !e.chassis() && d.slots[e.slot].state >= 0 {
				return d.slots[e.slot].state
			}
		}
	}
	return -1
}
