package sheet

import (
	"strings"

	"halfsplit/fault"
)

func sentence(s string) string {
	if s == "" {
		return s
	}
	s = strings.ToUpper(s[:1]) + s[1:]
	if !strings.HasSuffix(s, ".") {
		s += "."
	}
	return s
}

// limits name what keeps the interval from being narrower.
var limits = map[string]string{
	"counts": "the meter's counts", "gain": "the meter's gain", "background": "the healthy remainder's own leakage", "drift": "drift between the readings",
	"cell voltages": "the group volts", "leak path": "the leak path's own potential",
}

// rests are the parts that name what the finding rests on.
func (w *writer) rests(f *fault.Finding) {
	if w.fold(ReadingFold, len(f.Used)+len(f.LeftOut)) {
		used := list(f.Used)
		if used == "" {
			used = "none"
		}
		w.row("Used", used)
		for _, l := range f.LeftOut {
			w.add(Block{Kind: Row, ID: "reading:" + l.Reading, Text: l.Reading + " left out", Value: sentence(l.Why)})
		}
		if len(f.LeftOut) == 0 {
			w.row("Left out", "none")
		}
	}
	if !w.fold(AssumeFold, len(f.Assumes)) {
		return
	}
	w.items(f.Assumes)
	proof := "not proved"
	if f.ReferenceProved {
		proof = "proved by a resistor to another chassis point"
	}
	w.row("Chassis reference", proof)
	if f.Engine != "" {
		w.row("Engine", f.Engine)
	}
	if f.LayoutVersion != "" {
		w.row("Layout", "version "+f.LayoutVersion)
	}
}

// why is the part with the worked lines.
func (w *writer) why(f *fault.Finding) {
	if len(f.Why) == 0 || !w.fold(WhyFold, len(f.Why)) {
		return
	}
	for _, l := range f.Why {
		w.add(Block{Kind: Worked, Text: l.What, Value: l.Worked})
	}
}

func list(s []string) string { return strings.Join(s, ", ") }
