package locate

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"

	"halfsplit/fault"
)

// The reference is a posterior by brute force: dense grids over both sizes and
// the background, every pair of taps, the covariance built anew at every grid
// point from the readings' specifications, the closed form V = G(u − uc)/(G + g)
// for each reading. It shares the priors with the engine, and no code.

// bruteCase is a short string on a coarse meter, so that grids resolve it.
type bruteCase struct {
	tr   *trial
	taps []float64 // V of every tap above the negative end
	obs  []bruteObs
	// half-widths, relative, of the meter's gain, its input and the resistor
	gainTol, inTol, resTol float64
}

type bruteObs struct {
	tap     float64 // V
	value   float64
	ext     float64 // S, meter and resistor at the tap
	meter   float64 // S
	res     float64 // S
	countSD float64
	gain    int // range
}

func coarseMeter() fault.Instrument {
	return fault.Instrument{ID: "dmm", GainPct: 1.5, Counts: 8, InputOhms: 1e7, InputTolPct: 3,
		Ranges: []fault.Range{{Max: 60, Count: 0.1}, {Max: 600, Count: 1}}}
}

func newBrute(t *testing.T, rng *rand.Rand, ohms []float64) *bruteCase {
	tr := newTrial(rng, 3, 3)
	tr.c.Instruments = []fault.Instrument{coarseMeter()}
	tr.c.Resistors[0].TolPct = 4
	for _, r := range ohms {
		tr.leak(rng.IntN(len(tr.volts)+1), r, 0)
	}
	b := tr.bench(t, rng)
	tr.c.GroupVolts = exactVolts(tr)
	for i := range tr.c.GroupVolts {
		tr.c.GroupVolts[i].Instrument = "exact"
	}
	tr.c.Instruments = append(tr.c.Instruments, fault.Instrument{ID: "exact", Ranges: []fault.Range{{Max: 10, Count: 1e-9}}})
	neg, pos := tr.ends("closed")
	tr.read(t, b, "closed", pos, "chassis", "")
	tr.read(t, b, "closed", neg, "chassis", "")
	tr.read(t, b, "closed", neg, "chassis", "R200k")
	bc := &bruteCase{tr: tr, taps: []float64{0}, gainTol: 0.015, inTol: 0.03, resTol: 0.04}
	for _, v := range tr.volts {
		bc.taps = append(bc.taps, bc.taps[len(bc.taps)-1]+v)
	}
	for _, r := range tr.c.Readings {
		o := bruteObs{value: r.Value, meter: 1e-7}
		if r.Red == pos {
			o.tap = bc.taps[len(bc.taps)-1]
		}
		if r.Resistor != nil {
			o.res = 1 / 200e3
		}
		o.ext = o.meter + o.res
		count := 0.1
		if math.Abs(r.Value) > 60 {
			count, o.gain = 1, 1
		}
		o.countSD = math.Hypot(8*count/math.Sqrt(3), count/math.Sqrt(12))
		bc.obs = append(bc.obs, o)
	}
	return bc
}

// logLik is ln N(readings; G and Q of the leaks and background), the leaks' own
// potentials in the covariance.
func (bc *bruteCase) logLik(taps []int, g []float64, bg float64) float64 {
	n := len(bc.obs)
	top := bc.taps[len(bc.taps)-1]
	sumG, sumQ := bg, 0.0
	groups := float64(len(bc.taps) - 1)
	for i := 1; i < len(bc.taps); i++ {
		sumQ += bg / groups * (bc.taps[i-1] + bc.taps[i]) / 2
	}
	for i, k := range taps {
		sumG += g[i]
		sumQ += g[i] * bc.taps[k]
	}
	r := mat.NewVecDense(n, nil)
	c := mat.NewSymDense(n, nil)
	v, in, res := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, o := range bc.obs {
		d := sumG + o.ext
		v[i] = (sumG*o.tap - sumQ) / d
		r.SetVec(i, o.value-v[i])
		// the tolerances act on the voltage that is there, which is the one read
		in[i] = -o.value * o.meter / d * bc.inTol / math.Sqrt(3)
		res[i] = -o.value * o.res / d * bc.resTol / math.Sqrt(3)
	}
	for i, o := range bc.obs {
		for j := i; j < n; j++ {
			s := in[i]*in[j] + res[i]*res[j]
			if o.gain == bc.obs[j].gain {
				s += o.value * bc.obs[j].value * bc.gainTol * bc.gainTol / 3
			}
			for _, gl := range g {
				sd := pathSD * top / groups
				s += gl / (sumG + o.ext) * gl / (sumG + bc.obs[j].ext) * sd * sd
			}
			if i == j {
				s += o.countSD * o.countSD
			}
			c.SetSym(i, j, s)
		}
	}
	var ch mat.Cholesky
	if !ch.Factorize(c) {
		return math.Inf(-1)
	}
	var x mat.VecDense
	if ch.SolveVecTo(&x, r) != nil {
		return math.Inf(-1)
	}
	return -0.5*mat.Dot(r, &x) - 0.5*ch.LogDet()
}

