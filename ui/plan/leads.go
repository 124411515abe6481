package plan

import (
	"math"

	"halfsplit/ui/probe"
	"halfsplit/ui/scene"
)

// leads mark the places that the leads of a reading go to. At a module's end the mark
// leans outward, off its number; of two that are near each other the second stands
// higher.
func (f *frame) leads() {
	const near = 64.0 // pixels
	var first *scene.Point
	for _, lead := range []struct{ place, word string }{{f.o.Red, "RED"}, {f.o.Black, "BLACK"}} {
		at, ok := f.place(lead.place)
		if !ok || lead.place == "" {
			continue
		}
		longer := 0.0
		if first != nil && f.v.Screen(at).Sub(f.v.Screen(*first)).Len() < near {
			longer = 19
		}
		probe.Mark(f.l, at, lead.word, f.outward(lead.place), longer, f.measure)
		first = &at
	}
}

// outward is 1 where a module's end lies at its right, -1 at its left, 0 elsewhere.
func (f *frame) outward(place string) float64 {
	n, ok := f.Pack.Net.Node(place)
	m, k, in := f.Pack.Net.ModuleAt(n)
	if !ok || !in {
		return 0
	}
	o := f.Geo.Modules[m]
	way := o.Axis.X()
	switch {
	case math.Abs(way) < 0.5:
		return 0
	case k == 0:
		return -math.Copysign(1, way)
	case k == f.Pack.Net.Layout.Modules[m].Series:
		return math.Copysign(1, way)
	}
	return 0
}
