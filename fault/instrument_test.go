package fault_test

import (
	"testing"

	"halfsplit/fault"
)

func TestInstrument_RangeOf(t *testing.T) {
	in := fault.Instrument{Ranges: []fault.Range{{Max: 6, Count: 0.001}, {Max: 60, Count: 0.01}, {Max: 600, Count: 0.1}, {Max: 1000, Count: 1}}}
	for name, c := range map[string]struct {
		r    fault.Reading
		want float64 // full scale; 0 = none
	}{
		"smallest that holds it":       {fault.Reading{Value: -23.75, Raw: "-23.75"}, 60},
		"full scale with its decimals": {fault.Reading{Value: 599.8, Raw: "599.8"}, 600},
		"full scale without decimals":  {fault.Reading{Value: 600, Raw: "600"}, 1000},
		"few decimals far below":       {fault.Reading{Value: 103, Raw: "103"}, 600},
		"decimal comma":                {fault.Reading{Value: 599.8, Raw: "599,8"}, 600},
		"a unit says nothing":          {fault.Reading{Value: 5.9, Raw: "5900 mV"}, 6},
		"locked":                       {fault.Reading{Value: 3.6, Raw: "4", Range: 1000}, 1000},
		"locked too low":               {fault.Reading{Value: 80, Range: 60}, 0},
		"none":                         {fault.Reading{Value: 2000}, 0},
	} {
		rg, _, ok := in.RangeOf(c.r)
		if ok != (c.want != 0) || (ok && rg.Max != c.want) {
			t.Errorf("%s: got %g %v, want %g", name, rg.Max, ok, c.want)
		}
	}
}
