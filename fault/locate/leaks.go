package locate

import (
	"context"
	"math"
	"slices"
	"sort"

	"halfsplit/fault"
)

// A leading explanation: which cells leak, given at most one leak in each.
type leading struct {
	cells  []int
	spread *spreadRun // the wet run, where that leads instead
	share  float64    // among the explanations of its class
	post   float64    // among all
}

// whole says that the leaking section is a whole unbroken string.
func (l leading) whole(a *analysis) bool {
	cells := l.cells
	if l.spread != nil {
		cells = l.spread.cells
	}
	if len(cells) != 1 {
		return false
	}
	in, total := map[int]float64{}, map[int]float64{}
	for _, c := range a.po.cands {
		for i, id := range c.nodes { // none but a tap has nodes
			if s, _, ok := a.net.Position(id); ok {
				total[s] += c.weight[i]
				if c.cell == cells[0] {
					in[s] += c.weight[i]
				}
			}
		}
	}
	for s, v := range in {
		if v < total[s]-1e-9 {
			return false
		}
	}
	return len(in) > 0 // a board or a link by itself is no string
}

// lead finds the explanation with the largest share: one leaking cell, two
// leaking cells, or a wet run as a whole.
func (a *analysis) lead() leading {
	po := a.po
	one := map[int]float64{}
	two := map[[2]int]float64{}
	for i, c := range po.cands {
		one[c.cell] += po.share(po.one[i])
	}
	po.eachPair(func(i, j int, share float64) {
		if c, o := po.cands[i].cell, po.cands[j].cell; o != c {
			two[[2]int{min(c, o), max(c, o)}] += share
		}
	})
	class := 0.0
	best := leading{post: -1}
	for cell := 0; cell < len(po.cands); cell++ { // in order, so that ties fall the same way
		if v, ok := one[cell]; ok {
			class += v
			if v > best.post {
				best = leading{cells: []int{cell}, post: v}
			}
		}
	}
	var pairs [][2]int
	for k := range two {
		pairs = append(pairs, k)
	}
	sort.Slice(pairs, func(i, j int) bool {
		return pairs[i][0] < pairs[j][0] || (pairs[i][0] == pairs[j][0] && pairs[i][1] < pairs[j][1])
	})
	for _, k := range pairs {
		class += two[k]
		if two[k] > best.post {
			best = leading{cells: []int{k[0], k[1]}, post: two[k]}
		}
	}
	best.share = best.post / class
	wet, run := 0.0, -1
	for i := range po.runs {
		wet += po.share(po.runs[i].log)
		if run < 0 || po.runs[i].log > po.runs[run].log {
			run = i
		}
	}
	// In two sections a wet run and two leaks look alike, and one leak a section
	// is what a finding rests on; three leaking sections are no two leaks.
	if wet >= sure && (len(po.runs[run].pieces) != 2 || class < 1e-9) {
		best = leading{spread: &po.runs[run], post: wet, share: po.share(po.runs[run].log) / wet}
	}
	return best
}

// A resolved leak with what it was worked out from.
type resolved struct {
	leak  fault.Leak
	cell  int
	cand  *candidate
	slot  int // the smallest section that it was seen in
	fit   *fit
	p     []float64
	index int     // of its source in fit
	u     float64 // V above the slot's negative end, middle
	bgSD  float64 // V, spread of u from the background
}

// leaks describes every leaking cell of the leading explanation, in order of
// position. A wet run over a whole string reads as one equivalent leak there.
func (a *analysis) leaks(ctx context.Context, l leading) []resolved {
	cells := l.cells
	if l.spread != nil {
		if !l.whole(a) {
			return nil
		}
		cells = l.spread.cells
	}
	best := make([]*candidate, len(cells))
	for n, cell := range cells {
		best[n] = a.po.bestIn(cells, cell)
	}
	var out []resolved
	for n := range cells {
		if best[n] == nil || best[n].unseen || (!best[n].tap() && best[n].place < 0) {
			continue // in no part that was read, or an insulation monitor, which is no place
		}
		out = append(out, a.resolve(ctx, cells, best, n))
	}
	sort.SliceStable(out, func(i, j int) bool {
		if out[i].leak.String != out[j].leak.String {
			return out[i].leak.String < out[j].leak.String
		}
		return out[i].leak.Position.Mid < out[j].leak.Position.Mid
	})
	return out
}

