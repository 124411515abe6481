package locate

import (
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// Prior shares of the kinds, from how such packs fail. Kinds that are not
// examined yet are left out and the rest scaled up to one.
var priors = map[string]float64{
	fault.None:   0.10,
	fault.One:    0.90 * 0.70,
	fault.Two:    0.90 * 0.10,
	fault.Spread: 0.90 * 0.08,
}

func prior(kind string) float64 {
	sum := 0.0
	for _, k := range kinds {
		sum += priors[k]
	}
	return priors[kind] / sum
}

// kinds lists what is examined, in order.
var kinds = []string{fault.None, fault.One, fault.Two, fault.Spread}

// pathSD is the standard deviation of a leak path's own potential, in groups:
// wet copper and aluminium, or a can between two taps, shift the point.
const pathSD = 0.5

// A candidate is a tap at which a single leak could sit: all nodes that are one
// conductor in every state with readings.
type candidate struct {
	source
	nodes  []topology.NodeID
	weight []float64 // of each node; a joint's tap counts one over its terminals
	total  float64
	cell   int  // candidates with the same cell lie in the same section of every such state
	unseen bool // in no section that was read
}

// candidates lists every tap, in order of their first node.
func (d *data) candidates() []*candidate {
	used := map[int]bool{}
	for i := range d.slots {
		used[d.slots[i].state] = true
	}
	all := d.net.In(topology.Setting{ContactorsClosed: true})
	terminals := map[topology.NodeID]int{}
	for m, mod := range d.net.Layout.Modules {
		terminals[all.Conductor(d.net.Tap(m, 0))]++
		terminals[all.Conductor(d.net.Tap(m, mod.Series))]++
	}
	byKey, cells := map[string]*candidate{}, map[string]int{}
	var out []*candidate
	for m, mod := range d.net.Layout.Modules {
		for k := 0; k <= mod.Series; k++ {
			id := d.net.Tap(m, k)
			w := 1.0
			if k == 0 || k == mod.Series {
				w = 1 / float64(terminals[all.Conductor(id)])
			}
			key, cell := d.signature(id, used)
			c := byKey[key]
			if c == nil {
				c = d.newCandidate(id)
				if _, ok := cells[cell]; !ok {
					cells[cell] = len(cells)
				}
				c.cell = cells[cell]
				byKey[key] = c
				out = append(out, c)
			}
			c.nodes, c.weight = append(c.nodes, id), append(c.weight, w)
			c.total += w
		}
	}
	return out
}

// signature names the conductor of a node in every state with readings, and its
// section in each.
func (d *data) signature(id topology.NodeID, used map[int]bool) (key, cell string) {
	var k, c strings.Builder
	seen := false
	for si, j := range d.joined {
		if !used[si] {
			continue
		}
		sec := j.SectionOf(id)
		if s, ok := d.slotAt[[2]int{si, sec}]; ok && sec >= 0 {
			seen = true
			fmt.Fprintf(&k, "%d:%d ", si, j.Conductor(id))
			fmt.Fprintf(&c, "%d ", s)
			continue
		}
		k.WriteString("- ")
		c.WriteString("- ")
	}
	if !seen {
		return "unseen", "unseen"
	}
	return k.String(), c.String()
}

func (d *data) newCandidate(id topology.NodeID) *candidate {
	c := &candidate{unseen: true}
	c.u = make([]float64, len(d.slots))
	for s := range d.slots {
		c.u[s] = d.slots[s].phi[id]
		if !math.IsNaN(c.u[s]) {
			c.unseen = false
			sl := &d.slots[s]
			c.sd = pathSD * sl.volts / float64(max(1, d.groupsAlong(sl)))
		}
	}
	if c.sd <= 0 {
		c.sd = pathSD * nominalCell
	}
	return c
}

// groupsAlong counts the groups of the section's own string.
func (d *data) groupsAlong(sl *slot) int {
	n := 0
	for _, g := range sl.sec.Groups {
		if d.net.StringOf(d.net.Groups[g].Module) == sl.sec.String {
			n++
		}
	}
	return n
}

// places splits a candidate over the things it could be part of, by weight.
func (d *data) places(c *candidate, add func(module int, part float64)) {
	for i, id := range c.nodes {
		if m, _, ok := d.net.ModuleAt(id); ok {
			add(m, c.weight[i]/c.total)
		}
	}
}
