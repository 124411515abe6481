package sheet

import (
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/facts"
	"halfsplit/ui/words"
)

// Finding is the page of the finding: one sentence and one number in hand, what
// asks for an answer, then parts that open on request.
func Finding(p *facts.Pack, open Folds) []Block { return FindingWith(p, open, 0) }

// FindingWith is Finding with another of the proposed tests in the lead, by its
// place in the finding.
func FindingWith(p *facts.Pack, open Folds, lead int) []Block {
	w := &writer{p: p, open: open, lead: lead}
	w.standing()
	f := p.Result.Finding
	if f == nil {
		w.beside()
		w.layout()
		return w.blocks
	}
	w.add(Block{Kind: Title, Text: facts.Verdict(f), Bold: true})
	rest := w.statement(f)
	w.asksBack(f)
	w.inHand(f)
	w.next(f)
	w.suspicion(f)
	if rest != "" {
		w.title("The rest of the statement")
		w.para(rest)
	}
	w.interval(f)
	for _, c := range f.Cautions {
		w.add(Block{Kind: Caution, Text: c})
	}
	w.doubts(f)
	w.leaks(f)
	w.hypotheses(f)
	w.sections(f)
	w.checks(f)
	w.beside()
	w.rests(f)
	w.why(f)
	w.layout()
	return w.blocks
}

// statement is the finding in one sentence, and smaller the two after it, of further
// leaks and of what it holds under; the rest of what it says comes after the next test. Under a question the page has said
// so already.
func (w *writer) statement(f *fault.Finding) (rest string) {
	s := f.Statement
	if f.WhatIf != "" {
		s = strings.TrimPrefix(s, "What if, "+f.WhatIf+": ")
	}
	first, rest := firstSentence(s)
	w.para(first)
	second, rest := firstSentence(rest)
	third, rest := firstSentence(rest)
	if second != "" {
		w.soft(strings.TrimSpace(second + " " + third))
	}
	return rest
}

// firstSentence ends where a stop is followed by a space and a capital letter.
func firstSentence(s string) (first, rest string) {
	for i := 0; i+2 < len(s); i++ {
		if s[i] == '.' && s[i+1] == ' ' && s[i+2] >= 'A' && s[i+2] <= 'Z' {
			return s[:i+1], s[i+2:]
		}
	}
	return s, ""
}

// layout lists what a person should look at in the layout; a press goes there.
func (w *writer) layout() {
	if len(w.p.Problems) == 0 {
		return
	}
	w.title("To look at in the layout")
	for _, pr := range w.p.Problems {
		id := ""
		if _, ok := w.p.Net.Module(pr.GoTo); ok {
			id = "module:" + pr.GoTo
		} else if _, ok := w.p.Net.Link(pr.GoTo); ok {
			id = "link:" + pr.GoTo
		}
		w.add(Block{Kind: Item, ID: id, Text: pr.Text})
	}
}

type writer struct {
	p      *facts.Pack
	open   Folds
	lead   int // of the finding's tests, the one that leads
	blocks []Block
}

func (w *writer) add(b ...Block)         { w.blocks = append(w.blocks, b...) }
func (w *writer) title(s string)         { w.add(Block{Kind: Title, Text: s}) }
func (w *writer) para(s string)          { w.add(Block{Kind: Para, Text: s}) }
func (w *writer) soft(s string)          { w.add(Block{Kind: Soft, Text: s}) }
func (w *writer) row(name, value string) { w.add(Block{Kind: Row, Text: name, Value: value}) }
func (w *writer) items(list []string) {
	for _, s := range list {
		w.add(Block{Kind: Item, Text: s})
	}
}

// standing says how the finding stands: being computed, failed, out of date.
func (w *writer) standing() {
	r := w.p.Result
	if len(w.p.Net.Layout.Modules) == 0 {
		w.add(Block{Kind: Title, Text: "No modules drawn", Bold: true})
		w.para("A finding needs a layout with modules and readings to chassis. Open a case that has them.")
	}
	switch r.Status {
	case facts.Computing:
		w.add(Block{Kind: Title, Text: "Computing the finding", Bold: true})
		w.para("The readings of every state are being worked through. Escape cancels.")
	case facts.Failed:
		w.add(Block{Kind: Title, Text: "The finding failed", Bold: true})
		w.para(r.Err)
		w.para("The drawing and the readings are as recorded. R computes the finding again.")
	case facts.Cancelled:
		w.add(Block{Kind: Title, Text: "The finding was cancelled", Bold: true})
		w.para("R computes it again.")
	case facts.NoFinding:
		if r.Finding == nil && len(w.p.Net.Layout.Modules) > 0 {
			w.add(Block{Kind: Title, Text: "No finding yet", Bold: true})
			w.para("R computes it from the readings of this case.")
		}
	}
	switch {
	case r.Finding == nil:
	case r.Stale:
		w.para("What follows is older than the last reading: it does not belong to the case as it is now.")
	case r.Status != facts.Ready:
		w.para("What follows is the last finding.")
	}
}

