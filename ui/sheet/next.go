package sheet

import (
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/facts"
	"halfsplit/ui/words"
)

// Ids of what can be pressed about the next test.
const (
	TakeID    = "next:take:"    // and a number: that proposal leads instead
	MinutesID = "next:minutes:" // and the id of a link or board: its minutes are edited
)

// Proposal is the test that leads, of a finding that belongs to the case as it is;
// ok is false where none is proposed, or it is being worked out, or the page shows
// the answer to a question.
func Proposal(p *facts.Pack, lead int) (n fault.NextTest, ok bool) {
	f := p.Result.Finding
	if f == nil || p.Result.Status == facts.Computing || p.Result.Stale || f.WhatIf != "" || len(f.Next) == 0 {
		return n, false
	}
	if lead < 0 || lead >= len(f.Next) {
		lead = 0
	}
	return f.Next[lead], true
}

// next is what to do next: the leading proposal as a picture, the others and what
// speaks for it on request; or why there is none.
func (w *writer) next(f *fault.Finding) {
	if f.WhatIf != "" || len(f.Next) == 0 && f.Stop == "" && len(f.HeldBack) == 0 {
		return
	}
	if w.p.Result.Status == facts.Computing || w.p.Result.Stale {
		w.title("Next test")
		if w.p.Result.Status == facts.Computing {
			w.para("Working out the next test from the readings as they are now.")
		} else {
			w.para("Not worked out for the readings as they are now. R computes it.")
		}
		return
	}
	n, ok := Proposal(w.p, w.lead)
	switch {
	case !ok:
		w.title("Next test")
		w.para(orNone(words.Sentence(f.Stop)))
	case w.lead > 0 && w.lead < len(f.Next):
		w.title(fmt.Sprintf("Next test, number %d of %d", w.lead+1, len(f.Next)))
		w.proposal(n)
	case f.Stop != "": // enough is known of what must come out; something else is not
		w.title("Next test")
		w.para(words.Sentence(f.Stop))
		w.title("What can still be measured")
		w.proposal(n)
	default:
		w.title("Next test")
		w.proposal(n)
	}
	if ok && w.fold(WorthFold, max(1, len(n.Then))) {
		w.worth(n)
	}
	if rest := len(f.Next) - 1; rest > 0 && w.fold(NextFold, rest) {
		w.others(f)
	}
	if len(f.HeldBack) == 0 {
		return
	}
	if !ok { // what would lift it is what to do next
		w.add(Block{Kind: Para, ID: HeldFold, Bold: true, Text: "Held back"})
	}
	if !ok || w.fold(HeldFold, len(f.HeldBack)) {
		for _, h := range f.HeldBack {
			w.add(Block{Kind: Item, Text: words.Sentence(h.Action) + " " + words.Sentence(h.Why)})
		}
	}
}

func orNone(s string) string {
	if s == "" {
		return "No test is proposed, and no reason is given."
	}
	return s
}

// proposal is one test in full: what is done first, the leads, what is expected.
func (w *writer) proposal(n fault.NextTest) {
	step := 0
	number := func() string { step++; return fmt.Sprint(step) }
	for _, id := range n.State.Open {
		w.add(Block{Kind: Step, Value: number(), Text: "Open " + id, Unit: stepOpen})
	}
	for _, id := range n.State.Unplugged {
		w.add(Block{Kind: Step, Value: number(), Text: "Unplug " + id, Unit: stepUnplug})
	}
	if n.GapVolts.Known() {
		w.add(Block{Kind: Row, Text: "Gap once open, expected, not measured", Value: words.Gap(float64(n.GapVolts.Low), float64(n.GapVolts.High)), Computed: true})
	}
	if step > 0 {
		w.add(Block{Kind: Step, Value: number(), Text: "Then read " + readWords(n)})
	} else {
		w.add(Block{Kind: Para, Bold: true, Text: words.Sentence(n.Action)})
	}
	w.add(Block{Kind: LeadPicture, Lead: NewLead(w.p, n)})
	if n.Expected.Known() {
		w.add(Block{Kind: Row, Text: "Expected, not measured", Value: words.Range(float64(n.Expected.Low), float64(n.Expected.High), "V"), Computed: true})
	}
	for _, id := range n.State.Open {
		w.timed(id, "To open "+id)
	}
	for _, id := range n.State.Unplugged {
		w.timed(id, "To unplug "+id)
	}
	if v := float64(n.Minutes); v > 0 {
		w.row("Effort", effort(n))
	}
	for _, c := range n.Cautions {
		w.add(Block{Kind: Caution, Text: c})
	}
	for _, c := range n.NotChecked {
		w.add(Block{Kind: Item, Text: "Not checked: " + c})
	}
}