// weights gives every candidate of a cell its posterior under "these cells
// leak, once each".
func (po *posterior) weights(cells []int, cell int) map[int]float64 {
	w := map[int]float64{}
	if len(cells) == 1 {
		for i, c := range po.cands {
			if c.cell == cell {
				w[i] = po.share(po.one[i])
			}
		}
		return w
	}
	po.eachPair(func(i, j int, share float64) {
		c, o := po.cands[i].cell, po.cands[j].cell
		if (c == cells[0] && o == cells[1]) || (c == cells[1] && o == cells[0]) {
			if c == cell {
				w[i] += share
			} else {
				w[j] += share
			}
		}
	})
	return w
}

func (po *posterior) bestIn(cells []int, cell int) *candidate {
	var best *candidate
	top := -1.0
	w := po.weights(cells, cell)
	for i, c := range po.cands {
		if v, ok := w[i]; ok && v > top {
			best, top = c, v
		}
	}
	return best
}

// resolve works out one leak's intervals with its place set free, the other
// leaks of the explanation at their best places.
func (a *analysis) resolve(ctx context.Context, cells []int, best []*candidate, n int) resolved {
	po := a.po
	r := resolved{cell: cells[n], cand: best[n], index: n, fit: newFit(po.m)}
	var p []float64
	for i, c := range best {
		src := &source{u: c.u, sd: c.sd, times: c.times}
		if i == n {
			src.sd = math.Inf(1)
		}
		r.fit.src = append(r.fit.src, src)
		x, s := po.start(c)
		p = append(p, x)
		if i == n {
			r.slot = s
		}
	}
	if r.slot < 0 {
		r.slot = a.smallestSlot(best[n])
	}
	r.fit.src = po.sources(r.fit.src...)
	r.p = po.from(p...)
	pts := r.fit.marginal(ctx, n, r.p)
	r.describe(a, cells, pts)
	return r
}

func (a *analysis) smallestSlot(c *candidate) int {
	best := -1
	for s, u := range c.u {
		if u == u && (best < 0 || a.d.slots[s].share < a.d.slots[best].share) {
			best = s
		}
	}
	return best
}

// marginal integrates the background on a grid and lays a line over parameter i
// at each of its nodes.
func (f *fit) marginal(ctx context.Context, i int, p []float64) []point {
	k := f.dims()
	free := make([]bool, k)
	for j := range free {
		free[j] = true
	}
	top := f.climb(p, free)
	mode := append([]float64(nil), p...)
	inner := append([]bool(nil), free...)
	inner[k-1] = false
	profile := func(t float64) float64 {
		copy(p, mode)
		p[k-1] = t
		return f.climb(p, inner)
	}
	width := 1.0
	if h := f.hess[k-1][k-1]; h > 0 {
		width = math.Min(1, 1/math.Sqrt(h))
	}
	lo := f.edge(profile, mode[k-1], bLow, -width, top)
	hi := f.edge(profile, mode[k-1], bHigh, width, top)
	var out []point
	half := func(from, to float64) {
		if to-from < 1e-9 {
			return
		}
		for _, nw := range gaussLegendre8 {
			if ctx.Err() != nil && len(out) > 0 {
				return // nobody waits for it any more
			}
			copy(p, mode)
			p[k-1] = from + (to-from)*(nw[0]+1)/2
			at := f.climb(p, inner)
			for _, pt := range f.line(i, p, inner, at, true) {
				pt.logW += math.Log(nw[1] * (to - from) / 2)
				out = append(out, pt)
			}
		}
	}
	half(lo, mode[k-1])
	half(mode[k-1], hi)
	copy(p, mode)
	f.at(p)
	return out
}

