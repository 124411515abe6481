package reach

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// DefaultTrials is how many packs are drawn for every leak size where nothing
// else is asked for.
const DefaultTrials = 20

// MostTrials is what is done at most: the rates are then known within half a
// percent.
const MostTrials = 10000

// Ladder are the leak sizes, in ohms, that are asked about where nothing else is.
func Ladder() []float64 {
	return []float64{1e3, 3e3, 10e3, 30e3, 100e3, 200e3, 300e3, 500e3, 1e6, 2e6, 5e6}
}

// A Question is a pack and what is at hand to measure it with.
type Question struct {
	Layout      topology.Layout
	Instruments []fault.Instrument // the first voltmeter reads; none = a usual one
	Resistors   []fault.Resistor   // the first that the pack's volts do not overload is fitted; none = a usual one
	Minutes     map[string]float64 // the workshop's own access minutes, by link; they go before the layout's
	Ohms        []float64          // leak sizes, rising; nil = Ladder
	Trials      int                // packs of every leak size; 0 = DefaultTrials
	Seed        uint64
	Cores       int // that work at a time; 0 = all
}

// A plan is a question with everything decided that does not depend on chance.
type plan struct {
	Question
	net      *topology.Net
	meter    fault.Instrument
	resistor *fault.Resistor // nil = none is fitted
	mean     float64         // V of a group
	takes    []string
	ways     []way
	states   []State
}

// prepare decides what is read with what, in which states.
func (q Question) prepare() (*plan, error) {
	if q.Trials == 0 {
		q.Trials = DefaultTrials
	}
	if q.Trials < 1 || q.Trials > MostTrials {
		return nil, fmt.Errorf("the number of trials must be from 1 to %d, and is %d", MostTrials, q.Trials)
	}
	if q.Ohms == nil {
		q.Ohms = Ladder()
	}
	if err := checkOhms(q.Ohms); err != nil {
		return nil, err
	}
	net, problems := topology.Compile(q.Layout)
	if len(net.Groups) == 0 {
		return nil, errors.New("the layout has no groups: there is nothing to read a leak against")
	}
	for _, p := range problems {
		if p.Kind == topology.Loop {
			return nil, fmt.Errorf("%s: %s Readings of such a pack cannot be simulated", p.GoTo, p.Text)
		}
	}
	p := &plan{Question: q, net: net, mean: meanVolts(net)}
	if n := len(problems); n > 0 {
		p.take("The layout has %s to look at, the first: %s What is joined is read by sections.", things(n), problems[0].Text)
	}
	if err := p.chooseMeter(); err != nil {
		return nil, err
	}
	p.chooseResistor()
	p.take("The leak sits at any tap with equal chance, as the only one; its path has a potential of its own, of half a group as standard deviation. The whole pack leaks besides, between 8 MΩ and 2 GΩ.")
	p.take("Every group's volts are known from the monitor's list, within 0.2 %% common to all and 5 mV each; groups are about %.2f V. Contactors are open, the insulation monitor is disconnected.", p.mean)
	p.findWays()
	return p, nil
}

func (p *plan) take(text string, args ...any) { p.takes = append(p.takes, fmt.Sprintf(text, args...)) }

func things(n int) string {
	if n == 1 {
		return "1 thing"
	}
	return fmt.Sprintf("%d things", n)
}

func checkOhms(ohms []float64) error {
	if len(ohms) == 0 {
		return errors.New("no leak size is asked about")
	}
	for i, r := range ohms {
		if !(r >= 1 && r <= 1e10) {
			return fmt.Errorf("a leak of %g ohms is not asked about: from 1 ohm to 10 gigohms", r)
		}
		if i > 0 && r <= ohms[i-1] {
			return fmt.Errorf("the leak sizes must rise, and %g ohms come after %g", r, ohms[i-1])
		}
	}
	return nil
}

// meanVolts is about what a group has: the layout's nominal volts shared by the
// groups of the longest string where that makes sense, else 3.65 V.
func meanVolts(n *topology.Net) float64 {
	longest := 0
	for _, s := range n.Strings {
		longest = max(longest, s.Groups)
	}
	if v := n.Layout.NominalVolts / float64(longest); v >= 1.5 && v <= 4.3 {
		return v
	}
	return 3.65
}

// most is the highest volts that a section of the closed pack is expected to have.
func (p *plan) most() float64 {
	longest := 0
	for _, s := range p.net.Strings {
		longest = max(longest, s.Groups)
	}
	return math.Max(p.Layout.WorkingVolts, float64(longest)*(p.mean+spread))
}

// UsualMeter is a usual 6000-count meter: 0.5 % and 2 counts, 10 MΩ.
func UsualMeter() fault.Instrument {
	return fault.Instrument{ID: "dmm", Kind: "voltmeter", GainPct: 0.5, Counts: 2, InputOhms: 1e7, InputTolPct: 1,
		Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}}
}

// UsualResistor is 200 kΩ within 1 %, rated for volts and for twice the watts.
func UsualResistor(volts float64) fault.Resistor {
	r := fault.Resistor{ID: "R200k", Ohms: 200e3, TolPct: 1}
	r.MaxVolts = 500 * math.Ceil(math.Max(volts, 1)/500)
	r.Watts = math.Max(0.5, math.Ceil(4*volts*volts/r.Ohms)/2)
	return r
}

func (p *plan) chooseMeter() error {
	if len(p.Instruments) == 0 {
		p.meter = UsualMeter()
		p.take("No instrument was given: a usual 6000-count meter is taken, 0.5 %% and 2 counts, 10 MΩ within 1 %%.")
		return nil
	}
	i := slices.IndexFunc(p.Instruments, func(in fault.Instrument) bool { return in.Kind == "voltmeter" || in.Kind == "" })
	if i < 0 {
		return fmt.Errorf("none of the %d instruments is a voltmeter, and a leak is located by volts", len(p.Instruments))
	}
	p.meter = p.Instruments[i]
	if len(p.Instruments) > 1 {
		p.take("Everything is read with %s, the first voltmeter of %d instruments.", p.meter.ID, len(p.Instruments))
	}
	if p.meter.InputOhms == 0 {
		p.take("The input resistance of %s is not given: it is taken as no load.", p.meter.ID)
	}
	return nil
}

func (p *plan) chooseResistor() {
	volts := p.most()
	if len(p.Resistors) == 0 {
		r := UsualResistor(volts)
		p.resistor = &r
		p.take("No test resistor was given: 200 kΩ within 1 %% is taken, rated for %g V and %g W.", r.MaxVolts, r.Watts)
		return
	}
	for _, r := range p.Resistors {
		if (r.MaxVolts == 0 || r.MaxVolts >= volts) && (r.Watts == 0 || r.Watts >= volts*volts/r.Ohms) {
			p.resistor = &r
			if r.MaxVolts == 0 || r.Watts == 0 {
				p.take("The volts or watts that %s may have are not given; this pack needs %.0f V and %.2g W.", r.ID, math.Ceil(volts), volts*volts/r.Ohms)
			}
			return
		}
	}
	p.take("None of the %d test resistors is rated for %.0f V: nothing is read with one.", len(p.Resistors), math.Ceil(volts))
}
