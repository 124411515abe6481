package locate

import (
	"context"
	"errors"
	"math/rand/v2"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// twoStrings is two strings of four modules, tied at both ends by links that
// can be opened: TN below, TP above; each string has a joint in the middle.
func twoStrings(rng *rand.Rand, leakAt string) *trial {
	l := chain(4, 6, 0)
	l.Links = l.Links[:3]
	for i := 1; i <= 4; i++ {
		m := l.Modules[i-1]
		m.ID = "N" + m.ID[1:]
		l.Modules = append(l.Modules, m)
		if i > 1 {
			l.Links = append(l.Links, topology.Link{ID: "J0" + m.ID[2:], Kind: topology.Busbar, From: l.Modules[len(l.Modules)-2].ID + "+", To: m.ID + "-"})
		}
	}
	l.Links = append(l.Links, topology.Link{ID: "TN", Kind: topology.Cable, From: "M01-", To: "N01-"}, topology.Link{ID: "TP", Kind: topology.Cable, From: "M04+", To: "N04+"})
	tr := newTrial(rng, 4, 6)
	tr.layout = l
	tr.net, _ = topology.Compile(l)
	tr.volts = make([]float64, len(tr.net.Groups))
	for i := range tr.volts {
		tr.volts[i] = 3.65
	}
	tr.pack = circuit.Pack{Net: tr.net, GroupVolts: tr.volts, BackgroundPerGroup: 40e6 * float64(len(tr.volts))}
	tr.pack.Leaks = []circuit.Leak{{At: leakAt, Ohms: 120e3}}
	tr.c.Layout = l
	tr.c.States = []fault.State{
		{ID: "tied", Contactors: fault.Open, Monitor: fault.MonitorDisconnected},
		{ID: "one-end", Open: []string{"TP"}, Contactors: fault.Open, Monitor: fault.MonitorDisconnected},
		{ID: "apart", Open: []string{"TP", "TN"}, Contactors: fault.Open, Monitor: fault.MonitorDisconnected},
		{ID: "apart-split", Open: []string{"TP", "TN", "J03", "L02"}, Contactors: fault.Open, Monitor: fault.MonitorDisconnected}}
	tr.c.Now = "tied"
	return tr
}

func (tr *trial) listVolts(t *testing.T, rng *rand.Rand, state string) *circuit.Bench {
	t.Helper()
	b, err := circuit.NewBench(rng, tr.pack, tr.c)
	if err != nil {
		t.Fatal(err)
	}
	if tr.c.GroupVolts, err = b.GroupVolts(state, ""); err != nil {
		t.Fatal(err)
	}
	return b
}

// TestFind_ParallelStrings: tied strings and strings tied at one end are one
// section, both strings stay in question; apart at both ends the leaking string
// shows; a break inside it gives the module.
func TestFind_ParallelStrings(t *testing.T) {
	rng := rand.New(rand.NewPCG(41, 1))
	tr := twoStrings(rng, "N02.3")
	b := tr.listVolts(t, rng, "tied")
	both := func(state, neg, pos string) {
		tr.read(t, b, state, pos, "chassis", "")
		tr.read(t, b, state, neg, "chassis", "")
		tr.read(t, b, state, neg, "chassis", "R200k")
	}
	both("tied", "M01-", "M04+")
	f := mustFind(t, tr.c)
	legal(t, f)
	if f.Verdict != fault.EquivalentOnly || len(f.Leaks) != 1 {
		t.Fatalf("tied: %s with %d leaks", f.Verdict, len(f.Leaks))
	}
	ids := set95(f.Leaks[0].Places)
	if !has(ids, "M02") || !has(ids, "N02") {
		t.Errorf("tied: both M02 and N02 share the potential, got %v", ids)
	}
	both("one-end", "N01-", "N04+")
	if f = mustFind(t, tr.c); !has(set95(f.Leaks[0].Places), "M02") {
		t.Errorf("apart at one end is still one section; M02 must stay in question: %v", f.Leaks[0].Places)
	}
	both("apart", "N01-", "N04+")
	both("apart", "M01-", "M04+")
	f = mustFind(t, tr.c)
	legal(t, f)
	if len(f.Leaks) != 1 || f.Leaks[0].String != "N01" || f.Leaks[0].Places[0].ID != "N02" {
		t.Errorf("apart: %s %+v", f.Verdict, f.Leaks)
	}
	both("apart-split", "N01-", "N02+")
	both("apart-split", "N03-", "N04+")
	if f = mustFind(t, tr.c); f.Verdict != fault.Located || f.Leaks[0].Places[0].ID != "N02" {
		t.Errorf("split inside: %s %s", f.Verdict, f.Statement)
	}
}

// TestFind_RemovedModuleTakesTheLeakWithIt reads before and after.
func TestFind_RemovedModuleTakesTheLeakWithIt(t *testing.T) {
	rng := rand.New(rand.NewPCG(42, 1))
	tr := newTrial(rng, 6, 8)
	tr.leak(20, 90e3, 0)
	tr.c.States = append(tr.c.States, fault.State{ID: "out", Open: []string{"SD"}, Removed: []string{"M03"}, Contactors: fault.Open, Monitor: fault.MonitorDisconnected})
	b := tr.bench(t, rng)
	tr.readClosed(t, b)
	for _, s := range [][2]string{{"M01-", "M02+"}, {"M04-", "M06+"}} {
		tr.read(t, b, "out", s[0], "chassis", "")
		tr.read(t, b, "out", s[1], "chassis", "")
	}
	f := mustFind(t, tr.c)
	legal(t, f)
	if f.Verdict != fault.Located || f.Leaks[0].Places[0].ID != "M03" {
		t.Errorf("%s: %s", f.Verdict, f.Statement)
	}
	c := tr.c
	c.Readings = append(append([]fault.Reading(nil), c.Readings...), fault.Reading{ID: "x", State: "out", Quantity: fault.Volts, Red: "M03+", Black: "chassis", Value: 1, Instrument: "dmm"})
	f = mustFind(t, c)
	if n := len(f.LeftOut); n != 1 || !strings.Contains(f.LeftOut[0].Why, "removed") {
		t.Errorf("a reading at a removed module: %v", f.LeftOut)
	}
}

// TestFind_MixedStatesDoNotBelongTogether puts a reading of the split string
// under the closed state.
func TestFind_MixedStatesDoNotBelongTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(43, 1))
	tr := newTrial(rng, 12, 8)
	tr.leak(67, 180e3, 0)
	b := tr.bench(t, rng)
	tr.readClosed(t, b)
	tr.readSplit(t, b)
	for i := range tr.c.Readings {
		if r := &tr.c.Readings[i]; r.State == "split" {
			r.State = "closed"
		}
	}
	if f := mustFind(t, tr.c); f.Verdict != fault.Inconsistent {
		t.Errorf("%s: %s", f.Verdict, f.Statement)
	}
}

