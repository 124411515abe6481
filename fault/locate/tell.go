package locate

import (
	"fmt"

	"halfsplit/fault"
	"halfsplit/topology"
)

// wouldTell names the state that would separate what this one cannot.
func (a *analysis) wouldTell(verdict string, lead leading, leaks []resolved) string {
	if len(leaks) == 0 {
		return ""
	}
	r := leaks[0]
	switch verdict {
	case fault.EquivalentOnly, fault.BeyondMethod:
		if len(a.d.slots[r.slot].sec.Strings) > 1 {
			return a.tiedWords(r)
		}
		if link, ok := a.linkToOpen([]int{r.cell}, r.slot, r.u); ok {
			return fmt.Sprintf("Opening %s and reading both sides to chassis would tell one leak from several.", link)
		}
	case fault.NotDistinguishable:
		for _, r := range leaks {
			if tell := a.tellApart(r); tell != "" {
				return tell
			}
			if link, ok := a.jointOf(r); ok {
				return fmt.Sprintf("Opening %s and reading both sides to chassis would tell %s from %s.", link, r.leak.Places[0].ID, r.leak.Places[1].ID)
			}
		}
		return a.tiedWords(r)
	case fault.Narrowed:
		for _, r := range leaks {
			if len(r.leak.Places) < 2 || float64(r.leak.Places[0].Share) >= sure {
				continue
			}
			if link, ok := a.linkBetween(r.leak.Places[0].ID, r.leak.Places[1].ID); ok {
				return fmt.Sprintf("Opening %s and reading both sides to chassis would tell %s from %s.", link, r.leak.Places[0].ID, r.leak.Places[1].ID)
			}
		}
	case fault.Located:
		for _, r := range leaks {
			if float64(r.leak.Several) < 0.02 {
				continue
			}
			if link, ok := a.linkToOpen([]int{r.cell}, r.slot, r.u); ok {
				sl := &a.d.slots[r.slot]
				return fmt.Sprintf("Several leaks between %s and %s have a share of %s; opening %s would tell.", a.net.Name(sl.sec.From), a.net.Name(sl.sec.To), percent(float64(r.leak.Several)), link)
			}
		}
	}
	return ""
}

// tellApart names the one change that would separate a place from what shares
// its potential: unplug the board, open the link, unbolt the rail.
func (a *analysis) tellApart(r resolved) string {
	first := r.leak.Places[0]
	for _, p := range rivals(r.leak) {
		other := first
		if p == first {
			if len(r.leak.Places) < 2 {
				continue
			}
			other = r.leak.Places[1]
		}
		switch p.Kind {
		case fault.PlaceBoard:
			return fmt.Sprintf("Unplugging board %s, nothing else changed, and reading the same points again would tell %s from %s.", p.ID, placeName(p), placeName(other))
		case fault.PlaceLink:
			return fmt.Sprintf("Opening %s and reading both sides to chassis would tell %s from %s.", p.ID, placeName(p), placeName(other))
		case fault.PlaceRail:
			if link := a.linkAtRail(p.ID); link != "" {
				return fmt.Sprintf("Opening %s and reading again would tell %s from %s.", link, p.ID, placeName(other))
			}
			return fmt.Sprintf("The end module's terminal, its main busbar and the contactor share one potential: taking the main conductor off the end module and reading both would tell %s from %s.", p.ID, placeName(other))
		}
	}
	return ""
}

// linkAtRail is a link between a rail and an end module.
func (a *analysis) linkAtRail(rail string) string {
	node, ok := a.net.Node(rail)
	if !ok {
		return ""
	}
	for _, b := range a.net.Links {
		_, _, modA := a.net.ModuleAt(b.A)
		_, _, modB := a.net.ModuleAt(b.B)
		if l := a.net.Layout.Links[b.Link]; l.Kind != topology.Contactor && ((b.A == node && modB) || (b.B == node && modA)) {
			return l.ID
		}
	}
	return ""
}

// tiedWords says how strings that share their potentials are told apart.
func (a *analysis) tiedWords(r resolved) string {
	sec := a.d.slots[r.slot].sec
	var ids []string
	for _, s := range sec.Strings {
		ids = append(ids, a.net.Strings[s].ID)
	}
	who := "The strings of " + join(ids, "and")
	if sec.Looped {
		return who + " are tied at both ends and share their potentials: separate one at both ends and read both."
	}
	return who + " are still tied at one end: one section, whose taps share their potentials. Separate the other end too and read both."
}

// linkBetween is a link that joins two modules directly.
func (a *analysis) linkBetween(m, o string) (string, bool) {
	i, okI := a.net.Module(m)
	j, okJ := a.net.Module(o)
	if !okI || !okJ {
		return "", false
	}
	for _, b := range a.net.Links {
		p, _, okP := a.net.ModuleAt(b.A)
		q, _, okQ := a.net.ModuleAt(b.B)
		if okP && okQ && ((p == i && q == j) || (p == j && q == i)) {
			return a.net.Layout.Links[b.Link].ID, true
		}
	}
	return "", false
}
