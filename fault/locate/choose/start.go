package choose

import (
	"cmp"
	"slices"
	"strings"
)

// start is the belief that the question begins with, scaled to one: entries in the
// order of their labels, those of next to no weight left out.
func (p *planner) start() belief {
	most, sum := 0.0, 0.0
	for _, e := range p.q.Explanations {
		most = max(most, e.Weight)
	}
	for _, e := range p.q.Explanations {
		sum += max(e.Weight/most, 0) // of the most, so that no sum is too large
	}
	var kept []int
	for i, e := range p.q.Explanations {
		if e.Weight > 0 && e.Weight/most >= min(negligible*sum, 1) {
			kept = append(kept, i)
		}
	}
	slices.SortStableFunc(kept, func(i, j int) int {
		a, b := p.q.Explanations[i], p.q.Explanations[j]
		return cmp.Or(strings.Compare(a.Label, b.Label), cmp.Compare(b.Weight, a.Weight))
	})
	b := belief{}
	for n, i := range kept {
		e := p.q.Explanations[i]
		if len(p.names) == 0 || p.names[len(p.names)-1] != e.Label {
			p.names = append(p.names, e.Label)
		}
		p.label = append(p.label, int32(len(p.names)-1))
		p.orig = append(p.orig, i)
		b.who = append(b.who, int32(n))
		b.w = append(b.w, e.Weight/most)
		b.mass += e.Weight / most
	}
	for i := range b.w {
		b.w[i] /= b.mass
	}
	if b.mass > 0 {
		b.mass = 1
	}
	return b
}
