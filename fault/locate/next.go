package locate

import (
	"context"
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// next fills in what to do next: by the planner where there is a posterior to plan
// on, else what the verdict itself asks for.
func (a *analysis) next(ctx context.Context, f *fault.Finding) error {
	si := a.d.stateIndex(a.c.Now)
	switch {
	case len(a.net.Groups) == 0:
		f.Stop = "The layout has no modules with groups yet: draw what was measured."
	case si < 0:
		f.Stop = "The present state is not recorded: record what is open, unplugged and connected now."
	case a.c.States[si].Monitor == fault.MonitorActive:
		f.Stop = "The insulation monitor is recorded active: isolate it by the maker's procedure, record that, and read again."
	case f.Verdict == fault.TooFewReadings:
		a.firstReadings(si, f)
	case f.Verdict == fault.Inconsistent:
		a.repeats(si, f)
	case f.Verdict == fault.NoLeakTestNotProved:
		a.proof(si, f)
	case f.Verdict == fault.NoLeakTestProved:
		f.Stop = "No leak is seen and the test is proved: in this state the voltage method has nothing more to measure. A leak may be there only wet, torqued, with the contactors closed, or under test volts."
	case f.Verdict == fault.NotInString:
		f.Stop = "The leak is not in the string: separate the loads and test each on its own, with the pack off them."
	default:
		return a.propose(ctx, si, f)
	}
	return nil
}

// bareTest is a proposed reading without a planner behind it.
func (a *analysis) bareTest(kind string, red topology.NodeID) fault.NextTest {
	m := move{kind: kind, node: red, minutes: readMinutes}
	t := emptyTest(kind)
	t.Action, t.Red, t.Black, t.Minutes = upperFirst(m.verb(a))+".", a.net.Name(red), "chassis", readMinutes
	return t
}

// emptyTest is a test of which nothing is known yet.
func emptyTest(kind string) fault.NextTest {
	none := fault.NoNumber
	return fault.NextTest{Kind: kind, NotChecked: []string{}, Cautions: []string{}, Then: []fault.ThenTest{}, Expected: noRange, GapVolts: noRange,
		Bits: none, Total: none, Watts: none, Across: none, Range: none}
}

// firstReadings proposes what gives a section of the present state its two numbers:
// the ends of the section that has one already, else of the largest.
func (a *analysis) firstReadings(si int, f *fault.Finding) {
	j := a.net.In(a.c.States[si].Setting())
	m := a.meter()
	best, most := -1, -1
	for i := range j.Sections {
		size := len(j.Sections[i].Groups)
		if size > 0 && a.readIn(si, j, i) {
			size += len(a.net.Groups)
		}
		if size > most {
			best, most = i, size
		}
	}
	if most <= 0 {
		f.Stop = "Nothing of the string is left in this state."
		return
	}
	sec := &j.Sections[best]
	volts := j.Potentials(sec, a.d.cells[si].mean)[sec.To]
	for _, end := range []struct {
		at   topology.NodeID
		span fault.Range2
	}{{sec.To, fault.Range2{Low: 0, High: fault.Number(volts)}}, {sec.From, fault.Range2{Low: fault.Number(-volts), High: 0}}} {
		at := a.terminal(j, end.at)
		if a.readAt(si, j, at, nil) {
			continue
		}
		t := a.bareTest(fault.TestRead, at)
		t.Expected = end.span
		t.Why = "A section tells its two numbers, how much it leaks and about where, from both of its ends, read one after the other with one meter."
		a.fitMeter(&t, m, volts)
		f.Next = append(f.Next, t)
	}
	if len(f.Next) == 0 {
		a.repeats(si, f)
	}
}

// fitMeter names the meter and the range to lock for a section's volts.
func (a *analysis) fitMeter(t *fault.NextTest, m usedMeter, volts float64) {
	if !m.known {
		t.NotChecked = append(t.NotChecked, "No meter is recorded: its input resistance and accuracy are needed for what follows.")
		return
	}
	t.Instrument, t.Range = m.in.ID, m.lock(volts)
}

// readIn says that some reading to chassis touched a section of the present state.
func (a *analysis) readIn(si int, j *topology.Joined, sec int) bool {
	return slices.ContainsFunc(a.d.obs, func(o observation) bool {
		return o.reading.State == a.c.States[si].ID && !o.within &&
			((!o.red.chassis() && j.SectionOf(o.red.node) == sec) || (!o.black.chassis() && j.SectionOf(o.black.node) == sec))
	})
}

// readAt says that a conductor was read to chassis in the present state, by a reading
// that counts for the caller; nil = any.
func (a *analysis) readAt(si int, j *topology.Joined, at topology.NodeID, counts func(o *observation) bool) bool {
	for i := range a.d.obs {
		o := &a.d.obs[i]
		if o.reading.State != a.c.States[si].ID || o.within || o.red.chassis() == o.black.chassis() || counts != nil && !counts(o) {
			continue
		}
		e := o.red
		if e.chassis() {
			e = o.black
		}
		if j.Conductor(e.node) == j.Conductor(at) {
			return true
		}
	}
	return false
}

// repeats proposes taking the readings again that do not fit: those in doubt first,
// else every one of the present state that may be the odd one.
func (a *analysis) repeats(si int, f *fault.Finding) {
	var ids []string
	for _, d := range f.Doubts {
		ids = append(ids, d.Reading)
	}
	ids = append(ids, a.suspect...)
	for _, l := range f.LeftOut {
		ids = append(ids, l.Reading)
	}
	for _, o := range a.d.obs {
		ids = append(ids, o.id)
	}
	elsewhere, again := "", ""
	for n, id := range ids {
		r, ok := a.c.Reading(id)
		if !ok || slices.Index(ids, id) < n || len(f.Next) == proposals || (n >= len(f.Doubts)+len(a.suspect) && len(f.Next) > 0) {
			continue
		}
		if r.State != a.c.States[si].ID {
			if elsewhere == "" {
				elsewhere = fmt.Sprintf("%s was taken in state %s, which is not the present one.", r.ID, r.State)
			}
			continue
		}
		if twin := a.readTwice(r); twin != "" {
			again = fmt.Sprintf("%s and %s agree, and still do not fit the rest: what is open, unplugged or joined may not be as it is recorded. Check that, then read another point.", r.ID, twin)
			continue
		}
		f.Next = append(f.Next, a.repeat(r))
	}
	if len(f.Next) == 0 {
		if f.Stop = elsewhere; again != "" {
			f.Stop = again
		}
		if f.Stop == "" {
			f.Stop = "No reading of the present state could be taken again: read both ends of a section to chassis."
		}
	}
}

// readTwice is another reading of the same state and leads that shows the same, within
// the counts of both; "" where there is none.
func (a *analysis) readTwice(r fault.Reading) string {
	for _, o := range a.c.Readings {
		same := o.ID != r.ID && o.State == r.State && o.Quantity == r.Quantity && o.Red == r.Red && o.Black == r.Black && o.Instrument == r.Instrument
		if !same || (o.Resistor == nil) != (r.Resistor == nil) || (o.Resistor != nil && *o.Resistor != *r.Resistor) {
			continue
		}
		in, _ := a.c.Instrument(r.Instrument)
		if rg, _, ok := in.RangeOf(r); !ok || math.Abs(o.Value-r.Value) <= 4*countSD(in, rg)+1e-9 {
			return o.ID
		}
	}
	return ""
}

func (a *analysis) repeat(r fault.Reading) fault.NextTest {
	t := emptyTest(fault.TestRepeat)
	t.Red, t.Black, t.Instrument, t.Minutes = r.Red, r.Black, r.Instrument, readMinutes
	t.Action = fmt.Sprintf("Take %s again: red %s, black %s", r.ID, r.Red, r.Black)
	if r.Resistor != nil {
		t.Resistor, t.ResistorFrom, t.ResistorTo, t.Minutes = r.Resistor.ID, r.Resistor.From, r.Resistor.To, resistorMinutes
		if r.AcrossProbes() {
			t.ResistorFrom, t.ResistorTo = "", ""
		}
		t.Action += fmt.Sprintf(", %s from %s to %s", r.Resistor.ID, r.Resistor.From, r.Resistor.To)
	}
	t.Action += "."
	if r.Range > 0 {
		t.Range = fault.Number(r.Range)
	}
	t.Why = "The readings do not fit together; what this one shows a second time tells whether it is the odd one."
	return t
}

// proof proposes the reading that proves the chassis reference: the test resistor to
// another chassis piece than the meter's black lead.
func (a *analysis) proof(si int, f *fault.Finding) {
	j := a.net.In(a.c.States[si].Setting())
	best := -1
	for i := range j.Sections {
		if best < 0 || len(j.Sections[i].Groups) > len(j.Sections[best].Groups) {
			best = i
		}
	}
	if best < 0 {
		f.Stop = "Nothing of the string is left in this state."
		return
	}
	sec := &j.Sections[best]
	volts := j.Potentials(sec, a.d.cells[si].mean)[sec.To]
	var own *twoNumbers
	if s, ok := a.d.slotAt[[2]int{si, best}]; ok && s < len(a.numbers) && a.numbers[s].ok {
		own = &a.numbers[s]
	}
	ohms := 1e6
	if own != nil && own.g > 0 {
		ohms = 1 / own.g
	}
	black, other := a.clipAndOther()
	r := a.resistorFor(volts, ohms)
	switch {
	case other == "":
		f.Stop = "No leak is seen, and the test is not proved: draw a second chassis point, and put the test resistor from a terminal to it while the meter's black lead stays where it is."
		return
	case r == nil:
		f.Stop = fmt.Sprintf("No leak is seen, and the test is not proved: no test resistor is recorded that stands %s with twice the watts.", voltsText(volts))
		return
	}
	t := a.bareTest(fault.TestRead, a.terminal(j, sec.From))
	t.Black, t.ResistorFrom, t.ResistorTo, t.Minutes = black, a.net.Name(a.terminal(j, sec.To)), other, resistorMinutes
	t.Action = fmt.Sprintf("Red %s, black %s, with %s from %s to %s.", t.Red, black, r.ID, t.ResistorFrom, other)
	t.Why = "A clip on paint reads like a healthy pack. With the resistor on another chassis point than the meter's clip, the reading moves as foretold only if both reach the same metal."
	m := a.meter()
	a.fitMeter(&t, m, volts)
	noteLoad(&t, r, volts)
	if m = m.on(volts); m.known && own != nil {
		all := own.g + m.siemens() + 1/r.Ohms
		v := -(own.g*own.u + volts/r.Ohms) / all
		sd := math.Hypot(m.sd(v), math.Abs(v+own.u)*own.g*own.relSD/all)
		t.Expected = fault.Range2{Low: fault.Number(v - 2*sd), High: fault.Number(v + 2*sd)}
	}
	f.Next = append(f.Next, t)
}

// clipAndOther are the chassis piece that the meter's clip was on last, or the first,
// and another; "" for what the layout does not have.
func (a *analysis) clipAndOther() (clip, other string) {
	var pieces []string
	for _, p := range a.net.Layout.Chassis {
		pieces = append(pieces, "chassis:"+p.ID)
	}
	if len(pieces) < 2 {
		return "", ""
	}
	clip, other = pieces[0], pieces[1]
	for _, o := range a.d.obs {
		if at := "chassis:" + o.black.piece; o.black.piece != "" && slices.Contains(pieces, at) {
			clip = at
			other = pieces[slices.IndexFunc(pieces, func(p string) bool { return p != at })]
		}
	}
	return clip, other
}
