package locate

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A slot is one section in one state: the place where two numbers can be known.
type slot struct {
	state   int // index into Case.States
	joined  *topology.Joined
	sec     *topology.Section
	phi     []float64 // V above sec.From, by node; NaN elsewhere
	volts   float64   // V from sec.From to sec.To
	share   float64   // part of the whole pack's groups that lies here
	middle  float64   // V, mean potential of the groups: where background acts
	fixedG  float64   // S, known resistors of the state (a monitor) to chassis
	fixedGU float64   // S·V, the same weighted with their potentials
}

// An end of an element: a node of a slot, or chassis.
type end struct {
	slot  int // index into data.slots; -1 = chassis
	node  topology.NodeID
	volts float64 // V above the slot's negative end
	piece string  // chassis piece, where it is chassis
}

func (e end) chassis() bool { return e.slot < 0 }

// An element is a meter or a test resistor between two ends.
type element struct {
	a, b     end
	siemens  float64
	relSD    float64 // standard uncertainty of siemens, relative
	nuisance string  // elements with the same name share their error
}

// An observation is a reading that enters the likelihood. A reading between two
// taps of one section has no elements that matter: it reports cell volts only.
type observation struct {
	id         string
	reading    fault.Reading
	red, black end
	elements   []element // the first is this reading's own meter
	countSD    float64   // V
	gain       string    // names the common gain: instrument and range
	gainSD     float64
	within     bool // both probes in one section
}

// data is a case made ready: states, slots, observations, and what was left out.
type data struct {
	c       *fault.Case
	net     *topology.Net
	joined  []*topology.Joined // by state
	slots   []slot
	slotAt  map[[2]int]int // state, section -> slot
	cells   []*cellVolts   // by state
	obs     []observation
	leftOut []fault.LeftOut
	active  bool // a reading was refused because a monitor was injecting
	assumes []string
}

// prepare decides which readings can be used, and why the others cannot.
// Readings named in without are left out for the reason given there.
func prepare(c *fault.Case, net *topology.Net, without map[string]string) *data {
	d := &data{c: c, net: net, slotAt: map[[2]int]int{}}
	for i := range c.States {
		d.joined = append(d.joined, net.In(c.States[i].Setting()))
	}
	d.cells = d.estimateCells(without)
	superseded := c.Superseded()
	for _, r := range c.Readings {
		why := without[r.ID]
		if by, old := superseded[r.ID]; old && why == "" {
			why = fmt.Sprintf("superseded by %s: %s", by.ID, by.Why)
		}
		var o observation
		if why == "" {
			o, why = d.observe(r)
		}
		if why != "" {
			d.leftOut = append(d.leftOut, fault.LeftOut{Reading: r.ID, Why: why})
			continue
		}
		d.obs = append(d.obs, o)
	}
	d.assumes = d.assumptions()
	return d
}

// observe turns a reading into an observation, or says why it cannot.
func (d *data) observe(r fault.Reading) (observation, string) {
	var o observation
	si, why := d.usableState(r)
	if why != "" {
		return o, why
	}
	meter, why := d.meterOf(r, si)
	if why != "" {
		return o, why
	}
	o = observation{id: r.ID, reading: r, red: meter.red, black: meter.black,
		countSD: meter.countSD, gain: meter.gain, gainSD: meter.gainSD}
	if o.red.chassis() && o.black.chassis() {
		return o, "both probes are on chassis"
	}
	if o.red.slot == o.black.slot {
		o.within = true
		return o, ""
	}
	if why := meter.noInput; why != "" {
		return o, why
	}
	o.elements, why = d.elementsOf(r, si, meter)
	if why != "" {
		return o, why
	}
	for _, other := range d.partners(r) {
		m, why := d.meterOf(other, si)
		if why == "" {
			why = m.noInput
		}
		if why != "" {
			return o, fmt.Sprintf("taken together with %s, which cannot be used: %s", other.ID, why)
		}
		els, why := d.elementsOf(other, si, m)
		if why != "" {
			return o, fmt.Sprintf("taken together with %s, which cannot be used: %s", other.ID, why)
		}
		o.elements = append(o.elements, els...)
	}
	return o, ""
}

