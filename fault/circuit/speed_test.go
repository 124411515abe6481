package circuit_test

import (
	"math/rand/v2"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// benchPack is 96 groups with two leaks and background.
func benchPack(b *testing.B) circuit.Pack {
	n := net(b, oneString(equal(12, 8), 6))
	return circuit.Pack{Net: n, GroupVolts: same(96, 3.6), BackgroundPerModule: 4e8, Wirings: circuit.NewWirings(n),
		Leaks: []circuit.Leak{{At: "M03.2", Ohms: 1e5}, {At: "M09.3", Ohms: 2e5}}}
}

// A pack whose graph is known, in a state of two halves: what a trial of a
// simulation pays for every new fault and state.
func BenchmarkPack_In(b *testing.B) {
	p := benchPack(b)
	set := topology.Setting{Open: []string{"SD"}}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := p.In(set, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// One reading of a circuit that is there.
func BenchmarkCircuit_Solve(b *testing.B) {
	for name, ohms := range map[string]float64{"ideal": 0, "milliohms": 1e-3} {
		b.Run(name, func(b *testing.B) {
			p := benchPack(b)
			p.GroupOhms = same(96, ohms)
			c, err := p.In(topology.Setting{Open: []string{"SD"}}, nil)
			if err != nil {
				b.Fatal(err)
			}
			els := []circuit.Element{{From: "M12+", To: "chassis", Ohms: 1e7}, {From: "M12+", To: "chassis", Ohms: 2e5}}
			b.ReportAllocs()
			for b.Loop() {
				s, err := c.Solve(els)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := s.Volts("M12+", "chassis"); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// A whole trial: a new pack, a bench with two states, six readings.
func BenchmarkBench(b *testing.B) {
	p := benchPack(b)
	c := fault.Case{Layout: p.Net.Layout, Instruments: []fault.Instrument{dmm("dmm")}, Resistors: []fault.Resistor{{ID: "R", Ohms: 2e5, TolPct: 1}},
		States: []fault.State{{ID: "closed"}, {ID: "split", Open: []string{"SD"}}}}
	rng := rand.New(rand.NewPCG(1, 1))
	b.ReportAllocs()
	for b.Loop() {
		bench, err := circuit.NewBench(rng, p, c)
		if err != nil {
			b.Fatal(err)
		}
		for _, s := range []string{"closed", "split"} {
			for _, r := range []fault.Reading{{Red: "M12+"}, {Red: "M01-"}, {Red: "M01-", Resistor: &fault.Fitted{ID: "R"}}} {
				r.State, r.Black, r.Instrument = s, "chassis", "dmm"
				if _, err := bench.Read(r); err != nil {
					b.Fatal(err)
				}
			}
		}
	}
}

// A pack of 5,000 groups with milliohms, from the layout on.
func BenchmarkWire_5000(b *testing.B) {
	n := net(b, oneString(equal(500, 10), 250))
	for b.Loop() {
		circuit.Wire(n, topology.Setting{Open: []string{"SD"}})
	}
}

func BenchmarkPack_Solve5000Milliohms(b *testing.B) {
	n := net(b, oneString(equal(500, 10), 250))
	p := circuit.Pack{Net: n, GroupVolts: same(5000, 3.6), GroupOhms: same(5000, 1e-3), BackgroundPerModule: 1e10, Wirings: circuit.NewWirings(n),
		Leaks: []circuit.Leak{{At: "M99.3", Ohms: 1e5}}}
	for b.Loop() {
		if _, err := p.Solve(topology.Setting{}, nil, nil); err != nil {
			b.Fatal(err)
		}
	}
}
