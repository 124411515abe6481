package sheet

import (
	"fmt"
	"math"
	"strings"

	"halfsplit/fault"
	"halfsplit/ui/words"
)

// next are the proposed tests, the best first.
func (w *writer) next(f *fault.Finding) {
	if len(f.Next) == 0 {
		return
	}
	w.title("Next test")
	for _, n := range f.Next {
		w.add(Block{Kind: Para, Bold: true, Text: sentence(n.Action)})
		if !missing(n.Expected) {
			w.row("Expected, not measured", words.Range(float64(n.Expected.Low), float64(n.Expected.High), "V"))
		}
		if !missing(n.GapVolts) {
			w.row("Gap before it is touched, expected", words.Range(float64(n.GapVolts.Low), float64(n.GapVolts.High), "V"))
		}
		if v := float64(n.Minutes); v > 0 {
			w.row("Effort", fmt.Sprintf("%g%smin", v, words.Thin))
		}
		for _, c := range n.Cautions {
			w.add(Block{Kind: Caution, Text: c})
		}
		for _, c := range n.NotChecked {
			w.add(Block{Kind: Item, Text: "Not checked: " + c})
		}
	}
}

// missing says that a range was left out of the finding: none, or 0 to 0.
func missing(r fault.Range2) bool {
	return math.IsNaN(float64(r.Low)) || math.IsNaN(float64(r.High)) || (r.Low == 0 && r.High == 0)
}

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

// rests is everything that the finding rests on.
func (w *writer) rests(f *fault.Finding) {
	w.title("What it rests on")
	if len(f.Used) > 0 {
		w.row("Readings used", list(f.Used))
	} else {
		w.row("Readings used", "none")
	}
	for _, l := range f.LeftOut {
		w.add(Block{Kind: Row, ID: "reading:" + l.Reading, Text: l.Reading + " left out", Value: sentence(l.Why)})
	}
	proof := "not proved"
	if f.ReferenceProved {
		proof = "proved by a resistor to another chassis point"
	}
	w.row("Chassis reference", proof)
	if f.LimitedBy != "" {
		by := limits[f.LimitedBy]
		if by == "" {
			by = f.LimitedBy
		}
		w.row("Interval limited by", by)
	}
	if f.WouldTell != "" {
		w.row("What would tell", sentence(f.WouldTell))
	}
	if len(f.Assumes) > 0 {
		w.add(Block{Kind: Para, Bold: true, Text: "Assumes"})
		w.items(f.Assumes)
	}
	if f.Engine != "" {
		w.row("Engine", f.Engine)
	}
}

// why is the disclosure with the worked lines.
func (w *writer) why(f *fault.Finding, open bool) {
	w.add(Block{Kind: Fold, ID: WhyFold, Text: "Why? The arithmetic with this case's numbers", Open: open})
	if !open {
		return
	}
	if len(f.Why) == 0 {
		w.soft("The finding gives no worked lines.")
	}
	for _, l := range f.Why {
		w.add(Block{Kind: Worked, Text: l.What, Value: l.Worked})
	}
}

func list(s []string) string { return strings.Join(s, ", ") }
