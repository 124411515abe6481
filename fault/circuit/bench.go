package circuit

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A Bench is a pack with the instruments, test resistors and states of a case,
// read as a person would. Every instrument errs within its specification: a
// gain for each range and an input resistance that stay as they are, and counts
// that are new with every reading, all uniform. Every resistor has a true value
// within its tolerance.
//
// The same seed, pack, case and order of reading give the same values. A Bench
// must not be used from several goroutines.
type Bench struct {
	pack      Pack
	kase      fault.Case
	rng       *rand.Rand
	meters    map[string]meter
	resistors map[string]float64
	monitor   float64 // true gain of the monitor's cell voltages
	circuits  map[string]*Circuit
}

// NewBench draws what every instrument and resistor of the case truly is. It
// fails where a state or the pack cannot be a circuit.
func NewBench(rng *rand.Rand, p Pack, c fault.Case) (*Bench, error) {
	b := &Bench{pack: p, kase: c, rng: rng, meters: map[string]meter{}, resistors: map[string]float64{}, circuits: map[string]*Circuit{}}
	for _, in := range c.Instruments {
		b.meters[in.ID] = newMeter(rng, in)
	}
	for _, r := range c.Resistors {
		b.resistors[r.ID] = r.Ohms * (1 + within(rng, r.TolPct/100))
	}
	b.monitor = 1 + within(rng, monitorGain)
	states := c.States
	b.kase.States = nil
	for _, s := range states {
		if err := b.Enter(s); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// Enter adds a state that the case did not have yet, so that it can be read in.
func (b *Bench) Enter(s fault.State) error {
	circuit, err := b.pack.In(s.Setting(), b.pack.unplugged(s))
	if err != nil {
		return fmt.Errorf("state %s: %w", s.ID, err)
	}
	b.kase.States = append(b.kase.States, s)
	b.circuits[s.ID] = circuit
	return nil
}

// unplugged are the boards that a state has off their taps.
func (p Pack) unplugged(s fault.State) (out []string) {
	if p.Net == nil {
		return nil // In says so
	}
	for _, b := range p.Net.Layout.Boards {
		if !s.Plugged(b.ID) {
			out = append(out, b.ID)
		}
	}
	return out
}

// Read takes a reading whose state, quantity, leads, instrument, range and
// resistor are filled in, and returns it with its value, raw digits and
// relation. Quantities are volts and insulation. A display that overflows
// gives "OL" and a bound. A reading taken together with another one of the case
// is one circuit with both meters and both resistors in it.
//
// A monitor that injects is read as one that is only connected.
func (b *Bench) Read(r fault.Reading) (fault.Reading, error) {
	var err error
	switch r.Quantity {
	case fault.Volts, "":
		r, err = b.volts(r)
	case fault.Insulation:
		r, err = b.insulation(r)
	default:
		err = fmt.Errorf("the bench does not read %s", r.Quantity)
	}
	if err != nil {
		return r, fmt.Errorf("reading %s: %w", r.ID, err)
	}
	return r, nil
}

// A probe is a meter with its leads on, about to be read.
type probe struct {
	fault.Reading
	meter
	rg, high int
	slip     float64
	shown    float64
}

func (b *Bench) probe(r fault.Reading) (probe, error) {
	m, ok := b.meters[r.Instrument]
	if !ok {
		return probe{}, fmt.Errorf("there is no instrument %q", r.Instrument)
	}
	rg, high, err := m.choice(r.Range)
	return probe{Reading: r, meter: m, rg: rg, high: high, slip: within(b.rng, 1)}, err
}

// volts reads with one meter, or with two at once.
func (b *Bench) volts(r fault.Reading) (fault.Reading, error) {
	together := []fault.Reading{r}
	if other, ok, err := b.partner(r); err != nil {
		return r, err
	} else if ok {
		together = append(together, other)
	}
	circuit, fixed, err := b.fixed(together)
	if err != nil {
		return r, err
	}
	probes := make([]probe, len(together))
	for i, t := range together {
		if probes[i], err = b.probe(t); err != nil {
			return r, err
		}
	}
	for again := true; again; {
		if again, err = display(circuit, fixed, probes); err != nil {
			return r, err
		}
	}
	return probes[0].enter(r, probes[0].shown, probes[0].rg), nil
}

// display lets the circuit settle with every meter on its range. A meter that
// overflows steps up where it can; its input may change with the range, so
// that all must be looked at again.
func display(c *Circuit, fixed []Element, probes []probe) (again bool, err error) {
	els := slices.Clone(fixed)
	for _, p := range probes {
		els = append(els, Element{From: p.Red, To: p.Black, Ohms: p.ohms(p.rg)})
	}
	s, err := c.Solve(els)
	if err != nil {
		return false, err
	}
	for i := range probes {
		p := &probes[i]
		v, err := s.Volts(p.Red, p.Black)
		if err != nil {
			return false, err
		}
		p.shown = p.show(v, p.rg, p.slip)
		if p.over(p.shown, p.rg) && p.rg < p.high {
			p.rg++
			again = true
		}
	}
	return again, nil
}

// partner is the reading that a second meter took at the same time; either of
// the two may name the other.
func (b *Bench) partner(r fault.Reading) (fault.Reading, bool, error) {
	other, ok := b.kase.Reading(r.TogetherWith)
	if r.TogetherWith != "" && !ok {
		return r, false, fmt.Errorf("there is no reading %s to take it together with", r.TogetherWith)
	}
	for _, o := range b.kase.Readings {
		if !ok && r.ID != "" && o.TogetherWith == r.ID {
			other, ok = o, true
		}
	}
	if ok && other.State != r.State {
		return r, false, fmt.Errorf("reading %s belongs to another state", other.ID)
	}
	return other, ok, nil
}

// fixed is the circuit of the readings' state and what is connected besides
// meters: test resistors, each once, and the insulation monitor.
func (b *Bench) fixed(readings []fault.Reading) (*Circuit, []Element, error) {
	state, ok := b.kase.State(readings[0].State)
	if !ok {
		return nil, nil, fmt.Errorf("there is no state %q", readings[0].State)
	}
	var els []Element
	var fitted []fault.Fitted
	for _, r := range readings {
		if r.Resistor == nil {
			continue
		}
		f := *r.Resistor
		if f.From == "" && f.To == "" {
			f.From, f.To = r.Red, r.Black
		}
		ohms, ok := b.resistors[f.ID]
		if !ok {
			return nil, nil, fmt.Errorf("there is no test resistor %q", f.ID)
		}
		if !slices.Contains(fitted, f) {
			fitted = append(fitted, f)
			els = append(els, Element{From: f.From, To: f.To, Ohms: ohms})
		}
	}
	if state.Monitor == fault.MonitorConnected || state.Monitor == fault.MonitorActive {
		els = append(els, b.pack.monitor(b.kase.Layout.Monitor)...)
	}
	return b.circuits[state.ID], els, nil
}

// monitor is the insulation monitor as resistors, where they are known.
func (p Pack) monitor(m *topology.Monitor) []Element {
	if m == nil {
		return nil
	}
	ohms := p.MonitorOhms
	if ohms == 0 && m.Ohms != nil {
		ohms = *m.Ohms
	}
	var els []Element
	for _, from := range m.From {
		if ohms > 0 {
			els = append(els, Element{From: from, To: m.To, Ohms: ohms})
		}
	}
	return els
}
