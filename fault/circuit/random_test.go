package circuit_test

import (
	"fmt"
	"math"
	"slices"

	"pgregory.net/rapid"

	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// situation is a random pack in a random state with random elements on it.
type situation struct {
	layout    topology.Layout
	pack      circuit.Pack
	set       topology.Setting
	unplugged []string
	els       []circuit.Element
	refs      []string // references that exist in this state
}

// drawLayout is one to four strings of modules of mixed sizes, some wired the
// wrong way round, tied at no, one or both ends, declared in any order.
func drawLayout(t *rapid.T) topology.Layout {
	var l topology.Layout
	strings := rapid.IntRange(1, 4).Draw(t, "strings")
	var bottoms, tops []string
	for s := range strings {
		up := ""
		modules := rapid.IntRange(1, 4).Draw(t, "modules")
		for i := range modules {
			id := fmt.Sprintf("%c%02d", 'M'+s, i+1)
			m := topology.Module{ID: id, Series: rapid.IntRange(1, 5).Draw(t, "series"), Parallel: rapid.IntRange(1, 4).Draw(t, "parallel")}
			l.Modules = append(l.Modules, m)
			lo, hi := id+"-", id+"+"
			if rapid.IntRange(0, 9).Draw(t, "reversed") == 0 {
				lo, hi = hi, lo
			}
			if i == 0 {
				bottoms = append(bottoms, lo)
			} else {
				kind := rapid.SampledFrom([]string{topology.Busbar, topology.Disconnect, topology.Contactor}).Draw(t, "kind")
				l.Links = append(l.Links, topology.Link{ID: "L" + id, Kind: kind, From: up, To: lo})
			}
			up = hi
		}
		tops = append(tops, up)
	}
	for s := range strings {
		for end, tops := range [][]string{bottoms, tops} {
			sign := string("-+"[end])
			switch rapid.IntRange(0, 2).Draw(t, "end") {
			case 0:
				l.Links = append(l.Links, topology.Link{ID: fmt.Sprintf("K%d%s", s, sign), Kind: topology.Contactor, From: tops[s], To: "pack" + sign})
			case 1:
				l.Links = append(l.Links, topology.Link{ID: fmt.Sprintf("T%d%s", s, sign), Kind: topology.Busbar, From: tops[0], To: tops[s]})
			}
		}
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "pieces") {
		l.Chassis = append(l.Chassis, topology.ChassisPiece{ID: fmt.Sprintf("c%d", i)})
	}
	l.Boards = []topology.Board{{ID: "B1"}, {ID: "B2"}}
	l.Modules = rapid.Permutation(l.Modules).Draw(t, "order of modules")
	l.Links = rapid.Permutation(l.Links).Draw(t, "order of links")
	return l
}

func drawSetting(t *rapid.T, l topology.Layout) topology.Setting {
	set := topology.Setting{ContactorsClosed: rapid.Bool().Draw(t, "contactors closed")}
	for _, link := range l.Links {
		if rapid.IntRange(0, 5).Draw(t, "open") == 0 {
			set.Open = append(set.Open, link.ID)
		}
	}
	for _, m := range l.Modules {
		if rapid.IntRange(0, 9).Draw(t, "removed") == 0 {
			set.Removed = append(set.Removed, m.ID)
		}
	}
	return set
}

// references lists taps, terminals and chassis pieces; with live only those of
// modules that are not removed.
func references(l topology.Layout, set topology.Setting, live bool) []string {
	refs := []string{"pack+", "pack-", "load+", "load-", "chassis"}
	for _, c := range l.Chassis {
		refs = append(refs, "chassis:"+c.ID)
	}
	for _, m := range l.Modules {
		if live && slices.Contains(set.Removed, m.ID) {
			continue
		}
		for k := range m.Series + 1 {
			refs = append(refs, fmt.Sprintf("%s.%d", m.ID, k))
		}
	}
	return refs
}

// drawSituation gives packs of ideal cells, or where milliohms is set of cells
// with a resistance each.
func drawSituation(t *rapid.T, milliohms bool) situation {
	s := situation{layout: drawLayout(t)}
	n, _ := topology.Compile(s.layout)
	s.set = drawSetting(t, s.layout)
	s.refs = references(s.layout, s.set, true)
	all := references(s.layout, s.set, false)
	// The nodal analysis that this is compared with loses a digit for every power
	// of ten between the largest conductance, or kiloamperes in a ring of
	// milliohms, and the smallest conductance.
	highest := 9.0
	if milliohms {
		highest = 6
	}
	ohms := rapid.Custom(func(t *rapid.T) float64 { return math.Pow(10, rapid.Float64Range(2, highest).Draw(t, "log ohms")) })
	p := circuit.Pack{Net: n}
	for range n.Groups {
		p.GroupVolts = append(p.GroupVolts, rapid.Float64Range(-1, 5).Draw(t, "volts"))
		if milliohms {
			p.GroupOhms = append(p.GroupOhms, rapid.Float64Range(1e-4, 5e-3).Draw(t, "ohms"))
		}
	}
	boards := []string{"", "B1", "B2"}
	for range rapid.IntRange(0, 5).Draw(t, "leaks") {
		lk := circuit.Leak{At: rapid.SampledFrom(all[5+len(s.layout.Chassis):]).Draw(t, "at"), Ohms: ohms.Draw(t, "leak"),
			Shift: rapid.Float64Range(-2, 2).Draw(t, "shift"), OnlyWithBoard: rapid.SampledFrom(boards).Draw(t, "board")}
		if c := s.layout.Chassis; len(c) > 0 {
			lk.To = rapid.SampledFrom(c).Draw(t, "to").ID
		}
		p.Leaks = append(p.Leaks, lk)
	}
	for range rapid.IntRange(0, 1).Draw(t, "bridges") {
		p.Bridges = append(p.Bridges, circuit.Bridge{From: rapid.SampledFrom(all).Draw(t, "from"), To: rapid.SampledFrom(all).Draw(t, "to"),
			Ohms: ohms.Draw(t, "bridge"), OnlyWithBoard: rapid.SampledFrom(boards).Draw(t, "board")})
	}
	for i := 1; i < len(s.layout.Chassis); i++ {
		bond := circuit.Bond{From: "c0", To: fmt.Sprintf("c%d", i), Ohms: rapid.SampledFrom([]float64{0, 1e3, 1e6, math.Inf(1)}).Draw(t, "bond")}
		p.Bonds = append(p.Bonds, bond)
	}
	p.BackgroundPerModule = rapid.SampledFrom([]float64{0, 0, math.Pow(10, highest-1)}).Draw(t, "background")
	p.BackgroundPerGroup = rapid.SampledFrom([]float64{0, 0, math.Pow(10, highest)}).Draw(t, "background per group")
	s.pack = p
	s.unplugged = rapid.SampledFrom([][]string{nil, {"B1"}, {"B1", "B2"}}).Draw(t, "unplugged")
	for range rapid.IntRange(0, 3).Draw(t, "elements") {
		s.els = append(s.els, circuit.Element{From: rapid.SampledFrom(s.refs).Draw(t, "from"), To: rapid.SampledFrom(s.refs).Draw(t, "to"),
			Ohms: ohms.Draw(t, "element"), EMF: rapid.SampledFrom([]float64{0, 0, 500, -250}).Draw(t, "emf")})
	}
	return s
}
