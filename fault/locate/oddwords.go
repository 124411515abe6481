package locate

import (
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
)

// twoHalves says where single readings lie in sections that float apart.
func (w *words) twoHalves() string {
	d := w.a.d
	for s := range w.a.numbers {
		for t := s + 1; t < len(w.a.numbers); t++ {
			p, q := w.a.numbers[s], w.a.numbers[t]
			if d.slots[s].state != d.slots[t].state || d.slots[s].sec == nil || d.slots[t].sec == nil || len(p.readings) == 0 || len(q.readings) == 0 {
				continue
			}
			return fmt.Sprintf("Too few readings: %s and %s lie in two sections, %s to %s and %s to %s, which float apart in state %s. Each needs two independent readings to chassis of its own.",
				join(p.readings, "and"), join(q.readings, "and"), w.a.net.Name(d.slots[s].sec.From), w.a.net.Name(d.slots[s].sec.To),
				w.a.net.Name(d.slots[t].sec.From), w.a.net.Name(d.slots[t].sec.To), d.c.States[d.slots[s].state].ID)
		}
	}
	return ""
}

func (w *words) inconsistent() string {
	if len(w.a.slips) > 0 && w.a.slips[0].wholesale() {
		return "The readings do not belong together; they fit if " + w.a.slips[0].fitsIf + "."
	}
	if text := w.a.apart(); text != "" && (w.a.tooMany || len(w.a.slips) == 0) {
		return "The readings do not belong together. " + text
	}
	if w.a.tooMany {
		var ids []string
		for _, s := range w.a.slips {
			if !slices.Contains(ids, s.readings[0]) {
				ids = append(ids, s.readings[0])
			}
		}
		return fmt.Sprintf("The readings do not belong together: %s would all have to be wrong. Check the state that each was taken in, the leads, and whether the pack changed between them; then read again.", join(ids, "and"))
	}
	if list := w.a.slips; len(list) > 0 {
		var either []string
		for _, s := range list[:min(3, len(list))] {
			if s.wholesale() {
				either = append(either, "all fit if "+s.fitsIf)
			} else {
				either = append(either, s.readings[0]+" fits if "+s.fitsIf)
			}
		}
		if len(either) == 1 {
			return "The readings do not belong together. " + either[0] + ". Without it too little is left to state anything: read it again."
		}
		return "The readings do not belong together. " + join(either, "or") + ". Nothing tells which: read them again in the same state."
	}
	if s := w.a.suspect; len(s) > 1 {
		return fmt.Sprintf("The readings do not belong together. The rest would fit without any one of %s, and nothing tells which: there is no spare reading. Read them again in the same state.", join(s, "or"))
	}
	return "The readings do not belong together: no leak or pair of leaks explains them, not even with one reading left out. Check the state that each was taken in, the leads, and whether something bridges the sections; then read again."
}

// metalWrong says what is joined or parted otherwise than recorded.
func (w *words) metalWrong() string {
	m := w.a.metal
	text := "The readings do not belong together as recorded; they fit if " + m.fitsIf + ". "
	if m.kind == slipBroken {
		return text + "Treat both sides as live and as floating halves: volts across " + m.with + " are not known. Find it before anything else is opened or touched, and record the state as it is."
	}
	return text + "A board, a harness or a coolant path may bridge it. Find it before anything else is opened or touched; computed volts across " + m.with + " do not hold."
}

// noReference says that what was read to chassis says nothing of the chassis.
func (w *words) noReference() string {
	return "No leak can be judged: the reference is not proved. The readings fit if " + w.a.metal.fitsIf + ". Clip to another bonded point, scrape to bright metal, and read again."
}

// loose says, of a leak that was found all the same, which metal it leads to.
func (w *words) loose() string {
	a := w.a
	if a.metal == nil || a.metal.kind != slipReference {
		return ""
	}
	text := "The leak does not lead to all of the chassis alike: the readings fit if " + a.metal.fitsIf
	f := a.po.bestFit()
	for i, src := range f.src {
		for s := range src.u {
			if a.d.slots[s].piece != "" && src.u[s] == src.u[s] {
				text += fmt.Sprintf(", with about %s between them", ohmsText(1/f.cond[i]))
			}
		}
	}
	return text + ". Metal that is joined by so much is a reference of its own, and a plate on it may be live. Measure that joint by itself."
}

// breaksDown says that an insulation tester sees a path that the pack's own
// volts do not.
func (w *words) breaksDown() string {
	r, _ := w.a.c.Reading(w.a.burst)
	return fmt.Sprintf("The insulation tester and the volts to chassis disagree: %s shows %s at %s under %s of test volts, which the pack's own volts do not show. Insulation that breaks down or creeps only under test volts reads so; ohms from the volts do not speak of it. Test that part by itself, in steps as its maker allows.",
		r.ID, ohmsText(r.Value), r.Red, voltsText(math.Abs(r.TestVolts)))
}

// explainOdd says what the reading that was left out should have been.
func (a *analysis) explainOdd(list []fault.LeftOut) []fault.LeftOut {
	all := prepareLike(a.d, a.c, a.net, a.given.whole())
	for i := range all.obs {
		o := &all.obs[i]
		if o.id != a.odd {
			continue
		}
		expected := o.red.volts - o.black.volts
		if !o.within {
			expected = a.predict(o)
		}
		why := fmt.Sprintf("it does not fit the other readings: %s was read, they predict %s", voltsText(o.reading.Value), voltsText(expected))
		if proofElement(o) >= 0 {
			why += ". The test resistor is not proved to reach the same metal as the meter's chassis clip"
		}
		for k := range list {
			if list[k].Reading == a.odd {
				list[k].Why = why
			}
		}
	}
	return list
}

// predict is what the best explanation expects a reading to be. Slots are found
// by state and section, since the reading's own may not be among those in use.
func (a *analysis) predict(o *observation) float64 {
	f := a.po.bestFit()
	all := prepareLike(a.d, a.c, a.net, a.given.whole())
	g, q := make([]float64, len(all.slots)), make([]float64, len(all.slots))
	for s := range all.slots {
		sl := &all.slots[s]
		if sl.sec == nil {
			g[s] = math.Exp(startBackground)
			continue
		}
		for key, i := range a.d.slotAt {
			if key[0] == sl.state && &sl.joined.Sections[key[1]] == sl.sec {
				g[s], q[s] = f.g[i], f.q[i]
			}
		}
		if g[s] == 0 {
			g[s] = math.Exp(startBackground) * sl.share
			q[s] = g[s] * sl.middle
		}
	}
	for i := range all.obs {
		if all.obs[i].id == o.id {
			p := &all.obs[i].circuit
			buf := make([]float64, 2*len(p.slots))
			return p.eval(g, q, buf, buf[len(p.slots):])
		}
	}
	return math.NaN()
}
