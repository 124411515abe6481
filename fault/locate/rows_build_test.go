package locate_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

// The rows' usual pack: twelve modules of six groups, a disconnect in the
// middle, a tray.
const (
	modules = 12
	series  = 6
	groups  = modules * series
)

// A shop is one pack on the lift: what it truly is, the bench that it is read
// with, and the case as it was written down.
type shop struct {
	k      *rec
	rng    *rand.Rand
	layout topology.Layout // as built
	pack   circuit.Pack
	c      fault.Case
	bench  *circuit.Bench
	draws  int // how far the instruments' own chance has run
	minute int
}

// An option changes the layout before anything is read.
type option func(l *topology.Layout)

// shop makes the usual pack with its changes, healthy, with two states: closed,
// and split with the disconnect open.
func (k *rec) shop(options ...option) *shop {
	l, err := topology.Make(topology.MakeSpec{Name: "row", Modules: modules, Series: series, Parallel: 2, W: 150, H: 300, Gap: 10, Disconnect: modules / 2})
	if err != nil {
		k.fatalf("%v", err)
	}
	l.Chassis = []topology.ChassisPiece{{ID: "tray"}}
	for _, o := range options {
		o(&l)
	}
	return k.shopOf(l)
}

func (k *rec) shopOf(l topology.Layout) *shop {
	s := &shop{k: k, rng: rand.New(rand.NewPCG(k.seed, 101)), layout: l}
	net, _ := topology.Compile(l)
	s.pack = circuit.Pack{Net: net, BackgroundPerGroup: math.Exp(between(s.rng, math.Log(40e6), math.Log(400e6))) * float64(len(net.Groups))}
	mean := 3.5 + 0.3*s.rng.Float64()
	for range net.Groups {
		s.pack.GroupVolts = append(s.pack.GroupVolts, mean+0.006*s.rng.NormFloat64())
	}
	s.c = fault.Case{Title: "row", Now: "closed", Layout: l, Instruments: instruments(), Resistors: resistors()}
	s.state("closed", nil)
	s.state("split", func(st *fault.State) { st.Open = []string{"SD"} })
	return s
}

func between(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }

func instruments() []fault.Instrument {
	ranges := []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}
	meter := fault.Instrument{Kind: "voltmeter", GainPct: 0.5, Counts: 2, InputOhms: 1e7, InputTolPct: 1, Ranges: ranges}
	named := func(id string, change func(in *fault.Instrument)) fault.Instrument {
		in := meter
		in.ID = id
		if change != nil {
			change(&in)
		}
		return in
	}
	return []fault.Instrument{
		named("dmm", nil), named("dmm2", nil),
		named("meter1M", func(in *fault.Instrument) { in.InputOhms = 1e6 }),
		named("lowz", func(in *fault.Instrument) { in.InputOhms, in.InputTolPct = 4e5, 20 }),
		named("unknown", func(in *fault.Instrument) { in.InputOhms = 0 }),
		named("small", func(in *fault.Instrument) { in.Ranges = ranges[:2] }),
		{ID: "tester", Kind: "insulation tester", GainPct: 3, Counts: 3, InputOhms: 1e4, InputTolPct: 1,
			Ranges: []fault.Range{{Max: 1e5, Count: 10}, {Max: 1e6, Count: 100}, {Max: 1e8, Count: 1e4}, {Max: 2e9, Count: 1e6}}},
	}
}

func resistors() []fault.Resistor {
	return []fault.Resistor{{ID: "R200k", Ohms: 200e3, TolPct: 1, Watts: 2, MaxVolts: 1000},
		{ID: "R47k", Ohms: 47e3, TolPct: 1, Watts: 5, MaxVolts: 1000}, {ID: "R1M", Ohms: 1e6, TolPct: 1, Watts: 1, MaxVolts: 1000}}
}

// state adds a state like closed, changed.
func (s *shop) state(id string, change func(st *fault.State)) {
	st := fault.State{ID: id, Contactors: fault.Open, Monitor: fault.MonitorDisconnected}
	if change != nil {
		change(&st)
	}
	s.c.States = append(s.c.States, st)
	s.bench = nil
}

// leak puts one into the pack, its path's own potential drawn.
func (s *shop) leak(l circuit.Leak) {
	l.Shift = 0.5 * s.rng.NormFloat64() * s.pack.GroupVolts[0]
	s.pack.Leaks = append(s.pack.Leaks, l)
	s.bench = nil
}

