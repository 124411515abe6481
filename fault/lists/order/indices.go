package order

import (
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// Indices are a monitor's indices of every module's first and last group, counted from
// the module's own negative end, by an order of the layout's groups; first is the index
// that the monitor begins with. torn are the modules whose groups do not follow each
// other in it: those have none.
func (m Map) Indices(l topology.Layout, first int) (indices map[string][2]int, torn []string) {
	net, _ := topology.Compile(l)
	v := look(&fault.Case{Layout: l}, net)
	if len(m.To) != v.groups {
		return nil, nil
	}
	index := make([]int, len(m.To))
	for i, place := range m.To {
		index[place] = first + i
	}
	indices = map[string][2]int{}
	for k, mod := range l.Modules {
		lo, hi := v.of(k)
		mine := slices.Clone(index[lo:hi])
		if v.flipped(k) {
			slices.Reverse(mine)
		}
		if !follows(mine) {
			torn = append(torn, mod.ID)
			continue
		}
		indices[mod.ID] = [2]int{mine[0], mine[len(mine)-1]}
	}
	return indices, torn
}

// follows says that numbers count up or down by one.
func follows(n []int) bool {
	for i := 1; i < len(n); i++ {
		if d := n[i] - n[i-1]; d*d != 1 || d != n[1]-n[0] {
			return false
		}
	}
	return len(n) > 0
}
