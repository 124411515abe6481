package locate

import (
	"context"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/topology"
)

// propertyTrial is a small pack with one or two leaks, read closed and split.
func propertyTrial(t *testing.T, rng *rand.Rand) *trial {
	tr := newTrial(rng, 4+rng.IntN(4), 2+rng.IntN(5))
	for k := rng.IntN(2); k >= 0; k-- {
		tr.leak(rng.IntN(len(tr.volts)+1), math.Exp(logUniform(rng, math.Log(500), math.Log(2e6))), tr.shift(rng))
	}
	b := tr.bench(t, rng)
	tr.readClosed(t, b)
	if rng.IntN(3) > 0 {
		tr.readSplit(t, b)
	}
	return tr
}

// near compares two findings of the same physical case, names mapped by rename
// and places along the string by place.
func near(t *testing.T, got, want fault.Finding, rename func(string) string, place func(fault.Interval) fault.Interval) {
	t.Helper()
	if got.Verdict != want.Verdict || len(got.Leaks) != len(want.Leaks) {
		t.Fatalf("verdict %s with %d leaks, want %s with %d", got.Verdict, len(got.Leaks), want.Verdict, len(want.Leaks))
	}
	shares := map[string]float64{}
	for _, s := range got.Suspicion {
		shares[s.ID] = float64(s.Share)
	}
	for _, s := range want.Suspicion {
		if d := shares[rename(s.ID)] - float64(s.Share); math.Abs(d) > 2e-3 {
			t.Errorf("suspicion of %s: %.4f, want %.4f", rename(s.ID), shares[rename(s.ID)], float64(s.Share))
		}
	}
	for i, l := range got.Leaks {
		w := place(want.Leaks[i].Position)
		for k, d := range []float64{float64(l.Position.Low - w.Low), float64(l.Position.Mid - w.Mid), float64(l.Position.High - w.High)} {
			if math.Abs(d) > 0.02 {
				t.Errorf("leak %d position edge %d off by %.3f groups: %v, want %v", i, k, d, l.Position, w)
			}
		}
	}
}

func same(s string) string                 { return s }
func stay(i fault.Interval) fault.Interval { return i }
func mustFind(t *testing.T, c fault.Case) fault.Finding {
	t.Helper()
	f, err := Find(context.Background(), c, nil)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func TestFind_OrderOfEntryIsIrrelevant(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 1))
	for n := 0; n < trials(8, 60); n++ {
		tr := propertyTrial(t, rng)
		want := mustFind(t, tr.c)
		c := tr.c
		c.Readings = shuffled(rng, c.Readings)
		c.GroupVolts = shuffled(rng, c.GroupVolts)
		c.Layout.Modules = shuffled(rng, c.Layout.Modules)
		c.Layout.Links = shuffled(rng, c.Layout.Links)
		c.States = shuffled(rng, c.States)
		near(t, mustFind(t, c), want, same, stay)
	}
}

func shuffled[T any](rng *rand.Rand, list []T) []T {
	out := append([]T(nil), list...)
	rng.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
	return out
}

func TestFind_RelabelledModulesAreTheSamePack(t *testing.T) {
	rng := rand.New(rand.NewPCG(32, 1))
	for n := 0; n < trials(8, 60); n++ {
		tr := propertyTrial(t, rng)
		perm := rng.Perm(len(tr.layout.Modules))
		names := map[string]string{}
		for i, m := range tr.layout.Modules {
			names[m.ID] = fmt.Sprintf("B%02d", perm[i]+20)
		}
		rename := func(ref string) string {
			for old, id := range names {
				if ref == old || strings.HasPrefix(ref, old) && strings.ContainsAny(ref[len(old):len(old)+1], "+-.") {
					return id + ref[len(old):]
				}
			}
			return ref
		}
		near(t, mustFind(t, renamed(tr.c, rename)), mustFind(t, tr.c), rename, stay)
	}
}

func renamed(c fault.Case, rename func(string) string) fault.Case {
	c.Layout.Modules = append([]topology.Module(nil), c.Layout.Modules...)
	for i := range c.Layout.Modules {
		c.Layout.Modules[i].ID = rename(c.Layout.Modules[i].ID)
	}
	c.Layout.Links = append([]topology.Link(nil), c.Layout.Links...)
	for i := range c.Layout.Links {
		c.Layout.Links[i].From, c.Layout.Links[i].To = rename(c.Layout.Links[i].From), rename(c.Layout.Links[i].To)
	}
	c.GroupVolts = append([]fault.GroupVolts(nil), c.GroupVolts...)
	for i := range c.GroupVolts {
		c.GroupVolts[i].Module = rename(c.GroupVolts[i].Module)
	}
	c.Readings = append([]fault.Reading(nil), c.Readings...)
	for i := range c.Readings {
		r := &c.Readings[i]
		r.Red, r.Black = rename(r.Red), rename(r.Black)
		if r.Resistor != nil {
			r.Resistor = &fault.Fitted{ID: r.Resistor.ID, From: rename(r.Resistor.From), To: rename(r.Resistor.To)}
		}
	}
	return c
}

