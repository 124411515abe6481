package locate

import (
	"context"
	"math"
	"runtime"
	"sync"
)

// start guesses a candidate's log conductance from the smallest section that
// knows its own, and names that section's slot; -1 where none does.
func (po *posterior) start(c *candidate) (x float64, s int) {
	s = -1
	for i, n := range po.numbers {
		if math.IsNaN(c.u[i]) || !n.ok {
			continue
		}
		if s < 0 || po.m.d.slots[i].share < po.m.d.slots[s].share {
			s = i
		}
	}
	if s < 0 {
		return -math.Log(1e6), s
	}
	return clampX(math.Log(po.numbers[s].g)), s
}

// sources are an explanation's own leaks and what stands beside them.
func (po *posterior) sources(own ...*source) []*source { return append(own, po.stand...) }

// from completes a starting point with what stands beside, and the background.
func (po *posterior) from(own ...float64) []float64 {
	for _, s := range po.stand {
		own = append(own, (s.xLo+s.xHi)/2)
	}
	return append(own, startBackground)
}

// widths is the log of the prior widths of what stands beside and of the
// background.
func (po *posterior) widths() float64 {
	w := lnB
	for _, s := range po.stand {
		w += math.Log(s.xHi - s.xLo)
	}
	return w
}

// free lets every size of an explanation with that many leaks of its own vary.
func (po *posterior) free(own int) []bool { return allFree[:own+len(po.stand)+1] }

func clampX(x float64) float64 {
	if math.IsNaN(x) {
		x = xLow
	}
	return math.Max(xLow+0.05, math.Min(xHigh-0.05, x))
}

// startPair maps a section's two numbers to two sizes: for fixed taps that is
// linear, G₁ + G₂ = G and G₁u₁ + G₂u₂ = G·u.
func (po *posterior) startPair(a, b *candidate) (float64, float64) {
	xa, sa := po.start(a)
	xb, sb := po.start(b)
	if sa >= 0 && sa == sb {
		if ua, ub := a.u[sa], b.u[sa]; ua != ub {
			return po.shared(sa, ua, ub)
		}
	}
	return xa, xb
}

// shared splits a section's conductance over two potentials.
func (po *posterior) shared(s int, ua, ub float64) (xa, xb float64) {
	g, u := po.numbers[s].g, po.numbers[s].u
	share := math.Max(0, math.Min(1, (u-ua)/(ub-ua)))
	return clampX(math.Log(g * (1 - share))), clampX(math.Log(g * share))
}

// startApart is startPair for two leaks that some state sets apart, the best of
// what can be thought of. Where each section's own size is only a bound, the two
// say nothing of the ratio, and on its plateaus no climb finds it: the section that
// held both then gives the ratio, and one of the two, or the sum, the level.
func (po *posterior) startApart(f *fit, a, b *candidate) (xa, xb float64) {
	xa, xb = po.startPair(a, b)
	best := po.tryStart(f, xa, xb)
	take := func(x, y float64) {
		x, y = clampX(x), clampX(y)
		if psi := po.tryStart(f, x, y); psi > best {
			best, xa, xb = psi, x, y
		}
	}
	own, other := xa, xb
	for s, n := range po.numbers {
		ua, ub := a.u[s], b.u[s]
		if !n.ok || ua != ua || ub != ub || ua == ub {
			continue
		}
		x, y := po.shared(s, ua, ub)
		take(x, y)
		take(own, own+y-x)
		take(other+x-y, other)
	}
	return xa, xb
}

func (po *posterior) tryStart(f *fit, xa, xb float64) float64 { return f.at(po.from(xa, xb)) }

// measured is a candidate at the potential that the smallest section that knows its
// own numbers gives; ok is false where none that has it does.
func (po *posterior) measured(c *candidate) (at *candidate, ok bool) {
	_, s := po.start(c)
	if s < 0 || (po.numbers[s].relSD > loose && len(po.numbers) > 1) {
		return c, false
	}
	moved := *c
	moved.u = clone(c.u)
	for i := range moved.u {
		moved.u[i] += po.numbers[s].u - c.u[s]
	}
	return &moved, true
}

// loose is the relative spread of a conductance beyond which it is hardly known.
const loose = 0.3