// readWords are where a test is read, and with what.
func readWords(n fault.NextTest) string {
	s := n.Red + " to " + n.Black
	if n.Resistor != "" {
		s += " with " + n.Resistor
	}
	return s
}

// timed is the line of a link's or board's minutes, and whose they are; a press
// edits them.
func (w *writer) timed(id, name string) {
	v := MinutesWords(&w.p.Case, id)
	if _, own := w.p.Case.Minutes[id]; !own && v != noMinutes {
		v += ", the layout's"
	}
	w.add(Block{Kind: Row, ID: MinutesID + id, Text: name, Value: v + " (F2)"})
}

const noMinutes = "minutes not recorded"

// MinutesWords are how long a link or board takes, and whose figure that is where it
// is not the layout's.
func MinutesWords(c *fault.Case, id string) string {
	m, ok := c.Access(id)
	if !ok {
		return noMinutes
	}
	s := trim(m) + words.Thin + "min"
	if _, own := c.Minutes[id]; own {
		s += ", this workshop's figure"
	}
	return s
}

// effort is what the test takes, of what is still expected.
func effort(n fault.NextTest) string {
	s := trim(float64(n.Minutes)) + words.Thin + "min"
	if t := float64(n.Total); t > 0 && !math.IsInf(t, 0) {
		s += " of about " + trim(significantly(t, 2)) + words.Thin + "min until it is known"
	}
	return s
}

// significantly rounds to so many digits.
func significantly(v float64, digits int) float64 {
	if v <= 0 || math.IsInf(v, 0) {
		return v
	}
	p := math.Pow(10, math.Floor(math.Log10(v))+1-float64(digits))
	return math.Round(v/p) * p
}

// worth is why this test is proposed, in minutes and bits, and what comes after it.
func (w *writer) worth(n fault.NextTest) {
	if n.Why != "" {
		w.para(words.Sentence(n.Why))
	}
	bits, min := float64(n.Bits), float64(n.Minutes)
	if bits >= 0 {
		w.row("Says about the place", fmt.Sprintf("%.2f bits", bits))
	}
	if min > 0 {
		w.row("Takes", trim(min)+words.Thin+"min")
		if bits >= 0 {
			w.row("Bits a minute", fmt.Sprintf("%.2f", bits/min))
		}
	}
	if t := float64(n.Total); t > 0 {
		w.row("Until it is known", "about "+trim(significantly(t, 2))+words.Thin+"min, begun with this")
	}
	if len(n.Then) > 0 {
		w.add(Block{Kind: Para, Bold: true, Text: "What comes after it"})
	}
	for _, t := range n.Then {
		w.add(Block{Kind: Item, Text: "If it reads " + strings.TrimPrefix(t.If, "it reads ") + " (" + words.Share(float64(t.Share)) + "): " + words.Sentence(t.Action)})
	}
}

// others are the tests that do not lead; a press lets one lead.
func (w *writer) others(f *fault.Finding) {
	for i, n := range f.Next {
		if i == w.lead {
			continue
		}
		v := fmt.Sprintf("%.2f bits", float64(n.Bits))
		if float64(n.Minutes) > 0 {
			v += " in " + trim(float64(n.Minutes)) + words.Thin + "min"
		}
		if n.Expected.Known() {
			v += "; expected, not measured: " + words.Range(float64(n.Expected.Low), float64(n.Expected.High), "V")
		}
		w.add(Block{Kind: Action, ID: TakeID + fmt.Sprint(i), Text: words.Sentence(n.Action), Value: words.Sentence(v)})
	}
	w.soft("A press shows that one in full, to be taken instead; Shift Enter goes from one to the next.")
}