// mean is ln of the prior mean of exp(f) over [lo, hi] by the trapezoid rule.
func mean(lo, hi float64, n int, f func(float64) float64) float64 {
	logs, w := make([]float64, n+1), make([]float64, n+1)
	for i := range logs {
		logs[i] = f(lo + (hi-lo)*float64(i)/float64(n))
		w[i] = 1 / float64(n)
		if i == 0 || i == n {
			w[i] /= 2
		}
	}
	return logSum(logs, w)
}

func (bc *bruteCase) evidence(taps []int, nx, nb int) float64 {
	return mean(math.Log(1/2e9), math.Log(1/8e6), nb, func(b float64) float64 {
		bg := math.Exp(b)
		switch len(taps) {
		case 0:
			return bc.logLik(nil, nil, bg)
		case 1:
			return mean(math.Log(1e-7), 0, nx, func(x float64) float64 { return bc.logLik(taps, []float64{math.Exp(x)}, bg) })
		}
		return mean(math.Log(1e-7), 0, nx, func(x float64) float64 {
			return mean(math.Log(1e-7), 0, nx, func(y float64) float64 {
				return bc.logLik(taps, []float64{math.Exp(x), math.Exp(y)}, bg)
			})
		})
	})
}

// TestPosterior_WithinTenthOfNatOfBruteForce compares, for soft, middling and
// hard leaks and for none, the engine's log evidence of every single, of the
// pairs that matter, and of none, each against "the best single".
func TestPosterior_WithinTenthOfNatOfBruteForce(t *testing.T) {
	if raced {
		t.Skip("measures figures; every path of it runs under the race detector in other tests")
	}
	for i, c := range []struct {
		name string
		ohms []float64
	}{{"none", nil}, {"soft", []float64{2e6}}, {"middling", []float64{150e3}}, {"hard", []float64{50}}, {"two", []float64{80e3, 300e3}}} {
		t.Run(c.name, func(t *testing.T) { compareBrute(t, newBrute(t, rand.New(rand.NewPCG(21, uint64(i))), c.ohms)) })
	}
}

func compareBrute(t *testing.T, bc *bruteCase) {
	a := analyse(context.Background(), &bc.tr.c, bc.tr.net, nil, premise{})
	if a.po == nil {
		t.Fatal(a.err)
	}
	a.po.integrate(context.Background())
	nx, nb, nxPair, nbPair := 600, 24, 160, 8
	if *full {
		nx, nb, nxPair, nbPair = 1600, 60, 400, 16
	}
	at := func(c *candidate) int {
		_, g, _ := bc.tr.net.Position(c.nodes[0])
		return g
	}
	// Both are taken against the best of none and the singles.
	brute := make([]float64, len(a.po.cands))
	none := bc.evidence(nil, 0, 400)
	zero, top := a.po.none-math.Log(a.po.m.d.prior[fault.None]), none
	taps := len(a.po.thin)
	for i, c := range a.po.cands[:taps] {
		brute[i] = bc.evidence([]int{at(c)}, nx, nb)
		if brute[i] > top {
			zero, top = a.po.one[i]-a.po.lp.one[i], brute[i]
		}
	}
	engine := func(log, lp float64) float64 { return log - lp - zero }
	check := func(what string, got, want float64) {
		if want > -10 && math.Abs(got-want) > 0.1 {
			t.Errorf("%s: engine %.3f nat, brute force %.3f nat", what, got, want)
		}
	}
	for i := range a.po.cands[:taps] {
		check("one at "+bc.tr.net.Name(a.po.cands[i].nodes[0]), engine(a.po.one[i], a.po.lp.one[i]), brute[i]-top)
	}
	check("none", engine(a.po.none, math.Log(a.po.m.d.prior[fault.None])), none-top)
	rng := rand.New(rand.NewPCG(4, 4))
	for n := 0; n < trials(6, 36); n++ {
		i := rng.IntN(taps - 1)
		k := rng.IntN(taps - 1 - i)
		j := i + 1 + k
		want := bc.evidence([]int{at(a.po.cands[i]), at(a.po.cands[j])}, nxPair, nbPair) - top
		check("two at "+bc.tr.net.Name(a.po.cands[i].nodes[0])+" and "+bc.tr.net.Name(a.po.cands[j].nodes[0]), engine(a.po.two[i][k], a.po.lp.two(i, j)), want)
	}
}

