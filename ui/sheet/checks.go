package sheet

import (
	"fmt"

	"halfsplit/fault"
	"halfsplit/ui/words"
)

// checks is the part with what the states say of each other, and with what went
// with a thing that was taken away.
func (w *writer) checks(f *fault.Finding) {
	n := len(f.Closure) + len(f.Subtraction)
	if n == 0 || !w.fold(CheckFold, n) {
		return
	}
	for _, detected := range []bool{true, false} {
		for _, s := range f.Subtraction {
			if s.Detected == detected {
				w.subtraction(s)
			}
		}
	}
	for _, c := range f.Closure {
		w.closure(c)
	}
}

// closure compares what the sections of one state predict for another.
func (w *writer) closure(c fault.Closure) {
	verdict := "agrees"
	if !c.Passed {
		verdict = "does not agree: something else changed, or joins the sections"
	}
	w.add(Block{Kind: Para, Bold: true, Text: "State " + c.State + " from state " + c.From + ": " + verdict})
	w.row("Section", "at "+c.Section)
	w.row("Predicted", words.Bounded(c.Predicted))
	w.row("From its own readings", words.Bounded(c.Measured))
	w.row("Chassis, predicted", words.Span(float64(c.PredictedVolts.Low), float64(c.PredictedVolts.Mid), float64(c.PredictedVolts.High), "V"))
	w.row("Chassis, from readings", words.Span(float64(c.MeasuredVolts.Low), float64(c.MeasuredVolts.Mid), float64(c.MeasuredVolts.High), "V"))
}

// subtraction says what went with a board or a module.
func (w *writer) subtraction(s fault.Subtraction) {
	w.add(Block{Kind: Para, Bold: true, Text: "What went with " + w.named(s.Away) + ", section at " + s.Section})
	if !s.Detected {
		w.para(fmt.Sprintf("Nothing that the readings show: no detectable change from state %s to %s. What went is %s.", s.Before, s.After, words.Bounded(s.Ohms)))
		return
	}
	w.row("Went with it", words.Bounded(s.Ohms))
	w.row("Above "+s.Section, words.Span(float64(s.Volts.Low), float64(s.Volts.Mid), float64(s.Volts.High), "V"))
	w.row("From state", s.Before+" to "+s.After)
}

// named is a thing of the layout with what it is.
func (w *writer) named(id string) string {
	for _, b := range w.p.Net.Layout.Boards {
		if b.ID == id {
			return "board " + id
		}
	}
	if _, ok := w.p.Net.Module(id); ok {
		return "module " + id
	}
	return id
}
