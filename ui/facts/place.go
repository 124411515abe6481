package facts

import (
	"math"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A Module as the views show it.
type Module struct {
	Index    int
	String   int
	Place    int // its index within its string
	Volts    float64
	Mean     float64 // V from the string's median, mean over its groups
	Measured int     // groups that were measured
	Groups   []int   // indexes into Net.Groups, from its negative end
	Removed  bool
	Own      bool // its volts were read across its own ends

	Readings   int            // at its taps, superseded ones not counted
	Insulation *fault.Reading // the last insulation reading to chassis; nil = none
	Age        float64        // hours from its newest record to the newest of the case; NaN = not recorded
}

// readModules gathers what is known of every module. Groups are numbered in the
// order of the modules.
func (p *Pack) readModules() {
	first := 0
	p.Modules = make([]Module, len(p.Net.Layout.Modules))
	for m := range p.Modules {
		p.Modules[m] = p.module(m, first)
		first += p.Net.Layout.Modules[m].Series
	}
	for s, str := range p.Net.Strings {
		for i, m := range str.Modules {
			p.Modules[m].String, p.Modules[m].Place = s, i
		}
	}
	for _, id := range p.State.Removed {
		if m, ok := p.Net.Module(id); ok {
			p.Modules[m].Removed = true
		}
	}
	p.readHistory()
}

func (p *Pack) module(m, first int) Module {
	mod := Module{Index: m, Mean: math.NaN()}
	dev := 0.0
	for k := 0; k < p.Net.Layout.Modules[m].Series; k++ {
		g := first + k
		mod.Groups = append(mod.Groups, g)
		if v := p.Group[g]; !math.IsNaN(v) {
			mod.Measured++
			mod.Volts += v
			dev += p.FromMedian(g)
		}
	}
	if mod.Measured < len(mod.Groups) || len(mod.Groups) == 0 {
		mod.Volts = math.NaN()
	}
	if mod.Measured > 0 {
		mod.Mean = dev / float64(mod.Measured)
	}
	if own := p.own[m]; !math.IsNaN(own) && len(mod.Groups) > 0 {
		mod.Own = true
		if math.IsNaN(mod.Volts) {
			mod.Volts = own
		}
		if mod.Measured == 0 {
			mod.Mean = own/float64(len(mod.Groups)) - p.Median[p.Net.StringOf(m)]
		}
	}
	return mod
}

// FromMedian is a group's volts above its string's median, NaN where it was not
// measured.
func (p *Pack) FromMedian(g int) float64 {
	return p.Group[g] - p.Median[p.Net.StringOf(p.Net.Groups[g].Module)]
}

// GroupToChassis is the middle of a group's potential above chassis.
func (p *Pack) GroupToChassis(g int) float64 {
	return (p.Chassis[p.Net.Groups[g].Lo] + p.Chassis[p.Net.Groups[g].Hi]) / 2
}

// AlongOf is a node's volts above its string's negative end, open gaps counting
// nothing; ok is false for a named terminal.
func (p *Pack) AlongOf(n topology.NodeID) (str int, volts float64, ok bool) {
	s, groups, ok := p.Net.Position(n)
	if !ok {
		return -1, 0, false
	}
	return s, p.Along[s][groups], true
}

// IsOpen says that a link is recorded open: listed, or a contactor while the
// contactors are not recorded closed.
func (p *Pack) IsOpen(link int) bool {
	l := p.Net.Layout.Links[link]
	if l.Kind == topology.Contactor && p.State.Contactors != fault.Closed {
		return true
	}
	for _, id := range p.State.Open {
		if id == l.ID {
			return true
		}
	}
	return false
}

// A Use of a reading by the finding.
type Use uint8

// The uses.
const (
	NotJudged Use = iota // no finding speaks of it
	Used
	LeftOut
	Superseded
)

// Flag is a reading at a place.
type Flag struct {
	Reading fault.Reading
	Node    topology.NodeID
	Now     bool // taken in the present state
	Use     Use
	Why     string // why it was left out
}

// Flags are the readings from a tap to chassis or to another tap, at their red
// end, in the order in which they were taken.
func (p *Pack) Flags() []Flag {
	superseded := p.Case.Superseded()
	var out []Flag
	for _, r := range p.Case.Readings {
		ref := r.Red
		if _, chassis := topology.ChassisRef(ref); chassis {
			ref = r.Black
		}
		node, ok := p.Net.Node(ref)
		if !ok {
			continue
		}
		f := Flag{Reading: r, Node: node, Now: r.State == p.Case.Now}
		by, replaced := superseded[r.ID]
		switch {
		case replaced:
			f.Use, f.Why = Superseded, "replaced by "+by.ID+": "+by.Why
		case p.used[r.ID]:
			f.Use = Used
		case p.leftOut[r.ID] != "":
			f.Use, f.Why = LeftOut, p.leftOut[r.ID]
		}
		out = append(out, f)
	}
	return out
}
