package locate

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"halfsplit/fault"

	"gonum.org/v1/gonum/integrate/quad"
)

// runOf is a fit of a run over both halves of a split pack, and where its peak is.
func runOf(t *testing.T) (*fit, *spreadRun) {
	t.Helper()
	rng := rand.New(rand.NewPCG(7, 3))
	tr := newTrial(rng, 8, 6)
	tr.wet(rng, 9e6)
	bench := tr.bench(t, rng)
	tr.readClosed(t, bench)
	tr.readSplit(t, bench)
	a := analyse(context.Background(), &tr.c, tr.net, nil, premise{})
	for i := range a.po.runs {
		if r := &a.po.runs[i]; len(r.pieces) == 2 {
			f := newFit(a.po.m)
			f.src = a.po.sources(r.pieces...)
			return f, r
		}
	}
	t.Fatal("no run has two pieces")
	return nil, nil
}

// What tying the sizes together adds is the integral over the level, taken here by
// Gauss and Legendre, of the pieces' own densities about it; its slope is that of
// what it adds.
func TestSpread_LevelIsIntegratedWithinALeaksBounds(t *testing.T) {
	f, r := runOf(t)
	const tau = spreadScatter
	adds := func(p []float64) (v float64, grad []float64) {
		f.level(nil, 1)
		v = -f.at(p)
		for i := range r.pieces {
			grad = append(grad, -f.grad[i])
		}
		f.level(r.parts, tau)
		v += f.at(p)
		for i := range r.pieces {
			grad[i] += f.grad[i]
		}
		return v, grad
	}
	want := func(p []float64) float64 {
		over := quad.Fixed(func(level float64) float64 {
			d := 1.0
			for i, part := range r.parts {
				z := (p[i] - level - math.Log(part)) / tau
				d *= math.Exp(-z*z/2) / (tau * math.Sqrt(2*math.Pi))
			}
			return d
		}, xLow, xHigh, 4000, nil, 0)
		m := float64(len(r.parts))
		return math.Log(over) + (m-1)/2*math.Log(2*math.Pi*tau*tau) + 0.5*math.Log(m)
	}
	for _, x := range [][2]float64{{-8, -8.5}, {xLow, xLow}, {xLow - 2.5, xLow + 0.4}, {xLow - 2, xLow - 2}, {xHigh, xHigh - 1}} {
		p := []float64{x[0], x[1], startBackground}
		v, grad := adds(p)
		if w := want(p); math.Abs(v-w) > 1e-6 {
			t.Errorf("at %v it adds %.6f, by quadrature %.6f", x, v, w)
		}
		for i := range r.pieces {
			const h = 1e-4
			up, down := clone(p), clone(p)
			up[i] += h
			down[i] -= h
			vu, _ := adds(up)
			vd, _ := adds(down)
			if slope := (vu - vd) / (2 * h); math.Abs(slope-grad[i]) > 2e-3*(1+math.Abs(slope)) {
				t.Errorf("at %v its slope by piece %d is %.6f, by differences %.6f", x, i, grad[i], slope)
			}
		}
	}
}

// A run whose part beyond an open link is above the least leak is wet, and its
// readings are sound.
func TestSpread_ASoftPartDoesNotMakeReadingsInconsistent(t *testing.T) {
	soft := 0
	for seed := uint64(1); seed <= 60; seed++ {
		rng := rand.New(rand.NewPCG(seed, 8))
		tr := newTrial(rng, 8, 6)
		tr.wet(rng, 4e6+5e6*rng.Float64())
		beyond := 0.0
		for _, l := range tr.pack.Leaks {
			if node, ok := tr.net.Node(l.At); ok && node > tr.net.Tap(3, 6) {
				beyond += 1 / l.Ohms
			}
		}
		if beyond == 0 || 1/beyond < leakHigh {
			continue
		}
		soft++
		bench := tr.bench(t, rng)
		tr.readClosed(t, bench)
		tr.readSplit(t, bench)
		f, err := Find(context.Background(), tr.c, nil)
		if err != nil {
			t.Fatal(err)
		}
		if f.Verdict == fault.Inconsistent {
			t.Errorf("seed %d: inconsistent, with %.3g ohms beyond the open link", seed, 1/beyond)
		}
	}
	if soft < 10 {
		t.Errorf("only %d of the packs have a soft part", soft)
	}
}
