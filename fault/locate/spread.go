package locate

import (
	"context"
	"math"

	"halfsplit/fault"
)

// How unevenly a wet run leaks.
const (
	spreadScatter = 0.6 // standard deviation of ln(conductance per group) between pieces
	spreadUneven  = 0.5 // part of a uniform run's own spread that its middle may move by
)

// A spreadRun is liquid or dirt over a run of modules of one string: every
// section that it reaches leaks with its own size, about the middle of what is
// wet there.
type spreadRun struct {
	str, from, to int // modules of the string, both included
	log           float64
	pieces        []*source
	lens          []float64 // taps of each piece
	peak          peak
}

// climbSpreads finds the peak of every run of at least two modules of every
// string. Each piece, one a cell of candidates, has a log conductance scattered
// about a common conductance per group, which is log-uniform like a leak's.
func (po *posterior) climbSpreads(ctx context.Context) {
	for s, str := range po.m.d.net.Strings {
		for i := range str.Modules {
			for j := i + 1; j < len(str.Modules); j++ {
				r := spreadRun{str: s, from: i, to: j, log: math.Inf(-1)}
				r.pieces, r.lens = po.pieces(s, i, j)
				if n := len(r.pieces); n > 0 && n <= maxSources {
					po.runs = append(po.runs, r)
				}
			}
		}
	}
	po.lp.run = math.Log(prior(fault.Spread) / float64(max(1, len(po.runs))))
	f := newFit(po.m)
	for i := range po.runs {
		if ctx.Err() != nil {
			return
		}
		r := &po.runs[i]
		p := make([]float64, 0, len(r.pieces)+1)
		for _, src := range r.pieces {
			x, _ := po.start(&candidate{source: *src})
			p = append(p, x)
		}
		f.level(r.lens, spreadScatter)
		r.peak = po.climb(f, append(p, startBackground), r.pieces...)
	}
}

// runLog is ln(prior × marginal likelihood) of a run: the pieces' middles are
// integrated in closed form like a leak's own potential. Of the product of the
// pieces' normal densities N(xᵢ; level + ln lenᵢ, τ²), integrated over the
// level, there remains (2πτ²)^(−(m−1)/2)·m^(−½)·exp(−½Σ(dev/τ)²).
func (po *posterior) runLog(f *fit, r *spreadRun, best float64) float64 {
	f.src = r.pieces
	f.level(r.lens, spreadScatter)
	defer f.level(nil, 1)
	m := float64(len(r.pieces))
	norm := -lnX - lnB - (m-1)/2*math.Log(2*math.Pi*spreadScatter*spreadScatter) - 0.5*math.Log(m)
	lp := po.lp.run + norm
	return lp + f.logIntegral(clone(r.peak.p), allFree[:len(r.peak.p)], best-pruneNats-lp)
}

// pieces cuts a run where the cells of the candidates do: a source a cell, at
// the middle of its wet part, with the groups that it has.
func (po *posterior) pieces(str, from, to int) (out []*source, lens []float64) {
	d := po.m.d
	inRun := map[int]bool{}
	for i := from; i <= to; i++ {
		inRun[d.net.Strings[str].Modules[i]] = true
	}
	byCell := map[int]int{}
	sumU, sumW, sumUU := [][]float64{}, []float64{}, []float64{}
	for _, c := range po.cands {
		if c.unseen {
			continue
		}
		w := 0.0
		for i, id := range c.nodes {
			if m, _, ok := d.net.ModuleAt(id); ok && inRun[m] {
				w += c.weight[i]
			}
		}
		if w == 0 {
			continue
		}
		k, ok := byCell[c.cell]
		if !ok {
			k = len(sumU)
			byCell[c.cell] = k
			sumU, sumW, sumUU = append(sumU, make([]float64, len(d.slots))), append(sumW, 0), append(sumUU, 0)
		}
		sumW[k] += w
		first := true
		for s, u := range c.u {
			sumU[k][s] += w * u // NaN where the cell is not in the slot
			if first && u == u {
				sumUU[k] += w * u * u
				first = false
			}
		}
	}
	for k, w := range sumW {
		src := &source{u: sumU[k]}
		first := true
		for s := range src.u {
			src.u[s] /= w
			if u := src.u[s]; first && u == u {
				src.sd = math.Sqrt(math.Max(0, sumUU[k]/w-u*u))*spreadUneven + pathSD*nominalCell
				first = false
			}
		}
		out, lens = append(out, src), append(lens, w)
	}
	return out, lens
}