// inHand is the number in hand: the most suspect place, or where no place can
// be named the size of everything together.
func (w *writer) inHand(f *fault.Finding) {
	switch f.Verdict {
	case fault.Located, fault.Narrowed, fault.NotDistinguishable:
		if len(f.Suspicion) > 0 {
			s := f.Suspicion[0]
			w.add(Block{Kind: Big, ID: placeID(s), Text: s.ID, Value: words.Share(float64(s.Share)), Share: float64(s.Share)})
		}
	case fault.EquivalentOnly:
		if len(f.Leaks) > 0 {
			w.add(Block{Kind: Big, Value: bounded(f.Leaks[0].Ohms)})
			w.soft("All leaks of the string together. Several leaks give the same readings as this one.")
		}
	}
}

// bounded is a resistance for large print: its middle, or the bound that it is.
func bounded(b fault.Bounded) string {
	if (b.Relation == fault.Equal || b.Relation == "") && !math.IsNaN(float64(b.Mid)) {
		return words.Ohms(float64(b.Mid))
	}
	return words.Bounded(b)
}

// interval is where each leak lies and how large it is, and what keeps that from
// being narrower.
func (w *writer) interval(f *fault.Finding) {
	if len(f.Leaks) > 0 {
		w.title(leakTitle(f, 0))
	}
	for i, l := range f.Leaks {
		if i > 0 {
			w.title(leakTitle(f, i))
		}
		w.row("Between taps", l.Tap.Low+" and "+l.Tap.High)
		w.row("Resistance", words.Bounded(l.Ohms))
		if !math.IsNaN(float64(l.Several)) {
			w.row("More than one leak here", words.Share(float64(l.Several)))
		}
	}
	if f.LimitedBy != "" && len(f.Leaks) > 0 {
		by := limits[f.LimitedBy]
		if by == "" {
			by = f.LimitedBy
		}
		w.row("Limited by", by)
	}
	if f.WouldTell != "" && !strings.Contains(f.Statement, strings.TrimRight(f.WouldTell, ".")) {
		w.row("What would tell", words.Sentence(f.WouldTell))
	}
}

func leakTitle(f *fault.Finding, i int) string {
	title := "The leak"
	if len(f.Leaks) > 1 {
		title = fmt.Sprintf("Leak %d of %d", i+1, len(f.Leaks))
	}
	if f.Leaks[i].If != "" {
		title += ", if " + f.Leaks[i].If
	}
	return title
}

// leaks is the part with everything that the finding says of each leak.
func (w *writer) leaks(f *fault.Finding) {
	if len(f.Leaks) == 0 || !w.fold(LeakFold, len(f.Leaks)) {
		return
	}
	for i := range f.Leaks {
		w.leak(f, i)
	}
}

func (w *writer) leak(f *fault.Finding, i int) {
	l := f.Leaks[i]
	if len(f.Leaks) > 1 {
		w.add(Block{Kind: Para, Bold: true, Text: leakTitle(f, i)})
	}
	w.row("Nearest tap", l.Tap.Mid)
	w.row("Groups above "+l.String+"-", words.Groups(l.Position))
	w.row("Without the leak path's own potential", words.Groups(l.Electrical))
	w.row("Volts above "+l.String+"-", words.Span(float64(l.Volts.Low), float64(l.Volts.Mid), float64(l.Volts.High), "V"))
	for _, s := range l.Places {
		if float64(s.Share) >= 0.005 {
			w.add(Block{Kind: Bar, ID: placeID(s), Text: placeName(s), Value: words.Share(float64(s.Share)), Share: float64(s.Share)})
		}
	}
	if len(l.Places) > 0 {
		w.soft("Shares of this one leak's place.")
	}
}

func (w *writer) sections(f *fault.Finding) {
	if len(f.Sections) == 0 || !w.fold(SectionFold, len(f.Sections)) {
		return
	}
	for i := range f.Sections {
		w.section(&f.Sections[i])
	}
}

func (w *writer) section(s *fault.SectionFinding) {
	w.add(Block{Kind: Para, Bold: true, Text: s.From + " to " + s.To + ", state " + s.State})
	w.row("Volts", known(words.Volts(float64(s.Volts))))
	w.row("Chassis above "+s.From, known(words.Span(float64(s.ChassisVolts.Low), float64(s.ChassisVolts.Mid), float64(s.ChassisVolts.High), "V")))
	w.row("Physical: all leaks in parallel", known(words.Bounded(s.Ohms)))
	w.row("By the standards' sum, for limits", known(words.Ohms(float64(s.StandardOhms))))
	if !math.IsNaN(float64(s.OhmsPerVolt)) {
		w.row("Per volt of "+s.Divisor, words.Ohms(float64(s.OhmsPerVolt))+"/V")
	}
	if len(s.Readings) > 0 {
		w.row("From readings", list(s.Readings))
	}
}

// known is a worked-out figure; one that does not follow from the readings is
// not known, rather than not measured.
func known(s string) string {
	if s == words.NotMeasured {
		return "not known from these readings"
	}
	return s
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}

func isAre(n int) string {
	if n == 1 {
		return "is"
	}
	return "are"
}

// number is a count as a part shows it.
func number(n int) string { return fmt.Sprintf("%d", n) }
