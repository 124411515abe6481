package locate

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"halfsplit/fault"
)

// observe turns a reading into an observation, or says why it cannot.
func (d *data) observe(r fault.Reading) (observation, string) {
	var o observation
	si, why := d.usableState(r)
	if why != "" {
		return o, why
	}
	m, why := d.meterOf(r, si)
	if why != "" {
		return o, why
	}
	o = observation{id: r.ID, reading: r, red: m.red, black: m.black, value: r.Value, scale: 1, countSD: m.countSD,
		gain: m.gain, gainError: r.Value * m.gainSD, minute: minuteOf(r)}
	if o.red.slot == o.black.slot && (o.red.chassis() || d.slots[o.red.slot].sec == nil) {
		return o, "both probes are on chassis"
	}
	if o.red.slot == o.black.slot {
		o.within = true
		return o, withinWhy(r)
	}
	if m.noInput != "" {
		return o, m.noInput
	}
	if o.elements, why = d.elementsOf(r, si, m); why != "" {
		return o, why
	}
	for _, other := range d.partners(r) {
		els, why := d.partnerElements(other, si)
		if why != "" {
			return o, fmt.Sprintf("taken together with %s, which cannot be used: %s", other.ID, why)
		}
		o.elements = append(o.elements, els...)
	}
	if r.Quantity == fault.Insulation {
		o.asCurrent(r, m)
	}
	o.bounded(r)
	o.circuit = newProbe(&o)
	return o, ""
}

// withinWhy says why a reading between two points of one section tells nothing.
func withinWhy(r fault.Reading) string {
	switch {
	case r.Quantity == fault.Insulation:
		return "an insulation tester between two points of one section reads its cells, not its insulation"
	case isBound(r):
		return "a bound between two points of one section says nothing of a leak"
	}
	return ""
}

func isBound(r fault.Reading) bool { return r.Relation == fault.Less || r.Relation == fault.Greater }

// minuteOf is the time of a reading, NaN where it is not recorded.
func minuteOf(r fault.Reading) float64 {
	t, err := time.Parse(time.RFC3339, r.At)
	if err != nil {
		return math.NaN()
	}
	return float64(t.UnixMilli()) / 60e3
}

// usableState checks what makes a reading meaningless before any circuit does.
func (d *data) usableState(r fault.Reading) (int, string) {
	si := d.stateIndex(r.State)
	switch {
	case si < 0:
		return si, "its state is not recorded"
	case r.Quantity == fault.Insulation && r.TestVolts == 0:
		return si, "its test volts are not recorded"
	case r.Quantity != fault.Volts && r.Quantity != fault.Insulation:
		return si, fmt.Sprintf("a reading of %s does not enter the voltage method", r.Quantity)
	case math.IsNaN(r.Value) || math.IsInf(r.Value, 0):
		return si, "its value is not a number"
	case r.Quantity == fault.Insulation && r.Value < 0:
		return si, "an insulation tester shows no negative resistance"
	}
	if d.c.States[si].Monitor == fault.MonitorActive {
		d.active = true
		return si, "the insulation monitor was active in this state: it moves the chassis potential itself"
	}
	return si, ""
}

// stateIndex finds a state by id, -1 where there is none.
func (d *data) stateIndex(id string) int {
	return slices.IndexFunc(d.c.States, func(s fault.State) bool { return s.ID == id })
}

type meter struct {
	red, black end
	own        element
	noInput    string // why its circuit cannot be known
	countSD    float64
	gain       string
	gainSD     float64
}

func (d *data) meterOf(r fault.Reading, si int) (meter, string) {
	var m meter
	var why string
	if m.red, why = d.endAt(r.Red, si); why != "" {
		return m, why
	}
	if m.black, why = d.endAt(r.Black, si); why != "" {
		return m, why
	}
	in, ok := d.c.Instrument(r.Instrument)
	if !ok {
		return m, "no instrument is recorded, so its accuracy and input resistance are not known"
	}
	in = in.For(r.Quantity)
	rg, index, why := rangeOf(in, r)
	if why != "" {
		return m, why
	}
	m.gain = "gain of " + in.ID + "/" + strconv.Itoa(index)
	m.gainSD, m.countSD = in.GainSDOn(rg), countSD(in, rg)
	input := in.Input(rg) * d.inputFactor(in.ID)
	if r.Quantity == fault.Insulation && math.IsInf(input, 1) {
		input = testerOhms
	}
	if math.IsInf(input, 1) {
		m.noInput = "the input resistance of " + in.ID + " is not recorded"
		return m, ""
	}
	m.own = element{a: m.red, b: m.black, siemens: 1 / input, relSD: in.InputTolPct / 100 / math.Sqrt(3),
		nuisance: fmt.Sprintf("input of %s, %s", in.ID, inputName(in, rg, index))}
	return m, ""
}

