package topology

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"
)

// NodeID is an electrical node of a Net: a tap of a module, or a named terminal.
type NodeID int

// NoNode stands where there is none.
const NoNode NodeID = -1

// A Group is one group of cells in parallel, between two taps of its module.
type Group struct {
	Module int // index into Layout.Modules
	K      int // 1 … Series, counted from the module's negative end
	Lo, Hi NodeID
}

// A Branch is a link as the Net sees it.
type Branch struct {
	Link int // index into Layout.Links
	A, B NodeID
}

// A String is a run of modules in series, from its negative end.
type String struct {
	ID      string // id of its most negative module
	Modules []int  // indexes into Layout.Modules
	Offset  []int  // groups below Modules[i]
	Flipped []bool // Modules[i] is wired against the string
	Groups  int
	filled  int // modules that have groups
}

// A Net is a compiled layout: every node, group, link and string. It never
// changes; ask it for the sections of a Setting.
type Net struct {
	Layout  Layout
	Groups  []Group
	Links   []Branch
	Strings []String

	names     []string
	byName    map[string]NodeID
	tap0      []NodeID // first tap of each module
	moduleOf  []int    // by node; -1 for a named terminal
	stringOf  []int    // by module
	placeIn   []int    // by module: its index within its string
	permanent [][2]NodeID
	moduleIdx map[string]int
	linkIdx   map[string]int
}

// terminals that a layout may name besides those of its modules.
var terminals = []string{"pack+", "pack-", "load+", "load-", "rail+", "rail-"}

// Compile turns a layout into a Net and lists what a person should look at. A
// partial layout is legal: what is joined works. References that resolve to
// nothing are problems; the link or board concerned is left out of the Net.
//
// The Net's own Layout is the one given, save that a module of fewer than no
// groups counts as one of none. The time is close to linear in everything.
func Compile(l Layout) (*Net, []Problem) {
	l.Modules = slices.Clone(l.Modules)
	for i := range l.Modules {
		l.Modules[i].Series = max(0, l.Modules[i].Series)
	}
	n := &Net{Layout: l, byName: map[string]NodeID{}, moduleIdx: map[string]int{}, linkIdx: map[string]int{}}
	n.addTaps()
	problems := n.addLinks()
	n.findStrings()
	return n, append(problems, n.inspect()...)
}

func (n *Net) addNode(name string, module int) NodeID {
	id := NodeID(len(n.names))
	n.names = append(n.names, name)
	n.byName[name] = id
	n.moduleOf = append(n.moduleOf, module)
	return id
}

func (n *Net) addTaps() {
	for m, mod := range n.Layout.Modules {
		n.moduleIdx[mod.ID] = m
		first := n.addNode(mod.ID+"-", m)
		n.byName[mod.ID+".0"] = first
		n.tap0 = append(n.tap0, first)
		last := first
		for k := 1; k <= mod.Series; k++ {
			name := mod.ID + "." + strconv.Itoa(k)
			if k == mod.Series {
				n.byName[name] = NodeID(len(n.names))
				name = mod.ID + "+"
			}
			hi := n.addNode(name, m)
			n.Groups = append(n.Groups, Group{Module: m, K: k, Lo: last, Hi: hi})
			last = hi
		}
		if mod.Series == 0 { // a module without groups is one piece of metal
			n.byName[mod.ID+"+"] = first
		}
	}
}

func (n *Net) addLinks() []Problem {
	var problems []Problem
	for _, t := range terminals {
		n.addNode(t, -1)
	}
	// pack± and load± are one conductor: both lie beyond the contactors.
	n.permanent = append(n.permanent, [2]NodeID{n.byName["pack+"], n.byName["load+"]}, [2]NodeID{n.byName["pack-"], n.byName["load-"]})
	for i, l := range n.Layout.Links {
		n.linkIdx[l.ID] = i
		a, okA := n.byName[l.From]
		b, okB := n.byName[l.To]
		switch {
		case !okA:
			problems = append(problems, unknownEnd(l.ID, l.From))
		case !okB:
			problems = append(problems, unknownEnd(l.ID, l.To))
		default:
			n.Links = append(n.Links, Branch{Link: i, A: a, B: b})
		}
	}
	n.aliasRail("+")
	n.aliasRail("-")
	return problems
}

func unknownEnd(link, ref string) Problem {
	return Problem{Kind: "unknown-terminal", GoTo: link, Text: fmt.Sprintf("Link %s ends at %s, which is not a terminal of this layout.", link, ref)}
}

