package format

import (
	"halfsplit/fault"
	"halfsplit/topology"
)

// readings reads every reading and queues what must hold between them.
func (r *reader) readings(o *object, c *fault.Case) {
	index := map[string]int{}
	var objects []*object
	o.objects("readings", false, func(q *object) {
		rd := q.reading()
		index[rd.ID] = len(c.Readings)
		objects = append(objects, q)
		c.Readings = append(c.Readings, rd)
	})
	r.later = append(r.later, func(*topology.Net) {
		partner, corrected := map[string]string{}, c.Superseded()
		for i, rd := range c.Readings {
			if _, old := corrected[rd.ID]; !old {
				r.together(objects[i], c.Readings, i, index, partner)
			}
			if loops(c.Readings, index, i) {
				r.fail(objects[i].get("supersedes"), objects[i].at("supersedes"), "%s would supersede itself in the end", rd.ID)
			}
		}
	})
}

func (o *object) reading() fault.Reading {
	rd := fault.Reading{
		ID:    o.id("reading"),
		At:    o.time("at"),
		State: o.ref("state", true, "state"),
		Quantity: o.word("quantity", true, fault.Volts, fault.Insulation, fault.Ohms, fault.Amps,
			fault.Celsius, fault.Kilopascal, fault.Joint),
		Raw:          o.text("raw", false),
		Relation:     o.word("relation", false, fault.Equal, fault.Less, fault.Greater),
		Instrument:   o.ref("instrument", false, "instrument"),
		Range:        o.num("range", false, positive()),
		TogetherWith: o.ref("together_with", false, "reading"),
		AfterTouchS:  o.optNum("after_touch_s", notNegative()),
		Who:          o.text("who", false),
		Note:         o.text("note", false),
		Supersedes:   o.ref("supersedes", false, "reading"),
		Why:          o.text("why", false),
		Stands:       o.text("stands", false),
		Answer:       o.text("answer", false),
		AnsweredBy:   o.text("answered_by", false),
	}
	rd.Value = o.num("value", true, valueLimits(rd.Quantity))
	rd.Red, rd.Black = o.leads(rd.Quantity)
	rd.TestVolts = o.testVolts()
	kept := o.fitted(&rd)
	if rd.Supersedes != "" && rd.Why == "" {
		o.r.fail(o.get("supersedes"), o.at("supersedes"), `a correction says why it was made, in the field "why"`)
	}
	rd.Extra = o.rest()
	if kept != nil {
		if rd.Extra == nil {
			rd.Extra = topology.Extra{}
		}
		rd.Extra["resistor"] = kept
	}
	return rd
}

// valueLimits refuses what the quantity cannot be, not what would be odd.
func valueLimits(quantity string) limits {
	switch quantity {
	case fault.Insulation, fault.Ohms, fault.Joint:
		return notNegative()
	case fault.Celsius:
		return limits{min: -273.15, max: hugeVolts}
	}
	return within(hugeVolts)
}

// leads reads red and black. Electrical readings need both; a temperature or a
// pressure may name any thing of the pack, or nothing.
func (o *object) leads(quantity string) (red, black string) {
	may, needed := taps|terminals|sides|chassis, true
	switch quantity {
	case fault.Amps, fault.Celsius, fault.Kilopascal:
		may, needed = may|things, false
	}
	return o.node("red", needed, may), o.node("black", needed, may)
}

// testVolts is signed, and 0 would be no test.
func (o *object) testVolts() float64 {
	v := o.num("test_volts", false, within(hugeVolts))
	if n := o.get("test_volts"); n != nil && n.kind == numberKind && v == 0 {
		o.r.fail(n, o.at("test_volts"), "must not be 0; leave it out if it was not recorded")
	}
	return v
}

// fitted reads the test resistor of a reading: its id alone puts it across the
// probes, an object says where it sits. Unknown fields of that object have no
// place of their own in a Reading; they are returned as one object.
func (o *object) fitted(rd *fault.Reading) []byte {
	n := o.get("resistor")
	switch {
	case n == nil || n.kind == nullKind || n.kind == textKind && n.text == "":
		return nil
	case n.kind == textKind:
		rd.Resistor = &fault.Fitted{ID: o.ref("resistor", true, "resistor"), From: rd.Red, To: rd.Black}
		return nil
	case n.kind != objectKind:
		o.r.fail(n, o.at("resistor"), "must be the id of a test resistor or an object, not %s", n.shown())
		return nil
	}
	f := o.r.object(n, o.at("resistor"))
	may := taps | terminals | sides | chassis
	rd.Resistor = &fault.Fitted{ID: f.ref("id", true, "resistor"), From: f.node("from", false, may), To: f.node("to", false, may)}
	if rd.Resistor.From == "" {
		rd.Resistor.From = rd.Red
	}
	if rd.Resistor.To == "" {
		rd.Resistor.To = rd.Black
	}
	extra := f.rest()
	if extra == nil {
		return nil
	}
	w := newWriter()
	w.extra(extra)
	return w.close()
}

// together checks that two meters at once are two readings of one state, and
// that none of them is in two pairs. A superseded reading may still name the
// partner that its correction now has.
func (r *reader) together(o *object, all []fault.Reading, i int, index map[string]int, partner map[string]string) {
	a := all[i]
	n, place := o.get("together_with"), o.at("together_with")
	j, ok := index[a.TogetherWith]
	if a.TogetherWith == "" || !ok {
		return
	}
	b := all[j]
	switch {
	case i == j:
		r.fail(n, place, "a reading cannot be taken together with itself")
		return
	case a.State != b.State:
		r.fail(n, place, "%s was read in state %s and %s in state %s", a.ID, a.State, b.ID, b.State)
		return
	}
	for _, p := range [2][2]string{{a.ID, b.ID}, {b.ID, a.ID}} {
		if other, taken := partner[p[0]]; taken && other != p[1] {
			r.fail(n, place, "%s is together with %s already", p[0], other)
		}
		partner[p[0]] = p[1]
	}
}

// loops says whether following supersedes from reading i comes back to it.
func loops(all []fault.Reading, index map[string]int, i int) bool {
	at := i
	for range all {
		next, ok := index[all[at].Supersedes]
		if !ok || all[at].Supersedes == "" {
			return false
		}
		if at = next; at == i {
			return true
		}
	}
	return false
}
