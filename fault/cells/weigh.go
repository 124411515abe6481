package cells

import (
	"math"
	"slices"
)

// Bounds of what is weighed.
const (
	fewestGroups = 8    // of a string, kept
	mostGroups   = 1500 // of a string: the pairs of edges grow with the square
	noiseFloor   = 0.5  // mV
	strayTimes   = 5.0  // standard deviations from which a group is taken as off by itself
	mostStrays   = 0.2  // of the groups: beyond it no one pattern describes the string
	passes       = 6
)

// A weighed string: the kept groups, and how every pair of edges does.
type weighed struct {
	l     *line
	m     *model
	keep  []bool
	ratio float64      // ln of the odds that the volts give a drain band over all that is not
	best  step         // the likeliest explanation of all; i = j where that is no run
	band  step         // the likeliest drain band
	edge  [2][]float64 // by kept index: how well it does as lower and as upper edge, largest 1
}

// weigh finds the noise, the groups that are off by themselves and the likeliest
// explanation of the rest together, then weighs every pair of edges. ok is false
// where there is too little to weigh, or no one pattern.
func weigh(l *line) (w weighed, ok bool) {
	known := len(l.known())
	if known < fewestGroups || len(l.mv) > mostGroups {
		return w, false
	}
	w.l = l
	floor := l.noiseFloor()
	keep, sigma := l.withoutStrays(floor)
	tau := 0.3 * sigma
	for range passes {
		if count(keep) < max(fewestGroups, int(math.Ceil((1-mostStrays)*float64(known)))) {
			return w, false
		}
		w.keep, w.m = slices.Clone(keep), newModel(l, keep, sigma, tau)
		w.explain()
		raw, within := w.m.residuals(w.best.i, w.best.j, w.best.depth)
		strays := false
		for i, at := range w.m.at {
			if math.Abs(within[i]) > strayTimes*sigma || w.best.few && w.best.i <= i && i < w.best.j {
				keep[at], strays = false, true
			}
		}
		s, t := w.m.noise(raw, math.Max(floor, l.noise(keep)))
		settled := !strays && math.Abs(s-sigma) < 0.01*sigma && math.Abs(t-tau) < 0.05*sigma
		sigma, tau = s, t
		if settled {
			break
		}
	}
	w.weighEdges()
	return w, true
}

func count(keep []bool) (n int) {
	for _, k := range keep {
		if k {
			n++
		}
	}
	return n
}

// noiseFloor is half the step that the list was written with, if that is more than
// any list resolves.
func (l *line) noiseFloor() float64 {
	mv := l.known()
	slices.Sort(mv)
	resolution := math.Inf(1)
	for i := 1; i < len(mv); i++ {
		if d := mv[i] - mv[i-1]; d > 0.05 {
			resolution = math.Min(resolution, d)
		}
	}
	if math.IsInf(resolution, 1) {
		return noiseFloor
	}
	return math.Max(noiseFloor, math.Min(resolution/2, 10))
}

// noise is the standard deviation of one group against its neighbour in the same
// module, by the middle of the differences: steps and strays do not move it.
func (l *line) noise(keep []bool) float64 {
	var diffs []float64
	last := -1
	for at := range l.mv {
		if !keep[at] {
			continue
		}
		if last >= 0 && l.part[last] == l.part[at] {
			diffs = append(diffs, math.Abs(l.mv[at]-l.mv[last]))
		}
		last = at
	}
	if len(diffs) < 3 {
		return 5 // what monitors are within, where the volts cannot tell
	}
	// The middle of few differences may come out small by chance.
	return 1.4826 / math.Sqrt2 * median(diffs) * (1 + 2/float64(len(diffs)))
}

// withoutStrays leaves out groups that are off against both neighbours the same
// way, until none is.
func (l *line) withoutStrays(floor float64) (keep []bool, sigma float64) {
	keep = make([]bool, len(l.mv))
	for at, v := range l.mv {
		keep[at] = !math.IsNaN(v)
	}
	for {
		sigma = math.Max(floor, l.noise(keep))
		worst, by := -1, strayTimes*sigma
		for at := range l.mv {
			if keep[at] {
				if off := math.Abs(l.off(keep, at)); off > by {
					worst, by = at, off
				}
			}
		}
		if worst < 0 || count(keep) <= fewestGroups {
			return keep, sigma
		}
		keep[worst] = false
	}
}

// off is how far a group lies from the nearer in volts of its two neighbours of
// its own class, 0 if it lies between them. At an end both neighbours lie on the
// one side.
func (l *line) off(keep []bool, at int) float64 {
	next := func(from, by int) int {
		for from += by; from >= 0 && from < len(l.mv); from += by {
			if keep[from] && l.class[from] == l.class[at] {
				return from
			}
		}
		return -1
	}
	a, b := next(at, -1), next(at, 1)
	switch {
	case a < 0 && b < 0:
		return 0
	case a < 0:
		a = next(b, 1)
	case b < 0:
		b = next(a, -1)
	}
	if a < 0 || b < 0 {
		return 0
	}
	da, db := l.mv[at]-l.mv[a], l.mv[at]-l.mv[b]
	switch {
	case da*db <= 0:
		return 0
	case math.Abs(da) < math.Abs(db):
		return da
	}
	return db
}

