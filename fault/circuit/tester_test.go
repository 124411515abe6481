package circuit_test

import (
	"math/rand/v2"
	"testing"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// A rack of 715 V leaks 35 kΩ at 255 V above its negative end. The tester's
// volts E are in series with those between leak and probe, I = (E − v)/(RL + Rs),
// and it shows E/I − Rs: one end looks sound, and E = 250 V is driven backwards.
// Both ends together give the leak.
func TestTester_OnALiveSection(t *testing.T) {
	p := circuit.Pack{Net: net(t, oneString(equal(11, 13), 0)), GroupVolts: same(143, 5)}
	p.Leaks = []circuit.Leak{{At: "M04.12", Ohms: 35e3}} // after group 51 of 5 V each
	c := fault.Case{Layout: p.Net.Layout, States: []fault.State{{ID: "closed"}},
		Instruments: []fault.Instrument{{ID: "tester", InputOhms: 1e4, Ranges: []fault.Range{{Max: 1e6, Count: 10}, {Max: 2e9, Count: 1e5}}}}}
	b, err := circuit.NewBench(rand.New(rand.NewPCG(1, 1)), p, c)
	if err != nil {
		t.Fatal(err)
	}
	test := func(at string, volts float64) fault.Reading {
		r, err := b.Read(fault.Reading{State: "closed", Quantity: fault.Insulation, Red: at, Black: "chassis", Instrument: "tester", TestVolts: volts})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	low, high := test("M01-", 500), test("M11+", 500)
	near(t, "negative end", low.Value, 500*45e3/(500+255)-1e4, 5.01)
	near(t, "positive end", high.Value, 500*45e3/(500-460)-1e4, 5.01)
	if r := test("M11+", 250); r.Relation != fault.Greater || r.Raw != "OL" || r.Value != 2e9 {
		t.Errorf("460 V drive 250 V backwards: got %+v, want an overflow", r)
	}
	near(t, "both ends", 715/(500*(1/(low.Value+1e4)-1/(high.Value+1e4)))-1e4, 35e3, 20)
}

func TestGroupVolts(t *testing.T) {
	n := net(t, oneString([]int{4, 4, 4}, 1))
	p := circuit.Pack{Net: n, GroupVolts: same(12, 3.7)}
	c := fault.Case{Layout: n.Layout, Instruments: []fault.Instrument{dmm("dmm")},
		States: []fault.State{{ID: "closed"}, {ID: "out", Removed: []string{"M02"}}}}
	var worst, worstMeter, worstMean float64
	for seed := range uint64(300) {
		b, err := circuit.NewBench(rand.New(rand.NewPCG(seed, 1)), p, c)
		if err != nil {
			t.Fatal(err)
		}
		out, err := b.GroupVolts("out", "")
		if err != nil {
			t.Fatal(err)
		}
		if len(out) != 2 || out[0].Module != "M01" || out[1].Module != "M03" || len(out[1].Volts) != 4 {
			t.Fatalf("without M02: got %+v", out)
		}
		mean := 0.0
		for _, gv := range out {
			for _, v := range gv.Volts {
				worst = max(worst, v-3.7)
				mean += (v - 3.7) / 8
			}
		}
		worstMean = max(worstMean, mean)
		read, err := b.GroupVolts("closed", "dmm")
		if err != nil {
			t.Fatal(err)
		}
		for _, gv := range read {
			for _, v := range gv.Volts {
				worstMeter = max(worstMeter, v-3.7)
			}
		}
	}
	near(t, "monitor: 0.2 % and 5 mV", worst, 0.0124, 0.0006)
	near(t, "monitor: mean of eight, mostly gain", worstMean, 0.0085, 0.0015)
	near(t, "meter: 0.5 % and 2 counts", worstMeter, 0.0205, 0.0006)
}

// A monitor that is connected, its two resistors known: 1.2 MΩ from each pole,
// and 1 MΩ at a fifth of 400 V.
func TestBench_MonitorConnected(t *testing.T) {
	ohms := 1.2e6
	l := oneString([]int{100}, 0)
	l.Monitor = &topology.Monitor{From: []string{"M01-", "M01+"}, To: "chassis", Ohms: &ohms}
	p := circuit.Pack{Net: net(t, l), GroupVolts: same(100, 4), Leaks: []circuit.Leak{{At: "M01.20", Ohms: 1e6}}}
	c := fault.Case{Layout: l, Instruments: []fault.Instrument{{ID: "exact", InputOhms: 1e7}},
		States: []fault.State{{ID: "on", Monitor: fault.MonitorConnected}, {ID: "off", Monitor: fault.MonitorDisconnected}}}
	b, err := circuit.NewBench(rand.New(rand.NewPCG(1, 1)), p, c)
	if err != nil {
		t.Fatal(err)
	}
	for state, want := range map[string]float64{"on": -149.3976, "off": -80 * 10. / 11} {
		r, err := b.Read(fault.Reading{State: state, Red: "M01-", Black: "chassis", Instrument: "exact"})
		if err != nil {
			t.Fatal(err)
		}
		near(t, state, r.Value, want, digits)
	}
}
