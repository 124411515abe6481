package circuit

import (
	"fmt"
	"math"

	"halfsplit/topology"
)

// A Leak is a path from a place in the pack to a chassis piece.
//
// At is a node reference (M09.3, M09+, pack+), the side of a link (SD@M06+), or
// the id of a link: then the path sits in the link itself and is there only
// while the link is closed. A leak at a removed module leaves with it.
type Leak struct {
	At            string
	To            string  // chassis piece; "" = the first
	Ohms          float64 // above 0; +Inf = no leak
	Shift         float64 // V: the path behaves as if its place were that much higher
	OnlyWithBoard string  // board that carries it; "" = always there
}

// A Bridge is a resistance between two places of the pack, such as a board
// across an open link.
type Bridge struct {
	From, To      string
	Ohms          float64 // above 0; +Inf = none
	OnlyWithBoard string  // board that makes it; "" = always there
}

// A Bond joins two chassis pieces: 0 ohms = one piece of metal, +Inf = not
// joined.
type Bond struct {
	From, To string
	Ohms     float64
}

// An Element is something that a person connects: a meter, a test resistor
// (EMF 0), an insulation tester. EMF is what it would force From above To if
// nothing loaded it, behind its resistance.
type Element struct {
	From, To string  // node, link side or chassis reference
	Ohms     float64 // above 0; +Inf = connected to nothing, such as an ideal meter
	EMF      float64 // V
}

// A Pack is the hidden truth about a pack.
type Pack struct {
	Net        *topology.Net
	GroupVolts []float64 // V by Net.Groups, at no load
	GroupOhms  []float64 // by Net.Groups; nil or 0 = ideal
	Leaks      []Leak
	Bridges    []Bridge

	// Sound insulation leaks too. BackgroundPerModule is that of one module, in
	// ohms from its middle tap to the first chassis piece (from its two middle
	// taps in equal parts where its groups are odd in number).
	// BackgroundPerGroup is that of one group, from both its taps in equal
	// parts. 0 or +Inf = none; both may be given.
	BackgroundPerModule, BackgroundPerGroup float64

	// Bonds say how the chassis pieces are joined. "chassis" alone is the first
	// piece, and so is "" in a bond or a leak. A piece that no bond names
	// is one metal with the first. Bonds may name pieces that the layout lacks,
	// such as a bad clip.
	Bonds []Bond

	// MonitorOhms is the insulation monitor's resistance from each of its nodes
	// to chassis, for a bench whose state has it connected; 0 = as the layout
	// says.
	MonitorOhms float64

	// Wirings shares the graph work between packs of one Net; nil = none.
	Wirings *Wirings
}

// Solve gives the potentials of the pack with links, modules and contactors as
// in set, the boards listed unplugged, and the elements connected. It fails on
// references that lead nowhere and on sizes that are no resistance.
func (p Pack) Solve(set topology.Setting, unplugged []string, els []Element) (Solution, error) {
	c, err := p.In(set, unplugged)
	if err != nil {
		return Solution{}, err
	}
	return c.Solve(els)
}

// check refuses volts and resistances that no circuit has.
func (p Pack) check() error {
	if p.Net == nil {
		return fmt.Errorf("the pack has no layout")
	}
	if len(p.GroupVolts) != len(p.Net.Groups) {
		return fmt.Errorf("%d group volts for %d groups", len(p.GroupVolts), len(p.Net.Groups))
	}
	if p.GroupOhms != nil && len(p.GroupOhms) != len(p.Net.Groups) {
		return fmt.Errorf("%d group resistances for %d groups", len(p.GroupOhms), len(p.Net.Groups))
	}
	for g, v := range p.GroupVolts {
		if !sensible(v) {
			return fmt.Errorf("group %d has %g V", g, v)
		}
	}
	for g, r := range p.GroupOhms {
		if !finite(r) || r != 0 && r < leastOhms {
			return fmt.Errorf("group %d has %g ohms; the least above zero is %g", g, r, leastOhms)
		}
	}
	for _, r := range []float64{p.BackgroundPerModule, p.BackgroundPerGroup} {
		if math.IsNaN(r) || r != 0 && r < leastOhms {
			return fmt.Errorf("background of %g ohms; the least above zero is %g", r, leastOhms)
		}
	}
	return nil
}

// ideal says whether a group is a source without resistance.
func (p Pack) ideal(g int) bool { return p.GroupOhms == nil || p.GroupOhms[g] == 0 }

// Bounds of what is computed with: far beyond any pack, and far enough inside
// the range of floating point that no sum or product leaves it.
const (
	mostVolts = 1e9
	leastOhms = 1e-12
)

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// sensible says whether a source can be computed with.
func sensible(volts float64) bool { return math.Abs(volts) <= mostVolts }

// conductance of a resistance that must be above zero; +Inf has none.
func conductance(what string, ohms float64) (float64, error) {
	if !(ohms >= leastOhms) {
		return 0, fmt.Errorf("%s has %g ohms; the least is %g", what, ohms, leastOhms)
	}
	return 1 / ohms, nil
}
