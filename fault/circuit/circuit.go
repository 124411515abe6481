package circuit

import (
	"fmt"
	"slices"
	"strings"

	"halfsplit/topology"
)

// A Circuit is a pack in one state, ready to have elements connected.
type Circuit struct {
	wiring *Wiring
	pieces map[string]int // network node, or ref, of every chassis piece
	node   []int          // by conductor: network node
	base   []float64      // by conductor: V from cells alone above its node
	net    network        // all that belongs to the pack
	ohms   []branch       // resistive groups, by order of Net.Groups
	groups []int          // which groups those are
	volts  []float64      // by Net.Groups: with circulating currents of ideal loops
}

// In is the pack in one state.
func (p Pack) In(set topology.Setting, unplugged []string) (*Circuit, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	w := p.wiring(set)
	c := &Circuit{wiring: w}
	if err := c.cells(p); err != nil {
		return nil, err
	}
	if err := c.chassis(p); err != nil {
		return nil, err
	}
	if err := c.leaks(p, unplugged); err != nil {
		return nil, err
	}
	c.background(p)
	c.net = c.net.reduced()
	return c, nil
}

func (p Pack) wiring(set topology.Setting) *Wiring {
	if p.Wirings != nil && p.Wirings.net == p.Net {
		return p.Wirings.In(set)
	}
	return Wire(p.Net, set)
}

// leaks adds the leaks and bridges that this state has.
func (c *Circuit) leaks(p Pack, unplugged []string) error {
	for _, l := range p.Leaks {
		at := l.At
		if i, ok := p.Net.Link(at); ok {
			if !c.wiring.closed(i) {
				continue
			}
			at = p.Net.Layout.Links[i].From
		}
		to := "chassis:" + l.To
		if l.To == "" {
			to = "chassis"
		}
		if err := c.path("leak at "+l.At, at, to, l.Ohms, l.Shift, l.OnlyWithBoard, unplugged); err != nil {
			return err
		}
	}
	for _, b := range p.Bridges {
		if err := c.path("bridge from "+b.From, b.From, b.To, b.Ohms, 0, b.OnlyWithBoard, unplugged); err != nil {
			return err
		}
	}
	return nil
}

// path adds a resistance that belongs to the pack, unless its board is
// unplugged or its module removed.
func (c *Circuit) path(what, from, to string, ohms, shift float64, board string, unplugged []string) error {
	if board != "" && !slices.ContainsFunc(c.wiring.net.Layout.Boards, func(b topology.Board) bool { return b.ID == board }) {
		return fmt.Errorf("%s: there is no board %s", what, board)
	}
	a, errA := c.at(from)
	b, errB := c.at(to)
	for _, err := range []error{errA, errB} {
		if err != nil && err != errRemoved {
			return fmt.Errorf("%s: %w", what, err)
		}
	}
	g, err := conductance(what, ohms)
	if err != nil {
		return err
	}
	if !sensible(shift) {
		return fmt.Errorf("%s has a shift of %g V", what, shift)
	}
	if errA != nil || errB != nil || (board != "" && slices.Contains(unplugged, board)) {
		return nil
	}
	c.net.branches = append(c.net.branches, branch{a: a.node, b: b.node, g: g, emf: a.base - b.base + shift})
	return nil
}

// background adds the sound insulation of modules and groups.
func (c *Circuit) background(p Pack) {
	n := c.wiring.net
	add := func(tap topology.NodeID, g float64) {
		if cond := c.wiring.conductor[tap]; cond >= 0 {
			c.net.branches = append(c.net.branches, branch{a: c.node[cond], b: ref, g: g, emf: c.base[cond]})
		}
	}
	if p.BackgroundPerModule > 0 {
		g := 1 / p.BackgroundPerModule
		for m, mod := range n.Layout.Modules {
			series := max(0, mod.Series)
			add(n.Tap(m, series/2), g/2)
			add(n.Tap(m, (series+1)/2), g/2)
		}
	}
	if p.BackgroundPerGroup > 0 {
		g := 1 / p.BackgroundPerGroup
		for _, grp := range n.Groups {
			add(grp.Lo, g/2)
			add(grp.Hi, g/2)
		}
	}
}

// A place is where a reference leads: a node of the network, and how far above
// it.
type place struct {
	node int
	base float64
}

// at resolves a reference.
func (c *Circuit) at(name string) (place, error) {
	if piece, ok := topology.ChassisRef(name); ok {
		node, ok := c.pieces[piece]
		if !ok {
			return place{}, fmt.Errorf("there is no chassis piece %s", strings.TrimPrefix(name, "chassis:"))
		}
		return place{node: node}, nil
	}
	id, ok := c.wiring.net.Node(name)
	if !ok {
		return place{}, fmt.Errorf("%s is not a node of this layout", name)
	}
	cond := c.wiring.conductor[id]
	if cond < 0 {
		return place{}, errRemoved
	}
	return place{node: c.node[cond], base: c.base[cond]}, nil
}
