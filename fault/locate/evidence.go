package locate

import (
	"math"

	"halfsplit/fault"
)

// evidenceOdds gives the log odds that recorded evidence adds to a leak at a
// candidate, under an explanation of one kind. Evidence may be about a module, a
// link, a board, or one tap; a joint shared by two modules takes the part that is
// the module's.
func (po *posterior) evidenceOdds(ev []fault.Evidence) func(cand int, kind string) float64 {
	byKind := map[string][]float64{}
	of := func(kind string) []float64 {
		if byKind[kind] == nil {
			byKind[kind] = make([]float64, len(po.cands))
		}
		return byKind[kind]
	}
	for _, e := range ev {
		if !(e.Odds > 0) || math.IsInf(e.Odds, 0) || e.With != "" {
			continue
		}
		out := of(e.Kind)
		for i, c := range po.cands {
			out[i] += po.m.d.aboutPart(c, e.Place) * math.Log(e.Odds)
		}
	}
	any := byKind[""]
	return func(cand int, kind string) float64 {
		sum := 0.0
		if any != nil {
			sum += any[cand]
		}
		if own := byKind[kind]; own != nil {
			sum += own[cand]
		}
		return sum
	}
}

// pairOdds is the log odds that evidence about two places together adds to a
// pair of candidates, the lower index first; nil where there is none.
func (po *posterior) pairOdds(ev []fault.Evidence) map[[2]int]float64 {
	var out map[[2]int]float64
	for _, e := range ev {
		if e.With == "" || !(e.Odds > 0) || math.IsInf(e.Odds, 0) {
			continue
		}
		for _, i := range po.thin {
			first := po.m.d.aboutPart(po.cands[i], e.Place)
			if first == 0 {
				continue
			}
			for _, j := range po.thin {
				if part := first * po.m.d.aboutPart(po.cands[j], e.With); i != j && part > 0 {
					if out == nil {
						out = map[[2]int]float64{}
					}
					out[[2]int{min(i, j), max(i, j)}] += part * math.Log(e.Odds)
				}
			}
		}
	}
	return out
}

// aboutPart is how much of a candidate a place's id speaks of, from 0 to 1.
func (d *data) aboutPart(c *candidate, id string) float64 {
	part := 0.0
	d.places(c, func(at int, p float64) {
		if d.things[at].id == id {
			part += p
		}
	})
	if node, ok := d.net.Node(id); ok && part == 0 && c.tap() {
		for _, n := range c.nodes {
			if n == node {
				return 1
			}
		}
	}
	return part
}
