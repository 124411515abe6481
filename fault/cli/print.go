package cli

import (
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// printed is one finding on its way to paper.
type printed struct {
	page
	c fault.Case
	f fault.Finding
}

// verdictWords is a verdict as its heading says it, and what it does not say.
func verdictWords(verdict string) string {
	switch verdict {
	case fault.TooFewReadings:
		return "TOO FEW READINGS"
	case fault.Inconsistent:
		return "READINGS DO NOT BELONG TOGETHER"
	case fault.NotInString:
		return "NOT IN THE STRING"
	case fault.NoLeakTestProved:
		return "NO LEAK SEEN, TEST PROVED"
	case fault.NoLeakTestNotProved:
		return "NO LEAK SEEN, TEST NOT PROVED"
	case fault.BeyondMethod:
		return "BEYOND THIS METHOD"
	case fault.EquivalentOnly:
		return "EQUIVALENT ONLY: one weighted mean of whatever leaks, not a place"
	case fault.Located:
		return "LOCATED, given at most one leak in each section"
	case fault.NotDistinguishable:
		return "NOT DISTINGUISHABLE IN THIS STATE"
	case fault.Narrowed:
		return "NARROWED to the places below"
	}
	return strings.ToUpper(verdict)
}

func (w *printed) top() {
	w.heading("%s", orElse(w.c.Title, "Case without a title"))
	w.item("", "%s", w.now())
	if w.f.WhatIf != "" {
		w.heading("WHAT IF, %s. Nothing of this is recorded.", w.f.WhatIf)
	}
	w.heading("%s", verdictWords(w.f.Verdict))
	w.item("", "%s", w.f.Statement)
}

// now is the present state in words.
func (w *printed) now() string {
	s, ok := w.c.State(w.c.Now)
	if !ok {
		return "Present state: not recorded."
	}
	var is []string
	is = append(is, listed("", s.Open, " recorded open")...)
	if s.Boards == fault.BoardsOut {
		is = append(is, "all boards recorded unplugged or none fitted")
	} else {
		is = append(is, listed("", s.Unplugged, " recorded unplugged")...)
	}
	is = append(is, listed("", s.Removed, " recorded removed")...)
	if s.Contactors != "" {
		is = append(is, "contactors recorded "+s.Contactors)
	} else if hasContactor(w.c.Layout) {
		is = append(is, "contactors not recorded")
	}
	is = append(is, listed("", s.Connected, " recorded connected")...)
	if like := s.Conditions(); len(like) > 0 {
		is = append(is, "recorded: "+strings.Join(like, ", "))
	}
	if len(is) == 0 {
		is = append(is, "nothing recorded open")
	}
	return "Present state: " + s.ID + " (" + strings.Join(is, ", ") + ")."
}

func listed(before string, ids []string, after string) []string {
	if len(ids) == 0 {
		return nil
	}
	return []string{before + strings.Join(ids, ", ") + after}
}

func hasContactor(l topology.Layout) bool {
	for _, k := range l.Links {
		if k.Kind == topology.Contactor {
			return true
		}
	}
	return false
}

func (w *printed) cautions() {
	if len(w.f.Cautions) == 0 {
		return
	}
	w.heading("Mind")
	for _, c := range w.f.Cautions {
		w.bullet(c)
	}
}
