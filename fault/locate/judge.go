package locate

import (
	"math"

	"halfsplit/fault"
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
		if c.cell == r.cell && c.tap() {
			groups++
		}
	}
	return float64(r.leak.Position.High-r.leak.Position.Low) > float64(groups-1)/2 && groups > 4
}

// rivals are the places that a leak could be in, as many as it takes to be sure.
func rivals(l fault.Leak) []fault.Share {
	sum := 0.0
	for n, p := range l.Places {
		if sum += float64(p.Share); sum >= sure {
			return l.Places[:n+1]
		}
	}
	return l.Places
}

// samePotential says that what remains in question shares one potential in
// every state that was read, so that no reading of these could tell: a module and
// its board or link, a rail and the end module, two strings tied together, the
// two sides of one joint.
func (a *analysis) samePotential(leaks []resolved) bool {
	for _, r := range leaks {
		if len(r.leak.Places) < 2 || float64(r.leak.Places[0].Share) >= sure {
			continue
		}
		if sec := a.d.slots[r.slot].sec; len(sec.Strings) > 1 && a.acrossStrings(rivals(r.leak)) {
			return true
		}
		if _, ok := a.jointOf(r); ok && float64(r.leak.Places[0].Share+r.leak.Places[1].Share) >= sure {
			return true
		}
		if rest := rivals(r.leak); a.allMeet(r, rest) {
			return true
		}
	}
	return false
}

// acrossStrings says that what remains in question lies in more than one string.
func (a *analysis) acrossStrings(places []fault.Share) bool {
	seen := map[int]bool{}
	for _, p := range places {
		if m, ok := a.net.Module(p.ID); ok {
			seen[a.net.StringOf(m)] = true
		}
	}
	return len(seen) > 1
}

// allMeet says that every rival of the first has a candidate at the very
// potential of one of the first's.
func (a *analysis) allMeet(r resolved, places []fault.Share) bool {
	for _, p := range places[1:] {
		if !a.meet(r.cell, places[0].ID, p.ID) {
			return false
		}
	}
	return len(places) > 1
}

func (a *analysis) meet(cell int, x, y string) bool {
	for _, c := range a.po.cands {
		if c.cell != cell || a.d.aboutPart(c, x) == 0 {
			continue
		}
		for _, o := range a.po.cands {
			if o != c && o.cell == cell && a.d.aboutPart(o, y) > 0 && c.sameAs(o) {
				return true
			}
		}
	}
	return false
}

// sameAs says that two candidates have one potential wherever either is.
func (c *candidate) sameAs(o *candidate) bool {
	for s := range c.u {
		if (c.u[s] == c.u[s]) != (o.u[s] == o.u[s]) || math.Abs(c.u[s]-o.u[s]) > 1e-6 {
			return false
		}
	}
	return true
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