// aliasRail joins rail± to the inner side of a contactor when no link names it:
// the rail is then one conductor from the end module to the contactor. Of
// several contactors it is the one whose id sorts first.
func (n *Net) aliasRail(sign string) {
	rail, out := n.byName["rail"+sign], []NodeID{n.byName["pack"+sign], n.byName["load"+sign]}
	inner, contactor := NoNode, ""
	for _, b := range n.Links {
		if b.A == rail || b.B == rail {
			return
		}
		l := n.Layout.Links[b.Link]
		if l.Kind != Contactor || (inner != NoNode && l.ID >= contactor) {
			continue
		}
		switch {
		case slices.Contains(out, b.A):
			inner, contactor = b.B, l.ID
		case slices.Contains(out, b.B):
			inner, contactor = b.A, l.ID
		}
	}
	if inner != NoNode {
		n.permanent = append(n.permanent, [2]NodeID{rail, inner})
	}
}

// Len is the number of nodes.
func (n *Net) Len() int { return len(n.names) }

// Name is a node's name: M09-, M09.3, M09+ or a terminal's.
func (n *Net) Name(id NodeID) string { return n.names[id] }

// Node resolves a reference: a tap (M09.3, M09-, M09+), a terminal (pack+), or
// the side of a link (SD@M06+), which is electrically its end.
func (n *Net) Node(ref string) (NodeID, bool) {
	if link, end, side := strings.Cut(ref, "@"); side {
		i, ok := n.linkIdx[link]
		if !ok || (n.Layout.Links[i].From != end && n.Layout.Links[i].To != end) {
			return NoNode, false
		}
		ref = end
	}
	id, ok := n.byName[ref]
	return id, ok
}

// ChassisRef says whether a reference is to chassis, and to which piece: ""
// is all pieces taken as bonded.
func ChassisRef(ref string) (piece string, ok bool) {
	if ref == "chassis" {
		return "", true
	}
	return strings.CutPrefix(ref, "chassis:")
}

// Tap is the node after group k of module m, counted from its negative end.
func (n *Net) Tap(m, k int) NodeID { return n.tap0[m] + NodeID(k) }

// ModuleAt gives the module and the group count below a node within it; ok is
// false for a named terminal.
func (n *Net) ModuleAt(id NodeID) (module, k int, ok bool) {
	m := n.moduleOf[id]
	if m < 0 {
		return -1, 0, false
	}
	return m, int(id - n.tap0[m]), true
}

// Module finds a module by id.
func (n *Net) Module(id string) (int, bool) { m, ok := n.moduleIdx[id]; return m, ok }

// Link finds a link by id, as an index into Layout.Links.
func (n *Net) Link(id string) (int, bool) { l, ok := n.linkIdx[id]; return l, ok }

// StringOf is the index of a module's string.
func (n *Net) StringOf(module int) int { return n.stringOf[module] }

// Position is where a tap lies: its string, and the groups below it there.
func (n *Net) Position(id NodeID) (str, groups int, ok bool) {
	m, k, ok := n.ModuleAt(id)
	if !ok {
		return -1, 0, false
	}
	s := n.stringOf[m]
	i := n.placeIn[m]
	if n.Strings[s].Flipped[i] {
		k = n.Layout.Modules[m].Series - k
	}
	return s, n.Strings[s].Offset[i] + k, true
}

// TapAt is the tap of a string with that many groups below it; at the joint of
// two modules it is the lower module's positive terminal.
func (n *Net) TapAt(str, groups int) NodeID {
	s := n.Strings[str]
	i := sort.Search(len(s.Modules), func(i int) bool {
		return s.Offset[i]+n.Layout.Modules[s.Modules[i]].Series >= groups
	})
	if i == len(s.Modules) {
		i--
	}
	m := s.Modules[i]
	k := groups - s.Offset[i]
	if s.Flipped[i] {
		k = n.Layout.Modules[m].Series - k
	}
	return n.Tap(m, max(0, min(k, n.Layout.Modules[m].Series)))
}

// TapAbove is TapAt, but at the joint of two modules the upper module's
// negative terminal.
func (n *Net) TapAbove(str, groups int) NodeID {
	s := n.Strings[str]
	for i, m := range s.Modules {
		if s.Offset[i] == groups {
			k := 0
			if s.Flipped[i] {
				k = n.Layout.Modules[m].Series
			}
			return n.Tap(m, k)
		}
	}
	return n.TapAt(str, groups)
}
