package locate

import (
	"math"
	"math/rand/v2"
	"strconv"
	"testing"

	"halfsplit/fault"
)

// slipTrial is a pack with one leak, or one in each half, read closed and split:
// ten to thirteen readings.
func slipTrial(t testing.TB, rng *rand.Rand) *trial {
	series := 4 + rng.IntN(9)
	modules := max(4, (24+rng.IntN(120))/series)
	tr := newTrial(rng, modules, series)
	size := func() float64 { return math.Exp(logUniform(rng, math.Log(1e3), math.Log(1e6))) }
	half := modules / 2 * series
	at := rng.IntN(len(tr.volts) + 1)
	tr.leak(at, size(), tr.shift(rng))
	if rng.IntN(2) == 0 {
		other := half + 1 + rng.IntN(len(tr.volts)-half)
		if at > half {
			other = rng.IntN(half)
		}
		tr.leak(other, size(), tr.shift(rng))
	}
	b := tr.bench(t, rng)
	tr.readClosed(t, b)
	tr.readSplit(t, b)
	for n := rng.IntN(4); n > 0; n-- {
		m := tr.layout.Modules[1+rng.IntN(modules-2)].ID
		tr.read(t, b, "closed", m+"+", "chassis", "")
	}
	return tr
}

// inject makes one slip of a kind that changes a reading by much more than the
// meter's counts, and says at which reading; false where none would.
func inject(rng *rand.Rand, tr *trial, kind string) (string, bool) {
	rs := tr.c.Readings
	set := func(r *fault.Reading, v float64) {
		r.Value, r.Raw = v, strconv.FormatFloat(v, 'g', -1, 64)
	}
	seen := func(a, b float64) bool { return math.Abs(a-b) > 1+0.02*math.Max(math.Abs(a), math.Abs(b)) }
	for try := 0; try < 50; try++ {
		i := 1 + rng.IntN(len(rs)-2)
		r := &rs[i]
		switch kind {
		case slipSign:
			if seen(r.Value, -r.Value) {
				set(r, -r.Value)
				return r.ID, true
			}
		case slipScale:
			f := scaleSlips[rng.IntN(len(scaleSlips))].factor
			if seen(r.Value, r.Value/f) && math.Abs(r.Value/f) < 1000 {
				set(r, r.Value/f)
				return r.ID, true
			}
		case slipTransposed:
			o := &rs[i+1]
			if o.State == r.State && seen(r.Value, o.Value) {
				a, b := r.Value, o.Value
				set(r, b)
				set(o, a)
				return r.ID, true
			}
		}
	}
	return "", false
}

// TestHonest_Slips: one slip among at least eight readings is the first doubt
// in 95 %; a clean case has a doubt in at most 1 %.
func TestHonest_Slips(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	for _, kind := range []string{slipSign, slipScale, slipTransposed} {
		n, hit := trials(12, 400), 0
		for i := 0; i < n; i++ {
			tr := slipTrial(t, rng)
			id, ok := inject(rng, tr, kind)
			if !ok {
				i--
				continue
			}
			f := find(t, tr)
			if len(f.Doubts) > 0 && f.Doubts[0].Kind == kind && f.Doubts[0].Reading == id {
				hit++
				continue
			}
			t.Logf("%s at %s: %+v (%s)", kind, id, f.Doubts, f.Verdict)
		}
		t.Logf("%s: first doubt is the true one in %.1f %% of %d", kind, 100*float64(hit)/float64(n), n)
		if float64(hit)/float64(n) < 0.95-slack(n, 0.95) {
			t.Errorf("%s: first doubt is the true one in %d of %d, want 95 %%", kind, hit, n)
		}
	}
	n, doubted := trials(25, 1000), 0
	for i := 0; i < n; i++ {
		if f := find(t, slipTrial(t, rng)); len(f.Doubts) > 0 {
			doubted++
			t.Logf("clean: %+v", f.Doubts)
		}
	}
	t.Logf("clean cases with a doubt: %.1f %% of %d", 100*float64(doubted)/float64(n), n)
	if float64(doubted)/float64(n) > 0.01+slack(n, 0.01) {
		t.Errorf("%d of %d clean cases have a doubt, want at most 1 %%", doubted, n)
	}
}

// TestFind_ValueBeyondEveryRangeInAnUnreadSection: what such a reading might have
// been must not become a section of the case.
func TestFind_ValueBeyondEveryRangeInAnUnreadSection(t *testing.T) {
	rng := rand.New(rand.NewPCG(32, 1))
	tr := newTrial(rng, 6, 8)
	tr.leak(10, 90e3, 0)
	b := tr.bench(t, rng)
	for _, r := range [][2]string{{"M03+", ""}, {"M01-", ""}, {"M01-", "R200k"}, {"M02+", ""}} {
		tr.read(t, b, "split", r[0], "chassis", r[1])
	}
	without := find(t, tr)
	tr.c.Readings = append(tr.c.Readings, fault.Reading{ID: "far", State: "split", Quantity: fault.Volts, Red: "M06+", Black: "chassis", Value: 36220, Raw: "36220", Instrument: "dmm"})
	f := find(t, tr)
	if f.Verdict != without.Verdict || len(f.LeftOut) != 1 || f.LeftOut[0].Reading != "far" || len(f.Doubts) > 0 {
		t.Errorf("%s, was %s; left out %v, doubts %v", f.Verdict, without.Verdict, f.LeftOut, f.Doubts)
	}
}