// TestFind_TurnedEndForEndMirrors swaps every plus and minus and the sign of
// every reading: places count from the other end.
func TestFind_TurnedEndForEndMirrors(t *testing.T) {
	rng := rand.New(rand.NewPCG(33, 1))
	for n := 0; n < trials(8, 60); n++ {
		tr := propertyTrial(t, rng)
		flip := func(ref string) string {
			id, end := ref[:max(0, len(ref)-1)], ref[max(0, len(ref)-1):]
			switch end {
			case "+":
				return id + "-"
			case "-":
				return id + "+"
			}
			return ref
		}
		c := renamed(tr.c, flip)
		for i := range c.Readings {
			c.Readings[i].Value = -c.Readings[i].Value
		}
		for i := range c.GroupVolts {
			v := append([]float64(nil), c.GroupVolts[i].Volts...)
			for a, b := 0, len(v)-1; a < b; a, b = a+1, b-1 {
				v[a], v[b] = v[b], v[a]
			}
			c.GroupVolts[i].Volts = v
		}
		total := fault.Number(len(tr.volts))
		want := mustFind(t, tr.c)
		for i, j := 0, len(want.Leaks)-1; i < j; i, j = i+1, j-1 {
			want.Leaks[i], want.Leaks[j] = want.Leaks[j], want.Leaks[i]
		}
		near(t, mustFind(t, c), want, same, func(p fault.Interval) fault.Interval {
			return fault.Interval{Low: total - p.High, Mid: total - p.Mid, High: total - p.Low}
		})
	}
}

// TestFind_WorseMeterIsNeverNarrower doubles counts and gain.
func TestFind_WorseMeterIsNeverNarrower(t *testing.T) {
	rng := rand.New(rand.NewPCG(34, 1))
	for n := 0; n < trials(12, 60); n++ {
		tr := single(t, rng, 500e3, false)
		good := mustFind(t, tr.c)
		worse := tr.c
		worse.Instruments = []fault.Instrument{benchMeter()}
		worse.Instruments[0].Counts *= 3
		worse.Instruments[0].GainPct *= 2
		bad := mustFind(t, worse)
		if len(good.Leaks) != 1 || len(bad.Leaks) != 1 {
			continue
		}
		g, b := good.Leaks[0].Electrical, bad.Leaks[0].Electrical
		if float64(b.High-b.Low) < float64(g.High-g.Low)*0.98 {
			t.Errorf("worse meter gave %.3f groups, better %.3f", float64(b.High-b.Low), float64(g.High-g.Low))
		}
	}
}

// TestFind_WithoutResistorSizeIsNeverNarrower leaves the resistor reading out.
func TestFind_WithoutResistorSizeIsNeverNarrower(t *testing.T) {
	rng := rand.New(rand.NewPCG(35, 1))
	for n := 0; n < trials(12, 60); n++ {
		tr := single(t, rng, 500e3, false)
		with := mustFind(t, tr.c)
		c := tr.c
		c.Readings = c.Readings[:3]
		without := mustFind(t, c)
		if len(with.Leaks) != 1 || len(without.Leaks) != 1 || with.Leaks[0].Ohms.Relation != fault.Equal {
			continue
		}
		a, b := with.Leaks[0].Ohms, without.Leaks[0].Ohms
		if b.Relation == fault.Equal && float64(b.High/b.Low) < float64(a.High/a.Low)*0.98 {
			t.Errorf("without resistor %v, with %v", b, a)
		}
	}
}

// TestFind_LessIsNeverCertainOfAnotherPlace removes readings one by one.
func TestFind_LessIsNeverCertainOfAnotherPlace(t *testing.T) {
	rng := rand.New(rand.NewPCG(36, 1))
	for n := 0; n < trials(4, 20); n++ {
		tr := propertyTrial(t, rng)
		all := mustFind(t, tr.c)
		for i := range tr.c.Readings {
			c := tr.c
			c.Readings = append(append([]fault.Reading(nil), tr.c.Readings[:i]...), tr.c.Readings[i+1:]...)
			f := mustFind(t, c)
			if f.Verdict != fault.Located || all.Verdict != fault.Located {
				continue
			}
			for _, l := range f.Leaks {
				known := false
				for _, a := range all.Leaks {
					known = known || has(set95(a.Places), l.Places[0].ID)
				}
				if !known {
					t.Errorf("without %s: located %s, which all readings do not name", tr.c.Readings[i].ID, l.Places[0].ID)
				}
			}
		}
	}
}

