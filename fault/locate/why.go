package locate

import (
	"fmt"
	"math"

	"halfsplit/fault"
	"halfsplit/topology"
)

func (w *words) line(what, format string, args ...any) {
	w.f.Why = append(w.f.Why, fault.WorkedLine{What: what, Worked: fmt.Sprintf(format, args...)})
}

// why works every section's two numbers with this case's readings, so that a
// pocket calculator can follow.
func (w *words) why() {
	for s := range w.a.d.slots {
		w.whySection(s)
	}
	for _, c := range w.f.Closure {
		verdict := "agree"
		if !c.Passed {
			verdict = "do not agree"
		}
		w.line("Closure of state "+c.State, "The sections of state %s predict %s and chassis at %s above %s; read: %s and %s. They %s.",
			c.From, ohmsText(float64(c.Predicted.Mid)), voltsText(float64(c.PredictedVolts.Mid)), c.Section,
			ohmsText(float64(c.Measured.Mid)), voltsText(float64(c.MeasuredVolts.Mid)), verdict)
	}
	for _, s := range w.f.Subtraction {
		if s.Detected {
			w.line("Without "+s.Away, "State %s less state %s: 1/G = %s went, at %s above %s (%s to %s).", s.Before, s.After, boundText(s.Ohms),
				voltsText(float64(s.Volts.Mid)), s.Section, voltsText(float64(s.Volts.Low)), voltsText(float64(s.Volts.High)))
		} else {
			w.line("Without "+s.Away, "State %s less state %s: no detectable change; what went is %s.", s.Before, s.After, boundText(s.Ohms))
		}
	}
	w.moved()
	w.whyPriors()
	w.whyEvidence()
}

// priorDriven says which shares no reading has moved: those between places or
// explanations that share every potential read so far.
func (w *words) priorDriven(leaks []resolved) {
	for _, r := range leaks {
		rest := rivals(r.leak)
		if len(rest) < 2 {
			continue
		}
		var same []string
		for _, p := range rest[1:] {
			if w.a.meet(r.cell, rest[0].ID, p.ID) {
				same = append(same, placeName(p))
			}
		}
		if len(same) > 0 {
			w.line("Shares that only the priors give", "%s and %s share every potential that was read: the shares between them are those from before the readings, but for how near each lies to the best tap.",
				placeName(rest[0]), join(same, "and"))
		}
	}
	if w.f.Verdict == fault.EquivalentOnly {
		w.line("Shares that only the priors give", "On an unbroken string no reading tells one leak from several: the shares of one, two and spread are those from before the readings, but for how many ways each has to fit.")
	}
}

// whyEvidence prints what was recorded beside the readings, with its weight.
func (w *words) whyEvidence() {
	for _, e := range w.a.ev {
		kind := ""
		if e.Kind != "" {
			kind = ", for " + kindWords[e.Kind]
		}
		at := e.Place
		if e.With != "" {
			at += " with " + e.With
		}
		w.line("Evidence at "+at, "%s Weight %s to 1%s.", e.Why, digits(e.Odds, 2), kind)
	}
}

// whySection works one section: the place from two plain readings, the size
// from the sum rule and from the test resistor.
func (w *words) whySection(s int) {
	a, sl, n := w.a, &w.a.d.slots[s], w.a.numbers[s]
	if sl.sec == nil {
		return
	}
	name := fmt.Sprintf("State %s, %s to %s", a.c.States[sl.state].ID, a.net.Name(sl.sec.From), a.net.Name(sl.sec.To))
	if !n.ok {
		if len(n.readings) > 0 {
			w.line(name, "One independent reading to chassis (%s): neither place nor size follows from this section alone.", join(n.readings, "and"))
		}
		return
	}
	top, bottom := w.plainAt(s, a.d.slots[s].sec.To), w.plainAt(s, a.d.slots[s].sec.From)
	if top != nil && bottom != nil && top.reading.Value != bottom.reading.Value {
		v, b := top.reading.Value, bottom.reading.Value
		sum := v - b
		w.line(name+", place", "S = %s - (%s) = %s (%s, %s). f = %s / %s = %s. Chassis = f × %s = %s above %s.",
			voltsText(v), voltsText(b), voltsText(sum), top.id, bottom.id, voltsText(-b), voltsText(sum), digits(-b/sum, 4),
			voltsText(sl.volts), voltsText(-b/sum*sl.volts), a.net.Name(sl.sec.From))
		if len(top.elements) == 1 && top.elements[0].siemens > 0 {
			rm := 1 / top.elements[0].siemens
			r := rm * (sl.volts/sum - 1)
			w.line(name+", size without a resistor", "R = %s × (%s / %s - 1) = %s. Counts and gain make this coarse where S is close to the section's volts.",
				ohmsText(rm), voltsText(sl.volts), voltsText(sum), signedOhms(r))
		}
	}
	w.whyResistor(s, name)
	w.line(name+", weighed together", "Resistance to chassis %s; chassis at %s above %s (%s to %s).", boundText(n.ohms),
		voltsText(float64(n.volts.Mid)), a.net.Name(sl.sec.From), voltsText(float64(n.volts.Low)), voltsText(float64(n.volts.High)))
}

