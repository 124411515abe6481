package locate

import (
	"context"
	"math"

	"gonum.org/v1/gonum/floats"

	"halfsplit/fault"
)

// How unevenly a wet run leaks.
const (
	spreadScatter = 1.0 // standard deviation of ln(conductance per group) between pieces
	spreadLeast   = 3.0 // standard deviations that a piece may leak less than its part of the least leak
	spreadUneven  = 0.5 // part of a uniform run's own spread that its middle may move by
)

// A spreadRun is liquid or dirt over a run of modules of one string: every
// section that it reaches leaks with its own size, about the middle of what is
// wet there.
type spreadRun struct {
	str, from, to int // modules of the string, both included
	log           float64
	pieces        []*source
	parts         []float64 // of the run's taps that each piece has
	cells         []int     // that they are in
	peak          peak
}

// maxRuns bounds how many runs are weighed; in longer strings runs begin and end
// at every second, third … module.
const maxRuns = 4000

// climbSpreads finds the peak of every run of at least two modules of every
// string. Each piece, one a cell of candidates, has a log conductance scattered about
// its part of the run's, which is log-uniform like a leak's.
func (po *posterior) climbSpreads(ctx context.Context) {
	wet := po.wetParts()
	for s, str := range po.m.d.net.Strings {
		stride := 1
		for n := len(str.Modules); (n/stride)*(n/stride)/2 > maxRuns; {
			stride++
		}
		for i := 0; i < len(str.Modules); i += stride {
			sum := &runSum{}
			for j := i; j < len(str.Modules); j++ {
				sum.add(wet[str.Modules[j]])
				if j == i || (j+1-i)%stride != 0 {
					continue
				}
				if n := len(sum.parts); n > 0 && n <= maxSources-len(po.stand) {
					po.runs = append(po.runs, sum.run(s, i, j))
				}
			}
		}
	}
	po.lp.run = math.Log(po.m.d.prior[fault.Spread] / float64(max(1, len(po.runs))))
	po.each(ctx, len(po.runs), func(f *fit, i int) {
		r := &po.runs[i]
		p := make([]float64, 0, len(r.pieces)+1)
		for _, src := range r.pieces {
			x, _ := po.start(&candidate{source: *src})
			p = append(p, x)
		}
		f.level(r.parts, spreadScatter)
		r.peak = po.climb(f, po.from(p...), r.pieces...)
		f.level(nil, 1)
	})
	if ctx.Err() != nil {
		return
	}
	for i := range po.runs {
		po.note(po.runs[i].peak.chi2, len(po.runs[i].pieces))
	}
}

// runLog is ln(prior × marginal likelihood) of a run: the pieces' middles are
// integrated in closed form like a leak's own potential. Of the product of the
// pieces' normal densities N(xᵢ; level + ln partᵢ, τ²), integrated over the
// level, there remains (2πτ²)^(−(m−1)/2)·m^(−½)·exp(−½Σ(dev/τ)²), and what the
// level's bounds leave of it (see addWindow).
func (po *posterior) runLog(f *fit, r *spreadRun, best float64) float64 {
	f.src = po.sources(r.pieces...)
	f.level(r.parts, spreadScatter)
	defer f.level(nil, 1)
	m := float64(len(r.pieces))
	norm := -lnX - po.widths() - (m-1)/2*math.Log(2*math.Pi*spreadScatter*spreadScatter) - 0.5*math.Log(m)
	lp := po.lp.run + norm
	return lp + f.logIntegral(clone(r.peak.p), allFree[:len(r.peak.p)], best-pruneNats-lp)
}

// A wetPart is what one cell has of a module's taps: their weight, and the
// weighted sums of their potentials in every slot. A run's pieces are sums of
// these.
type wetPart struct {
	cell int
	w    float64
	u    []float64 // Σ w·u by slot; NaN where the cell is not in it
	uu   []float64 // Σ w·u²
}

// wetParts gives every module's parts, in order of cell.
func (po *posterior) wetParts() [][]wetPart {
	d := po.m.d
	out := make([][]wetPart, len(d.net.Layout.Modules))
	for _, c := range po.cands {
		if c.unseen || !c.tap() {
			continue
		}
		for i, id := range c.nodes {
			if m, _, ok := d.net.ModuleAt(id); ok {
				p := wetPart{cell: c.cell, w: c.weight[i], u: make([]float64, len(c.u)), uu: make([]float64, len(c.u))}
				for s, u := range c.u {
					p.u[s], p.uu[s] = p.w*u, p.w*u*u
				}
				out[m] = mergePart(out[m], p)
			}
		}
	}
	return out
}

func mergePart(list []wetPart, p wetPart) []wetPart {
	for k := range list {
		if have := &list[k]; have.cell == p.cell {
			have.w += p.w
			for s := range p.u {
				have.u[s] += p.u[s]
				have.uu[s] += p.uu[s]
			}
			return list
		}
	}
	p.u, p.uu = clone(p.u), clone(p.uu)
	return append(list, p)
}

// runSum adds modules up to a run.
type runSum struct{ parts []wetPart }

func (r *runSum) add(parts []wetPart) {
	for _, p := range parts {
		r.parts = mergePart(r.parts, p)
	}
}

// run turns the sums into sources: each at the middle of its wet part, free to
// move by a part of that part's own spread.
func (r *runSum) run(str, from, to int) spreadRun {
	out := spreadRun{str: str, from: from, to: to, log: math.Inf(-1)}
	for _, p := range r.parts {
		src := &source{u: make([]float64, len(p.u))}
		for s := range p.u {
			src.u[s] = p.u[s] / p.w
			if u := src.u[s]; u == u && src.sd == 0 {
				src.sd = math.Sqrt(math.Max(0, p.uu[s]/p.w-u*u))*spreadUneven + pathSD*nominalCell
			}
		}
		out.pieces, out.parts, out.cells = append(out.pieces, src), append(out.parts, p.w), append(out.cells, p.cell)
	}
	floats.Scale(1/floats.Sum(out.parts), out.parts)
	for i, src := range out.pieces {
		if len(out.pieces) > 1 {
			src.xLo, src.xHi = xLow+math.Log(out.parts[i])-spreadLeast*spreadScatter, xHigh
		}
	}
	return out
}
