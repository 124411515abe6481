package locate

import (
	"context"
	"math"
	"math/rand/v2"
	"sort"
	"testing"

	"halfsplit/fault"
)

// The tests of this file simulate packs with the exact circuit and meters that
// err within their specification, and hold the engine to figures that README
// reports at full size: go test ./fault/locate -run Honest -v -full

// single simulates one leak in one half, read closed.
func single(t testing.TB, rng *rand.Rand, maxOhms float64, delta bool) *trial {
	series := 4 + rng.IntN(9)
	modules := max(2, (24+rng.IntN(193))/series)
	tr := newTrial(rng, modules, series)
	shift := 0.0
	if delta {
		shift = tr.shift(rng)
	}
	tr.leak(rng.IntN(len(tr.volts)+1), math.Exp(logUniform(rng, math.Log(100), math.Log(maxOhms))), shift)
	b := tr.bench(t, rng)
	tr.readClosed(t, b)
	return tr
}

func (tr *trial) module(at int) []string {
	lo, _, _ := tr.net.ModuleAt(tr.net.TapAt(0, at))
	hi, _, _ := tr.net.ModuleAt(tr.net.TapAbove(0, at))
	return []string{tr.layout.Modules[lo].ID, tr.layout.Modules[hi].ID}
}

func has(list []string, id string) bool {
	for _, v := range list {
		if v == id {
			return true
		}
	}
	return false
}

func find(t testing.TB, tr *trial) fault.Finding {
	t.Helper()
	f, err := Find(context.Background(), tr.c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// TestHonest_SingleLeakFirst: a single leak up to 200 kΩ in modules of at least
// four groups, three terminal readings: the true module first in 99 %.
func TestHonest_SingleLeakFirst(t *testing.T) {
	rng := rand.New(rand.NewPCG(11, 1))
	n, first := trials(60, 1000), 0
	for i := 0; i < n; i++ {
		tr := single(t, rng, 200e3, false)
		f := find(t, tr)
		if len(f.Leaks) == 1 && has(tr.module(tr.at[0]), f.Leaks[0].Places[0].ID) {
			first++
		} else {
			t.Logf("missed: leak %v at %d of %d, finding %s %s", tr.leaks[0], tr.at[0], len(tr.volts), f.Verdict, f.Statement)
		}
	}
	rate := float64(first) / float64(n)
	t.Logf("true module first: %.2f %% of %d", rate*100, n)
	if rate < 0.99-slack(n, 0.99) {
		t.Errorf("true module first in %.2f %%, want 99 %%", rate*100)
	}
}

// slack allows a proportion three standard errors below its target.
func slack(n int, p float64) float64 { return 3 * math.Sqrt(p*(1-p)/float64(n)) }

// TestHonest_Coverage: position covers the true tap with path potentials
// simulated, electrical covers it with none, each in 93 to 97 %.
func TestHonest_Coverage(t *testing.T) {
	for name, delta := range map[string]bool{"position": true, "electrical": false} {
		t.Run(name, func(t *testing.T) {
			rng := rand.New(rand.NewPCG(12, 1))
			n, hit, said := trials(80, 1000), 0, 0
			var widths []float64
			for i := 0; i < n; i++ {
				tr := single(t, rng, 2e6, delta)
				f := find(t, tr)
				if len(f.Leaks) != 1 {
					continue
				}
				said++
				iv := f.Leaks[0].Position
				if !delta {
					iv = f.Leaks[0].Electrical
				}
				at := float64(tr.at[0])
				if float64(iv.Low) <= at+1e-6 && at <= float64(iv.High)+1e-6 {
					hit++
				}
				if tr.leaks[0].Ohms <= 200e3 {
					widths = append(widths, float64(iv.High-iv.Low)/2)
				}
			}
			rate := float64(hit) / float64(said)
			sort.Float64s(widths)
			t.Logf("covered %.1f %% of %d (%d without a leak named); median half-width up to 200 kΩ %.2f groups", rate*100, said, n-said, widths[len(widths)/2])
			if rate < 0.93-slack(said, 0.95) || rate > 0.97+slack(said, 0.95) {
				t.Errorf("covered %.1f %%, want 93 to 97 %%", rate*100)
			}
			if delta && widths[len(widths)/2] > 1.2 {
				t.Errorf("median half-width %.2f groups, want at most 1.2", widths[len(widths)/2])
			}
		})
	}
}

// TestHonest_TwoLeaksAfterSplit: one leak in each half, modules of at least six
// groups, one split: both modules in the two 95 % sets in 95 %, sets of at most
// 1.5 modules on average.
func TestHonest_TwoLeaksAfterSplit(t *testing.T) {
	rng := rand.New(rand.NewPCG(13, 1))
	n, both, sets, size := trials(60, 600), 0, 0, 0
	for i := 0; i < n; i++ {
		series := 6 + rng.IntN(7)
		modules := max(4, (24+rng.IntN(193))/series)
		tr := newTrial(rng, modules, series)
		half := modules / 2 * series
		tr.leak(rng.IntN(half), math.Exp(logUniform(rng, math.Log(1e3), math.Log(500e3))), tr.shift(rng))
		tr.leak(half+1+rng.IntN(len(tr.volts)-half), math.Exp(logUniform(rng, math.Log(1e3), math.Log(500e3))), tr.shift(rng))
		b := tr.bench(t, rng)
		tr.readClosed(t, b)
		tr.readSplit(t, b)
		f := find(t, tr)
		found := 0
		for k, at := range tr.at {
			if k >= len(f.Leaks) {
				continue
			}
			ids := set95(f.Leaks[k].Places)
			sets++
			size += len(ids)
			for _, id := range tr.module(at) {
				if has(ids, id) {
					found++
					break
				}
			}
		}
		if found == 2 {
			both++
		} else {
			t.Logf("missed: %v at %v of %d, %s %s", tr.leaks, tr.at, len(tr.volts), f.Verdict, f.Statement)
		}
	}
	rate, mean := float64(both)/float64(n), float64(size)/float64(max(1, sets))
	t.Logf("both modules in their sets: %.1f %% of %d; mean set %.2f modules", rate*100, n, mean)
	if rate < 0.95-slack(n, 0.95) || mean > 1.5 {
		t.Errorf("both in their sets %.1f %%, want 95 %%; mean set %.2f, want at most 1.5", rate*100, mean)
	}
}

func set95(places []fault.Share) []string {
	var ids []string
	sum := 0.0
	for _, p := range places {
		ids = append(ids, p.ID)
		if sum += float64(p.Share); sum >= 0.95 {
			break
		}
	}
	return ids
}