// describe fills the leak's fields from its marginal.
func (r *resolved) describe(a *analysis, cells []int, pts []point) {
	d := a.d
	sl := &d.slots[r.slot]
	at := r.cand.u[r.slot]
	probs := []float64{0.025, 0.5, 0.975}
	elec := mixtureQuantiles(pts, 0, probs)
	pos := mixtureQuantiles(pts, r.cand.sd, probs)
	r.u = at + elec[1]
	r.bgSD = meanSpread(pts)
	r.leak.Places = a.placesOf(a.po.weights(cells, r.cell))
	ru := a.rulerOf(r, sl)
	for i, q := range []*fault.Number{&r.leak.Electrical.Low, &r.leak.Electrical.Mid, &r.leak.Electrical.High} {
		*q = fault.Number(ru.groups(at + elec[i]))
	}
	for i, q := range []*fault.Number{&r.leak.Position.Low, &r.leak.Position.Mid, &r.leak.Position.High} {
		*q = fault.Number(ru.groups(at + pos[i]))
	}
	for i, q := range []*fault.Number{&r.leak.Volts.Low, &r.leak.Volts.Mid, &r.leak.Volts.High} {
		*q = fault.Number(ru.volts(at + pos[i]))
	}
	r.leak.String = a.net.Strings[ru.str].ID
	r.leak.Tap = ru.taps(r.leak.Position)
	r.leak.Ohms = ohmsOf(pts, leakLow, leakHigh)
	r.leak.Several = fault.Number(a.po.several(r.cell))
}

// meanSpread is the standard deviation of the points' means by weight: what the
// size and the background do to the place.
func meanSpread(pts []point) float64 {
	total := logSum(logsOf(pts), nil)
	m, v := 0.0, 0.0
	for _, pt := range pts {
		m += math.Exp(pt.logW-total) * pt.mean
	}
	for _, pt := range pts {
		v += math.Exp(pt.logW-total) * (pt.mean - m) * (pt.mean - m)
	}
	return math.Sqrt(v)
}

// several is P(more than one leak in a cell | it leaks), wet runs included.
func (po *posterior) several(cell int) float64 {
	many, leaky := 0.0, 0.0
	for i, c := range po.cands {
		if c.cell == cell {
			leaky += po.share(po.one[i])
		}
	}
	po.eachPair(func(i, j int, share float64) {
		here, there := po.cands[i].cell == cell, po.cands[j].cell == cell
		if here || there {
			leaky += share
		}
		if here && there {
			many += share
		}
	})
	for i := range po.runs {
		s := po.share(po.runs[i].log)
		if s < 1e-9 {
			continue
		}
		if slices.Contains(po.runs[i].cells, cell) {
			leaky += s
			many += s
		}
	}
	if leaky == 0 {
		return 0
	}
	return many / leaky
}

// placesOf turns candidate weights into shares of places that sum to one.
func (a *analysis) placesOf(w map[int]float64) []fault.Share {
	p := make([]float64, len(a.d.things))
	total := 0.0
	for i, c := range a.po.cands {
		if v, ok := w[i]; ok {
			a.d.places(c, func(at int, part float64) {
				p[at] += v * part
				total += v * part
			})
		}
	}
	return a.shares(p, total)
}

// shares lists what has a share worth keeping, largest first.
func (a *analysis) shares(p []float64, total float64) []fault.Share {
	out := []fault.Share{}
	for at, v := range p {
		if v > 0 && v/total >= 1e-6 {
			out = append(out, fault.Share{ID: a.d.things[at].id, Kind: a.d.things[at].kind, Share: fault.Number(math.Min(1, v/total))})
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Share > out[j].Share })
	return out
}
