package reach

import (
	"math"

	"halfsplit/fault"
)

// An outcome is what one finding says, beside the truth.
type outcome struct {
	named    bool    // a place is named
	half     float64 // groups: half the width of position; +Inf where no place is named
	modules  int     // in the 95 % set; all of the pack's where no place is named
	places   int     // the same with links, boards and what else may leak
	first    bool    // the true module leads
	inside   bool    // it is in the 95 % set
	covered  bool    // position covers the true place
	verdict  string
	limited  string
	relation string // of the leak's ohms; "" where none are given
	readings int
}

// judge compares a finding with what was hidden. Where it names several leaks, the
// one with the least ohms is looked at.
func (t *trial) judge(f fault.Finding, readings int) outcome {
	all := len(t.net.Layout.Modules)
	o := outcome{half: math.Inf(1), modules: all, places: all, verdict: f.Verdict, limited: f.LimitedBy, readings: readings}
	var leak *fault.Leak
	least := math.Inf(1)
	for i := range f.Leaks {
		l := &f.Leaks[i]
		ohms := float64(l.Ohms.Mid)
		if math.IsNaN(ohms) {
			ohms = float64(l.Ohms.High)
		}
		if leak == nil || ohms < least {
			leak, least = l, ohms
		}
	}
	if leak == nil || len(leak.Places) == 0 || math.IsNaN(float64(leak.Position.Low)) || math.IsNaN(float64(leak.Position.High)) {
		return o
	}
	low, high := float64(leak.Position.Low), float64(leak.Position.High)
	o.named, o.half, o.relation = true, (high-low)/2, leak.Ohms.Relation
	o.covered = leak.String == t.net.Strings[t.str].ID && low <= float64(t.at)+1e-6 && float64(t.at) <= high+1e-6
	true1, true2 := t.trueModules()
	is := func(id string) bool { return id == true1 || id == true2 }
	o.first = is(leak.Places[0].ID)
	o.modules, o.places = 0, 0
	sum := 0.0
	for _, p := range leak.Places {
		o.places++
		o.modules += one(p.Kind == fault.PlaceModule)
		o.inside = o.inside || is(p.ID)
		if sum += float64(p.Share); sum >= 0.95 {
			break
		}
	}
	return o
}

// trueModules are those that the leak's tap belongs to: at a joint it is two.
func (t *trial) trueModules() (below, above string) {
	lo, _, _ := t.net.ModuleAt(t.net.TapAt(t.str, t.at))
	hi, _, _ := t.net.ModuleAt(t.net.TapAbove(t.str, t.at))
	return t.net.Layout.Modules[lo].ID, t.net.Layout.Modules[hi].ID
}
