package report

import (
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/series"
	"halfsplit/topology"
)

// cells are the volts of every group of the net, expected in a state.
type cells struct {
	volts   []float64 // V; NaN = not known
	nominal bool      // some are an equal share of the pack's nominal volts
}

// cellsOf takes each module's newest list, of the state first; a group that none
// has gets the median of the others, or an equal share of the nominal volts.
func cellsOf(c *fault.Case, net *topology.Net, state string) cells {
	lists := map[string]fault.GroupVolts{}
	for _, g := range c.GroupVolts {
		if old, have := lists[g.Module]; !have || g.State == state || old.State != state {
			lists[g.Module] = g
		}
	}
	out := cells{volts: make([]float64, len(net.Groups))}
	var known []float64
	for i, g := range net.Groups {
		out.volts[i] = math.NaN()
		if v := lists[net.Layout.Modules[g.Module].ID].Volts; g.K <= len(v) && !math.IsNaN(v[g.K-1]) {
			out.volts[i] = v[g.K-1]
			known = append(known, v[g.K-1])
		}
	}
	share := math.NaN()
	if len(known) > 0 {
		slices.Sort(known)
		share = known[len(known)/2]
	} else if v := c.Layout.NominalVolts; v > 0 && longest(net) > 0 {
		share = v / float64(longest(net))
		out.nominal = true
	}
	for i := range out.volts {
		if math.IsNaN(out.volts[i]) {
			out.volts[i] = share
		}
	}
	return out
}

// longest is the number of groups of the longest string: the pack's volts are over
// these.
func longest(net *topology.Net) int {
	n := 0
	for _, s := range net.Strings {
		n = max(n, s.Groups)
	}
	return n
}

// potentials are every node's volts over the negative end of its section.
func potentials(j *topology.Joined, groups []float64) []float64 {
	out := make([]float64, j.Net.Len())
	for i := range out {
		out[i] = math.NaN()
	}
	for i := range j.Sections {
		phi := j.Potentials(&j.Sections[i], groups)
		for _, n := range j.Sections[i].Nodes {
			out[n] = phi[n]
		}
	}
	return out
}

// expected is what a box should show, in words, or "" where nothing is worked out.
func (s *Sheet) expected(p series.Point) string {
	about := "about "
	if !s.cells.nominal {
		about = ""
	}
	switch s.Kind {
	case series.ModuleVolts, series.GroupVolts:
		red, black := s.at(p.Red), s.at(p.Black)
		if math.IsNaN(red) || math.IsNaN(black) {
			return ""
		}
		return about + voltsText(red-black)
	case series.ToChassis:
		return s.toChassis(p.Red)
	}
	return ""
}

// at is a node's volts over its section's negative end.
func (s *Sheet) at(ref string) float64 {
	if n, ok := s.net.Node(ref); ok {
		return s.above[n]
	}
	return math.NaN()
}

// toChassis is the interval that a terminal should show by the finding, with no
// meter on it: only where that finding has the section in this state.
func (s *Sheet) toChassis(ref string) string {
	n, ok := s.net.Node(ref)
	if !ok || s.Finding == nil || s.Resistor != "" || s.seen.SectionOf(n) < 0 {
		return ""
	}
	sec := s.seen.Sections[s.seen.SectionOf(n)]
	for _, f := range s.Finding.Sections {
		if f.State != s.State || f.From != s.net.Name(sec.From) {
			continue
		}
		u, low, high := s.at(ref), float64(f.ChassisVolts.Low), float64(f.ChassisVolts.High)
		if math.IsNaN(u) || math.IsNaN(low) || math.IsNaN(high) {
			return ""
		}
		return strings.TrimSuffix(voltsText(u-high), " V") + " to " + voltsText(u-low)
	}
	return ""
}
