package locate

import (
	"math"
	"sort"

	"halfsplit/fault"
)

// Bounds of a section's total resistance, ohms: wider than a leak's, since a
// sound section's background is a resistance too.
const (
	sectionLow  = 1.0
	sectionHigh = 100e9
)

// twoNumbers is what one section gives in one state: its conductance to chassis
// and the potential that chassis takes above its negative end, meter off. Any
// number of leaks looks, from everywhere on the section, like this one.
type twoNumbers struct {
	slot     int
	readings []string
	ok       bool    // two independent readings: both numbers are known
	sized    bool    // the resistance alone is known, by an insulation tester
	g, u     float64 // S and V at the maximum; a guess where not ok
	ohms     fault.Bounded
	listed   fault.Interval // chassis above the negative end, in listed group volts
	volts    fault.Interval // the same in true volts, the list's own error included
	relSD    float64        // of g, where it is interior
	uSD      float64        // V
	chi2     float64
	dof      int
}

// numbersOf works out a section's two numbers from its own readings alone.
func numbersOf(d *data, s int) twoNumbers {
	sub := d.only(s)
	t := twoNumbers{slot: s}
	for i := range sub.obs {
		if !sub.obs[i].within {
			t.readings = append(t.readings, sub.obs[i].ids()...)
		}
	}
	t.g, t.u = guess(sub, s)
	t.ok = independent(sub) >= 2
	if !t.ok {
		t.sizeAlone(sub, s)
		return t
	}
	g, q := make([]float64, len(d.slots)), make([]float64, len(d.slots))
	for i := range g {
		g[i], q[i] = 1e-8, 0
	}
	for pass := 0; pass < 2; pass++ { // the covariance is taken at the numbers themselves
		g[s], q[s] = t.g, t.g*t.u
		m, err := newModel(sub, g, q)
		if err != nil {
			t.ok = false
			return t
		}
		t.refine(m, s)
	}
	return t
}

// sizeAlone takes the resistance from one insulation reading of a section whose
// own volts are small beside the tester's: the place is not known, and hardly
// matters to the size.
func (t *twoNumbers) sizeAlone(d *data, s int) {
	one := -1
	for i := range d.obs {
		if !d.obs[i].within {
			one = i
		}
	}
	if one < 0 || d.obs[one].allowed.set || d.obs[one].reading.Quantity != fault.Insulation {
		return
	}
	sl := &d.slots[s]
	g, q := make([]float64, len(d.slots)), make([]float64, len(d.slots))
	t.g = math.Max(1/sectionHigh, d.obs[one].value/d.obs[one].reading.TestVolts/microamps)
	for i := range g {
		g[i] = 1e-8
	}
	g[s], q[s] = t.g, t.g*sl.volts/2
	m, err := newModel(d, g, q)
	if err != nil {
		return
	}
	f := newFit(m)
	f.xLo, f.xHi = -math.Log(sectionHigh), -math.Log(sectionLow)
	src := &source{u: make([]float64, len(d.slots)), sd: sl.volts / math.Sqrt(12)}
	for i := range src.u {
		src.u[i] = math.NaN()
	}
	src.u[s] = sl.volts / 2
	f.src = []*source{src}
	p, free := []float64{math.Log(t.g), bLow}, []bool{true, false}
	top := f.climb(p, free)
	t.ohms, t.sized = ohmsOf(f.line(0, p, free, top, false), sectionLow, sectionHigh), true
}

// only keeps the observations that lie in one slot and chassis.
func (d *data) only(s int) *data {
	sub := *d
	sub.obs = nil
	sub.slots = append([]slot(nil), d.slots...)
	for i := range sub.slots {
		sub.slots[i].share = 0
		if i == s { // what a section gives includes every resistor of its state
			sub.slots[i].fixedG, sub.slots[i].fixedGU = 0, 0
		}
	}
	n := 0
	for _, list := range [2][]observation{d.obs, d.aside} {
		for i := range list {
			if list[i].onlyIn(s) {
				n++
			}
		}
	}
	sub.obs = make([]observation, 0, n) // an observation is large
	for _, list := range [2][]observation{d.obs, d.aside} {
		for i := range list {
			if list[i].onlyIn(s) {
				sub.obs = append(sub.obs, list[i])
			}
		}
	}
	return &sub
}

