package sheet

import (
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/words"
)

// limits name what keeps the interval from being narrower.
var limits = map[string]string{
	"counts": "the meter's counts", "gain": "the meter's gain", "background": "the healthy remainder's own leakage", "drift": "drift between the readings",
	"cell voltages": "the group volts", "leak path": "the leak path's own potential",
}

// rests are the parts that name what the finding rests on.
func (w *writer) rests(f *fault.Finding) {
	known := w.calibrations(f)
	if w.fold(ReadingFold, len(f.Used)+len(f.LeftOut)) {
		used := list(f.Used)
		if used == "" {
			used = "none"
		}
		w.row("Used", used)
		for _, l := range f.LeftOut {
			w.add(Block{Kind: Row, ID: "reading:" + l.Reading, Text: l.Reading + " left out", Value: words.Sentence(l.Why)})
		}
		if len(f.LeftOut) == 0 {
			w.row("Left out", "none")
		}
		for _, k := range known {
			w.row(k[0], k[1])
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

// calibrations marks the readings that were used and whose instrument was overdue
// for calibration when they were taken; what is known of the others is returned, by
// instrument.
func (w *writer) calibrations(f *fault.Finding) (known [][2]string) {
	overdue, said := map[string][]string{}, map[[2]string]bool{}
	for _, id := range f.Used {
		r, ok := w.p.Case.Reading(id)
		if !ok {
			continue
		}
		in, ok := w.p.Case.Instrument(r.Instrument)
		if !ok {
			continue
		}
		if in.CalibrationAt(r.At) == fault.CalOverdue {
			overdue[in.ID] = append(overdue[in.ID], id)
			continue
		}
		if k := [2]string{in.ID, in.CalibrationWords(r.At)}; !said[k] {
			said[k] = true
			known = append(known, k)
		}
	}
	for _, in := range w.p.Case.Instruments {
		if ids := overdue[in.ID]; len(ids) > 0 {
			w.add(Block{Kind: Caution, Text: in.ID + ": calibration overdue, it was due " + in.CalDue + ". Read with it after that day: " + list(ids) + "."})
		}
	}
	return known
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
