package circuit

import (
	"fmt"
	"math"
	"strconv"

	"halfsplit/fault"
)

// Errors of a monitor whose accuracy nobody states, as half-widths: a gain
// common to all groups, and volts of each group by itself.
const (
	monitorGain  = 0.002
	monitorVolts = 0.005
)

// GroupVolts are the volts of every group in a state, read with an instrument,
// or with the pack's own monitor where instrument is "": in millivolts, within
// 0.2 % common to all and 5 mV each. Removed modules have none.
func (b *Bench) GroupVolts(state, instrument string) ([]fault.GroupVolts, error) {
	circuit, ok := b.circuits[state]
	if !ok {
		return nil, fmt.Errorf("there is no state %q", state)
	}
	m, known := b.meters[instrument]
	if instrument != "" && !known {
		return nil, fmt.Errorf("there is no instrument %q", instrument)
	}
	s, err := circuit.Solve(nil)
	if err != nil {
		return nil, err
	}
	var out []fault.GroupVolts
	last := -1
	for g, v := range s.GroupVolts() {
		grp := b.pack.Net.Groups[g]
		if circuit.wiring.groups[g].from < 0 {
			continue
		}
		if grp.Module != last {
			last = grp.Module
			gv := fault.GroupVolts{Module: b.pack.Net.Layout.Modules[last].ID, State: state, Instrument: instrument}
			if instrument == "" {
				gv.Source = "monitor list"
			}
			out = append(out, gv)
		}
		to := &out[len(out)-1].Volts
		*to = append(*to, b.cell(m, known, v))
	}
	return out, nil
}

func (b *Bench) cell(m meter, known bool, v float64) float64 {
	slip := within(b.rng, 1)
	if !known {
		v, _ = strconv.ParseFloat(digits(v*b.monitor+slip*monitorVolts, 0.001), 64)
		return v
	}
	for rg := range m.spec.Ranges {
		if shown := m.show(v, rg, slip); !m.over(shown, rg) {
			return m.enter(fault.Reading{}, shown, rg).Value
		}
	}
	return math.NaN() // more than the instrument can show
}
