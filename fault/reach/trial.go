package reach

import (
	"context"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"

	"halfsplit/fault"
	"halfsplit/fault/circuit"
	"halfsplit/fault/locate"
	"halfsplit/topology"
)

// What a simulated pack is drawn from.
const (
	spread         = 0.35 // V: a pack's groups are about so far from the mean charge, either way
	groupSD        = 0.008
	backgroundLow  = 8e6 // ohms, of the whole pack
	backgroundHigh = 2e9
	pathSD         = 0.5  // groups: the leak path's own potential
	cellOhms       = 1e-3 // of a group, where strings are tied at both ends
)

// A trial is one drawn pack with its hidden leak, and the readings so far.
type trial struct {
	*plan
	size, number int
	src          *rand.PCG // what the bench draws its counts from
	bench        *circuit.Bench
	volts        []fault.GroupVolts
	str, at      int // where the leak is: string, groups from its negative end
	states       map[string]fault.State
}

// seeds gives every use of chance its own stream.
func (p *plan) seeds(size, number, what int) (uint64, uint64) {
	mix := func(x uint64) uint64 { // SplitMix64, Steele, Lea and Flood 2014
		x += 0x9e3779b97f4a7c15
		x = (x ^ x>>30) * 0xbf58476d1ce4e5b9
		x = (x ^ x>>27) * 0x94d049bb133111eb
		return x ^ x>>31
	}
	a := mix(mix(p.Seed) ^ uint64(size)<<40 ^ uint64(number)<<8 ^ uint64(what))
	return a, mix(a)
}

// draw draws a pack and its leak. Every state reads the same packs, so that the
// states can be compared.
func (p *plan) draw(wirings *circuit.Wirings, size, number int) (*trial, error) {
	src := rand.NewPCG(p.seeds(size, number, 0))
	rng := rand.New(src)
	t := &trial{plan: p, size: size, number: number, src: src, states: map[string]fault.State{}}
	mean := p.mean + spread*(2*rng.Float64()-1)
	pack := circuit.Pack{Net: p.net, GroupVolts: make([]float64, len(p.net.Groups)), Wirings: wirings}
	for i := range pack.GroupVolts {
		pack.GroupVolts[i] = mean + groupSD*rng.NormFloat64()
	}
	if p.tied() {
		pack.GroupOhms = make([]float64, len(p.net.Groups))
		for i := range pack.GroupOhms {
			pack.GroupOhms[i] = cellOhms
		}
	}
	whole := backgroundLow * math.Pow(backgroundHigh/backgroundLow, rng.Float64())
	pack.BackgroundPerGroup = whole * float64(len(p.net.Groups))
	t.place(rng.IntN(p.taps()))
	pack.Leaks = []circuit.Leak{{At: p.net.Name(p.net.TapAt(t.str, t.at)), Ohms: p.Ohms[size], Shift: pathSD * mean * rng.NormFloat64()}}
	c := fault.Case{Layout: p.Layout, Instruments: []fault.Instrument{p.meter}}
	if p.resistor != nil {
		c.Resistors = []fault.Resistor{*p.resistor}
	}
	for _, s := range p.settings() {
		t.states[s.ID] = s
		c.States = append(c.States, s)
	}
	var err error
	if t.bench, err = circuit.NewBench(rng, pack, c); err != nil {
		return nil, err
	}
	t.volts, err = t.bench.GroupVolts(closed, "")
	return t, err
}

// taps is how many places a leak may have: every tap of every string.
func (p *plan) taps() (n int) {
	for _, s := range p.net.Strings {
		if s.Groups > 0 {
			n += s.Groups + 1
		}
	}
	return n
}

func (t *trial) place(n int) {
	for i, s := range t.net.Strings {
		if s.Groups == 0 {
			continue
		}
		if n <= s.Groups {
			t.str, t.at = i, n
			return
		}
		n -= s.Groups + 1
	}
}

// tied says that strings are tied at both ends somewhere: currents circulate.
func (p *plan) tied() bool {
	for _, s := range p.net.In(topology.Setting{}).Sections {
		if s.Looped {
			return true
		}
	}
	return false
}

// Ids of the states of a trial.
const closed = "closed"

func splitID(way int) string             { return fmt.Sprintf("split%d", way+1) }
func againID(way int, end string) string { return splitID(way) + " " + end }

