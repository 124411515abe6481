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
