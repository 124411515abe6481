package locate

import (
	"fmt"

	"halfsplit/fault"
)

// assumptions names what the states left unsaid and the engine took for given.
func (d *data) assumptions() []string {
	out := []string{}
	for si, s := range d.c.States {
		if !d.used[si] {
			continue
		}
		if s.Contactors == "" {
			out = append(out, fmt.Sprintf("Contactors are not recorded in state %s; taken as open.", s.ID))
		}
		if s.Contactors == fault.Closed {
			out = append(out, fmt.Sprintf("Contactors are recorded closed in state %s: what is joined beyond them was read too.", s.ID))
		}
		out = append(out, d.monitorAssumed(s)...)
		if len(s.Connected) > 0 {
			out = append(out, fmt.Sprintf("What is connected in state %s besides the pack (%s) is weighed as a path to chassis of its own.", s.ID, join(s.Connected, "and")))
		}
		if note := d.cells[si].note; note != "" {
			out = append(out, note)
		}
	}
	if d.stale {
		out = append(out, "The volts that were read contradict the cell list: the pack stood at another charge then. Only the list's proportions are used.")
	}
	for _, dr := range d.drifts {
		out = append(out, dr.words(d))
	}
	for i := range d.obs {
		if o := &d.obs[i]; len(o.also) > 0 {
			out = append(out, fmt.Sprintf("%s were fitted as one settling to %s.", join(o.ids(), "and"), voltsText(o.value)))
		}
	}
	if note := d.spareNote(); note != "" {
		out = append(out, note)
	}
	if len(d.net.Layout.Boards) == 0 && len(d.obs) > 0 {
		out = append(out, "No monitoring boards are drawn: a leak through a board or its leads reads like the module that it is joined to.")
	}
	if len(d.net.Layout.Chassis) > 1 && len(d.loose) == 0 {
		out = append(out, "All chassis pieces are taken as bonded.")
	}
	return out
}

func (d *data) monitorAssumed(s fault.State) []string {
	m := d.net.Layout.Monitor
	switch {
	case s.Monitor == "" && m != nil:
		return []string{fmt.Sprintf("The insulation monitor is not recorded in state %s; both are weighed, connected and disconnected.", s.ID)}
	case s.Monitor == "":
		return []string{fmt.Sprintf("The insulation monitor is not recorded in state %s; taken as disconnected.", s.ID)}
	case s.Monitor == fault.MonitorConnected && m == nil:
		return []string{fmt.Sprintf("The insulation monitor is recorded as connected in state %s and is not drawn; taken to have no path to chassis.", s.ID)}
	case s.Monitor == fault.MonitorConnected && m.Ohms == nil:
		return []string{fmt.Sprintf("The insulation monitor is connected in state %s with an unknown resistance: 50 kohm to 20 Mohm from each of its nodes, equal weight for equal ratios.", s.ID)}
	}
	return nil
}

// spareNote says where the readings to chassis only just give the sections'
// numbers, so that no slip in one of them could be seen.
func (d *data) spareNote() string {
	for s := range d.slots {
		if !d.live[s] || d.slots[s].sec == nil {
			continue
		}
		if n := independent(d.only(s)); n > 2 {
			return ""
		}
	}
	if len(d.obs) == 0 {
		return ""
	}
	return "No section has a spare reading: a slip in one could not be seen. One more terminal, or the test resistor, would check them."
}