// settings are all states that any trial may bring the pack into.
func (p *plan) settings() []fault.State {
	at := func(id string, open ...string) fault.State {
		return fault.State{ID: id, Open: open, Contactors: fault.Open, Monitor: fault.MonitorDisconnected}
	}
	all := []fault.State{at(closed)}
	for i, w := range p.ways {
		all = append(all, at(splitID(i), w.open))
		for _, end := range slices.Sorted(maps.Keys(w.again)) {
			all = append(all, at(againID(i, end), w.open, w.again[end]))
		}
	}
	return all
}

// run reads the pack in every state and says what is found in each.
func (t *trial) run(ctx context.Context) ([]outcome, error) {
	out := make([]outcome, len(t.plan.states))
	begun := fault.Case{Title: "simulated", Layout: t.Layout, Instruments: []fault.Instrument{t.meter}, GroupVolts: t.volts}
	if t.resistor != nil {
		begun.Resistors = []fault.Resistor{*t.resistor}
	}
	unbroken, f, err := t.look(ctx, begun, closed, "", 0)
	if err != nil {
		return nil, err
	}
	out[0] = t.judge(f, len(unbroken.Readings))
	for i, w := range t.ways {
		c, f, err := t.look(ctx, unbroken, splitID(i), closed, w.at[0])
		if err != nil {
			return nil, err
		}
		out[w.at[0]] = t.judge(f, len(c.Readings))
		if w.at[1] < 0 {
			continue
		}
		if end := leakier(f, splitID(i)); w.again[end] != "" {
			if c, f, err = t.look(ctx, c, againID(i, end), splitID(i), w.at[1]); err != nil {
				return nil, err
			}
		}
		out[w.at[1]] = t.judge(f, len(c.Readings))
	}
	return out, nil
}

// leakier is the negative end of the section of a state that has the least ohms to
// chassis by what was read.
func leakier(f fault.Finding, state string) (end string) {
	least := math.Inf(1)
	for _, s := range f.Sections {
		ohms := s.Ohms.Mid
		switch s.Ohms.Relation {
		case fault.Less:
			ohms = s.Ohms.High
		case fault.Greater:
			ohms = s.Ohms.Low
		}
		if s.State == state && float64(ohms) < least {
			end, least = s.From, float64(ohms)
		}
	}
	return end
}

// look brings the pack into a state, reads the sections that it has made, and asks
// the engine. The case names no present state: what to read next, which takes the
// engine longer than all else, is not asked here.
func (t *trial) look(ctx context.Context, c fault.Case, state, before string, stream int) (fault.Case, fault.Finding, error) {
	s := t.states[state]
	c.States = append(c.States[:len(c.States):len(c.States)], s)
	t.src.Seed(t.seeds(t.size, t.number, stream+1))
	if err := t.read(&c, s, t.states[before], before != ""); err != nil {
		return c, fault.Finding{}, err
	}
	f, err := locate.Find(ctx, c, nil)
	return c, f, err
}

// read reads the ends of every section that is new plainly to chassis, and the
// higher one with the test resistor too; of a closed pack also its whole volts.
func (t *trial) read(c *fault.Case, s, before fault.State, changed bool) error {
	had := map[string]bool{}
	if changed {
		for _, sec := range t.net.In(before.Setting()).Sections {
			had[t.net.Name(sec.From)+" "+t.net.Name(sec.To)] = true
		}
	}
	c.Readings = c.Readings[:len(c.Readings):len(c.Readings)]
	for _, sec := range t.net.In(s.Setting()).Sections {
		low, high := t.net.Name(sec.From), t.net.Name(sec.To)
		if had[low+" "+high] {
			continue
		}
		if !changed {
			if _, err := t.volt(c, s.ID, high, low, false); err != nil {
				return err
			}
		}
		top, err := t.volt(c, s.ID, high, "chassis", false)
		if err != nil {
			return err
		}
		bottom, err := t.volt(c, s.ID, low, "chassis", false)
		if err != nil {
			return err
		}
		end := high
		if math.Abs(bottom) > math.Abs(top) {
			end = low
		}
		if t.resistor != nil {
			if _, err := t.volt(c, s.ID, end, "chassis", true); err != nil {
				return err
			}
		}
	}
	return nil
}

// volt takes one reading.
func (t *trial) volt(c *fault.Case, state, red, black string, loaded bool) (float64, error) {
	r := fault.Reading{ID: fmt.Sprintf("r%d", len(c.Readings)+1), State: state, Quantity: fault.Volts, Red: red, Black: black, Instrument: t.meter.ID}
	if loaded {
		r.Resistor = &fault.Fitted{ID: t.resistor.ID, From: red, To: black}
	}
	r, err := t.bench.Read(r)
	if err == nil {
		c.Readings = append(c.Readings, r)
	}
	return r.Value, err
}
