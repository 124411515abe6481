package edit

import "halfsplit/topology"

// A Step is where a module comes along its string.
type Step struct {
	String     string // the string's id, that of its most negative module
	Number, Of int    // from 1 at the negative end, of how many
}

// Path numbers the modules along their strings while they are being joined. A module
// that no link is at has no number and is not in it.
func Path(l topology.Layout) map[string]Step {
	net, _ := topology.Compile(l)
	return PathOf(net)
}

// PathOf is Path of a layout that is compiled already.
func PathOf(n *topology.Net) map[string]Step {
	joined := make([]bool, len(n.Layout.Modules))
	for _, b := range n.Links {
		if b.A == b.B {
			continue
		}
		for _, end := range []topology.NodeID{b.A, b.B} {
			if m, _, ok := n.ModuleAt(end); ok {
				joined[m] = true
			}
		}
	}
	steps := make(map[string]Step, len(joined))
	for _, s := range n.Strings {
		for i, m := range s.Modules {
			if joined[m] {
				steps[n.Layout.Modules[m].ID] = Step{s.ID, i + 1, len(s.Modules)}
			}
		}
	}
	return steps
}
