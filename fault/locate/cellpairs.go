package locate

import (
	"context"
	"math"
	"sort"
)

// Two leaks in one part of the pack, which no state that was read sets apart,
// look from everywhere like one: of conductance G = G₁ + G₂, at the mean
// u = w·u₁ + (1 − w)·u₂ with w = G₁/G, its own potential spread by
// σ²·(w² + (1 − w)²). So all pairs of a part rest on the same function of G and
// place, worked out once with the place free. With t = ln(w/(1 − w)),
//
//	dx₁·dx₂ = dx·dt,  x = ln G
//
// and at every x and background the free place is normal with mean m and
// variance s², so that a pair's evidence is
//
//	Σ A·∫ N(u(t); m, s² + σ²(w² + (1 − w)²)) dt
//
// over the nodes of x and background with their weights A, between the t at
// which either leak would leave the bounds of sizes.
type partTable struct {
	ref   *candidate // whose potentials places are counted from
	nodes []partNode
	top   float64 // log of the sum of the weights
}

// A partNode is nodes of nearly the same mean, merged.
type partNode struct {
	weight   float64 // relative to the table's top
	mean, vr float64 // V from ref, V²
	x        float64 // ln G
}

// mostNodes is how many nodes a table keeps.
const mostNodes = 12

// tables works out one table for every cell that holds at least two taps.
func (po *posterior) tables(ctx context.Context) {
	po.part = map[int]*partTable{}
	count := map[int]int{}
	for _, i := range po.thin {
		if c := po.cands[i]; c.tap() && !c.unseen {
			count[c.cell]++
		}
	}
	for _, i := range po.thin {
		c := po.cands[i]
		if count[c.cell] < 2 || po.part[c.cell] != nil || ctx.Err() != nil || !c.tap() || c.unseen {
			continue
		}
		po.part[c.cell] = po.table(c)
	}
}

// table lays nodes over size and background with a place that is free.
func (po *posterior) table(ref *candidate) *partTable {
	f := newFit(po.m)
	f.src = po.sources(&source{u: ref.u, sd: math.Inf(1)})
	x, _ := po.start(ref)
	p := po.from(x)
	f.climb(p, po.free(1))
	po.note(f.chi2, 2)
	pts := f.marginal(0, p)
	t := &partTable{ref: ref, top: logSum(logsOf(pts), nil)}
	for _, n := range merged(pts, 1.5/mostNodes, 2) {
		t.nodes = append(t.nodes, partNode{weight: math.Exp(n.logW - t.top), mean: n.mean, vr: n.sd * n.sd, x: n.x})
	}
	return t
}

// from is a candidate's place counted from the table's reference, V.
func (t *partTable) from(c *candidate) float64 {
	sum, n := 0.0, 0.0
	for s, u := range c.u {
		if u == u {
			sum += u - t.ref.u[s]
			n++
		}
	}
	return sum / n
}

// farSD is how many standard deviations off a place has no weight.
const farSD = 6.0

// pair is ln of the evidence of two leaks at places a and b of spreads sa and
// sb, but for priors and widths; −Inf where no mixture of the two comes near.
func (t *partTable) pair(a, b, sa, sb float64) float64 {
	sum := 0.0
	for _, n := range t.nodes {
		sum += n.weight * n.mix(a, b, sa, sb)
	}
	if sum <= 0 {
		return math.Inf(-1)
	}
	return t.top + math.Log(sum)
}

// mix integrates over how the conductance is shared.
func (n partNode) mix(a, b, sa, sb float64) float64 {
	lo := -math.Log(math.Expm1(math.Max(1e-9, n.x-xLow))) // w·G at its least
	hi := -lo
	if h := n.x - xHigh; h > 0 { // either alone would be above the bound
		return 0
	}
	if hi <= lo {
		return 0
	}
	widest := math.Sqrt(n.vr + math.Max(sa*sa, sb*sb))
	if n.mean < math.Min(a, b)-farSD*widest || n.mean > math.Max(a, b)+farSD*widest {
		return 0
	}
	if v, ok := n.narrow(a, b, sa, sb); ok {
		return v
	}
	density := func(t float64) float64 {
		w := 1 / (1 + math.Exp(-t))
		o := 1 - w
		v := n.vr + sa*sa*w*w + sb*sb*o*o
		z := w*a + o*b - n.mean
		return math.Exp(-z*z/(2*v)) / math.Sqrt(2*math.Pi*v)
	}
	sum := 0.0
	panel := func(from, to float64) {
		if to-from < 1e-9 {
			return
		}
		h := (to - from) / 2
		for _, nw := range gaussLegendre8 {
			sum += nw[1] * h * density(from+h*(nw[0]+1))
		}
	}
	// Where the mixture lies within reach of the mean, in w; the ends of t are
	// level, so that wide panels do there.
	from, to := lo, hi
	if d := a - b; math.Abs(d) > 1e-9 {
		w0, w1 := (n.mean-b-farSD*widest)/d, (n.mean-b+farSD*widest)/d
		w0, w1 = math.Min(w0, w1), math.Max(w0, w1)
		from, to = math.Max(lo, logit(w0)), math.Min(hi, logit(w1))
	}
	if to <= from {
		return 0
	}
	// Cut at the peak, and where the logistic bends.
	cuts := []float64{from, to}
	for _, c := range []float64{-6, -3, -1, 1, 3, 6} {
		if c > from && c < to {
			cuts = append(cuts, c)
		}
	}
	sort.Float64s(cuts)
	for i := 1; i < len(cuts); i++ {
		w0, w1 := 1/(1+math.Exp(-cuts[i-1])), 1/(1+math.Exp(-cuts[i]))
		moves := math.Abs((w1-w0)*(a-b)) / widest // standard deviations across the panel
		parts := 1 + int(moves/6)
		for k := 0; k < parts; k++ {
			// Equal steps of w keep the peak evenly covered.
			x, y := w0+(w1-w0)*float64(k)/float64(parts), w0+(w1-w0)*float64(k+1)/float64(parts)
			panel(math.Max(cuts[i-1], logit(x)), math.Min(cuts[i], logit(y)))
		}
	}
	return sum
}

// narrow is mix where the places lie so far apart that the mean fixes w to a few
// per cent, away from its ends: the density is then normal in w, of standard
// deviation h, and three Gauss–Hermite nodes take dt = dw/(w(1 − w)) over it.
func (n partNode) narrow(a, b, sa, sb float64) (float64, bool) {
	d := math.Abs(a - b)
	w := (n.mean - b) / (a - b)
	if !(w > 0 && w < 1) {
		return 0, false
	}
	h := math.Sqrt(n.vr+sa*sa*w*w+sb*sb*(1-w)*(1-w)) / d
	if h > 0.03 || w < farSD*h || w > 1-farSD*h {
		return 0, false
	}
	r := math.Sqrt(3) * h
	per := func(w float64) float64 { return 1 / (w * (1 - w)) }
	return (2./3*per(w) + (per(w-r)+per(w+r))/6) / d, true
}

func logit(w float64) float64 {
	switch {
	case w <= 0:
		return math.Inf(-1)
	case w >= 1:
		return math.Inf(1)
	}
	return math.Log(w / (1 - w))
}
