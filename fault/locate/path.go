package locate

import (
	"math"
	"sort"

	"halfsplit/topology"
)

// moduleNode is a module terminal on the same conductor as a node, so that
// named terminals have a place along the string. ok is false where there is none.
func (d *data) moduleNode(j *topology.Joined, id topology.NodeID) (topology.NodeID, bool) {
	if _, _, ok := d.net.ModuleAt(id); ok {
		return id, true
	}
	for _, s := range j.Sections {
		for _, n := range s.Nodes {
			if _, _, ok := d.net.ModuleAt(n); ok && j.Conductor(n) == j.Conductor(id) {
				return n, true
			}
		}
	}
	return topology.NoNode, false
}

// between lists the groups passed from lo up to hi along one string; none where
// hi lies below lo or they have no string in common.
func (d *data) between(j *topology.Joined, lo, hi topology.NodeID) []int {
	a, okA := d.moduleNode(j, lo)
	b, okB := d.moduleNode(j, hi)
	if !okA || !okB {
		return nil
	}
	sa, pa, _ := d.net.Position(a)
	sb, pb, _ := d.net.Position(b)
	if sa != sb || pb <= pa {
		return nil
	}
	var out []int
	sec := &j.Sections[j.SectionOf(a)]
	for _, g := range sec.Groups {
		_, p, _ := d.net.Position(d.net.Groups[g].Lo)
		_, q, _ := d.net.Position(d.net.Groups[g].Hi)
		if s, _, _ := d.net.Position(d.net.Groups[g].Lo); s == sa && min(p, q) >= pa && max(p, q) <= pb {
			out = append(out, g)
		}
	}
	return out
}

// path says how a node's potential above the section's negative end moves with
// every group's volts: 1 for the groups between.
func (d *data) path(sl *slot, id topology.NodeID) []float64 {
	w := make([]float64, len(d.net.Groups))
	from := sl.sec.From
	if n, ok := d.moduleNode(sl.joined, id); ok {
		if sn, _, _ := d.net.Position(n); sn != sl.sec.String {
			from = d.lowestOf(sl, sn)
		}
		for _, g := range d.between(sl.joined, from, n) {
			w[g] = 1
		}
	}
	return w
}

// lowestOf is the lowest node of a string within a section.
func (d *data) lowestOf(sl *slot, str int) topology.NodeID {
	best, at := sl.sec.From, math.Inf(1)
	for _, n := range sl.sec.Nodes {
		if s, _, ok := d.net.Position(n); ok && s == str && sl.phi[n] < at {
			best, at = n, sl.phi[n]
		}
	}
	return best
}

// pathTo is path for a potential that need not be a tap's: the groups below it,
// the one that holds it in part. It follows the section's own string.
func (d *data) pathTo(sl *slot, volts float64) []float64 {
	w := make([]float64, len(d.net.Groups))
	for _, g := range sl.sec.Groups {
		grp := d.net.Groups[g]
		if d.net.StringOf(grp.Module) != sl.sec.String {
			continue
		}
		lo, hi := math.Min(sl.phi[grp.Lo], sl.phi[grp.Hi]), math.Max(sl.phi[grp.Lo], sl.phi[grp.Hi])
		switch {
		case volts >= hi:
			w[g] = 1
		case volts > lo:
			w[g] = (volts - lo) / (hi - lo)
		}
	}
	return w
}

func median(v []float64) float64 {
	s := append([]float64(nil), v...)
	sort.Float64s(s)
	n := len(s)
	if n%2 == 1 {
		return s[n/2]
	}
	return (s[n/2-1] + s[n/2]) / 2
}
