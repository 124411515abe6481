package topology

import "math"

// A Section is a part of the string or strings joined through cells and closed
// links, chassis left out.
type Section struct {
	From, To NodeID // most negative and most positive node, by group count
	String   int    // the string that From lies in
	Strings  []int  // every string that has a module here
	Modules  []int  // in order of declaration
	Groups   []int  // indexes into Net.Groups
	Nodes    []NodeID
	Whole    bool // holds every module of every one of its strings
	Looped   bool // strings tied at both ends
}

// Joined is a Net in one Setting: which nodes are one conductor, and which
// sections there are.
type Joined struct {
	Net      *Net
	Setting  Setting
	Sections []Section
	class    []int // by node: smallest node id of the conductor
	section  []int // by node: index into Sections, -1 = in no section
}

// In gives the sections of a setting, in order of their first node.
func (n *Net) In(s Setting) *Joined {
	open, removed := set(s.Open), set(s.Removed)
	c := n.classesOf(open, removed, s.ContactorsClosed)
	j := &Joined{Net: n, Setting: s, class: make([]int, n.Len()), section: make([]int, n.Len())}
	part := newClasses(n.Len())
	live := make([]bool, len(n.Groups))
	loops := map[int]bool{}
	for i := range j.class {
		j.class[i] = c.find(i)
	}
	for g, grp := range n.Groups {
		if removed[n.Layout.Modules[grp.Module].ID] {
			continue
		}
		live[g] = true
		a, b := part.find(j.class[grp.Lo]), part.find(j.class[grp.Hi])
		loop := loops[a] || loops[b] || a == b
		part.union(a, b)
		if loop {
			loops[part.find(a)] = true
		}
	}
	j.number(part, live)
	unit, phi := make([]float64, len(n.Groups)), make([]float64, n.Len())
	for i := range unit {
		unit[i] = 1
	}
	for i := range j.Sections {
		j.Sections[i].Looped = loops[part.find(j.class[j.Sections[i].Nodes[0]])]
		j.describe(&j.Sections[i], unit, phi)
	}
	return j
}

func set(ids []string) map[string]bool {
	m := make(map[string]bool, len(ids))
	for _, id := range ids {
		m[id] = true
	}
	return m
}

// number gives every part with a group its section.
func (j *Joined) number(part *classes, live []bool) {
	n := j.Net
	index := map[int]int{}
	for g, ok := range live {
		if !ok {
			continue
		}
		root := part.find(j.class[n.Groups[g].Lo])
		s, seen := index[root]
		if !seen {
			s = len(j.Sections)
			index[root] = s
			j.Sections = append(j.Sections, Section{From: NoNode, To: NoNode})
		}
		sec := &j.Sections[s]
		sec.Groups = append(sec.Groups, g)
		if m := n.Groups[g].Module; len(sec.Modules) == 0 || sec.Modules[len(sec.Modules)-1] != m {
			sec.Modules = append(sec.Modules, m)
		}
	}
	removed := set(j.Setting.Removed)
	for i := range j.section {
		j.section[i] = -1
		if m := n.moduleOf[i]; m >= 0 && removed[n.Layout.Modules[m].ID] {
			continue
		}
		if s, ok := index[part.find(j.class[i])]; ok {
			j.section[i] = s
			j.Sections[s].Nodes = append(j.Sections[s].Nodes, NodeID(i))
		}
	}
}

// describe finds a section's ends by counting every group as one volt, and the
// strings that it holds. Of the terminals that share the lowest or highest
// conductor the one whose name sorts first is the end, so that the order of
// declaration does not matter. phi is room to work in.
func (j *Joined) describe(sec *Section, unit, phi []float64) {
	n := j.Net
	j.fill(phi, sec, unit)
	from, to := NoNode, NoNode
	for _, id := range sec.Nodes {
		if m := n.moduleOf[id]; m < 0 || n.Layout.Modules[m].Series == 0 {
			continue
		}
		if from == NoNode || n.before(id, from, phi[id]-phi[from]) {
			from = id
		}
		if to == NoNode || n.before(id, to, phi[to]-phi[id]) {
			to = id
		}
	}
	sec.From, sec.To = from, to
	sec.String = n.stringOf[n.moduleOf[from]]
	seen, need := map[int]bool{}, 0
	for _, m := range sec.Modules {
		if s := n.stringOf[m]; !seen[s] {
			seen[s] = true
			sec.Strings = append(sec.Strings, s)
			need += n.Strings[s].filled
		}
	}
	sec.Whole = need == len(sec.Modules)
}

// before says whether a comes before b: by a difference of potential or, where
// that is none, by name.
func (n *Net) before(a, b NodeID, difference float64) bool {
	if math.Abs(difference) > 1e-9 {
		return difference < 0
	}
	return n.names[a] < n.names[b]
}

// SectionOf is the index of a node's section, -1 where it is in none.
func (j *Joined) SectionOf(id NodeID) int { return j.section[id] }

// Conductor is the smallest node of the conductor that a node belongs to; two
// nodes with the same conductor have one potential.
func (j *Joined) Conductor(id NodeID) NodeID { return NodeID(j.class[id]) }
