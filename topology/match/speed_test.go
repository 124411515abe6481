package match_test

import (
	"testing"

	"halfsplit/topology"
	"halfsplit/topology/match"
)

// Two versions of a pack of four hundred modules, and one that was numbered anew.
func BenchmarkCompare(b *testing.B) {
	l, err := topology.Make(topology.MakeSpec{Modules: 400, Series: 10, Parallel: 2, PerRow: 40, W: 150, H: 380, Gap: 10})
	if err != nil {
		b.Fatal(err)
	}
	moved, anew := l, l
	moved.Modules = append([]topology.Module(nil), l.Modules...)
	moved.Modules[200].X += 40
	anew.Modules = append([]topology.Module(nil), l.Modules...)
	for i := range anew.Modules {
		anew.Modules[i].ID = "N" + anew.Modules[i].ID
	}
	anew.Links = nil
	for name, other := range map[string]topology.Layout{"moved": moved, "anew": anew} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				match.Compare(l, other)
			}
		})
	}
}
