package locate

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

// TestTables_AgreeWithSingles: the table that pairs of one part rest on gives a
// single leak the evidence that its own quadrature gives.
func TestTables_AgreeWithSingles(t *testing.T) {
	rng := rand.New(rand.NewPCG(61, 1))
	for i := 0; i < trials(12, 60); i++ {
		tr := slipTrial(t, rng)
		if i%2 == 0 {
			tr.c.Readings = tr.c.Readings[:4] // the unbroken string alone
		}
		a := analyse(context.Background(), &tr.c, tr.net, nil, premise{})
		a.po.integrate(context.Background())
		best := math.Inf(-1)
		for k := range a.po.thin {
			best = math.Max(best, a.po.one[k]-a.po.lp.one[k])
		}
		for k := range a.po.thin {
			c := a.po.cands[k]
			tab := a.po.part[c.cell]
			got := a.po.one[k] - a.po.lp.one[k]
			if tab == nil || math.IsInf(got, -1) || got < best-4 {
				continue
			}
			sum := 0.0
			for _, n := range tab.nodes {
				sum += n.weight * math.Exp(density(tab.from(c), forecast{n.mean, math.Sqrt(n.vr)}, c.sd))
			}
			if want := tab.top + math.Log(sum) - a.po.widths() - lnX; math.Abs(got-want) > 0.1 {
				t.Errorf("trial %d, %s: %.3f nat by quadrature, %.3f by the table", i, tr.net.Name(c.nodes[0]), got, want)
			}
		}
	}
}

// TestPartNode_NarrowAgreesWithQuadrature: the short way gives what panels give.
func TestPartNode_NarrowAgreesWithQuadrature(t *testing.T) {
	rng := rand.New(rand.NewPCG(62, 1))
	short := 0
	for i := 0; i < 2000; i++ {
		a, b := 400*rng.Float64(), 400*rng.Float64()
		n := partNode{weight: 1, mean: 400 * rng.Float64(), vr: math.Exp(logUniform(rng, -4, 1)), x: math.Log(1 / 150e3)}
		got, ok := n.narrow(a, b, 1.8, 1.8)
		if !ok {
			continue
		}
		short++
		// The trapezoid rule over t, fine enough for any width.
		want := 0.0
		const step = 2e-4
		for s := -12.0; s < 12; s += step {
			w := 1 / (1 + math.Exp(-s))
			v := n.vr + 1.8*1.8*(w*w+(1-w)*(1-w))
			z := w*a + (1-w)*b - n.mean
			want += step * math.Exp(-z*z/(2*v)) / math.Sqrt(2*math.Pi*v)
		}
		if math.Abs(math.Log(got/want)) > 0.02 {
			t.Fatalf("places %.1f and %.1f, mean %.1f, variance %.2f: %.6g by three nodes, %.6g by quadrature", a, b, n.mean, n.vr, got, want)
		}
	}
	if short < 300 {
		t.Errorf("the short way was taken %d times of 2000", short)
	}
}
