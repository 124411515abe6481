package locate

import "halfsplit/fault"

// An element is a meter, a test resistor or an insulation tester between two ends.
type element struct {
	a, b     end
	siemens  float64
	emf      float64 // V, what a tester forces end a above end b
	relSD    float64 // standard uncertainty of siemens, relative
	nuisance string  // elements with the same name share their error
}

// An observation is a reading that enters the likelihood. A reading between two
// taps of one section has no elements that matter: it reports cell volts only.
type observation struct {
	id         string
	also       []string // earlier readings of a settling that were fitted into this one
	reading    fault.Reading
	red, black end
	elements   []element // the first is this reading's own meter
	value      float64   // V; of an insulation tester the current that it drives, µA
	scale      float64   // value = offset + scale·(red above black, V)
	offset     float64
	countSD    float64 // independent error, in value's unit
	gain       string  // names the common gain: of instrument and range
	gainError  float64 // what one standard deviation of that gain does to value
	within     bool    // both probes in one section
	allowed    bound   // where the value is known to lie, for a reading that is a bound
	minute     float64 // minutes since an arbitrary zero; NaN = not recorded
	circuit    probe   // of a reading not within a section
}

// slots lists the sections and pieces that an observation's circuit touches.
func (o *observation) slots() []int {
	var out []int
	add := func(e end) {
		if e.slot >= 0 {
			out = append(out, e.slot)
		}
	}
	add(o.red)
	add(o.black)
	for _, el := range o.elements {
		add(el.a)
		add(el.b)
	}
	return out
}