// climbSingles finds the peaks of "none" and of "one" at every candidate.
func (po *posterior) climbSingles(ctx context.Context) {
	po.nonePeak = po.climb(newFit(po.m), po.from())
	po.note(po.nonePeak.chi2, 0)
	po.onePeak = make([]peak, len(po.cands))
	po.each(ctx, len(po.cands), func(f *fit, i int) {
		c := po.cands[i]
		if c.unseen || c.beside {
			po.onePeak[i] = po.nonePeak
			return
		}
		x, _ := po.start(c)
		po.onePeak[i] = po.climb(f, po.from(x), &c.source)
	})
	if ctx.Err() != nil {
		return
	}
	for i, c := range po.cands {
		if !c.unseen && !c.beside {
			po.note(po.onePeak[i].chi2, 1)
		}
	}
}

// climb takes one hypothesis to its peak.
func (po *posterior) climb(f *fit, p []float64, src ...*source) peak {
	f.src = po.sources(src...)
	psi := f.climb(p, allFree[:len(p)])
	return peak{psi, f.chi2, p}
}

// note keeps the best χ² for the degrees of freedom that an explanation leaves: the
// readings less a size a leak and the background. A place is not counted, since its
// own potential is a residual too.
func (po *posterior) note(chi2 float64, leaks int) {
	dof := max(1, po.m.dof()-leaks-1)
	if total := chi2 + po.m.fixed; po.dof == 0 || total/chiLimit(dof) < po.chi2/chiLimit(po.dof) {
		po.chi2, po.dof = total, dof
	}
}

// climbPairs finds the peak of every pair.
func (po *posterior) climbPairs(ctx context.Context) {
	po.tables(ctx)
	bound := po.bound(ctx)
	po.twoPeaks = make([]peakRow, len(po.thin))
	least := make([]float64, len(po.thin))
	po.rows(ctx, func(f *fit, a int) { po.twoPeaks[a], least[a] = po.climbRow(ctx, f, a, bound) })
	if ctx.Err() == nil {
		for _, chi2 := range least {
			po.note(chi2, 2)
		}
	}
}

func (po *posterior) climbRow(ctx context.Context, f *fit, a int, bound pairBound) (peakRow, float64) {
	first, rest := po.cands[po.thin[a]], po.thin[a+1:]
	row := peakRow{psi: make([]float64, len(rest))}
	least := math.Inf(1)
	f.src = po.sources(po.pairSource(po.thin[a]), nil)
	dims := 3 + len(po.stand)
	var room []float64
	for k, j := range rest {
		row.psi[k] = math.Inf(-1)
		if first.unseen || po.cands[j].unseen || first.beside {
			continue
		}
		if t := po.within(po.thin[a], j); t != nil {
			row.psi[k] = t.top
			continue
		}
		f.src[1] = po.pairSource(j)
		if bound.hopeless(po, po.thin[a], j) || ctx.Err() != nil {
			continue
		}
		if row.at == nil {
			row.at = make([][]float64, len(rest))
		}
		if len(room) == 0 {
			room = make([]float64, 32*dims)
		}
		row.at[k], room = room[:dims:dims], room[dims:]
		xa, xb := po.startApart(f, first, po.cands[j])
		copy(row.at[k], po.from(xa, xb))
		row.psi[k] = f.climb(row.at[k], allFree[:dims])
		least = math.Min(least, f.chi2)
	}
	return row, least
}

// within is the table of the part that holds both of a pair; nil where they lie
// in two.
func (po *posterior) within(i, j int) *partTable {
	a, b := po.cands[i], po.cands[j]
	if a.cell != b.cell || !a.tap() || !b.tap() || a.beside || b.beside {
		return nil
	}
	return po.part[a.cell]
}

// rows is each for the candidates that pairs are drawn from.
func (po *posterior) rows(ctx context.Context, do func(f *fit, i int)) {
	po.each(ctx, len(po.thin), do)
}

// each runs do so many times, each core with a fit of its own. Every one keeps its own
// order of work, so the result does not depend on the cores.
func (po *posterior) each(ctx context.Context, n int, do func(f *fit, i int)) {
	var wg sync.WaitGroup
	next := make(chan int)
	for w := 0; w < runtime.GOMAXPROCS(0); w++ {
		wg.Add(1)
		go func() {
			defer wg.Done()
			f := newFit(po.m)
			for i := range next {
				if ctx.Err() == nil {
					do(f, i)
				}
			}
		}()
	}
	for a := range n {
		next <- a
	}
	close(next)
	wg.Wait()
}

// climbAll finds every peak.
func (po *posterior) climbAll(ctx context.Context, pairs bool) {
	po.climbSingles(ctx)
	po.climbSpreads(ctx)
	if pairs {
		po.climbPairs(ctx)
	}
}