// resize gives a leak that is there another size: it dried, it drifts.
func (s *shop) resize(i int, ohms float64) {
	s.pack.Leaks = slices.Clone(s.pack.Leaks)
	s.pack.Leaks[i].Ohms = ohms
	s.bench = nil
}

// ready wires the bench. The instruments are always the same ones, and their
// counts go on where they were.
func (s *shop) ready(stubs ...fault.Reading) {
	rng := rand.New(rand.NewPCG(s.k.seed, 202))
	c := s.c
	c.Readings = append(slices.Clone(c.Readings), stubs...)
	b, err := circuit.NewBench(rng, s.pack, c)
	if err != nil {
		s.k.fatalf("%v", err)
	}
	for range s.draws {
		rng.Float64()
	}
	s.bench = b
}

// cells takes the monitor's cell list in a state.
func (s *shop) cells(state string) {
	if s.bench == nil {
		s.ready()
	}
	list, err := s.bench.GroupVolts(state, "")
	if err != nil {
		s.k.fatalf("%v", err)
	}
	s.draws += groups
	s.c.GroupVolts = append(s.c.GroupVolts, list...)
}

// take reads once and writes it down, a minute after the last one.
func (s *shop) take(r fault.Reading) string {
	if s.bench == nil {
		s.ready()
	}
	if len(s.c.GroupVolts) == 0 && s.c.Title == "row" {
		s.cells(s.c.States[0].ID)
	}
	r.ID = fmt.Sprintf("r%d", len(s.c.Readings)+1)
	r.At = s.now()
	if r.Quantity == "" {
		r.Quantity = fault.Volts
	}
	if r.Black == "" {
		r.Black = "chassis"
	}
	if r.Instrument == "" {
		r.Instrument = "dmm"
	}
	if r.Resistor != nil && r.Resistor.From == "" {
		r.Resistor = &fault.Fitted{ID: r.Resistor.ID, From: r.Red, To: r.Black}
	}
	got, err := s.bench.Read(r)
	if err != nil {
		s.k.fatalf("%v", err)
	}
	s.draws++
	s.c.Readings = append(s.c.Readings, got)
	return got.ID
}

func (s *shop) now() string {
	s.minute++
	return time.Date(2026, 3, 2, 10, s.minute, 0, 0, time.UTC).Format(time.RFC3339)
}

// end reads terminals to chassis with the bare meter; the last one's id.
func (s *shop) end(state string, reds ...string) (id string) {
	for _, red := range reds {
		id = s.take(fault.Reading{State: state, Red: red})
	}
	return id
}

// across reads from one terminal to another.
func (s *shop) across(state, red, black string) string {
	return s.take(fault.Reading{State: state, Red: red, Black: black})
}

// with reads a terminal to chassis with a test resistor across the probes.
func (s *shop) with(state, red, resistor string) string {
	return s.take(fault.Reading{State: state, Red: red, Resistor: &fault.Fitted{ID: resistor}})
}

// section reads a section as it should be: volts over it, both ends, and the
// end that reads more with the test resistor.
func (s *shop) section(state, from, to string) {
	s.across(state, to, from)
	s.ends(state, from, to, "R200k")
}

// ends reads both ends, then the one that reads more with a test resistor.
func (s *shop) ends(state, from, to, resistor string) {
	top := s.value(s.end(state, to))
	high := to
	if bottom := s.value(s.end(state, from)); math.Abs(bottom) > math.Abs(top) {
		high = from
	}
	s.with(state, high, resistor)
}

// halves reads both halves of the split pack.
func (s *shop) halves(state string) {
	s.section(state, "M01-", "M06+")
	s.section(state, "M07-", "M12+")
}

func (s *shop) value(id string) float64 {
	r, _ := s.c.Reading(id)
	return r.Value
}

// slip changes what was written down, as a person would write it wrong.
func (s *shop) slip(id string, change func(r *fault.Reading)) {
	for i := range s.c.Readings {
		if s.c.Readings[i].ID == id {
			change(&s.c.Readings[i])
			s.c.Readings[i].Raw = ""
		}
	}
}

// record adds a reading that was not taken from this bench.
func (s *shop) record(r fault.Reading) string {
	r.ID, r.At = fmt.Sprintf("r%d", len(s.c.Readings)+1), s.now()
	s.c.Readings = append(s.c.Readings, r)
	return r.ID
}
