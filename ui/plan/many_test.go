package plan

import (
	"fmt"
	"testing"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
)

// A thousand modules that are in no stack are all drawn where only their path counts:
// none of them is left out without a word.
func TestPlan_AThousandModulesAreAllDrawn(t *testing.T) {
	l := topology.Layout{Name: "many", SeenFrom: "above"}
	for i := range 1000 {
		l.Modules = append(l.Modules, topology.Module{ID: fmt.Sprintf("M%04d", i+1), Series: 10, Parallel: 1, X: float64(i%40) * 162, Y: float64(i/40) * 360, W: 150, H: 330, Minus: "top"})
	}
	k := facts.New(fault.Case{Layout: l, Now: "s", States: []fault.State{{ID: "s"}}}, facts.Result{})
	d := New(k, NewDrawn(k.Net))
	list := d.Scene(d.Fit(900, 600), Options{Mode: ByPath, Bare: true}, golden.Mono)
	seen := map[string]bool{}
	for _, s := range list.Targets {
		seen[s.ID] = true
	}
	for _, m := range l.Modules {
		if !seen["module:"+m.ID] {
			t.Fatalf("%s is not drawn; %d things are, in %d shapes", m.ID, len(seen), len(list.Shapes))
		}
	}
}
