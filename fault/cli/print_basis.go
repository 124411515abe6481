package cli

import (
	"fmt"
	"strings"

	"halfsplit/fault"
	"halfsplit/fault/cells"
	"halfsplit/topology"
)

// closure prints what one state's sections predict for another.
func (w *printed) closure() {
	if len(w.f.Closure) == 0 {
		return
	}
	w.heading("Closure: one state foretells the other")
	for _, c := range w.f.Closure {
		verdict := "They agree."
		if !c.Passed {
			verdict = "They do not agree: something changed between the states, or joins the sections."
		}
		w.item("", "%s, section at %s, from %s. %s", c.State, c.Section, c.From, verdict)
		w.under("Foretold", "%s; chassis %s", bounded(c.Predicted), volts(c.PredictedVolts, c.Section))
		w.under("Measured", "%s; chassis %s", bounded(c.Measured), volts(c.MeasuredVolts, c.Section))
	}
}

// subtraction prints what went with a board or a module.
func (w *printed) subtraction() {
	if len(w.f.Subtraction) == 0 {
		return
	}
	w.heading("Subtraction: what went with one thing")
	for _, s := range w.f.Subtraction {
		if !s.Detected {
			w.item(s.Away, "From state %s to %s, section at %s: no detectable change. What went is %s.", s.Before, s.After, s.Section, bounded(s.Ohms))
			continue
		}
		w.item(s.Away, "From state %s to %s, section at %s: %s went with it, at %s.", s.Before, s.After, s.Section, bounded(s.Ohms), volts(s.Volts, s.Section))
	}
}

// doubts prints what the finding asks back, and the readings that somebody kept as
// read.
func (w *printed) doubts() {
	if len(w.f.Doubts) > 0 {
		w.heading("Readings in doubt (nothing was changed)")
	}
	for _, d := range w.f.Doubts {
		w.item(d.Reading, "fits if %s; odds %s%s", d.FitsIf, odds(d.Odds), w.stands(d.Reading))
	}
	old, first := w.c.Superseded(), true
	for _, r := range w.c.Readings {
		if _, gone := old[r.ID]; gone || r.Stands == "" {
			continue
		}
		if first {
			w.heading("Readings kept as read")
			first = false
		}
		w.item(r.ID, "%s", r.Stands)
	}
}

// stands says that a reading which is doubted was kept as read.
func (w *printed) stands(id string) string {
	if r, ok := w.c.Reading(id); ok && r.Stands != "" {
		return "; kept as read"
	}
	return ""
}

// odds are a doubt's odds; beyond a million the figure says nothing more.
func odds(v fault.Number) string {
	if v >= 1e6 {
		return "more than a million to 1"
	}
	return fixed(float64(v), 0) + " to 1"
}

// beside prints what speaks for a place besides readings to chassis, or says where
// else low cell volts come from.
func (w *printed) beside(signs []cells.Signature) {
	if len(signs) > 0 {
		w.heading("What the cell volts say")
	}
	for _, s := range signs {
		w.bullet(s.Text)
	}
	if len(w.c.Noted) > 0 {
		w.heading("What persons noted")
	}
	for _, n := range w.c.Noted {
		w.item(n.Place, "%s%s (%s), weighs %s to 1", n.What, after(": ", n.Why), orElse(n.Who, "not named"), fixed(cells.NotedOdds[n.What], 0))
	}
}

// after puts something before a text that is not empty.
func after(before, s string) string {
	if s == "" {
		return ""
	}
	return before + s
}

// basis prints what the finding rests on and what it leaves out.
func (w *printed) basis() {
	w.heading("What this rests on")
	w.item("Readings", "%s", orElse(run(w.f.Used), "none"))
	var left []string
	for _, l := range w.f.LeftOut {
		left = append(left, l.Reading+": "+l.Why)
	}
	w.items("Left out", left)
	w.items("Calibration", w.calibrations())
	w.items("Assumes", w.f.Assumes)
	if w.f.ReferenceProved {
		w.item("Reference", "The chassis reference is proved.")
	} else {
		w.item("Reference", "The chassis reference is not proved.")
	}
	if w.f.LimitedBy != "" {
		w.item("Limited by", "%s", limits(w.f.LimitedBy))
	}
	if w.f.WouldTell != "" {
		w.item("Would tell", "%s", w.f.WouldTell)
	}
	if w.f.LayoutVersion != "" {
		w.item("Layout", "version %s", w.f.LayoutVersion)
	}
	if w.f.Engine != "" {
		w.item("Engine", "%s", w.f.Engine)
	}
}