// onlyIn says that an observation's circuit lies in one slot and chassis.
func (o *observation) onlyIn(s int) bool {
	in := func(e *end) bool { return e.chassis() || e.slot == s }
	keep := (o.red.slot == s || o.black.slot == s) && in(&o.red) && in(&o.black)
	for i := range o.elements {
		keep = keep && in(&o.elements[i].a) && in(&o.elements[i].b)
	}
	return keep
}

// independent counts the readings to chassis whose circuits differ: another
// node, another resistor, another meter. The same reading again adds none.
func independent(d *data) int {
	seen := map[[4]float64]bool{}
	for i := range d.obs {
		if d.obs[i].within || d.obs[i].allowed.set {
			continue
		}
		p := &d.obs[i].circuit
		if len(p.slots) != 1 {
			continue
		}
		seen[[4]float64{fault.Round(p.m[0]), fault.Round(p.b[0])}] = true
	}
	return len(seen)
}

// guess solves y·G + Q = −b − y·m, which is linear in the two numbers once the
// readings are taken as exact, by least squares.
func guess(d *data, s int) (g, u float64) {
	sl := &d.slots[s]
	g, u = 1e-8, sl.middle
	var sxx, sx, sw, sxz, sz float64
	for i := range d.obs {
		o := &d.obs[i]
		if o.within || o.allowed.set {
			continue
		}
		p := &o.circuit
		if len(p.slots) != 1 {
			continue
		}
		y := (o.value-p.shift)/p.scale - p.dp
		if p.red < 0 {
			y = -y
		}
		sd := o.countSD / p.scale
		w := 1 / (sd*sd + 1e-12) / (p.m[0] * p.m[0])
		z := -p.b[0] - y*p.m[0]
		sxx += w * y * y
		sx += w * y
		sw += w
		sxz += w * y * z
		sz += w * z
	}
	if sw == 0 {
		return g, u
	}
	det := sxx*sw - sx*sx
	if det > 1e-9*sxx*sw {
		g = (sxz*sw - sx*sz) / det
	} else {
		g = 1e-3 // the readings say the same chassis potential: a hard leak
	}
	if g <= 1/sectionHigh || g > 1 || math.IsNaN(g) {
		g = 1e-3
	}
	q := (sz - g*sx) / sw
	return g, math.Max(-sl.volts, math.Min(2*sl.volts, q/g))
}

// refine integrates over the size on a grid and takes the quantiles.
func (t *twoNumbers) refine(m *model, s int) {
	f := newFit(m)
	f.xLo, f.xHi = -math.Log(sectionHigh), -math.Log(sectionLow)
	src := &source{u: make([]float64, len(m.d.slots)), sd: math.Inf(1)}
	for i := range src.u {
		src.u[i] = math.NaN()
	}
	src.u[s] = t.u
	f.src = []*source{src}
	p := []float64{math.Log(t.g), bLow}
	free := []bool{true, false}
	top := f.climb(p, free)
	t.chi2, t.dof = f.chi2+m.fixed, m.dof()-2
	pts := f.line(0, p, free, top, false)
	t.summarise(pts)
	f.at(p)
	t.g, t.u = math.Exp(p[0]), src.u[s]+f.dMean[0]
	t.uSD = math.Sqrt(f.dVar[0])
	t.inTrueVolts(m.cellShift(f, s, t.u))
	if h := f.hess[0][0]; h > 0 {
		t.relSD = 1 / math.Sqrt(h)
	}
}

// A point of a marginal: its weight, the log conductance, and the Gaussian of
// the free potential there.
type point struct {
	logW, x  float64
	mean, sd float64 // V
}

// Panels of eight nodes on either side of a maximum: as many as hold a line over a
// flat top by itself, and where other lines beside it fill what lies between, fewer
// for a narrow one.
const (
	linePanels   = 6
	narrowPanels = 3
	narrowLine   = 4.0 // ln, from end to end
)

