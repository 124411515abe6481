package locate

import (
	"fmt"
	"math"

	"halfsplit/fault"
)

const (
	testerOhms = 1e3  // series resistance of an insulation tester that states none
	microamps  = 1e6  // µA per A
	biasLimit  = 0.10 // part of the test volts that a section's own volts may be for one reading to stand alone
)

// asCurrent turns what an insulation tester shows into the current that it
// drives, which is linear in a section's two numbers. The section's own volts
// are in series with the test volts E: with v the volts of red above the leak
// point, tester off, and g the tester's own conductance,
//
//	I = g·(E − red above black),  R shown = E/I − 1/g = E·R/(E − v)
func (o *observation) asCurrent(r fault.Reading, m meter) {
	g := o.elements[0].siemens
	all := r.Value + 1/g
	o.elements[0].emf = r.TestVolts
	o.value = r.TestVolts / all * microamps
	o.scale, o.offset = -g*microamps, g*r.TestVolts*microamps
	o.countSD = math.Abs(o.value) / all * m.countSD
	o.gainError = -o.value * r.Value / all * m.gainSD
}

// refuseOneEnded leaves out insulation readings of a section whose own volts are
// above a tenth of the test volts, unless both of two places of it were read: one
// alone shows anything from half the resistance to open circuit.
func (d *data) refuseOneEnded() {
	ends := map[int]map[float64]bool{}
	at := func(o *observation) (slot int, volts float64) {
		if o.red.slot >= 0 {
			return o.red.slot, o.red.volts
		}
		return o.black.slot, o.black.volts
	}
	for i := range d.obs {
		if o := &d.obs[i]; o.reading.Quantity == fault.Insulation {
			s, v := at(o)
			if ends[s] == nil {
				ends[s] = map[float64]bool{}
			}
			ends[s][fault.Round(v)] = true
		}
	}
	d.drop(func(o *observation) string {
		if o.reading.Quantity != fault.Insulation {
			return ""
		}
		s, _ := at(o)
		volts, test := d.slots[s].volts, math.Abs(o.reading.TestVolts)
		if volts <= biasLimit*test || len(ends[s]) > 1 {
			return ""
		}
		return fmt.Sprintf("this number does not mean what it looks like: the section's own %s is in series with the test volts of %s, which is more than a tenth. Read its other end too, or use the voltage method",
			voltsText(volts), voltsText(test))
	})
}