// calibrations name the instruments, how their calibration stood when they were
// read, and what rests on them.
func (w *printed) calibrations() (out []string) {
	for _, k := range w.f.Calibration {
		text := orElse(k.Instrument, "Instrument not recorded") + ": " + k.Words
		var rest []string
		if len(k.Readings) > 0 {
			rest = append(rest, run(k.Readings))
		}
		if len(k.Groups) > 0 {
			rest = append(rest, "the group volts of "+run(k.Groups))
		}
		out = append(out, text+"; on it rest "+strings.Join(rest, " and ")+".")
	}
	return out
}

// limits are what keeps an interval from being narrower, in words.
func limits(by string) string {
	switch by {
	case "counts":
		return "the meter's counts"
	case "gain":
		return "the meter's gain"
	case "background":
		return "the healthy remainder's own leakage"
	case "drift":
		return "drift between the readings"
	case "cell voltages":
		return "the group volts"
	case "leak path":
		return "the leak path's own potential"
	}
	return by
}

// next prints what to do next, or why nothing is proposed, and what is held back.
func (w *printed) next() {
	switch {
	case len(w.f.Next) == 0 && w.f.Stop == "" && len(w.f.HeldBack) == 0:
		return
	case len(w.f.Next) == 0:
		w.heading("Next test")
	default:
		w.heading("Next tests, the most worth its minutes first")
	}
	if w.f.Stop != "" {
		w.item("", "%s", w.f.Stop)
	}
	w.tests()
	if len(w.f.HeldBack) > 0 {
		w.heading("Held back until it is recorded")
	}
	for _, h := range w.f.HeldBack {
		w.item("", "%s: %s", h.Action, h.Why)
	}
}

func (w *printed) tests() {
	for i, n := range w.f.Next {
		w.item(fmt.Sprintf("%d.", i+1), "%s", n.Action)
		if with := fittedWords(n); with != "" {
			w.under("With", "%s", with)
		}
		if !missing(n.Expected.Low) && !missing(n.Expected.High) {
			w.under("Expected", "%s, not measured", rangeVolts(n.Expected))
		}
		if len(n.State.Open) > 0 && !missing(n.GapVolts.Low) && !missing(n.GapVolts.High) {
			w.under("Across the gap", "%s, expected, not measured", rangeVolts(n.GapVolts))
		}
		if n.Why != "" {
			w.under("Why", "%s", n.Why)
		}
		for _, x := range n.Then {
			w.under("Then", "if %s (%s): %s.", x.If, percent(x.Share), x.Action)
		}
		for _, c := range n.NotChecked {
			w.under("Not checked", "%s", c)
		}
		for _, c := range n.Cautions {
			w.under("Mind", "%s", c)
		}
	}
}

// fittedWords are the meter with the range to lock, and the test resistor with what the
// reading puts on it.
func fittedWords(n fault.NextTest) string {
	s := n.Instrument
	if s != "" && !missing(n.Range) {
		s += fmt.Sprintf(" locked to its %g V range", float64(n.Range))
	}
	if n.Resistor != "" {
		s += ", " + n.Resistor
		if n.ResistorFrom != "" {
			s += " from " + n.ResistorFrom + " to " + n.ResistorTo
		}
		if !missing(n.Watts) && !missing(n.Across) {
			s += fmt.Sprintf(": up to %.3g V and %.2g W in it, expected, not measured", float64(n.Across), float64(n.Watts))
		}
	}
	return strings.TrimPrefix(s, ", ")
}

func rangeVolts(r fault.Range2) string {
	_, ends := spread(fault.Interval{Low: r.Low, Mid: r.High, High: r.High}, 1)
	return ends + " V"
}

// why prints the equations with this case's numbers in them.
func (w *printed) why() {
	if len(w.f.Why) == 0 {
		return
	}
	w.heading("Why?")
	for _, l := range w.f.Why {
		w.item("", "%s", l.What)
		w.wrap("      ", "      ", l.Worked)
	}
}

func (w *printed) layout(problems []topology.Problem) {
	if len(problems) == 0 {
		return
	}
	w.heading("To look at in the layout")
	for _, p := range problems {
		w.item(orElse(p.GoTo, "-"), "%s", p.Text)
	}
}
