package topology

import (
	"slices"
	"strings"
)

// parts reports parts over what is not there, and parts that lie over each
// other, of which none could come off first.
func (in *inspector) parts() {
	known := in.known()
	over := map[string][]string{}
	for _, p := range in.Layout.Parts {
		for _, id := range p.Over {
			if !known[id] {
				in.add(UnknownID, p.ID, "Part %s lies over %s, which is not in this layout.", p.ID, id)
			}
		}
		over[p.ID] = append(over[p.ID], p.Over...)
	}
	const (
		open = 1 + iota // being looked at: to meet it again closes a ring
		done
	)
	state := map[string]int{}
	type visit struct {
		id   string
		next int
	}
	for _, p := range slices.SortedFunc(slices.Values(in.Layout.Parts), func(a, b Part) int { return strings.Compare(a.ID, b.ID) }) {
		if state[p.ID] != 0 {
			continue
		}
		state[p.ID] = open
		for path := []visit{{id: p.ID}}; len(path) > 0; {
			top := &path[len(path)-1]
			if top.next == len(over[top.id]) {
				state[top.id] = done
				path = path[:len(path)-1]
				continue
			}
			id := over[top.id][top.next]
			top.next++
			switch {
			case state[id] == open:
				from := slices.IndexFunc(path, func(v visit) bool { return v.id == id })
				var ring []string
				for _, v := range path[from:] {
					ring = append(ring, v.id)
				}
				in.ring(ring)
			case state[id] == 0 && over[id] != nil:
				state[id] = open
				path = append(path, visit{id: id})
			}
		}
	}
}

func (in *inspector) ring(ids []string) {
	if len(ids) == 1 {
		in.add(CoverCycle, ids[0], "Part %s lies over itself.", ids[0])
		return
	}
	slices.Sort(ids)
	in.add(CoverCycle, ids[0], "Parts %s lie over each other, so that none can come off first.", list(ids))
}

// known is every id of the layout.
func (in *inspector) known() map[string]bool {
	l, known := in.Layout, map[string]bool{}
	for _, x := range l.Stacks {
		known[x.ID] = true
	}
	for _, x := range l.Modules {
		known[x.ID] = true
	}
	for _, x := range l.Links {
		known[x.ID] = true
	}
	for _, x := range l.Boards {
		known[x.ID] = true
	}
	for _, x := range l.Chassis {
		known[x.ID] = true
	}
	for _, x := range l.Bonds {
		known[x.ID] = true
	}
	for _, x := range l.Parts {
		known[x.ID] = true
	}
	return known
}
