package facts

import (
	"math"

	"halfsplit/fault/makesafe"
	"halfsplit/topology"
)

// ExpectAt is what the layout and the recorded state lead to expect where the meter
// is put to prove an isolation: "" is the pack's outer terminals. Every way in which
// it is not known has its words; contactors that were not recorded are one of them.
func (p *Pack) ExpectAt(point string) makesafe.Expected {
	if p.real != nil {
		return p.real.ExpectAt(point)
	}
	switch {
	case point != "":
		return makesafe.Unknown("the layout does not say what this place is joined to")
	case len(p.Net.Layout.Modules) == 0 || p.Partial():
		return makesafe.Unknown("the layout leaves open what is joined to what")
	case !p.Known:
		return makesafe.Unknown("the present state is not recorded")
	case p.State.Contactors == "":
		return makesafe.Unknown("the contactors are not recorded")
	}
	plus, okP := p.Net.Node("pack+")
	minus, okM := p.Net.Node("pack-")
	whole := p.Net.In(topology.Setting{ContactorsClosed: true})
	if !okP || !okM || whole.SectionOf(plus) < 0 || whole.SectionOf(minus) < 0 {
		return makesafe.Unknown("the layout draws no path from pack+ and pack- to the modules")
	}
	e := makesafe.Expected{Known: true, Poles: math.NaN(), Plus: math.NaN(), Minus: math.NaN()}
	sp, sm := p.SectionOf(plus), p.SectionOf(minus)
	e.Joined = sp != nil || sm != nil
	if sp == nil && sm == nil {
		return e
	}
	var within float64
	e.Plus, within = p.toChassis(sp, plus)
	e.Within = within
	e.Minus, within = p.toChassis(sm, minus)
	e.Within = math.Max(e.Within, within)
	if sp != nil && sp == sm {
		e.Poles = p.between(sp, plus, minus)
		e.Within = math.Max(e.Within, cellError*math.Abs(e.Poles))
	}
	return e
}

// cellError is how well the cells' volts add up to a section's: 0.2 % common, as for
// group volts without a stated accuracy.
const cellError = 0.002

// toChassis is a node's volts above chassis with the meter off, and how well they
// are known; NaN where no finding gives them.
func (p *Pack) toChassis(s *Section, n topology.NodeID) (volts, within float64) {
	if s == nil {
		return math.NaN(), 0
	}
	u, ok := s.ChassisAt()
	if !ok || s.Rough || math.IsNaN(p.Chassis[n]) {
		return math.NaN(), 0
	}
	return p.Chassis[n], float64(highest(u)-lowest(u)) / 2
}

// between is the volts between two nodes of one section; NaN where they rest on
// nominal volts.
func (p *Pack) between(s *Section, plus, minus topology.NodeID) float64 {
	if s.Rough || math.IsNaN(s.Volts) {
		return math.NaN()
	}
	volts := make([]float64, len(p.Group))
	for _, g := range s.Groups {
		volts[g] = p.Cell[g]
		if math.IsNaN(volts[g]) {
			volts[g] = p.Median[p.Net.StringOf(p.Net.Groups[g].Module)]
		}
	}
	phi := p.Joined.Potentials(&s.Section, volts)
	return phi[plus] - phi[minus]
}

// Partial says that the layout leaves open what is joined to what.
func (p *Pack) Partial() bool { return p.partial() }

// PathOpen are the sentences on why the electrical path is not complete.
func (p *Pack) PathOpen() (out []string) {
	if len(p.Net.Layout.Modules) == 0 {
		return []string{"No modules are drawn: there is no electrical path."}
	}
	for _, pr := range p.Problems {
		if !harmless[pr.Kind] {
			out = append(out, pr.Text)
		}
	}
	return out
}

// Lacking is what stands before the order of removal.
func (p *Pack) Lacking(today string) []makesafe.Remark {
	return makesafe.Lacking(&p.Case, p.ExpectAt, today, p.PathOpen())
}
