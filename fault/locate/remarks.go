package locate

import (
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// remarks are what a person in the trade would add to a place: what else has
// that potential, and what stays when a board is unplugged.
func (w *words) remarks(leaks []resolved) []string {
	var out []string
	for _, r := range leaks {
		if text := w.atOpenLink(r); text != "" {
			out = append(out, text)
		}
	}
	if text := w.senseLeads(leaks); text != "" {
		out = append(out, text)
	}
	return out
}

// atOpenLink names the side of an open link whose terminal a leak may be at: a
// socket pole, its cable.
func (w *words) atOpenLink(r resolved) string {
	a := w.a
	si := a.d.slots[r.slot].state
	if si < 0 {
		return ""
	}
	for _, b := range a.net.Links {
		l := a.net.Layout.Links[b.Link]
		if !slices.Contains(a.c.States[si].Open, l.ID) || l.Kind == topology.Contactor {
			continue
		}
		for _, id := range []topology.NodeID{b.A, b.B} {
			if name := a.net.Name(id); name == r.leak.Tap.Low || name == r.leak.Tap.High || name == r.leak.Tap.Mid {
				return fmt.Sprintf("The side of %s at %s, its pole, socket and cable, has that potential too.", l.ID, name)
			}
		}
	}
	return ""
}

// senseLeads warns that a board unplugged at its own end leaves its leads on.
func (w *words) senseLeads(leaks []resolved) string {
	a := w.a
	for _, r := range leaks {
		for _, b := range a.net.Layout.Boards {
			unplugged := false
			for si := range a.c.States {
				unplugged = unplugged || (a.d.used[si] && !a.c.States[si].Plugged(b.ID))
			}
			if !unplugged || len(r.leak.Places) == 0 {
				continue
			}
			for _, tap := range b.Taps {
				node, ok := a.net.Node(tap)
				if !ok {
					continue
				}
				if m, _, in := a.net.ModuleAt(node); in && a.net.Layout.Modules[m].ID == r.leak.Places[0].ID {
					return fmt.Sprintf("With board %s unplugged its sense leads stay on the taps: a chafed lead or harness reads like %s until it is off at the cell end too.", b.ID, r.leak.Places[0].ID)
				}
			}
		}
	}
	return ""
}

// beyondContactors says what was not read.
func (w *words) beyondContactors() string {
	for _, l := range w.a.net.Layout.Links {
		if l.Kind != topology.Contactor {
			continue
		}
		for si, s := range w.a.c.States {
			if w.a.d.used[si] && s.Contactors == fault.Closed {
				return ""
			}
		}
		return " What lies beyond the open contactors, the load side, was not read."
	}
	return ""
}

// loopCurrent is what two leaks of one string drive round between them: all
// groups between discharge by it.
func (w *words) loopCurrent(leaks []resolved) {
	if len(leaks) != 2 || leaks[0].leak.String != leaks[1].leak.String {
		return
	}
	x, y := leaks[0].leak, leaks[1].leak
	r := float64(x.Ohms.Mid + y.Ohms.Mid)
	volts := math.Abs(float64(y.Volts.Mid - x.Volts.Mid))
	if math.IsNaN(r) || math.IsNaN(volts) || r <= 0 {
		return
	}
	amps := volts / r
	w.line("Current between the two leaks", "While the string is closed they drive (%s - %s) / (%s + %s) = %s through every group between them, %s Ah in 30 days: a band of low groups with these two places for its ends would fit.",
		voltsText(float64(y.Volts.Mid)), voltsText(float64(x.Volts.Mid)), ohmsText(float64(x.Ohms.Mid)), ohmsText(float64(y.Ohms.Mid)), ampsText(amps), digits(amps*24*30, 2))
}

// moved compares a section's place in two conditions: an equivalent that moves
// is more than one leak, changed unequally.
func (w *words) moved() {
	a := w.a
	for s := range a.d.slots {
		for t := s + 1; t < len(a.d.slots); t++ {
			x, y := &a.d.slots[s], &a.d.slots[t]
			if x.sec == nil || y.sec == nil || !a.numbers[s].ok || !a.numbers[t].ok || a.d.differ(x.state, y.state) == "" || !slices.Equal(x.sec.Groups, y.sec.Groups) {
				continue
			}
			p, q := a.numbers[s], a.numbers[t]
			name := fmt.Sprintf("%s to %s, states %s and %s", a.net.Name(x.sec.From), a.net.Name(x.sec.To), a.c.States[x.state].ID, a.c.States[y.state].ID)
			if off := math.Abs(p.u - q.u); off > 3*math.Hypot(p.uSD, q.uSD) {
				w.line(name, "Chassis moved from %s to %s above %s while the resistance went from %s to %s: more than one leak, changed unequally. One leak that dries keeps its place.",
					voltsText(p.u), voltsText(q.u), a.net.Name(x.sec.From), boundText(p.ohms), boundText(q.ohms))
			} else {
				w.line(name, "Chassis kept its place while the resistance went from %s to %s.", boundText(p.ohms), boundText(q.ohms))
			}
		}
	}
}