// TestFind_UnusableReadingsHaveNoInfluence adds readings that cannot be used.
func TestFind_UnusableReadingsHaveNoInfluence(t *testing.T) {
	rng := rand.New(rand.NewPCG(37, 1))
	tr := propertyTrial(t, rng)
	want := mustFind(t, tr.c)
	c := tr.c
	c.States = append(append([]fault.State(nil), c.States...), fault.State{ID: "injecting", Contactors: fault.Open, Monitor: fault.MonitorActive})
	neg, pos := tr.ends("closed")
	c.Readings = append(append([]fault.Reading(nil), c.Readings...),
		fault.Reading{ID: "x1", State: "injecting", Quantity: fault.Volts, Red: pos, Black: "chassis", Value: 3, Instrument: "dmm"},
		fault.Reading{ID: "x2", State: "closed", Quantity: fault.Volts, Red: "pack+", Black: "chassis", Value: 99, Instrument: "dmm"},
		fault.Reading{ID: "x3", State: "closed", Quantity: fault.Celsius, Red: neg, Black: neg, Value: 21},
		fault.Reading{ID: "x4", State: "closed", Quantity: fault.Volts, Red: neg, Black: "chassis", Value: -5, Instrument: ""})
	got := mustFind(t, c)
	near(t, got, want, same, stay)
	left := map[string]string{}
	for _, l := range got.LeftOut {
		left[l.Reading] = l.Why
	}
	for _, id := range []string{"x1", "x2", "x3", "x4"} {
		if left[id] == "" {
			t.Errorf("%s was left out without a reason", id)
		}
	}
}

// TestFind_AnyPackGivesALegalFinding tries packs of 1 to 400 groups with group
// volts given, missing or zero, and nonsense readings.
func TestFind_AnyPackGivesALegalFinding(t *testing.T) {
	rng := rand.New(rand.NewPCG(38, 1))
	for n := 0; n < trials(60, 600); n++ {
		series := 1 + rng.IntN(12)
		modules := 1 + rng.IntN(max(1, 60/series))
		if n%20 == 19 {
			modules = 400 / series
		}
		tr := newTrial(rng, modules, series)
		tr.leak(rng.IntN(len(tr.volts)+1), math.Exp(logUniform(rng, 0, 17)), 0)
		b := tr.bench(t, rng)
		tr.readClosed(t, b)
		if modules > 1 {
			tr.readSplit(t, b)
		}
		switch rng.IntN(4) {
		case 0:
			tr.c.GroupVolts = nil
		case 1:
			for i := range tr.c.GroupVolts {
				tr.c.GroupVolts[i].Volts[0] = math.NaN()
			}
		case 2:
			tr.c.GroupVolts[0].Volts = make([]float64, series)
		}
		if rng.IntN(3) == 0 {
			tr.c.Readings[rng.IntN(len(tr.c.Readings))].Value *= []float64{-1, 10, 0, 1e-3}[rng.IntN(4)]
		}
		legal(t, mustFind(t, tr.c))
	}
}

// legal checks what every finding must be: known words, shares within [0, 1],
// hypotheses that sum to one, no negative resistance, numbers or null in JSON.
func legal(t *testing.T, f fault.Finding) {
	t.Helper()
	if !has(fault.Verdicts, f.Verdict) || f.Statement == "" {
		t.Fatalf("verdict %q, statement %q", f.Verdict, f.Statement)
	}
	raw, err := json.Marshal(f)
	if err != nil || strings.Contains(string(raw), "NaN") {
		at := strings.Index(string(raw), "NaN")
		t.Fatalf("finding does not marshal: %v %s", err, raw[max(0, at-200):min(len(raw), at+50)])
	}
	sum := 0.0
	for _, h := range f.Hypotheses {
		sum += float64(h.Share)
	}
	if len(f.Hypotheses) > 0 && math.Abs(sum-1) > 1e-6 {
		t.Errorf("hypotheses sum to %g", sum)
	}
	for _, l := range f.Leaks {
		sum = 0
		for _, p := range l.Places {
			sum += float64(p.Share)
			if p.Share < 0 || p.Share > 1+1e-9 {
				t.Errorf("share %g", float64(p.Share))
			}
		}
		if math.Abs(sum-1) > 1e-3 {
			t.Errorf("places sum to %g", sum)
		}
		if l.Ohms.Low < 0 || l.Ohms.High < 0 || !(l.Position.Low <= l.Position.Mid && l.Position.Mid <= l.Position.High) {
			t.Errorf("leak %+v", l)
		}
	}
	for _, s := range f.Suspicion {
		if s.Share < 0 || s.Share > 1 {
			t.Errorf("suspicion %v", s)
		}
	}
	for _, word := range []string{" safe", " dead", "OK to touch", "balanced, good"} {
		if strings.Contains(strings.ToLower(f.Statement), strings.ToLower(word)) {
			t.Errorf("statement says %q: %s", word, f.Statement)
		}
	}
}

func marshal(t *testing.T, f fault.Finding) string {
	t.Helper()
	raw, err := json.Marshal(f)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}
