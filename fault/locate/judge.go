package locate

import (
	"math"

	"halfsplit/topology"
)

// beyond says that the place of a single leak is too wide to work with: more
// than half of what it was looked for in.
func (a *analysis) beyond(leaks []resolved) bool {
	if len(leaks) != 1 {
		return false
	}
	r := leaks[0]
	groups := 0
	for _, c := range a.po.cands {
		if c.cell == r.cell {
			groups++
		}
	}
	return float64(r.leak.Position.High-r.leak.Position.Low) > float64(groups-1)/2 && groups > 4
}

// samePotential says that what remains in question shares one potential: two
// strings tied together, or the two sides of one joint.
func (a *analysis) samePotential(leaks []resolved) bool {
	for _, r := range leaks {
		places := r.leak.Places
		if len(places) < 2 || float64(places[0].Share) >= sure {
			continue
		}
		if a.d.slots[r.slot].sec.Looped && len(a.d.slots[r.slot].sec.Strings) > 1 {
			return true
		}
		if _, ok := a.jointOf(r); ok && float64(places[0].Share+places[1].Share) >= sure {
			return true
		}
	}
	return false
}

// jointOf is the link whose joint is the leak's best place.
func (a *analysis) jointOf(r resolved) (string, bool) {
	if len(r.cand.nodes) < 2 {
		return "", false
	}
	for _, b := range a.net.Links {
		for _, id := range r.cand.nodes {
			for _, o := range r.cand.nodes {
				if b.A == id && b.B == o && id != o {
					return a.net.Layout.Links[b.Link].ID, true
				}
			}
		}
	}
	return "", false
}

// linkToOpen is the link inside the leaking cells that tells most for least:
// it must join two modules there, be closed in every state that was read, and
// of those the one that costs fewest minutes a volt of balance. A disconnect is
// made to be opened and counts as one minute where nothing is recorded.
func (a *analysis) linkToOpen(cells []int, slot int, u float64) (string, bool) {
	in := map[topology.NodeID]bool{}
	for _, c := range a.po.cands {
		for _, cell := range cells {
			if c.cell == cell {
				for _, id := range c.nodes {
					in[id] = true
				}
			}
		}
	}
	best, least := "", math.Inf(1)
	sl := &a.d.slots[slot]
	for _, b := range a.net.Links {
		l := a.net.Layout.Links[b.Link]
		if l.Kind == topology.Contactor || !in[b.A] || !in[b.B] || sl.joined.Conductor(b.A) != sl.joined.Conductor(b.B) {
			continue
		}
		at := sl.phi[b.A]
		if math.IsNaN(at) || at <= 0 || at >= sl.volts {
			continue
		}
		minutes := 15.0
		if l.Kind == topology.Disconnect {
			minutes = 1
		}
		if l.Minutes != nil {
			minutes = math.Max(0.5, *l.Minutes)
		}
		cost := minutes * (1 + 4*math.Abs(at-u)/sl.volts)
		if cost < least {
			best, least = l.ID, cost
		}
	}
	return best, best != ""
}
