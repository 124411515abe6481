package circuit

import (
	"errors"
	"fmt"
	"slices"

	"halfsplit/topology"
)

// errRemoved is what a reference to a removed module leads to.
var errRemoved = errors.New("its module is removed in this state")

// A Solution is a circuit with elements connected, settled.
type Solution struct {
	circuit *Circuit
	v       []float64 // by network node
	els     []branch
}

// Solve connects elements and lets the circuit settle.
//
// A part without any path to the first chassis piece has no potential of its
// own. It is put where equal, vanishingly small leaks at each of its taps would
// put it: the mean of its taps is the first chassis piece's potential. Of a
// part without taps, such as a chassis piece bonded to nothing, the same is
// said of its conductors.
func (c *Circuit) Solve(els []Element) (Solution, error) {
	s := Solution{circuit: c, els: make([]branch, len(els))}
	net := c.net
	net.branches = slices.Grow(slices.Clip(net.branches), len(els))
	for i, e := range els {
		br, err := c.element(e)
		if err != nil {
			return Solution{}, err
		}
		s.els[i] = br
		net.branches = append(net.branches, br)
	}
	v, float := net.solve()
	c.centre(v, float)
	for _, x := range v {
		if !finite(x) {
			return Solution{}, errors.New("resistances differ too much to compute with")
		}
	}
	s.v = v
	return s, nil
}

func (c *Circuit) element(e Element) (branch, error) {
	a, err := c.at(e.From)
	if err != nil {
		return branch{}, fmt.Errorf("%s: %w", e.From, err)
	}
	b, err := c.at(e.To)
	if err != nil {
		return branch{}, fmt.Errorf("%s: %w", e.To, err)
	}
	g, err := conductance("element from "+e.From+" to "+e.To, e.Ohms)
	if err != nil {
		return branch{}, err
	}
	if !sensible(e.EMF) {
		return branch{}, fmt.Errorf("element from %s to %s forces %g V", e.From, e.To, e.EMF)
	}
	return branch{a: a.node, b: b.node, g: g, emf: a.base - b.base - e.EMF}, nil
}

// centre puts the mean of the taps of every floating part at zero.
func (c *Circuit) centre(v []float64, float []int) {
	if !slices.ContainsFunc(float, func(f int) bool { return f != ref }) {
		return
	}
	taps, rest := newMeans(len(v)), newMeans(len(v))
	for i, cond := range c.wiring.conductor {
		if cond < 0 || float[c.node[cond]] == ref {
			continue
		}
		part, volts := float[c.node[cond]], v[c.node[cond]]+c.base[cond]
		if _, _, tap := c.wiring.net.ModuleAt(topology.NodeID(i)); tap {
			taps.add(part, volts)
		}
	}
	for i, part := range float {
		if part != ref {
			rest.add(part, v[i])
		}
	}
	for i, part := range float {
		switch {
		case part == ref:
		case taps.n[part] > 0:
			v[i] -= taps.sum[part] / taps.n[part]
		default:
			v[i] -= rest.sum[part] / rest.n[part]
		}
	}
}

// means are running means by index.
type means struct{ sum, n []float64 }

func newMeans(k int) means { return means{make([]float64, k), make([]float64, k)} }

func (m means) add(i int, v float64) {
	m.sum[i] += v
	m.n[i]++
}

// at is a place's potential above the first chassis piece.
func (s Solution) at(p place) float64 {
	if p.node == ref {
		return p.base
	}
	return p.base + s.v[p.node]
}

// Potential is a node's, link side's or chassis piece's potential above the
// first chassis piece, in volts.
func (s Solution) Potential(name string) (float64, error) {
	p, err := s.circuit.at(name)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", name, err)
	}
	return s.at(p), nil
}

// Volts is red above black. Two places of one part differ by exactly what lies
// between them.
func (s Solution) Volts(red, black string) (float64, error) {
	a, err := s.circuit.at(red)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", red, err)
	}
	b, err := s.circuit.at(black)
	if err != nil {
		return 0, fmt.Errorf("%s: %w", black, err)
	}
	if a.node == b.node {
		return a.base - b.base, nil
	}
	return s.at(a) - s.at(b), nil
}

// Amps is the current that element i of Solve drives out of its From terminal
// into the circuit: positive for a tester forcing From up, negative for a meter
// that reads a positive voltage.
func (s Solution) Amps(i int) float64 { return -s.carries(s.els[i]) }

// carries is a branch's current from a to b.
func (s Solution) carries(br branch) float64 {
	return br.g * (s.at(place{node: br.a}) - s.at(place{node: br.b}) + br.emf)
}

// GroupVolts is what a voltmeter across each group would read: its volts at no
// load less its drop, or what circulating currents leave of it. Removed modules
// keep their volts at no load.
func (s Solution) GroupVolts() []float64 {
	out := slices.Clone(s.circuit.volts)
	for i, g := range s.circuit.groups {
		br := s.circuit.ohms[i]
		out[g] -= s.carries(br) / br.g
	}
	return out
}