// peaked is the evidence of one tap on a fine meter: a coarse grid finds the
// peak in ln G, a fine one round it measures it.
func (bc *bruteCase) peaked(tap int) float64 {
	lo, hi := math.Log(1e-7), 0.0
	return mean(math.Log(1/2e9), math.Log(1/8e6), 8, func(b float64) float64 {
		f := func(x float64) float64 { return bc.logLik([]int{tap}, []float64{math.Exp(x)}, math.Exp(b)) }
		best, at := math.Inf(-1), lo
		for i := 0; i <= 160; i++ {
			x := lo + (hi-lo)*float64(i)/160
			if v := f(x); v > best {
				best, at = v, x
			}
		}
		a, z := math.Max(lo, at-0.3), math.Min(hi, at+0.3)
		near := mean(a, z, 120, f) + math.Log((z-a)/(hi-lo))
		return logSum([]float64{near, mean(lo, hi, 160, f)}, []float64{1, 1e-3}) // the coarse grid keeps plateaus in
	})
}

// TestHonest_ElsewhereAsBruteForce: leaks to 2 MΩ in modules of two groups. The
// true module comes first as often as in a brute-force posterior over single
// leaks, within one point.
func TestHonest_ElsewhereAsBruteForce(t *testing.T) {
	rng := rand.New(rand.NewPCG(14, 1))
	n, engine, brute := trials(25, 300), 0, 0
	for i := 0; i < n; i++ {
		tr := newTrial(rng, 6+rng.IntN(6), 2)
		tr.leak(rng.IntN(len(tr.volts)+1), math.Exp(logUniform(rng, math.Log(1e3), math.Log(2e6))), tr.shift(rng))
		b := tr.bench(t, rng)
		tr.c.GroupVolts = exactVolts(tr)
		tr.readClosed(t, b)
		f := find(t, tr)
		if len(f.Leaks) == 1 && has(tr.module(tr.at[0]), f.Leaks[0].Places[0].ID) {
			engine++
		}
		if has(tr.module(tr.at[0]), bruteFirst(tr)) {
			brute++
		}
	}
	e, w := 100*float64(engine)/float64(n), 100*float64(brute)/float64(n)
	t.Logf("true module first: engine %.1f %%, brute force %.1f %% of %d", e, w, n)
	if e < w-math.Max(1, 100/float64(n)) {
		t.Errorf("true module first in %.1f %%, brute force in %.1f %%", e, w)
	}
}

// bruteFirst is the module with the largest share over single leaks.
func bruteFirst(tr *trial) string {
	bc := &bruteCase{tr: tr, taps: []float64{0}, gainTol: 0.005, inTol: 0.01, resTol: 0.01}
	for _, v := range tr.volts {
		bc.taps = append(bc.taps, bc.taps[len(bc.taps)-1]+v)
	}
	top := bc.taps[len(bc.taps)-1]
	_, pos := tr.ends("closed")
	for _, r := range tr.c.Readings {
		if r.Black != "chassis" {
			continue
		}
		o := bruteObs{value: r.Value, meter: 1e-7}
		if r.Red == pos {
			o.tap = top
		}
		if r.Resistor != nil {
			o.res = 1 / 200e3
		}
		o.ext = o.meter + o.res
		rg, index, _ := benchMeter().RangeFor(r.Value, 0)
		o.gain = index
		o.countSD = math.Hypot(2*rg.Count/math.Sqrt(3), rg.Count/math.Sqrt(12))
		bc.obs = append(bc.obs, o)
	}
	logs := make([]float64, len(bc.taps))
	for k := range logs {
		logs[k] = bc.peaked(k)
	}
	total := logSum(logs, nil)
	share := map[string]float64{}
	for k, l := range logs {
		for _, id := range tr.module(k) { // a joint's tap counts half for each, an end's twice half
			share[id] += math.Exp(l-total) / 2
		}
	}
	best := ""
	for _, m := range tr.layout.Modules {
		if share[m.ID] > share[best] {
			best = m.ID
		}
	}
	return best
}
