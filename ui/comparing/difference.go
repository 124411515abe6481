package comparing

import (
	"math"

	"halfsplit/fault"
	"halfsplit/fault/compare"
	"halfsplit/topology"
	"halfsplit/ui/plan"
	"halfsplit/ui/words"
)

// What the difference can be of: cell and module volts, or volts to chassis. They have
// scales of their own, since one moves by millivolts and the other by many volts.
const (
	ofCells = iota
	ofChassis
	differing
)

// differNames are what the difference is of, in words.
var differNames = [differing]string{"Difference of volts inside", "Difference of volts to chassis"}

// chassisEnds are the ends that the scale of volts to chassis can be locked to, in V.
var chassisEnds = []float64{5, 20, 50, 200, 2}

// differences are what a plan is shaded by: after less before, of one kind, to a locked
// end in V. A value that something speaks against comparing is none: its place stays
// hatched, and the remark says why. So is one that is a bound, or that one set lacks.
// What is said of the sets as a whole stands in words above and hatches nothing.
func differences(n *topology.Net, c compare.Comparison, of int, end float64) *plan.Differences {
	d := &plan.Differences{Title: [differing]string{"Volts inside", "Volts to chassis"}[of] + ", after less before", End: end, Note: "(±): within the error. Cross-hatch: not read in both, or a bound.",
		Modules: nans(len(n.Layout.Modules)), Texts: make([][]string, len(n.Layout.Modules))}
	if of == ofCells {
		d.Groups = nans(len(n.Groups))
	}
	for _, r := range c.Rows {
		m, ok := n.Module(r.Place)
		if !ok || !differs(r, of) {
			continue
		}
		if why := c.Against(r); why != "" {
			d.Note = "Cross-hatch: not comparable. " + why
			continue
		}
		if r.Group > 0 {
			for g := range n.Groups {
				if n.Groups[g].Module == m && n.Groups[g].K == r.Group {
					d.Groups[g] = r.Difference
				}
			}
		}
		if math.IsNaN(d.Modules[m]) || math.Abs(r.Difference) > math.Abs(d.Modules[m]) {
			d.Modules[m], d.Texts[m] = r.Difference, texts(r, of)
		}
	}
	return d
}

// differs says that a row is of this kind and has a difference that is a number.
func differs(r compare.Row, of int) bool {
	if r.Quantity != fault.Volts || r.Before.Relation != fault.Equal || r.After.Relation != fault.Equal {
		return false
	}
	_, red := topology.ChassisRef(r.Red)
	_, black := topology.ChassisRef(r.Black)
	return (red || black) == (of == ofChassis)
}

// texts are a difference from the longest to the shortest; one within the error of both
// says so, since a colour alone would look like a change.
func texts(r compare.Row, of int) []string {
	number := words.Millivolts(r.Difference)
	if of == ofChassis {
		number = words.VoltsTo(r.Difference, 2)
		if r.Difference > 0 {
			number = "+" + number
		}
	}
	switch r.Verdict {
	case compare.Within:
		return []string{number + ", within the error", number + " (±)", number}
	case compare.Unknown:
		return []string{number + ", error not known", number + " (?)", number}
	}
	return []string{number}
}

func nans(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = math.NaN()
	}
	return out
}
