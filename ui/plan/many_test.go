package plan

import (
	"fmt"
	"strings"
	"testing"

	"halfsplit/fault"
	"halfsplit/topology"
	"halfsplit/ui/facts"
	"halfsplit/ui/golden"
)

// many is a pack of so many modules that are in no stack.
func many(n int) *Drawing {
	l := topology.Layout{Name: "many", SeenFrom: "above"}
	for i := range n {
		l.Modules = append(l.Modules, topology.Module{ID: fmt.Sprintf("M%04d", i+1), Series: 10, Parallel: 1, X: float64(i%40) * 162, Y: float64(i/40) * 360, W: 150, H: 330, Minus: "top"})
	}
	k := facts.New(fault.Case{Layout: l, Now: "s", States: []fault.State{{ID: "s"}}}, facts.Result{})
	return New(k, NewDrawn(k.Net))
}

// A thousand modules that are in no stack are all drawn, by whatever they are shaded,
// and a module without a value is crossed out: none is left out without a word.
func TestPlan_AThousandModulesAreAllDrawn(t *testing.T) {
	d := many(1000)
	for mode := range ByPath + 1 {
		list := d.Scene(d.Fit(900, 600), Options{Mode: mode, Bare: true}, golden.Mono)
		seen, shown := map[string]bool{}, map[string]bool{}
		for _, s := range list.Targets {
			seen[s.ID] = true
		}
		for _, s := range list.Shapes {
			shown[s.ID] = true
		}
		for _, m := range d.Pack.Net.Layout.Modules {
			if id := "module:" + m.ID; !seen[id] || !shown[id] {
				t.Fatalf("mode %d: %s is not drawn; %d things are, in %d shapes", mode, m.ID, len(seen), len(list.Shapes))
			}
		}
		if len(list.Shapes) > mostShapes {
			t.Errorf("mode %d: %d shapes", mode, len(list.Shapes))
		}
	}
}

// Of more than can move with the finger it is said how many are drawn.
func TestPlan_WhatIsLeftOutIsSaid(t *testing.T) {
	d := many(2000)
	list := d.Scene(d.Fit(900, 600), Options{Mode: ByPath, Bare: true}, golden.Mono)
	if got := strings.Join(labels(list, ""), " "); !strings.Contains(got, "1450 of 2000 modules in view are drawn") {
		t.Errorf("it says %q", got)
	}
}
