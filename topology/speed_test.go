package topology_test

import (
	"fmt"
	"slices"
	"testing"

	"halfsplit/topology"
)

// big are packs of 5,000 groups in shapes that a careless walk would be slow on.
func big() map[string]topology.Layout {
	backward := pack(5000, 1, 0)
	slices.Reverse(backward.Modules)
	slices.Reverse(backward.Links)
	ring := with(without(pack(5000, 1, 0), "K-", "K+"), link("X", "M5000+", "M01-"))
	bundle := pack(2500, 2, 0) // every module with a link across it
	for i := range 2500 {
		bundle.Links = append(bundle.Links, link(fmt.Sprintf("X%d", i), fmt.Sprintf("M%02d-", i+1), fmt.Sprintf("M%02d+", i+1)))
	}
	ladder := parallel(312, 312) // two strings tied at every module
	for i := range 312 {
		ladder.Links = append(ladder.Links, link(fmt.Sprintf("R%d", i), fmt.Sprintf("M%02d+", i+1), fmt.Sprintf("N%02d+", i+1)))
	}
	return map[string]topology.Layout{
		"a ladder":                ladder,
		"500 modules of 10":       pack(500, 10, 250),
		"5000 modules of 1":       pack(5000, 1, 2500),
		"declared from the top":   backward,
		"nothing joined":          {Modules: pack(5000, 1, 0).Modules},
		"one ring":                ring,
		"every module shorted":    bundle,
		"four strings of 156 × 8": parallel(156, 156, 156, 156),
	}
}

func BenchmarkCompile_5000(b *testing.B) {
	for name, l := range big() {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				topology.Compile(l)
			}
		})
	}
}

func BenchmarkIn_5000(b *testing.B) {
	for name, l := range big() {
		n, _ := topology.Compile(l)
		var all topology.Setting
		for _, k := range l.Links {
			all.Open = append(all.Open, k.ID)
		}
		for state, set := range map[string]topology.Setting{"closed": {ContactorsClosed: true}, "every link open": all} {
			b.Run(name+"/"+state, func(b *testing.B) {
				for b.Loop() {
					n.In(set)
				}
			})
		}
	}
}

// What the engine and the window ask most often.
func BenchmarkIn_96(b *testing.B) {
	n, _ := topology.Compile(pack(12, 8, 6))
	set := topology.Setting{Open: []string{"SD"}}
	b.ReportAllocs()
	for b.Loop() {
		n.In(set)
	}
}

func BenchmarkPotentials_5000(b *testing.B) {
	n, _ := topology.Compile(parallel(156, 156, 156, 156))
	j := n.In(topology.Setting{ContactorsClosed: true})
	volts := groupVolts(n, func(s string) string { return s })
	for b.Loop() {
		j.Potentials(&j.Sections[0], volts)
	}
}
