package cells_test

import (
	"fmt"
	"math"
	"math/rand/v2"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A pack is an invented string of equal modules with the mV of its groups.
type pack struct {
	series int
	mv     []float64
	chem   string
}

// newPack draws the size of a pack and its noise.
func newPack(r *rand.Rand, noise float64) *pack {
	p := &pack{series: 4 + r.IntN(9)}
	modules := max(2, (60+r.IntN(157))/p.series)
	for range modules * p.series {
		p.mv = append(p.mv, 3650+noise*r.NormFloat64())
	}
	return p
}

func (p *pack) modules() int { return len(p.mv) / p.series }

// lower lowers the groups above tap a, up to tap b.
func (p *pack) lower(a, b int, by float64) *pack {
	for i := a; i < b; i++ {
		p.mv[i] -= by
	}
	return p
}

// band draws the edges of a band that is no run of whole modules.
func (p *pack) band(r *rand.Rand) (a, b int) {
	for {
		a, b = 3+r.IntN(len(p.mv)-6), 3+r.IntN(len(p.mv)-6)
		if b-a >= 6 && (a%p.series != 0 || b%p.series != 0) {
			return a, b
		}
	}
}

// fault is the pack as a case: one state, one list for each module, as a monitor
// shows it, in whole mV.
func (p *pack) fault() fault.Case {
	c := fault.Case{States: []fault.State{{ID: "closed"}}}
	c.Layout.Stacks = []topology.Stack{{ID: "A"}}
	for m := range p.modules() {
		id := moduleID(m)
		c.Layout.Modules = append(c.Layout.Modules, topology.Module{ID: id, Stack: "A", Series: p.series, Parallel: 2, Chemistry: p.chem})
		if m > 0 {
			c.Layout.Links = append(c.Layout.Links, topology.Link{ID: fmt.Sprintf("L%02d", m), Kind: topology.Busbar, From: moduleID(m-1) + "+", To: id + "-"})
		}
		g := fault.GroupVolts{Module: id, State: "closed"}
		for _, mv := range p.mv[m*p.series : (m+1)*p.series] {
			g.Volts = append(g.Volts, math.Round(mv)/1000)
		}
		c.GroupVolts = append(c.GroupVolts, g)
	}
	return c
}

func moduleID(m int) string { return fmt.Sprintf("M%03d", m+1) }

// tap names the tap with that many groups below it as Evidence does.
func (p *pack) tap(below int) string {
	m := max(0, (below-1)/p.series)
	switch k := below - m*p.series; k {
	case 0:
		return moduleID(m) + "-"
	case p.series:
		return moduleID(m) + "+"
	default:
		return fmt.Sprintf("%s.%d", moduleID(m), k)
	}
}