// line lays a fine grid over parameter i and maximises the rest at each node,
// with Laplace's formula over them.
func (f *fit) line(i int, p []float64, free []bool, top float64, beside bool) []point {
	k := f.dims()
	inner := append([]bool(nil), free...)
	inner[i] = false
	mode := append([]float64(nil), p...)
	lo, hi := f.bounds(i)
	width := 0.5
	if h := f.hess[i][i]; h > 0 {
		width = math.Min(0.5, 1/math.Sqrt(h))
	}
	profile := func(t float64) float64 {
		copy(p, mode)
		p[i] = t
		return f.climb(p, inner)
	}
	a := f.edge(profile, mode[i], lo, -width, top)
	b := f.edge(profile, mode[i], hi, width, top)
	copy(p, mode)
	var out []point
	panels := linePanels
	if beside && b-a < narrowLine {
		panels = narrowPanels
	}
	half := func(from, to float64) {
		for n := 0; n < panels; n++ {
			l, h := from+(to-from)*float64(n)/float64(panels), from+(to-from)*float64(n+1)/float64(panels)
			if h-l < 1e-12 {
				continue
			}
			for _, nw := range gaussLegendre8 {
				copy(p, mode)
				p[i] = l + (h-l)*(nw[0]+1)/2
				v := f.climb(p, inner)
				var sd [maxSources + 1]float64
				if ld, ok := f.spreads(inner, sd[:k]); ok {
					v -= 0.5 * ld
				}
				out = append(out, point{logW: v + math.Log(nw[1]*(h-l)/2), x: p[i],
					mean: f.dMean[min(i, len(f.src)-1)], sd: math.Sqrt(f.dVar[min(i, len(f.src)-1)])})
			}
		}
	}
	half(a, mode[i])
	half(mode[i], b)
	copy(p, mode)
	f.at(p)
	return out
}

func (t *twoNumbers) summarise(pts []point) {
	base := t.u
	t.ohms = ohmsOf(pts, sectionLow, sectionHigh)
	q := mixtureQuantiles(pts, 0, []float64{0.025, 0.5, 0.975})
	t.listed = fault.Interval{Low: fault.Number(base + q[0]), Mid: fault.Number(base + q[1]), High: fault.Number(base + q[2])}
}

// inTrueVolts moves the chassis volts by what the readings say of the listed group
// volts, and widens them by what is still unsure of those.
func (t *twoNumbers) inTrueVolts(shift, variance float64) {
	extra := 1.96 * math.Sqrt(variance)
	mid := t.listed.Mid + fault.Number(shift)
	t.volts = fault.Interval{
		Low:  mid - fault.Number(math.Hypot(float64(t.listed.Mid-t.listed.Low), extra)),
		Mid:  mid,
		High: mid + fault.Number(math.Hypot(float64(t.listed.High-t.listed.Mid), extra)),
	}
}

// ohmsOf is the 95 % interval of a size. Where it reaches a limit of what was
// allowed, the data do not end it on that side and it is a bound: "<" keeps only
// its high end, ">" only its low end.
func ohmsOf(pts []point, least, most float64) fault.Bounded {
	sort.SliceStable(pts, func(i, j int) bool { return pts[i].x < pts[j].x })
	ohms := func(prob float64) float64 { return math.Exp(-quantileOf(pts, prob)) }
	b := fault.Bounded{Low: fault.Number(ohms(0.975)), Mid: fault.Number(ohms(0.5)), High: fault.Number(ohms(0.025)), Relation: fault.Equal}
	switch {
	case float64(b.Low) < math.E*least: // within a factor e of the limit
		b.Low, b.Mid, b.Relation = 0, fault.NoNumber, fault.Less
	case float64(b.High) > most/math.E:
		b.High, b.Relation = fault.NoNumber, fault.Greater
	}
	return b
}

