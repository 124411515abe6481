package locate

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// full runs every simulation at the size that README reports.
var full = flag.Bool("full", false, "run coverage and ranking at full size")

func trials(reduced, all int) int {
	switch {
	case *full:
		return all
	case raced:
		return max(2, reduced/10)
	}
	return reduced
}

// A trial is one simulated pack with its hidden leaks and what was read.
type trial struct {
	layout topology.Layout
	net    *topology.Net
	pack   circuit.Pack
	c      fault.Case
	volts  []float64
	leaks  []circuit.Leak
	at     []int // position of each leak, groups from the negative end
	shifts []float64
}

// chain is one string of equal modules with a disconnect SD after module sd.
func chain(modules, series, sd int) topology.Layout {
	l := topology.Layout{Name: "simulated", SeenFrom: "above"}
	id := func(i int) string { return fmt.Sprintf("M%02d", i) }
	for i := 1; i <= modules; i++ {
		l.Modules = append(l.Modules, topology.Module{ID: id(i), Series: series, Parallel: 2, W: 300, H: 150, Y: 160 * float64(i), Minus: "left"})
		if i == 1 {
			continue
		}
		link := topology.Link{ID: fmt.Sprintf("L%02d", i-1), Kind: topology.Busbar, From: id(i-1) + "+", To: id(i) + "-"}
		if i-1 == sd {
			link.ID, link.Kind = "SD", topology.Disconnect
		}
		l.Links = append(l.Links, link)
	}
	l.Links = append(l.Links,
		topology.Link{ID: "KN", Kind: topology.Contactor, From: id(1) + "-", To: "pack-"},
		topology.Link{ID: "KP", Kind: topology.Contactor, From: id(modules) + "+", To: "pack+"})
	return l
}

// benchMeter is a usual 6000-count meter.
func benchMeter() fault.Instrument {
	return fault.Instrument{ID: "dmm", Kind: "voltmeter", GainPct: 0.5, Counts: 2, InputOhms: 1e7, InputTolPct: 1,
		Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}}
}

// newTrial is a pack of that shape with group volts about 3.65 V and background
// log-uniform over the pack, before any leak is put in.
func newTrial(rng *rand.Rand, modules, series int) *trial {
	tr := &trial{layout: chain(modules, series, modules/2)}
	tr.net, _ = topology.Compile(tr.layout)
	n := len(tr.net.Groups)
	tr.volts = make([]float64, n)
	mean := 3.3 + 0.7*rng.Float64()
	for i := range tr.volts {
		tr.volts[i] = mean + 0.008*rng.NormFloat64()
	}
	whole := math.Exp(logUniform(rng, math.Log(backgroundLow), math.Log(backgroundHigh)))
	tr.pack = circuit.Pack{Net: tr.net, GroupVolts: tr.volts, BackgroundPerGroup: whole * float64(n)}
	tr.c = fault.Case{Title: "simulated", Now: "closed", Layout: tr.layout,
		Instruments: []fault.Instrument{benchMeter()},
		Resistors:   []fault.Resistor{{ID: "R200k", Ohms: 200e3, TolPct: 1, Watts: 2, MaxVolts: 1000}},
		States: []fault.State{
			{ID: "closed", Contactors: fault.Open, Monitor: fault.MonitorDisconnected},
			{ID: "split", Open: []string{"SD"}, Contactors: fault.Open, Monitor: fault.MonitorDisconnected}}}
	return tr
}

func logUniform(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

// leak puts one at a tap position, its path's own potential shift in volts.
func (tr *trial) leak(at int, ohms, shift float64) {
	l := circuit.Leak{At: tr.net.Name(tr.net.TapAt(0, at)), Ohms: ohms, Shift: shift}
	tr.leaks, tr.at, tr.shifts = append(tr.leaks, l), append(tr.at, at), append(tr.shifts, shift)
	tr.pack.Leaks = tr.leaks
}

// shift draws a leak path's own potential.
func (tr *trial) shift(rng *rand.Rand) float64 {
	sum := 0.0
	for _, v := range tr.volts {
		sum += v
	}
	return rng.NormFloat64() * pathSD * sum / float64(len(tr.volts))
}

// bench draws what the instruments truly are and reads the cells once.
func (tr *trial) bench(t testing.TB, rng *rand.Rand) *circuit.Bench {
	t.Helper()
	b, err := circuit.NewBench(rng, tr.pack, tr.c)
	if err != nil {
		t.Fatal(err)
	}
	if tr.c.GroupVolts, err = b.GroupVolts("closed", ""); err != nil {
		t.Fatal(err)
	}
	return b
}

// read adds a reading to the case.
func (tr *trial) read(t testing.TB, b *circuit.Bench, state, red, black, resistor string) {
	t.Helper()
	r := fault.Reading{ID: fmt.Sprintf("r%d", len(tr.c.Readings)+1), State: state, Quantity: fault.Volts, Red: red, Black: black, Instrument: "dmm"}
	if resistor != "" {
		r.Resistor = &fault.Fitted{ID: resistor, From: red, To: black}
	}
	got, err := b.Read(r)
	if err != nil {
		t.Fatal(err)
	}
	tr.c.Readings = append(tr.c.Readings, got)
}

func (tr *trial) ends(state string) (neg, pos string) {
	last := tr.layout.Modules[len(tr.layout.Modules)-1].ID
	return tr.layout.Modules[0].ID + "-", last + "+"
}

// readClosed takes the three terminal readings of an unbroken string.
func (tr *trial) readClosed(t testing.TB, b *circuit.Bench) {
	neg, pos := tr.ends("closed")
	tr.read(t, b, "closed", pos, neg, "")
	tr.read(t, b, "closed", pos, "chassis", "")
	tr.read(t, b, "closed", neg, "chassis", "")
	high := pos
	if v := tr.c.Readings; math.Abs(v[len(v)-1].Value) > math.Abs(v[len(v)-2].Value) {
		high = neg
	}
	tr.read(t, b, "closed", high, "chassis", "R200k")
}

// readSplit takes both halves, both ends, the higher end with the resistor too.
func (tr *trial) readSplit(t testing.TB, b *circuit.Bench) {
	neg, pos := tr.ends("split")
	half := len(tr.layout.Modules) / 2
	low, high := tr.layout.Modules[half-1].ID+"+", tr.layout.Modules[half].ID+"-"
	for _, s := range [][2]string{{neg, low}, {high, pos}} {
		tr.read(t, b, "split", s[1], "chassis", "")
		top := tr.c.Readings[len(tr.c.Readings)-1].Value
		tr.read(t, b, "split", s[0], "chassis", "")
		end := s[1]
		if math.Abs(tr.c.Readings[len(tr.c.Readings)-1].Value) > math.Abs(top) {
			end = s[0]
		}
		tr.read(t, b, "split", end, "chassis", "R200k")
	}
}