// noise is what residuals say of the groups' noise and the modules' own levels.
func (m *model) noise(res []float64, least float64) (sigma, tau float64) {
	sum, free := 0.0, 0
	var means []float64
	for b := range len(m.start) - 1 {
		block := res[m.start[b]:m.start[b+1]]
		mean := 0.0
		for _, v := range block {
			mean += v / float64(len(block))
		}
		means = append(means, math.Abs(mean))
		for _, v := range block {
			sum += (v - mean) * (v - mean)
		}
		free += len(block) - 1
	}
	sigma = least
	if free >= 3 {
		sigma = math.Max(sigma, math.Sqrt(sum/float64(free)))
	}
	if len(means) < 4 {
		return sigma, 0.3 * sigma
	}
	spread := 1.4826 * median(means)
	each := sigma * sigma * float64(len(means)) / float64(len(m.at))
	return sigma, math.Sqrt(math.Max(spread*spread-each, 0.01*sigma*sigma))
}

// eachBand calls do with every drain band that could be one.
func (w *weighed) eachBand(do func(h step)) {
	n := len(w.m.at)
	for i := outsideLeast; i+insideLeast <= n-outsideLeast; i++ {
		for j := i + insideLeast; j <= n-outsideLeast; j++ {
			if h, ok := w.m.drained(i, j); ok && !w.onePart(i, j) {
				h.drain = true
				do(h)
			}
		}
	}
}

// gap is the taps that an edge below kept group i may lie at: more than one where
// groups beside it are not known.
func (w *weighed) gap(i int) (first, last int) { return w.m.at[i-1] + 1, w.m.at[i] }

// onePart says that a band is exactly one module or what hangs on one board.
func (w *weighed) onePart(i, j int) bool {
	lo1, lo2 := w.gap(i)
	hi1, hi2 := w.gap(j)
	return slices.ContainsFunc(w.l.whole, func(r run) bool {
		return lo1 <= r.from && r.from <= lo2 && hi1 <= r.to && r.to <= hi2
	})
}

// weights are the prior weights of the edges, by kept index.
func (w *weighed) weights() []float64 {
	out := make([]float64, len(w.m.at))
	for i := 1; i < len(out); i++ {
		for tap, last := w.gap(i); tap <= last; tap++ {
			if w.l.joint(tap) {
				out[i] += jointWeight
			} else {
				out[i]++
			}
		}
	}
	return out
}

// explain finds the likeliest drain band and the likeliest explanation of all.
func (w *weighed) explain() {
	weight := w.weights()
	total := pairTotal(weight)
	top := math.Inf(-1)
	w.band = step{}
	w.eachBand(func(h step) {
		if at := math.Log(weight[h.i]*weight[h.j]/total) + h.log; at > top {
			top, w.band = at, h
		}
	})
	r := w.m.rivals(w.l)
	if w.best = r.best; top > r.top && top > w.strays() {
		w.best = w.band
	}
}

// pairTotal is the sum of wᵢwⱼ over i < j.
func pairTotal(w []float64) float64 {
	sum, squares := 0.0, 0.0
	for _, x := range w {
		sum += x
		squares += x * x
	}
	return (sum*sum - squares) / 2
}

// strays is ln of how likely the best band's groups, or those around it if they
// are fewer, are all off by themselves.
func (w *weighed) strays() float64 {
	inside := w.band.j - w.band.i
	return w.band.gain - strayNats*float64(min(inside, len(w.m.at)-inside))
}

// weighEdges sums over all pairs: for the odds, and for each edge.
func (w *weighed) weighEdges() {
	w.explain()
	n := len(w.m.at)
	if w.ratio = math.Inf(-1); w.band.j == 0 {
		return
	}
	weight := w.weights()
	total := pairTotal(weight)
	sum := 0.0
	lower, upper := make([]float64, n), make([]float64, n)
	w.eachBand(func(h step) {
		at := math.Exp(h.log - w.band.log)
		sum += at * weight[h.i] * weight[h.j] / total
		lower[h.i] += at * weight[h.j]
		upper[h.j] += at * weight[h.i]
	})
	w.ratio = math.Log(sum) + w.band.log - logSum([]float64{w.m.rivals(w.l).log, w.strays()})
	for side, e := range [][]float64{lower, upper} {
		if top := slices.Max(e); top > 0 {
			scale(e, 1/top)
		}
		w.edge[side] = e
	}
}
