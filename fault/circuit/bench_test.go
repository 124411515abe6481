package circuit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// dmm is a 6000-count meter.
func dmm(id string) fault.Instrument {
	return fault.Instrument{ID: id, Kind: "voltmeter", GainPct: 0.5, Counts: 2, InputOhms: 1e7, InputTolPct: 1,
		Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}}
}

// bench is S1's string with its leak, a meter of each accuracy, and a case with
// the disconnect closed and open.
func bench(t *testing.T, seed uint64) (*circuit.Bench, circuit.Pack) {
	t.Helper()
	p := scenarios(t)[0].pack(t)
	exact := dmm("exact")
	exact.GainPct, exact.Counts, exact.InputTolPct = 0, 0, 0
	tester := fault.Instrument{ID: "tester", Ranges: []fault.Range{{Max: 1e6, Count: 100}, {Max: 2e9, Count: 1e5}}}
	second := dmm("dmm2")
	c := fault.Case{Layout: p.Net.Layout,
		Instruments: []fault.Instrument{dmm("dmm"), second, exact, tester},
		Resistors:   []fault.Resistor{{ID: "R200k", Ohms: 2e5, TolPct: 1}, {ID: "exact", Ohms: 2e5}},
		States: []fault.State{{ID: "closed", Contactors: fault.Open, Monitor: fault.MonitorDisconnected},
			{ID: "split", Open: []string{"SD"}, Contactors: fault.Open}},
		Readings: []fault.Reading{
			{ID: "a", State: "closed", Red: "M12+", Black: "chassis", Instrument: "exact", TogetherWith: "b"},
			{ID: "b", State: "closed", Red: "M01-", Black: "chassis", Instrument: "exact"}},
	}
	b, err := circuit.NewBench(rand.New(rand.NewPCG(seed, 1)), p, c)
	if err != nil {
		t.Fatal(err)
	}
	return b, p
}

func TestBench_ShowsWhatAMeterShows(t *testing.T) {
	b, _ := bench(t, 1)
	for name, tc := range map[string]struct {
		r    fault.Reading
		want fault.Reading
	}{
		"top":          {fault.Reading{State: "closed", Red: "M12+", Black: "chassis"}, fault.Reading{Value: 103.6, Raw: "103.6", Relation: "="}},
		"leads turned": {fault.Reading{State: "closed", Red: "chassis", Black: "M12+"}, fault.Reading{Value: -103.6, Raw: "-103.6", Relation: "="}},
		"small range":  {fault.Reading{State: "closed", Red: "M09.3", Black: "chassis"}, fault.Reading{Value: 0.361, Raw: "0.361", Relation: "="}},
		"top range":    {fault.Reading{State: "closed", Red: "M12+", Black: "chassis", Range: 1000}, fault.Reading{Value: 104, Raw: "104", Relation: "="}},
		"overflow":     {fault.Reading{State: "closed", Red: "M12+", Black: "chassis", Range: 60}, fault.Reading{Value: 60, Raw: "OL", Relation: ">"}},
		"below":        {fault.Reading{State: "closed", Red: "M01-", Black: "chassis", Range: 60}, fault.Reading{Value: -60, Raw: "-OL", Relation: "<"}},
		"resistor": {fault.Reading{State: "closed", Red: "M01-", Black: "chassis", Resistor: &fault.Fitted{ID: "exact"}},
			fault.Reading{Value: -126.4, Raw: "-126.4", Relation: "="}},
		"split": {fault.Reading{State: "split", Red: "SD@M07-", Black: "chassis"}, fault.Reading{Value: -67.1, Raw: "-67.1", Relation: "="}},
	} {
		t.Run(name, func(t *testing.T) {
			tc.r.Instrument, tc.r.Quantity = "exact", fault.Volts
			got, err := b.Read(tc.r)
			if err != nil {
				t.Fatal(err)
			}
			want := tc.r
			want.Value, want.Raw, want.Relation = tc.want.Value, tc.want.Raw, tc.want.Relation
			if d := cmp.Diff(want, got); d != "" {
				t.Error(d)
			}
		})
	}
}

