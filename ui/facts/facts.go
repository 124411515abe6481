// Package facts is what the window says about one case: the sections of the
// present state with their volts, the volts and potentials of groups and taps,
// the shares of places, and the sentences of the top strip. It is worked out
// once for a case and a finding; the drawings only read it.
//
// It draws nothing and knows no pixels. What is computed and not measured says
// so. It never says that a thing may be touched, nor the opposite.
package facts

import (
	"math"
	"sort"

	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/topology"
)

// A Status of the finding.
type Status uint8

// The statuses.
const (
	NoFinding Status = iota
	Computing
	Ready
	Failed
	Cancelled
)

// A Result is a finding and how it stands with the case on screen.
type Result struct {
	Status  Status
	Finding *fault.Finding    // the last one; nil = none yet
	Stale   bool              // Finding belongs to an earlier state of the case
	Err     string            // why it failed, in words
	Signs   []cells.Signature // what the pattern of the case's group volts shows
}

// A Section of the present state.
type Section struct {
	topology.Section
	From, To string
	Volts    float64 // V, expected from the cells; NaN = not known
	Rough    bool    // Volts are by the pack's nominal volts
	Finding  *fault.SectionFinding
}

// A Pack is a case as the views read it.
type Pack struct {
	Case     fault.Case
	Net      *topology.Net
	Problems []topology.Problem
	State    fault.State
	Known    bool // the present state is recorded
	Joined   *topology.Joined
	Sections []Section
	Group    []float64   // V of each group of Net.Groups; NaN = not measured
	Cell     []float64   // Group, or where that lacks an equal share of the module's own reading; NaN = neither
	GroupsOf string      // the state in which they were taken; "" = none
	Median   []float64   // V, of each string's measured groups; NaN = none
	Along    [][]float64 // V, by string and tap, above its negative end, open gaps counting nothing
	Equal    []bool      // by string: Along has steps that were not measured
	Chassis  []float64   // V of each node above chassis; NaN = not known
	Modules  []Module
	Share    map[string]float64
	Result   Result

	own     []float64 // by module: its volts as read across its own ends; NaN = never
	real    *Pack     // under a question: the case as it stands; nil = this is it
	used    map[string]bool
	leftOut map[string]string
}

// New works out a case. The finding may be nil or older than the case.
func New(c fault.Case, r Result) *Pack {
	p := &Pack{Case: c, Result: r, Share: map[string]float64{}, used: map[string]bool{}, leftOut: map[string]string{}}
	p.Net, p.Problems = topology.Compile(c.Layout)
	p.State, p.Known = c.State(c.Now)
	p.Joined = p.Net.In(p.State.Setting())
	p.readGroups()
	p.readOwnVolts()
	p.measureStrings()
	p.readModules()
	p.readFinding()
	p.readSections()
	p.potentials()
	return p
}

// readGroups takes each module's volts from the present state if it has them,
// else from the latest list of another state.
func (p *Pack) readGroups() {
	p.Group = nans(len(p.Net.Groups))
	byModule := map[string]fault.GroupVolts{}
	for _, g := range p.Case.GroupVolts {
		old, have := byModule[g.Module]
		if !have || g.State == p.Case.Now || old.State != p.Case.Now {
			byModule[g.Module] = g
		}
	}
	for i, g := range p.Net.Groups {
		list, ok := byModule[p.Net.Layout.Modules[g.Module].ID]
		if ok && g.K <= len(list.Volts) {
			p.Group[i] = list.Volts[g.K-1]
			p.GroupsOf = list.State
		}
	}
}

// measureStrings finds each string's median and its taps' volts above its
// negative end. A group that was not measured gets the median, or failing that
// an equal share of the nominal volts (see unread); Equal says so.
func (p *Pack) measureStrings() {
	n := p.Net
	groupsOf := make([][]int, len(n.Layout.Modules))
	for i, g := range n.Groups {
		groupsOf[g.Module] = append(groupsOf[g.Module], i)
	}
	p.Along, p.Equal = make([][]float64, len(n.Strings)), make([]bool, len(n.Strings))
	p.Median = nans(len(n.Strings))
	for s, str := range n.Strings {
		var order []int
		for i, m := range str.Modules {
			g := append([]int(nil), groupsOf[m]...)
			if str.Flipped[i] {
				for a, b := 0, len(g)-1; a < b; a, b = a+1, b-1 {
					g[a], g[b] = g[b], g[a]
				}
			}
			order = append(order, g...)
		}
		p.Median[s] = median(pick(p.Cell, order))
		step, _ := p.unread(s)
		along := []float64{0}
		for _, g := range order {
			v := p.Cell[g]
			if math.IsNaN(v) || v <= 0 {
				v, p.Equal[s] = step, true
			}
			along = append(along, along[len(along)-1]+v)
		}
		p.Along[s] = along
	}
}

// nominalGroup is an equal share of the pack's volts, or 1 where none are
// given: the ruler then counts groups.
func (p *Pack) nominalGroup(s int) float64 {
	v := p.Case.Layout.NominalVolts
	if v <= 0 {
		v = p.Case.Layout.WorkingVolts
	}
	if g := p.Net.Strings[s].Groups; v > 0 && g > 0 {
		return v / float64(g)
	}
	return 1
}

// CountsGroups says that a string's steps are groups and not volts: neither
// group volts nor the pack's volts are given.
func (p *Pack) CountsGroups(s int) bool {
	return math.IsNaN(p.Median[s]) && !p.hasNominal()
}

// hasNominal says that the layout gives the pack's volts.
func (p *Pack) hasNominal() bool {
	return p.Case.Layout.NominalVolts > 0 || p.Case.Layout.WorkingVolts > 0
}

func (p *Pack) readFinding() {
	f := p.Result.Finding
	if f == nil {
		return
	}
	for _, s := range f.Suspicion {
		p.Share[s.ID] += float64(s.Share)
	}
	for _, id := range f.Used {
		p.used[id] = true
	}
	for _, l := range f.LeftOut {
		p.leftOut[l.Reading] = l.Why
	}
}

// HasShares says that the finding gives shares at all; without them no place is
// shaded, not even as zero.
func (p *Pack) HasShares() bool { return len(p.Share) > 0 }

func nans(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = math.NaN()
	}
	return v
}

func pick(v []float64, index []int) []float64 {
	out := make([]float64, 0, len(index))
	for _, i := range index {
		if !math.IsNaN(v[i]) {
			out = append(out, v[i])
		}
	}
	return out
}

// median is NaN for no values.
func median(v []float64) float64 {
	if len(v) == 0 {
		return math.NaN()
	}
	sort.Float64s(v)
	return (v[(len(v)-1)/2] + v[len(v)/2]) / 2
}
