package circuit

import (
	"fmt"
	"math"
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

// chassis gives every piece its node. Pieces joined by 0 ohms share one; the
// first piece is the reference.
func (c *Circuit) chassis(p Pack) error {
	names := []string{}
	for _, piece := range p.Net.Layout.Chassis {
		names = append(names, piece.ID)
	}
	named := map[string]bool{}
	for _, b := range p.Bonds {
		for _, id := range []string{b.From, b.To} {
			if named[id] = true; !slices.Contains(names, id) {
				names = append(names, id)
			}
		}
	}
	if len(names) == 0 {
		names = []string{""}
	}
	same := map[string]string{}
	whole := func(id string) string {
		for same[id] != "" {
			id = same[id]
		}
		return id
	}
	unite := func(a, b string) {
		if a, b = whole(a), whole(b); a != b {
			same[b] = a
		}
	}
	for _, id := range names[1:] {
		if !named[id] {
			unite(names[0], id)
		}
	}
	for _, b := range p.Bonds {
		if b.Ohms == 0 {
			unite(b.From, b.To)
		}
	}
	c.pieces = map[string]int{whole(names[0]): ref}
	for _, id := range names {
		at, ok := c.pieces[whole(id)]
		if !ok {
			at = c.net.n
			c.net.n++
			c.pieces[whole(id)] = at
		}
		c.pieces[id] = at
	}
	c.pieces[""] = c.pieces[names[0]]
	for _, b := range p.Bonds {
		if b.Ohms == 0 {
			continue
		}
		g, err := conductance("bond "+b.From+"–"+b.To, b.Ohms)
		if err != nil {
			return err
		}
		c.net.branches = append(c.net.branches, branch{a: c.pieces[b.From], b: c.pieces[b.To], g: g})
	}
	return nil
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
	if !finite(shift) {
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
