package cells

import (
	"fmt"
	"math"
	"slices"
	"time"

	"halfsplit/fault"
	"halfsplit/topology"
)

// apartMillivolts is how far the volts of two states may differ in the middle
// before their lists are no longer looked at together.
const apartMillivolts = 5.0

// What a group's volts must lie between to be compared at all: a tap that reads
// nothing, or millivolts typed for volts, tells nothing about its neighbours.
const (
	leastVolts = 0.5
	mostVolts  = 10.0
)

// picked holds, by module of the layout, the list that is looked at; nil = none.
type picked struct {
	lists []*fault.GroupVolts
	notes []string // lists that were left out, in words
}

// pick takes the latest list of every module. Lists of another state than most
// come from are taken only where that state's volts agree with it; otherwise the
// module's own list of the common state is taken, if there is one.
func pick(c *fault.Case, net *topology.Net) picked {
	p := picked{lists: make([]*fault.GroupVolts, len(net.Layout.Modules))}
	for m := range p.lists {
		p.lists[m] = newest(c, net.Layout.Modules[m].ID, "")
	}
	base := p.commonState(c)
	for _, state := range p.states(c) {
		if state == base {
			continue
		}
		diff, ok := p.between(c, net, base, state)
		if ok && math.Abs(diff) <= apartMillivolts {
			continue
		}
		p.leaveOut(c, net, base, state, diff)
	}
	return p
}

// newest is the latest list of a module, in one state or in any: by its time where
// both have one, else by its place in the case.
func newest(c *fault.Case, module, state string) *fault.GroupVolts {
	var best *fault.GroupVolts
	for i := range c.GroupVolts {
		g := &c.GroupVolts[i]
		if g.Module != module || (state != "" && g.State != state) {
			continue
		}
		if best == nil || !earlier(g, best) {
			best = g
		}
	}
	return best
}

func earlier(a, b *fault.GroupVolts) bool {
	ta, errA := time.Parse(time.RFC3339, a.At)
	tb, errB := time.Parse(time.RFC3339, b.At)
	return errA == nil && errB == nil && ta.Before(tb)
}

// states are the states that the picked lists come from, in the case's order.
func (p picked) states(c *fault.Case) []string {
	var out []string
	for _, g := range p.lists {
		if g != nil && !slices.Contains(out, g.State) {
			out = append(out, g.State)
		}
	}
	rank := func(id string) int {
		return slices.IndexFunc(c.States, func(s fault.State) bool { return s.ID == id })
	}
	slices.SortFunc(out, func(a, b string) int { return rank(a) - rank(b) })
	return out
}

// commonState is the state that most groups come from; of equals the last.
func (p picked) commonState(c *fault.Case) string {
	most, base := 0, ""
	for _, state := range p.states(c) {
		n := 0
		for _, g := range p.lists {
			if g != nil && g.State == state {
				n += len(g.Volts)
			}
		}
		if n >= most {
			most, base = n, state
		}
	}
	return base
}

// between is how many mV the volts of a state lie above those of the common one:
// over the groups that have both, else between the middles of all.
func (p picked) between(c *fault.Case, net *topology.Net, base, state string) (float64, bool) {
	var both, ofBase, ofState []float64
	for m, mod := range net.Layout.Modules {
		a, b := newest(c, mod.ID, base), newest(c, mod.ID, state)
		ofBase = append(ofBase, usable(a)...)
		ofState = append(ofState, usable(b)...)
		if a == nil || b == nil {
			continue
		}
		for k := range min(len(a.Volts), len(b.Volts), net.Layout.Modules[m].Series) {
			if isUsable(a.Volts[k]) && isUsable(b.Volts[k]) {
				both = append(both, 1000*(b.Volts[k]-a.Volts[k]))
			}
		}
	}
	switch {
	case len(both) > 0:
		return median(both), true
	case len(ofBase) > 0 && len(ofState) > 0:
		return 1000 * (median(ofState) - median(ofBase)), true
	}
	return 0, false
}

func usable(g *fault.GroupVolts) (out []float64) {
	if g == nil {
		return nil
	}
	for _, v := range g.Volts {
		if isUsable(v) {
			out = append(out, v)
		}
	}
	return out
}

func isUsable(v float64) bool { return v > leastVolts && v < mostVolts } // NaN is neither

// leaveOut replaces the lists of a state by those of the common state.
func (p *picked) leaveOut(c *fault.Case, net *topology.Net, base, state string, diff float64) {
	for m, g := range p.lists {
		if g != nil && g.State == state {
			p.lists[m] = newest(c, net.Layout.Modules[m].ID, base)
		}
	}
	p.notes = append(p.notes, fmt.Sprintf(
		"The group volts of state %s lie %s mV from those of state %s in the middle, and are not compared with them.", state, figure(math.Abs(diff)), base))
}

// median of a list that is not empty; the list is left as it is.
func median(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	n := len(s)
	return (s[(n-1)/2] + s[n/2]) / 2
}
