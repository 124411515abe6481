package cells_test

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"

	"halfsplit/fault/cells"
)

var full = flag.Bool("full", false, "rates over thousands of packs, which takes minutes")

// howMany packs a rate is taken over.
func howMany(usual int) int {
	if *full {
		return 20 * usual
	}
	return usual
}

// strong is where a band's odds begin to weigh on a finding.
const strong = 20

// Packs without two leaks: how often a band is claimed with odds of 20 or more.
func TestRates_FalseBands(t *testing.T) {
	n := howMany(150)
	kinds := []struct {
		name string
		most float64 // share
		do   func(r *rand.Rand, p *pack)
	}{
		{"noise alone", 0.01, func(*rand.Rand, *pack) {}},
		{"modules differ by 3 mV", 0.01, func(r *rand.Rand, p *pack) {
			for m := range p.modules() {
				p.lower(m*p.series, (m+1)*p.series, 3*r.NormFloat64())
			}
		}},
		{"one module 5 to 60 mV off", 0.01, func(r *rand.Rand, p *pack) {
			m := r.IntN(p.modules())
			p.lower(m*p.series, (m+1)*p.series, 5+55*r.Float64())
		}},
		{"three modules 40 mV off", 0.01, func(r *rand.Rand, p *pack) {
			for range 3 {
				m := r.IntN(p.modules())
				p.lower(m*p.series, (m+1)*p.series, 40)
			}
		}},
		{"two to four whole modules 5 to 60 mV low", 0.01, func(r *rand.Rand, p *pack) {
			m := r.IntN(p.modules() - 1)
			p.lower(m*p.series, min(len(p.mv), (m+2+r.IntN(3))*p.series), 5+55*r.Float64())
		}},
		{"up to four groups low by themselves", 0.01, func(r *rand.Rand, p *pack) {
			for range 1 + r.IntN(4) {
				p.mv[r.IntN(len(p.mv))] -= 200 * r.Float64()
			}
		}},
		{"two neighbours low together", 0.01, func(r *rand.Rand, p *pack) {
			a := r.IntN(len(p.mv) - 2)
			p.lower(a, a+2, 20+100*r.Float64())
		}},
		{"a bow of 12 mV", 0.01, func(_ *rand.Rand, p *pack) {
			for i := range p.mv {
				p.mv[i] -= 12 * math.Sin(math.Pi*float64(i)/float64(len(p.mv)))
			}
		}},
		{"a trend of 20 mV", 0.01, func(_ *rand.Rand, p *pack) {
			for i := range p.mv {
				p.mv[i] += 20 * float64(i) / float64(len(p.mv))
			}
		}},
		{"noise in steps of 10 mV", 0.01, func(_ *rand.Rand, p *pack) {
			for i := range p.mv {
				p.mv[i] = 10 * math.Round(p.mv[i]/10)
			}
		}},
		{"noise with long tails", 0.01, func(r *rand.Rand, p *pack) {
			for i := range p.mv {
				if r.IntN(10) == 0 {
					p.mv[i] += 10 * r.NormFloat64()
				}
			}
		}},
		{"levels that wander by 0.5 mV from group to group", 0.02, func(r *rand.Rand, p *pack) {
			level := 0.0
			for i := range p.mv {
				level += 0.5 * r.NormFloat64()
				p.mv[i] += level
			}
		}},
		{"a small pack", 0.01, func(r *rand.Rand, p *pack) {
			p.mv = p.mv[:p.series*max(2, 20/p.series)]
		}},
		{"a step of 10 to 50 mV to one end", 0.01, func(r *rand.Rand, p *pack) {
			p.lower(0, 3+r.IntN(len(p.mv)-6), 10+40*r.Float64())
		}},
	}
	for _, k := range kinds {
		t.Run(k.name, func(t *testing.T) {
			claimed, some := 0, 0
			for i := range n {
				r := rand.New(rand.NewPCG(uint64(i), 17))
				p := newPack(r, 2+6*r.Float64())
				k.do(r, p)
				for _, b := range cells.Bands(p.fault()) {
					some++
					if b.Odds >= strong {
						claimed++
					}
				}
			}
			t.Logf("odds of %d or more in %d of %d packs (%.2f %%), any evidence in %d (%.2f %%)",
				strong, claimed, n, 100*float64(claimed)/float64(n), some, 100*float64(some)/float64(n))
			// A rate that is as it should be comes out a little higher in few packs.
			most := k.most * float64(n)
			if slack := 2 * math.Sqrt(most); float64(claimed) > most+slack || *full && float64(claimed) > most {
				t.Errorf("more than %g %%", 100*k.most)
			}
		})
	}
}

// Packs with a band: how often it is claimed, and how near its edges lie.
func TestRates_Detection(t *testing.T) {
	n := howMany(60)
	for _, k := range []struct {
		noise, depth float64
		least        float64 // share that is claimed with odds of 20 or more
	}{{2, 5, 0.2}, {2, 10, 0.93}, {2, 22, 0.97}, {4, 10, 0.3}, {4, 22, 0.95}, {4, 40, 0.97}, {8, 22, 0.65}, {8, 40, 0.93}, {8, 80, 0.97}} {
		claimed, near, named := 0, 0, 0
		for i := range n {
			r := rand.New(rand.NewPCG(uint64(i), 18))
			p := newPack(r, k.noise)
			a, b := p.band(r)
			p.lower(a, b, k.depth)
			found := cells.Bands(p.fault())
			if len(found) == 0 || found[0].Odds < strong {
				continue
			}
			claimed++
			if found[0].Lower[0].Tap == p.tap(a) && found[0].Upper[0].Tap == p.tap(b) {
				near++
			}
			if names(found[0].Lower, p.tap(a)) && names(found[0].Upper, p.tap(b)) {
				named++
			}
		}
		t.Logf("noise %g mV, depth %3g mV: claimed in %5.1f %%; of those both edges exact in %5.1f %%, both among the taps named in %5.1f %%",
			k.noise, k.depth, percent(claimed, n), percent(near, claimed), percent(named, claimed))
		if float64(claimed) < k.least*float64(n) {
			t.Errorf("noise %g mV, depth %g mV: claimed in %d of %d, want %g %%", k.noise, k.depth, claimed, n, 100*k.least)
		}
	}
}

func names(edges []cells.Edge, tap string) bool {
	for _, e := range edges {
		if e.Tap == tap {
			return true
		}
	}
	return false
}

func percent(of, all int) float64 { return 100 * float64(of) / math.Max(1, float64(all)) }