// A leak of a board is off in the states that have the board off its taps, one
// by one or all together.
func TestBench_BoardsOut(t *testing.T) {
	l := oneString([]int{4, 4}, 0)
	l.Boards = []topology.Board{{ID: "B1", Taps: []string{"M01.2"}}, {ID: "B2", Taps: []string{"M02.2"}}}
	p := circuit.Pack{Net: net(t, l), GroupVolts: same(8, 4), Leaks: []circuit.Leak{{At: "M01.2", Ohms: 1000, OnlyWithBoard: "B1"}}}
	exact := fault.Instrument{ID: "exact", InputOhms: 1e9, Ranges: []fault.Range{{Max: 600, Count: 0.1}}}
	b, err := circuit.NewBench(rand.New(rand.NewPCG(1, 1)), p, fault.Case{Instruments: []fault.Instrument{exact},
		States: []fault.State{{ID: "in"}, {ID: "other", Unplugged: []string{"B2"}}, {ID: "its", Unplugged: []string{"B1"}}, {ID: "all", Boards: fault.BoardsOut}}})
	if err != nil {
		t.Fatal(err)
	}
	for state, want := range map[string]float64{"in": -8, "other": -8, "its": 0, "all": 0} {
		r, err := b.Read(fault.Reading{State: state, Quantity: fault.Volts, Red: "M01-", Black: "chassis", Instrument: "exact"})
		if err != nil {
			t.Fatal(err)
		}
		near(t, state, r.Value, want, 1e-9)
	}
	if _, err := circuit.NewBench(rand.New(rand.NewPCG(1, 1)), circuit.Pack{}, fault.Case{States: []fault.State{{ID: "in"}}}); err == nil {
		t.Error("a pack without a layout makes a bench")
	}
}

func TestBench_SameSeedSameReadings(t *testing.T) {
	list := func(seed uint64) (out []float64) {
		b, _ := bench(t, seed)
		for range 5 {
			r, err := b.Read(fault.Reading{State: "closed", Red: "M12+", Black: "M01-", Instrument: "dmm", Resistor: &fault.Fitted{ID: "R200k"}})
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, r.Value)
		}
		gv, err := b.GroupVolts("closed", "")
		if err != nil {
			t.Fatal(err)
		}
		return append(out, gv[3].Volts...)
	}
	if d := cmp.Diff(list(7), list(7)); d != "" {
		t.Error(d)
	}
	if cmp.Equal(list(7), list(8)) {
		t.Error("two seeds gave the same readings")
	}
}

// Over many benches the errors fill their specification and stay inside it.
func TestBench_ErrorsFillTheSpecification(t *testing.T) {
	_, p := bench(t, 1)
	truth := read(t, p, topology.Setting{}, "M12+", "M01-", 1e7)
	var worst, gainOnly float64
	for seed := range uint64(400) {
		b, _ := bench(t, seed)
		var sum float64
		for range 20 {
			r, err := b.Read(fault.Reading{State: "closed", Red: "M12+", Black: "M01-", Instrument: "dmm"})
			if err != nil {
				t.Fatal(err)
			}
			worst = max(worst, math.Abs(r.Value-truth))
			sum += r.Value - truth
		}
		gainOnly = max(gainOnly, math.Abs(sum/20))
	}
	limit := 0.005*truth + 2*0.1 + 0.05
	if worst > limit || worst < 0.93*limit {
		t.Errorf("worst error %.3f V, want just below %.3f", worst, limit)
	}
	if gainOnly < 0.95*0.005*truth {
		t.Errorf("mean of twenty errs by %.3f V at most; the gain is common to all and should show", gainOnly)
	}
}

func TestBench_TwoMetersAtOnceAreOneCircuit(t *testing.T) {
	b, p := bench(t, 3)
	want := read(t, p, topology.Setting{}, "M12+", "chassis", 1e7, circuit.Element{From: "M01-", To: "chassis", Ohms: 1e7})
	up, err := b.Read(fault.Reading{ID: "a", State: "closed", Red: "M12+", Black: "chassis", Instrument: "exact", TogetherWith: "b"})
	if err != nil {
		t.Fatal(err)
	}
	down, err := b.Read(fault.Reading{ID: "b", State: "closed", Red: "M01-", Black: "chassis", Instrument: "exact"})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "up", up.Value, want, 0.05+1e-9)
	near(t, "sum", up.Value-down.Value, 347.16, 0.1+1e-9)
}

func TestBench_RefusesWhatItCannotRead(t *testing.T) {
	b, _ := bench(t, 1)
	for name, r := range map[string]fault.Reading{
		"unknown state":      {State: "x", Red: "M12+", Black: "chassis", Instrument: "dmm"},
		"unknown instrument": {State: "closed", Red: "M12+", Black: "chassis", Instrument: "x"},
		"unknown node":       {State: "closed", Red: "M99+", Black: "chassis", Instrument: "dmm"},
		"unknown piece":      {State: "closed", Red: "M12+", Black: "chassis:lid", Instrument: "dmm"},
		"unknown resistor":   {State: "closed", Red: "M12+", Black: "chassis", Instrument: "dmm", Resistor: &fault.Fitted{ID: "x"}},
		"unknown range":      {State: "closed", Red: "M12+", Black: "chassis", Instrument: "dmm", Range: 7},
		"unknown partner":    {State: "closed", Red: "M12+", Black: "chassis", Instrument: "dmm", TogetherWith: "x"},
		"temperature":        {State: "closed", Quantity: fault.Celsius},
	} {
		t.Run(name, func(t *testing.T) {
			if got, err := b.Read(r); err == nil {
				t.Errorf("got %+v", got)
			}
		})
	}
}
