package locate

import (
	"context"
	"math"
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
	most     float64 // t where the smaller leak would leave the bounds of sizes
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
		po.part[c.cell] = po.table(ctx, c)
	}
}

// table lays nodes over size and background with a place that is free.
func (po *posterior) table(ctx context.Context, ref *candidate) *partTable {
	f := newFit(po.m)
	f.src = po.sources(&source{u: ref.u, sd: math.Inf(1)})
	x, _ := po.start(ref)
	p := po.from(x)
	f.climb(p, po.free(1))
	po.note(f.chi2, 2)
	pts := f.marginal(ctx, 0, p)
	t := &partTable{ref: ref, top: logSum(logsOf(pts), nil)}
	for _, n := range merged(pts, 1.5/mostNodes, 2) {
		t.nodes = append(t.nodes, partNode{weight: math.Exp(n.logW - t.top), mean: n.mean, vr: n.sd * n.sd, x: n.x,
			most: math.Log(math.Expm1(math.Max(1e-9, n.x-xLow)))})
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
	for i := range t.nodes {
		sum += t.nodes[i].weight * t.nodes[i].mix(a, b, sa, sb)
	}
	if sum <= 0 {
		return math.Inf(-1)
	}
	return t.top + math.Log(sum)
}

// bends are where the logistic bends, in t and in w.
var bendT = [...]float64{-6, -3, -1, 1, 3, 6}
var bendW = [...]float64{logistic(-6), logistic(-3), logistic(-1), logistic(1), logistic(3), logistic(6)}

func logistic(t float64) float64 { return 1 / (1 + math.Exp(-t)) }

// mix integrates over how the conductance is shared.
func (n *partNode) mix(a, b, sa, sb float64) float64 {
	if n.x > xHigh || n.most <= 0 { // either alone would be outside the bounds
		return 0
	}
	widest := math.Sqrt(n.vr + math.Max(sa*sa, sb*sb))
	if n.mean < math.Min(a, b)-farSD*widest || n.mean > math.Max(a, b)+farSD*widest {
		return 0
	}
	if v, ok := n.narrow(a, b, sa, sb); ok {
		return v
	}
	// Where the mixture lies within reach of the mean, in w; the ends of t are
	// level, so that wide panels do there.
	from, to := -n.most, n.most
	if d := a - b; math.Abs(d) > 1e-9 {
		w0, w1 := (n.mean-b-farSD*widest)/d, (n.mean-b+farSD*widest)/d
		w0, w1 = math.Min(w0, w1), math.Max(w0, w1)
		from, to = math.Max(from, logit(w0)), math.Min(to, logit(w1))
	}
	if to <= from {
		return 0
	}
	// Cut at the peak, and where the logistic bends; equal steps of w keep the peak
	// evenly covered.
	sum, t0, w0 := 0.0, from, logistic(from)
	for i := 0; t0 < to; i++ {
		for i < len(bendT) && bendT[i] <= t0 {
			i++
		}
		t1, w1 := to, 0.0
		if i < len(bendT) && bendT[i] < to {
			t1, w1 = bendT[i], bendW[i]
		} else {
			w1 = logistic(to)
		}
		moves := math.Abs((w1-w0)*(a-b)) / widest // standard deviations across the panel
		parts := 1 + int(moves/6)
		for k := 1; k <= parts; k++ {
			end := t1
			if k < parts {
				end = math.Min(t1, logit(w0+(w1-w0)*float64(k)/float64(parts)))
			}
			sum += n.panel(t0, end, a, b, sa, sb)
			t0 = end
		}
		w0 = w1
	}
	return sum
}

// panel is the integral over one stretch of t.
func (n *partNode) panel(from, to, a, b, sa, sb float64) float64 {
	if to-from < 1e-9 {
		return 0
	}
	sum, h := 0.0, (to-from)/2
	for i := range gaussLegendre8 {
		w := logistic(from + h*(gaussLegendre8[i][0]+1))
		o := 1 - w
		v := n.vr + sa*sa*w*w + sb*sb*o*o
		z := w*a + o*b - n.mean
		sum += gaussLegendre8[i][1] * h * math.Exp(-z*z/(2*v)) / math.Sqrt(2*math.Pi*v)
	}
	return sum
}

// narrow is mix where the places lie so far apart that the mean fixes w to a few
// per cent, away from its ends: the density is then normal in w, of standard
// deviation h, and three Gauss–Hermite nodes take dt = dw/(w(1 − w)) over it.
func (n *partNode) narrow(a, b, sa, sb float64) (float64, bool) {
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
