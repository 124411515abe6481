package topology

import (
	"fmt"
	"slices"
	"strings"
)

// Kinds of a Problem.
const (
	UnknownTerminal = "unknown-terminal"      // a link, board or monitor names what is not there
	InnerTap        = "inner-tap"             // a link ends inside a module
	Unconnected     = "unconnected-terminal"  // nothing is joined to a terminal that needs it
	UsedTwice       = "terminal-used-twice"   // a joint where the string forks
	Orphan          = "orphan-module"         // nothing is joined to a module
	Loop            = "loop"                  // closing a link would short cells
	Unequal         = "unequal-strings"       // strings in parallel that differ in volts
	Reversed        = "reversed-module"       // wired against its string
	WrongPole       = "wrong-pole"            // pack+, rail+ … where the string does not end so
	SameConductor   = "same-conductor"        // a link whose opening opens nothing
	NoGroups        = "no-groups"             // a module without a group
	TooManyStrings  = "too-many-strings"      // more in parallel than four
	DuplicateID     = "duplicate-id"          // one id for two things, or one that means something else
	DuplicateLabel  = "duplicate-label"       // one maker's label on two modules
	MonitorIndex    = "monitor-index"         // ranges that overlap or do not fit the module
	UnknownTap      = "unknown-tap"           // a board senses a tap that is not there
	UnknownID       = "unknown-id"            // a stack, part or bond names what is not there
	CoverCycle      = "parts-over-each-other" // no part of the ring could come off first
	UnknownKind     = "unknown-link-kind"     // a kind that is none of LinkKinds
)

// An inspector collects problems.
type inspector struct {
	*Net
	walk  *walk
	links map[NodeID][]int // at each node: indexes into Layout.Links
	group float64          // V of one group
	sums  []float64        // V by string
	out   []Problem
}

// inspect lists what a person should look at in a compiled layout: first what
// is wrong with the circuit, then with names and lists.
func (n *Net) inspect() []Problem {
	in := &inspector{Net: n, walk: n.newWalk(), links: map[NodeID][]int{}, group: n.groupVolts()}
	for s := range n.Strings {
		in.sums = append(in.sums, n.netGroups(s)*in.group)
	}
	for i, l := range n.Layout.Links {
		from, okFrom := n.byName[l.From]
		if to, okTo := n.byName[l.To]; okFrom && okTo && from == to {
			continue // it joins nothing
		}
		for _, end := range []string{l.From, l.To} {
			if id, ok := n.byName[end]; ok {
				in.links[id] = append(in.links[id], i)
			}
		}
	}
	in.modules()
	in.freeEnds()
	in.joints()
	in.poles()
	in.loops()
	in.conductors()
	in.ids()
	in.numbers()
	in.boards()
	in.parts()
	in.metal()
	return in.out
}

func (in *inspector) add(kind, goTo, format string, args ...any) {
	in.out = append(in.out, Problem{Kind: kind, GoTo: goTo, Text: fmt.Sprintf(format, args...)})
}

// someID is where to go when the thing itself has no id: the first by name of
// the modules, or of whatever else there is.
func (in *inspector) someID() string {
	l := in.Layout
	var ids []string
	for _, m := range l.Modules {
		ids = append(ids, m.ID)
	}
	if len(ids) == 0 {
		for _, x := range l.Links {
			ids = append(ids, x.ID)
		}
		for _, x := range l.Boards {
			ids = append(ids, x.ID)
		}
		for _, x := range l.Parts {
			ids = append(ids, x.ID)
		}
	}
	if len(ids) == 0 {
		return ""
	}
	return slices.Min(ids)
}

// groupVolts is what one group is reckoned at: the nominal volts shared by the
// groups of the longest string, or 3.7 V where that is not known or, as in a
// drawing half done, no cell's.
func (n *Net) groupVolts() float64 {
	longest := 0
	for _, s := range n.Strings {
		longest = max(longest, s.Groups)
	}
	if v := n.Layout.NominalVolts / float64(max(1, longest)); v >= 1.5 && v <= 4.5 {
		return v
	}
	return 3.7
}

// netGroups counts a string's groups, those wired against it taken off.
func (n *Net) netGroups(s int) float64 {
	sum := 0
	for i, m := range n.Strings[s].Modules {
		if n.Strings[s].Flipped[i] {
			sum -= n.Layout.Modules[m].Series
		} else {
			sum += n.Layout.Modules[m].Series
		}
	}
	return float64(sum)
}

// list joins names as a sentence does; of a great many it gives the first.
func list(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	last := len(names) - 1
	if most := 8; last > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}
