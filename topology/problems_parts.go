package topology

import (
	"slices"
	"strings"
)

// parts reports parts over what is not there, or that hold it, and parts that lie
// over or hold each other, of which none could come off first: what is held comes
// off after what holds it, as what is covered does after its cover.
func (in *inspector) parts() {
	known := in.known()
	over := map[string][]string{} // what has to wait for a part
	for _, p := range in.Layout.Parts {
		for _, id := range p.Over {
			if !known[id] {
				in.add(UnknownID, p.ID, "Part %s lies over %s, which is not in this layout.", p.ID, id)
			}
		}
		for _, id := range p.Holds {
			if !known[id] {
				in.add(UnknownID, p.ID, "Part %s holds %s, which is not in this layout.", p.ID, id)
			}
		}
		over[p.ID] = append(append(over[p.ID], p.Over...), p.Holds...)
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

// ring reports parts of which each has to wait for the next, the last for the first.
func (in *inspector) ring(ids []string) {
	how := in.how(ids)
	if len(ids) == 1 {
		in.add(CoverCycle, ids[0], "Part %s %s itself.", ids[0], map[string]string{
			"lie over": "lies over", "hold": "holds", "lie over or hold": "lies over and holds"}[how])
		return
	}
	slices.Sort(ids)
	in.add(CoverCycle, ids[0], "Parts %s %s each other, so that none can come off first.", list(ids), how)
}

// how says what joins a ring: that each part lies over the next, holds it, or both.
func (in *inspector) how(ring []string) string {
	lies, holds := false, false
	for _, p := range in.Layout.Parts {
		at := slices.Index(ring, p.ID)
		if at < 0 {
			continue
		}
		next := ring[(at+1)%len(ring)]
		lies = lies || slices.Contains(p.Over, next)
		holds = holds || slices.Contains(p.Holds, next)
	}
	switch {
	case lies && holds:
		return "lie over or hold"
	case holds:
		return "hold"
	}
	return "lie over"
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
