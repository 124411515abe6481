package circuit

import (
	"errors"

	"halfsplit/fault"
)

// testerOhms is the series resistance of an insulation tester that states none.
const testerOhms = 1e3

// insulation is what a tester shows: its volts by the current that it drives,
// less its own resistance. Where the pack drives the current the other way the
// display overflows.
func (b *Bench) insulation(r fault.Reading) (fault.Reading, error) {
	switch {
	case r.TestVolts == 0 || !sensible(r.TestVolts):
		return r, errors.New("the tester forces no volts")
	case r.TogetherWith != "":
		return r, errors.New("a tester is not read together with another meter")
	}
	circuit, els, err := b.fixed([]fault.Reading{r})
	if err != nil {
		return r, err
	}
	p, err := b.probe(r)
	if err != nil {
		return r, err
	}
	series := p.ohms(p.rg)
	if !finite(series) {
		series = testerOhms
	}
	s, err := circuit.Solve(append(els, Element{From: r.Red, To: r.Black, Ohms: series, EMF: r.TestVolts}))
	if err != nil {
		return r, err
	}
	siemens := s.Amps(len(els)) / r.TestVolts
	if siemens <= 0 {
		return p.overflow(r, false, p.high), nil
	}
	for ; ; p.rg++ {
		p.shown = max(0, p.show(max(0, 1/siemens-series), p.rg, p.slip))
		if p.rg == p.high || !p.over(p.shown, p.rg) {
			return p.enter(r, p.shown, p.rg), nil
		}
	}
}
