package circuit

import (
	"fmt"
	"math"
	"slices"

	"halfsplit/topology"
)

// cells joins conductors through ideal groups into network nodes, and makes
// branches of groups with a resistance.
func (c *Circuit) cells(p Pack) error {
	w := c.wiring
	f := w.ideal
	if slices.ContainsFunc(p.GroupOhms, func(r float64) bool { return r != 0 }) {
		f = grow(w.conductors, w.groups, p.ideal)
	}
	volts, err := f.closeLoops(p.GroupVolts, func(g int) float64 { return relativeOhms(w.net, g) })
	if err != nil {
		return err
	}
	c.volts = volts
	c.base = make([]float64, w.conductors)
	c.node = make([]int, w.conductors)
	for i, r := range f.root {
		if r == i {
			c.node[i] = c.net.n
			c.net.n++
		}
	}
	for _, s := range f.steps {
		c.base[s.node] = c.base[s.parent] + s.sign*volts[s.branch]
		c.node[s.node] = c.node[s.parent]
	}
	if p.GroupOhms != nil {
		return c.resistive(p)
	}
	return nil
}

// resistive adds the groups with a resistance. A second forest over the nodes
// shifts the base of each by the volts that lead to it, circulating currents
// included, so that only leaks and elements drive current through the branches:
// the large currents of milliohm groups never enter the sums.
func (c *Circuit) resistive(p Pack) error {
	w := c.wiring
	between := make([]edge, len(w.groups))
	rise := make([]float64, len(w.groups))
	for g, e := range w.groups {
		if between[g] = (edge{ref, ref}); e.from < 0 || p.ideal(g) {
			continue
		}
		between[g] = edge{c.node[e.from], c.node[e.to]}
		rise[g] = p.GroupVolts[g] + c.base[e.from] - c.base[e.to]
	}
	f := grow(c.net.n, between, func(int) bool { return true })
	settled, err := f.closeLoops(rise, func(g int) float64 { return p.GroupOhms[g] })
	if err != nil {
		return err
	}
	shift := make([]float64, c.net.n)
	for _, s := range f.steps {
		shift[s.node] = shift[s.parent] + s.sign*settled[s.branch]
	}
	for i := range c.base {
		c.base[i] += shift[c.node[i]]
	}
	c.volts = slices.Clone(c.volts)
	for g, e := range between {
		if e.from < 0 {
			continue
		}
		cond, err := conductance(fmt.Sprintf("group %d", g), p.GroupOhms[g])
		if err != nil {
			return err
		}
		br := branch{a: e.from, b: e.to, g: cond}
		c.net.branches = append(c.net.branches, br)
		c.ohms, c.groups = append(c.ohms, br), append(c.groups, g)
		c.volts[g] += settled[g] - rise[g]
	}
	return nil
}

// relativeOhms is the usual scaling of a group's resistance with its cells;
// only ratios within a loop matter.
func relativeOhms(n *topology.Net, g int) float64 {
	m := n.Layout.Modules[n.Groups[g].Module]
	ah := m.CellAh
	if !(ah > 0) || math.IsInf(ah, 0) {
		ah = 1
	}
	return 1 / (ah * float64(max(1, m.Parallel)))
}