// quantileOf is a quantile of x over weighted points in ascending order,
// interpolated at the middle of each point's weight.
func quantileOf(pts []point, prob float64) float64 {
	total := logSum(logsOf(pts), nil)
	sum, lastX, lastC := 0.0, pts[0].x, 0.0
	for i, pt := range pts {
		w := math.Exp(pt.logW - total)
		c := sum + w/2
		if c >= prob {
			if i == 0 || c == lastC {
				return pt.x
			}
			return lastX + (pt.x-lastX)*(prob-lastC)/(c-lastC)
		}
		sum += w
		lastX, lastC = pt.x, c
	}
	return pts[len(pts)-1].x
}

func logsOf(pts []point) []float64 {
	l := make([]float64, len(pts))
	for i := range pts {
		l[i] = pts[i].logW
	}
	return l
}

// mostPoints is how many normals a mixture keeps when its quantiles are sought.
const mostPoints = 96

// condensed is a mixture of fewer points where there are many.
func condensed(pts []point) []point {
	if len(pts) <= mostPoints {
		return pts
	}
	return merged(pts, 1.0/mostPoints, 0.5)
}

// merged joins neighbours by mean, their moments kept, into points of at most a
// share of the weight and of a reach in standard deviations. What has next to no
// weight is dropped.
func merged(pts []point, share, reach float64) []point {
	total := logSum(logsOf(pts), nil)
	sorted := append([]point(nil), pts...)
	sort.SliceStable(sorted, func(i, j int) bool { return sorted[i].mean < sorted[j].mean })
	var out []point
	var w, x, m, mm, v float64
	flush := func() {
		if w > 0 {
			mean := m / w
			out = append(out, point{logW: total + math.Log(w), x: x / w, mean: mean, sd: math.Sqrt(v/w + math.Max(0, mm/w-mean*mean))})
		}
		w, x, m, mm, v = 0, 0, 0, 0, 0
	}
	for _, pt := range sorted {
		part := math.Exp(pt.logW - total)
		if part < 1e-14 {
			continue
		}
		if w > 0 && (w+part > share || math.Abs(pt.mean-m/w) > reach*pt.sd) {
			flush()
		}
		w += part
		x += part * pt.x
		m += part * pt.mean
		mm += part * pt.mean * pt.mean
		v += part * pt.sd * pt.sd
	}
	flush()
	return out
}

// mixtureQuantiles are quantiles of a mixture of normals, each widened by extra.
func mixtureQuantiles(pts []point, extra float64, probs []float64) []float64 {
	pts = condensed(pts)
	total := logSum(logsOf(pts), nil)
	lo, hi := math.Inf(1), math.Inf(-1)
	type part struct{ w, mean, sd float64 }
	parts := make([]part, 0, len(pts))
	for _, pt := range pts {
		sd := math.Hypot(pt.sd, extra)
		if pt.logW >= total-40 {
			lo, hi = math.Min(lo, pt.mean-8*sd), math.Max(hi, pt.mean+8*sd)
		}
		if w := math.Exp(pt.logW - total); w > 1e-18 {
			parts = append(parts, part{w, pt.mean, sd})
		}
	}
	share := func(v float64) (below, density float64) {
		for _, t := range parts {
			z := (v - t.mean) / t.sd
			below += t.w * 0.5 * math.Erfc(-z/math.Sqrt2)
			density += t.w * math.Exp(-z*z/2) / (t.sd * math.Sqrt(2*math.Pi))
		}
		return below, density
	}
	out := make([]float64, len(probs))
	for i, pr := range probs {
		out[i] = bracketed(lo, hi, func(v float64) (float64, float64) {
			below, density := share(v)
			return below - pr, density
		})
	}
	return out
}

// bracketed is where a rising function of known slope is zero between a and b:
// Newton's step where it stays within the bracket, else its middle.
func bracketed(a, b float64, at func(float64) (value, slope float64)) float64 {
	v := (a + b) / 2
	for n := 0; n < 80 && b-a > 1e-9*(1+math.Abs(a)); n++ {
		y, slope := at(v)
		if y < 0 {
			a = v
		} else {
			b = v
		}
		next := v - y/slope
		if !(next > a && next < b) {
			next = (a + b) / 2
		} else if math.Abs(next-v) < 1e-10*(1+math.Abs(v)) {
			return next
		}
		v = next
	}
	return v
}
