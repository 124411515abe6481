package locate

import (
	"context"
	"math"

	"halfsplit/fault"
)

// Most pairs of leaks in two parts of the pack are hopeless, and it need not be
// worked out how hopeless. Let one leak of a pair sit anywhere: what the readings
// then leave unexplained is the least that any pair with the other leak leaves,
//
//	χ²(i, j) ≥ min over u of χ²(i, u)
//
// and since the determinants of ψ only take away, ψ(i, j) ≤ −½·χ²(i, j). A pair
// whose bound lies too far below what another explanation reaches has no share,
// and is not climbed. The bound is exact: no pair that could matter is left out.
type pairBound struct {
	chi   map[[2]int]float64 // candidate, cell of the other leak -> least χ²
	floor float64            // what ψ + ln prior must reach to matter
}

// boundNats is how far above its best ψ an explanation's integral may lie: the
// widths of what is integrated, in nats.
const boundNats = 8.0

// bound works out the least χ² for every candidate with a free leak in every
// other cell.
func (po *posterior) bound(ctx context.Context) pairBound {
	b := pairBound{chi: map[[2]int]float64{}, floor: po.reached() - pruneNats - boundNats}
	refs := map[int]*candidate{}
	var cells []int
	for _, i := range po.thin {
		c := po.cands[i]
		if !c.unseen && refs[c.cell] == nil {
			refs[c.cell] = c
			cells = append(cells, c.cell)
		}
	}
	least := make([][]float64, len(po.thin))
	po.rows(ctx, func(f *fit, a int) { least[a] = po.leastWith(f, po.thin[a], cells, refs) })
	if ctx.Err() != nil {
		return b
	}
	for a, i := range po.thin {
		for k, cell := range cells {
			if v := least[a][k]; v == v {
				b.chi[[2]int{i, cell}] = v
			}
		}
	}
	b.floor = math.Max(b.floor, po.bestOf(b, cells)-pruneNats-boundNats)
	return b
}

// bestOf climbs, for every two cells, the pair of the candidates that each do
// best with a free leak in the other, and returns the best ψ + ln prior: something
// for the other pairs to be measured by.
func (po *posterior) bestOf(b pairBound, cells []int) float64 {
	f, best := newFit(po.m), math.Inf(-1)
	top := func(in, with int) int {
		at, least := -1, math.Inf(1)
		for _, i := range po.thin {
			if v, ok := b.chi[[2]int{i, with}]; ok && po.cands[i].cell == in && v < least {
				at, least = i, v
			}
		}
		return at
	}
	for n, x := range cells {
		for _, y := range cells[n+1:] {
			i, j := top(x, y), top(y, x)
			if i < 0 || j < 0 {
				continue
			}
			i, j = min(i, j), max(i, j)
			f.src = po.sources(po.pairSource(i), po.pairSource(j))
			xa, xb := po.startApart(f, po.cands[i], po.cands[j])
			p := po.from(xa, xb)
			best = math.Max(best, f.climb(p, po.free(2))+po.lp.two(i, j))
		}
	}
	return best
}

// leastWith is the least χ² of one candidate with a free leak in each of some
// cells; NaN for its own and where it was not read.
func (po *posterior) leastWith(f *fit, i int, cells []int, refs map[int]*candidate) []float64 {
	c := po.cands[i]
	f.profile = true // an integral over a free place would reward a leak that nothing sees
	defer func() { f.profile = false }()
	out := make([]float64, len(cells))
	for k, cell := range cells {
		out[k] = math.NaN()
		if c.unseen || cell == c.cell {
			continue
		}
		out[k] = po.leastOf(f, i, refs[cell])
	}
	return out
}

// leastOf is the least χ² of a candidate with a free leak in a cell, by climbs from
// several ratios of the two where no section gives one: on the plateaus between
// them no climb moves.
func (po *posterior) leastOf(f *fit, i int, ref *candidate) float64 {
	f.src = po.sources(po.pairSource(i), &source{u: ref.u, sd: math.Inf(1), times: ref.times})
	at, known := po.measured(ref)
	xa, xb := po.startApart(f, po.cands[i], at)
	least := math.Inf(1)
	for _, step := range [...]float64{0, -8, -4, 4, 8} {
		if step != 0 && known {
			break
		}
		p := po.from(xa, clampX(xb+step))
		f.climb(p, po.free(2))
		least = math.Min(least, f.chi2)
	}
	return least
}

// reached is the best ψ + ln prior of none, of a single leak, of a wet run.
func (po *posterior) reached() float64 {
	best := po.nonePeak.psi + math.Log(po.m.d.prior[fault.None])
	for i := range po.cands {
		if !po.cands[i].unseen && !po.cands[i].beside {
			best = math.Max(best, po.onePeak[i].psi+po.lp.one[i])
		}
	}
	for i := range po.runs {
		best = math.Max(best, po.runs[i].peak.psi+po.lp.run)
	}
	return best
}

// hopeless says that a pair cannot matter.
func (b pairBound) hopeless(po *posterior, i, j int) bool {
	x, okX := b.chi[[2]int{i, po.cands[j].cell}]
	y, okY := b.chi[[2]int{j, po.cands[i].cell}]
	least := 0.0
	if okX {
		least = x
	}
	if okY {
		least = math.Max(least, y)
	}
	return -least/2+po.lp.two(i, j) < b.floor
}
