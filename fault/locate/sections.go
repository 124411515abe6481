package locate

import (
	"math"

	"halfsplit/fault"
	"halfsplit/fault/insulation"
)

// sections lists every section of every state that has readings, with its two
// numbers where they are known.
func (a *analysis) sections() []fault.SectionFinding {
	out := []fault.SectionFinding{}
	for si := range a.c.States {
		for sec := range a.d.joined[si].Sections {
			out = append(out, a.section(si, sec))
		}
	}
	return out
}

func (a *analysis) section(si, sec int) fault.SectionFinding {
	s, read := a.d.slotAt[[2]int{si, sec}]
	var sl slot
	if read {
		sl = a.d.slots[s]
	} else {
		j := a.d.joined[si]
		sl = slot{state: si, joined: j, sec: &j.Sections[sec]}
		sl.phi = j.Potentials(sl.sec, a.d.cells[si].mean)
		sl.volts = sl.phi[sl.sec.To]
	}
	nothing := fault.NoNumber
	f := fault.SectionFinding{
		State: a.c.States[si].ID, String: a.net.Strings[sl.sec.String].ID,
		From: a.net.Name(sl.sec.From), To: a.net.Name(sl.sec.To), Volts: fault.Number(sl.volts),
		ChassisVolts: fault.Interval{Low: nothing, Mid: nothing, High: nothing},
		Ohms:         fault.Bounded{Low: nothing, Mid: nothing, High: nothing, Relation: fault.Equal},
		StandardOhms: nothing, OhmsPerVolt: nothing, Readings: []string{},
	}
	volts, divisor := a.divisor(sl.volts)
	f.Divisor = divisor
	if !read {
		return f
	}
	t := a.numbers[s]
	f.Readings = append(f.Readings, t.readings...)
	if t.sized {
		f.Ohms = t.ohms
	}
	if !t.ok {
		return f
	}
	f.ChassisVolts, f.Ohms = t.volts, t.ohms
	ohms := float64(t.ohms.Mid)
	if math.IsNaN(ohms) {
		ohms = float64(t.ohms.High) // the bound's own standard value
	}
	if x := t.u / sl.volts; sl.volts > 0 && x >= 0 && x <= 1 && !math.IsNaN(ohms) {
		f.StandardOhms = fault.Number(insulation.StandardOhms(ohms, x))
		f.OhmsPerVolt = f.StandardOhms / fault.Number(volts)
	}
	return f
}

// divisor is the volts that ohms per volt are taken by, and its name.
func (a *analysis) divisor(section float64) (float64, string) {
	l := a.net.Layout
	switch {
	case l.WorkingVolts > 0:
		return l.WorkingVolts, "working volts"
	case l.NominalVolts > 0:
		return l.NominalVolts, "nominal volts"
	}
	return section, "section volts"
}

// closures compares every section that was read with what the sections of
// another state, which together make it up, predict for it: G = Σ Gᵢ and
// u = Σ Gᵢ·uᵢ / G. A pass is agreement within three standard deviations.
func (a *analysis) closures() []fault.Closure {
	out := []fault.Closure{}
	for s := range a.d.slots {
		for si := range a.c.States {
			if parts := a.partsOf(s, si); len(parts) > 1 {
				out = append(out, a.closure(s, si, parts))
			}
		}
	}
	return out
}

// partsOf is the slots of another state that cover a slot exactly, all known.
func (a *analysis) partsOf(s, si int) []int {
	whole := &a.d.slots[s]
	if !a.numbers[s].ok || whole.sec == nil || whole.state == si || !a.comparable(whole.state, si) {
		return nil
	}
	groups := 0
	var parts []int
	for p := range a.d.slots {
		if a.d.slots[p].state != si || a.d.slots[p].sec == nil {
			continue
		}
		first := a.net.Groups[a.d.slots[p].sec.Groups[0]].Lo
		if whole.joined.SectionOf(first) != whole.joined.SectionOf(whole.sec.From) {
			continue
		}
		if !a.numbers[p].ok {
			return nil
		}
		parts = append(parts, p)
		groups += len(a.d.slots[p].sec.Groups)
	}
	if groups != len(whole.sec.Groups) {
		return nil
	}
	return parts
}

// comparable says that two states have the same leaks by what is recorded: they
// differ in which links are open, and in nothing that could take a leak away.
func (a *analysis) comparable(si, other int) bool {
	b, c := a.c.States[si], a.c.States[other]
	return a.d.differ(si, other) == "" && b.Contactors == c.Contactors && b.Boards == c.Boards && sameSet(b.Unplugged, c.Unplugged) &&
		sameSet(b.Removed, c.Removed) && sameSet(b.Connected, c.Connected)
}

func (a *analysis) closure(s, si int, parts []int) fault.Closure {
	whole, have := &a.d.slots[s], a.numbers[s]
	g, gu := 0.0, 0.0
	for _, p := range parts {
		at := a.numbers[p].u + whole.phi[a.d.slots[p].sec.From]
		g += a.numbers[p].g
		gu += a.numbers[p].g * at
	}
	u := gu / g
	gVar, uVar := 0.0, 0.0
	for _, p := range parts {
		n := a.numbers[p]
		part := n.g / g
		at := n.u + whole.phi[a.d.slots[p].sec.From]
		gVar += part * part * n.relSD * n.relSD
		uVar += part*part*n.uSD*n.uSD + math.Pow((at-u)*part*n.relSD, 2)
	}
	gSD, uSD := math.Sqrt(gVar), math.Sqrt(uVar)
	away := math.Abs(math.Log(g/have.g)) / math.Hypot(gSD, have.relSD)
	off := math.Abs(u-have.u) / math.Hypot(uSD, have.uSD)
	return fault.Closure{
		State: a.c.States[whole.state].ID, From: a.c.States[si].ID, Section: a.net.Name(whole.sec.From),
		Predicted:      fault.Bounded{Low: fault.Number(math.Exp(-1.96*gSD) / g), Mid: fault.Number(1 / g), High: fault.Number(math.Exp(1.96*gSD) / g), Relation: fault.Equal},
		Measured:       have.ohms,
		PredictedVolts: fault.Interval{Low: fault.Number(u - 1.96*uSD), Mid: fault.Number(u), High: fault.Number(u + 1.96*uSD)},
		MeasuredVolts:  have.listed,
		Passed:         away < 3 && off < 3,
	}
}
