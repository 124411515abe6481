package cli

import (
	"fmt"

	"halfsplit/fault"
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

func (w *printed) doubts() {
	if len(w.f.Doubts) == 0 {
		return
	}
	w.heading("Readings in doubt (nothing was changed)")
	for _, d := range w.f.Doubts {
		w.item(d.Reading, "fits if %s; odds %s to 1", d.FitsIf, fixed(float64(d.Odds), 0))
	}
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
	w.items("Assumes", w.f.Assumes)
	if w.f.ReferenceProved {
		w.item("Reference", "The chassis reference is proved.")
	} else {
		w.item("Reference", "The chassis reference is not proved.")
	}
	if w.f.LimitedBy != "" {
		w.item("Limited by", "%s", w.f.LimitedBy)
	}
	if w.f.WouldTell != "" {
		w.item("Would tell", "%s", w.f.WouldTell)
	}
	if w.f.Engine != "" {
		w.item("Engine", "%s", w.f.Engine)
	}
}

func (w *printed) next() {
	if len(w.f.Next) == 0 {
		return
	}
	w.heading("Next tests, the most worth its minutes first")
	for i, n := range w.f.Next {
		w.item(fmt.Sprintf("%d.", i+1), "%s", n.Action)
		if !missing(n.Expected.Low) && !missing(n.Expected.High) {
			w.under("Expected", "%s, not measured", rangeVolts(n.Expected))
		}
		if len(n.State.Open) > 0 && !missing(n.GapVolts.Low) && !missing(n.GapVolts.High) {
			w.under("Across the gap", "%s, expected, not measured", rangeVolts(n.GapVolts))
		}
		for _, c := range n.NotChecked {
			w.under("Not checked", "%s", c)
		}
		for _, c := range n.Cautions {
			w.under("Mind", "%s", c)
		}
	}
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