// usableState checks what makes a reading meaningless before any circuit does.
func (d *data) usableState(r fault.Reading) (int, string) {
	si := d.stateIndex(r.State)
	switch {
	case si < 0:
		return si, "its state is not recorded"
	case r.Quantity != fault.Volts:
		return si, fmt.Sprintf("a reading of %s does not enter the voltage method", r.Quantity)
	case r.Relation == fault.Less || r.Relation == fault.Greater:
		return si, "a bound (" + r.Relation + ") is kept, and not yet weighed"
	case math.IsNaN(r.Value) || math.IsInf(r.Value, 0):
		return si, "its value is not a number"
	}
	switch d.c.States[si].Monitor {
	case fault.MonitorActive:
		d.active = true
		return si, "the insulation monitor was active in this state: it moves the chassis potential itself"
	case fault.MonitorConnected:
		if m := d.net.Layout.Monitor; m == nil || m.Ohms == nil {
			return si, "the insulation monitor was connected in this state and its resistance is not recorded"
		}
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
	rg, index, ok := in.RangeOf(r)
	if !ok {
		if r.Range != 0 {
			return m, fmt.Sprintf("%s has no range of %g V that could show %g V", in.ID, r.Range, r.Value)
		}
		return m, fmt.Sprintf("%s has no range that could show %g V", in.ID, r.Value)
	}
	m.gain = fmt.Sprintf("%s/%d", in.ID, index)
	m.gainSD, m.countSD = in.GainSD(), countSD(in, rg)
	input := in.Input(rg)
	if math.IsInf(input, 1) {
		m.noInput = "the input resistance of " + in.ID + " is not recorded"
		return m, ""
	}
	m.own = element{a: m.red, b: m.black, siemens: 1 / input, relSD: in.InputTolPct / 100 / math.Sqrt(3),
		nuisance: fmt.Sprintf("input of %s, %s", in.ID, inputName(in, rg, index))}
	return m, ""
}

// countSD is the standard uncertainty of one reading, V: the specified counts,
// and the rounding to a whole count of a display, uniform over one count.
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

// endAt finds where a reference lies in a state.
func (d *data) endAt(ref string, si int) (end, string) {
	if piece, ok := topology.ChassisRef(ref); ok {
		return end{slot: -1, piece: piece}, ""
	}
	id, ok := d.net.Node(ref)
	if !ok {
		return end{}, ref + " is not a node of this layout"
	}
	sec := d.joined[si].SectionOf(id)
	if sec < 0 {
		if m, _, isModule := d.net.ModuleAt(id); isModule {
			return end{}, fmt.Sprintf("%s is removed in state %s", d.net.Layout.Modules[m].ID, d.c.States[si].ID)
		}
		return end{}, fmt.Sprintf("%s is not joined to any module in state %s: it is not on the string", ref, d.c.States[si].ID)
	}
	s := d.slotFor(si, sec)
	return end{slot: s, node: id, volts: d.slots[s].phi[id]}, ""
}

func (d *data) slotFor(si, sec int) int {
	key := [2]int{si, sec}
	if s, ok := d.slotAt[key]; ok {
		return s
	}
	j := d.joined[si]
	sl := slot{state: si, joined: j, sec: &j.Sections[sec]}
	cv := d.cells[si]
	sl.phi = j.Potentials(sl.sec, cv.mean)
	sl.volts = sl.phi[sl.sec.To]
	sl.share = float64(len(sl.sec.Groups)) / float64(len(d.net.Groups))
	for _, g := range sl.sec.Groups {
		grp := d.net.Groups[g]
		sl.middle += (sl.phi[grp.Lo] + sl.phi[grp.Hi]) / 2 / float64(len(sl.sec.Groups))
	}
	d.addMonitor(&sl)
	d.slotAt[key] = len(d.slots)
	d.slots = append(d.slots, sl)
	return len(d.slots) - 1
}

// addMonitor puts a connected, unpowered monitor in as the resistors recorded.
func (d *data) addMonitor(sl *slot) {
	m := d.net.Layout.Monitor
	if m == nil || m.Ohms == nil || d.c.States[sl.state].Monitor != fault.MonitorConnected {
		return
	}
	for _, ref := range m.From {
		if id, ok := d.net.Node(ref); ok && !math.IsNaN(sl.phi[id]) {
			sl.fixedG += 1 / *m.Ohms
			sl.fixedGU += sl.phi[id] / *m.Ohms
		}
	}
}

// assumptions names what the states left unsaid and the engine took for given.
func (d *data) assumptions() []string {
	var out []string
	seen := map[int]bool{}
	var states []int
	for _, o := range d.obs {
		for _, e := range []end{o.red, o.black} {
			if !e.chassis() && !seen[d.slots[e.slot].state] {
				seen[d.slots[e.slot].state] = true
				states = append(states, d.slots[e.slot].state)
			}
		}
	}
	sort.Ints(states)
	for _, si := range states {
		s := d.c.States[si]
		if s.Contactors == "" {
			out = append(out, fmt.Sprintf("Contactors are not recorded in state %s; taken as open.", s.ID))
		}
		if s.Contactors == fault.Closed {
			out = append(out, fmt.Sprintf("Contactors are recorded closed in state %s: what is joined beyond them was read too, and is taken to have no path to chassis.", s.ID))
		}
		if s.Monitor == "" {
			out = append(out, fmt.Sprintf("The insulation monitor is not recorded in state %s; taken as disconnected.", s.ID))
		}
		if len(s.Connected) > 0 {
			out = append(out, fmt.Sprintf("What is connected in state %s besides the pack is taken to have no path to chassis.", s.ID))
		}
		if note := d.cells[si].note; note != "" {
			out = append(out, note)
		}
	}
	if len(d.net.Layout.Chassis) > 1 {
		out = append(out, "All chassis pieces are taken as bonded.")
	}
	return out
}