// TestFind_OneSlipIsLeftOutAndSaid reverses one reading's sign.
func TestFind_OneSlipIsLeftOutAndSaid(t *testing.T) {
	rng := rand.New(rand.NewPCG(44, 1))
	tr := newTrial(rng, 12, 8)
	tr.leak(67, 180e3, 0)
	b := tr.bench(t, rng)
	tr.readClosed(t, b)
	tr.readSplit(t, b)
	slip := &tr.c.Readings[7]
	slip.Value = -slip.Value
	f := mustFind(t, tr.c)
	if f.Verdict != fault.Located || len(f.LeftOut) != 1 || f.LeftOut[0].Reading != slip.ID {
		t.Errorf("%s, left out %v: %s", f.Verdict, f.LeftOut, f.Statement)
	}
	if has(f.Used, slip.ID) {
		t.Error("the reading that was left out is among those used")
	}
}

// TestFind_Deterministic gives the same bytes every time.
func TestFind_Deterministic(t *testing.T) {
	tr := propertyTrial(t, rand.New(rand.NewPCG(45, 1)))
	a, b := marshal(t, mustFind(t, tr.c)), marshal(t, mustFind(t, tr.c))
	if a != b {
		t.Error("two runs differ")
	}
}

// TestFind_Cancelled gives the context's error, and no finding.
func TestFind_Cancelled(t *testing.T) {
	tr := propertyTrial(t, rand.New(rand.NewPCG(46, 1)))
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	f, err := Find(ctx, tr.c, nil)
	if !errors.Is(err, context.Canceled) || f.Verdict != "" {
		t.Errorf("got %q, %v", f.Verdict, err)
	}
}