// rangeOf is the range that a reading was taken on. A bound is beyond the range
// that it names, so the largest range serves where none holds it.
func rangeOf(in fault.Instrument, r fault.Reading) (fault.Range, int, string) {
	unit := "V"
	if r.Quantity == fault.Insulation {
		unit = "ohm"
	}
	rg, index, ok := in.RangeOf(r)
	switch {
	case ok:
		return rg, index, ""
	case isBound(r) && len(in.Ranges) > 0:
		return in.Ranges[len(in.Ranges)-1], len(in.Ranges) - 1, ""
	case r.Range != 0:
		return rg, index, fmt.Sprintf("%s has no range of %g %s that could show %g %s", in.ID, r.Range, unit, r.Value, unit)
	}
	return rg, index, fmt.Sprintf("%s has no range that could show %g %s", in.ID, r.Value, unit)
}

// countSD is the standard uncertainty of one reading, in the range's unit: the
// specified counts, and the rounding to a whole count of a display, uniform over
// one count.
func countSD(in fault.Instrument, rg fault.Range) float64 {
	return math.Hypot(in.CountSD(rg), rg.Count/math.Sqrt(12))
}

// inputName tells input resistances apart that are not one resistor.
func inputName(in fault.Instrument, rg fault.Range, index int) string {
	if rg.InputOhms > 0 && rg.InputOhms != in.InputOhms {
		return fmt.Sprint("range ", index)
	}
	return "all ranges"
}

// elementsOf is what this reading joins to the circuit: meter and test resistor.
func (d *data) elementsOf(r fault.Reading, si int, m meter) ([]element, string) {
	els := []element{m.own}
	if r.Resistor == nil {
		return els, ""
	}
	res, ok := d.c.Resistor(r.Resistor.ID)
	if !ok {
		return nil, fmt.Sprintf("its test resistor %s is not described", r.Resistor.ID)
	}
	a, why := d.endAt(r.Resistor.From, si)
	if why != "" {
		return nil, "its test resistor: " + why
	}
	b, why := d.endAt(r.Resistor.To, si)
	if why != "" {
		return nil, "its test resistor: " + why
	}
	return append(els, element{a: a, b: b, siemens: 1 / res.Ohms, relSD: res.TolPct / 100 / math.Sqrt(3), nuisance: "resistor " + res.ID}), ""
}

// partners are the readings whose meters were connected at the same time.
func (d *data) partners(r fault.Reading) []fault.Reading {
	var out []fault.Reading
	for _, o := range d.c.Readings {
		if o.ID != r.ID && o.State == r.State && (o.ID == r.TogetherWith || o.TogetherWith == r.ID) {
			out = append(out, o)
		}
	}
	return out
}

func (d *data) partnerElements(other fault.Reading, si int) ([]element, string) {
	m, why := d.meterOf(other, si)
	if why == "" {
		why = m.noInput
	}
	if why != "" {
		return nil, why
	}
	return d.elementsOf(other, si, m)
}

// bounded says where the value of a bound lies. Over-range volts carry no sign
// unless the keystrokes do; an insulation tester beyond its range saw less
// current than that, or current the other way.
func (o *observation) bounded(r fault.Reading) {
	if !isBound(r) {
		return
	}
	sd := math.Hypot(o.countSD, o.gainError)
	more := r.Relation == fault.Greater
	v := math.Abs(o.value)
	signed := r.Value < 0 || strings.HasPrefix(strings.TrimSpace(r.Raw), "-") || strings.HasPrefix(strings.TrimSpace(r.Raw), "+")
	switch {
	case r.Quantity == fault.Insulation:
		more = !more // more ohms, less current
		o.allowed = bound{set: true, low: o.value, high: math.Inf(1), sd: sd}
		if more != (r.TestVolts > 0) {
			o.allowed.low, o.allowed.high = math.Inf(-1), o.value
		}
	case more && signed && r.Value < 0:
		o.allowed = bound{set: true, low: math.Inf(-1), high: -v, sd: sd}
	case more && signed:
		o.allowed = bound{set: true, low: v, high: math.Inf(1), sd: sd}
	case more:
		o.allowed = bound{set: true, low: -v, high: v, outside: true, sd: sd}
	default:
		o.allowed = bound{set: true, low: -v, high: v, sd: sd}
	}
}