func signedOhms(r float64) string {
	if r <= 0 {
		return "not above zero, so a bound is all it gives"
	}
	return ohmsText(r)
}

// whyResistor pairs a plain reading with one at the same node through a
// resistor: r = V/V', Rp = Rm ∥ R0, R = Rm·Rp·(r - 1)/(Rm - r·Rp).
func (w *words) whyResistor(s int, name string) {
	for i := range w.a.d.obs {
		o := &w.a.d.obs[i]
		if o.red.slot != s || o.within || len(o.elements) != 2 || !o.black.chassis() || !o.reading.AcrossProbes() {
			continue
		}
		plain := w.plainAt(s, o.red.node)
		if plain == nil || len(plain.elements) != 1 || o.reading.Value == 0 {
			continue
		}
		rm, r0 := 1/o.elements[0].siemens, 1/o.elements[1].siemens
		rp := rm * r0 / (rm + r0)
		r := plain.reading.Value / o.reading.Value
		leak := rm * rp * (r - 1) / (rm - r*rp)
		w.line(name+", size with the test resistor", "r = %s / %s = %s (%s, %s). Rp = %s parallel %s = %s. R = Rm × Rp × (r - 1) / (Rm - r × Rp) = %s.",
			voltsText(plain.reading.Value), voltsText(o.reading.Value), digits(r, 4), plain.id, o.id, ohmsText(rm), ohmsText(r0), ohmsText(rp), signedOhms(leak))
		return
	}
}

// plainAt is the first reading from a conductor to chassis without a resistor.
func (w *words) plainAt(s int, node topology.NodeID) *observation {
	j := w.a.d.slots[s].joined
	for i := range w.a.d.obs {
		o := &w.a.d.obs[i]
		if o.red.slot == s && o.black.chassis() && len(o.elements) == 1 && j.Conductor(o.red.node) == j.Conductor(node) {
			return o
		}
	}
	return nil
}

func (w *words) whyPriors() {
	for _, h := range w.f.Hypotheses {
		w.line("Explanation: "+kindWords[h.Kind], "Prior %s, after the readings %s.", percent(w.a.d.prior[h.Kind]), percent(float64(h.Share)))
	}
	w.line("Ranges", "Leak sizes from %s to %s and the pack's background from %s to %s, equal weight for equal ratios; a leak path's own potential ± %s group (one standard deviation).",
		ohmsText(leakLow), ohmsText(leakHigh), ohmsText(backgroundLow), ohmsText(backgroundHigh), digits(pathSD, 1))
}

var kindWords = map[string]string{
	fault.None: "no leak, background alone", fault.One: "one leak", fault.Two: "two leaks", fault.Spread: "leakage spread over a run of modules",
	fault.BoardLeak: "a monitoring board or its leads", fault.LinkLeak: "a link", fault.RailLeak: "a rail, end module to contactor",
	fault.LoadSide: "beyond the contactors", fault.BadReference: "a chassis reference that does not reach the chassis",
	fault.MonitorLeak: "an insulation monitor that was connected, not recorded",
}

// whyLeaks tells how each leak's place was read off.
func (w *words) whyLeaks(leaks []resolved) {
	for _, r := range leaks {
		l, sl := r.leak, &w.a.d.slots[r.slot]
		w.line("Leak at "+l.Tap.Mid, "Without the background the leak's potential is %s above %s. By the measured group volts that is %s groups above the string's negative end (%s to %s; with the leak path's own potential %s to %s).",
			voltsText(r.u), w.a.net.Name(sl.sec.From), places(l.Electrical.Mid), places(l.Electrical.Low), places(l.Electrical.High), places(l.Position.Low), places(l.Position.High))
	}
	w.priorDriven(leaks)
	w.loopCurrent(leaks)
	if w.f.LimitedBy != "" {
		w.line("Limited by", "The interval is limited by: %s.", w.f.LimitedBy)
	}
}

func places(v fault.Number) string {
	if math.IsNaN(float64(v)) {
		return "not known"
	}
	return fmt.Sprintf("%.1f", float64(v))
}
