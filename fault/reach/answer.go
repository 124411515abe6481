package reach

import (
	"cmp"
	"math"
	"slices"

	"halfsplit/fault"
)

// An Answer is what is expected, not measured: the Cells by state and leak size.
type Answer struct {
	Layout     string // its name; "" = it has none
	Modules    int
	Groups     int
	Strings    int
	Instrument fault.Instrument
	Resistor   *fault.Resistor // nil = nothing is read with one
	Takes      []string        // what was taken where nothing was given, as sentences
	Trials     int             // packs of every leak size
	Seed       uint64
	Ohms       []float64
	States     []State
	Cells      [][]Cell // by States, then by Ohms
}

// A Cell is what is found of leaks of one size in one state.
type Cell struct {
	Trials int
	Named  int // in how many a place is named
	// Half is half the width of the 95 % interval of position, in groups; +Inf where
	// no place is named.
	Half Quantiles
	// Modules is how many modules the 95 % set has, as a mean; where no place is named
	// it is all of the pack. Places counts links, boards and what else is in the set too.
	Modules, Places float64
	First           int // in how many the true module leads
	Inside          int // in how many it is in the 95 % set
	Covered         int // in how many position covers the true place
	Verdicts        []Count
	Limited         []Count // what limits the place, the most frequent first
	Measured        int     // in how many the leak's ohms are a value
	Bounded         int     // in how many they are only a bound
	Readings        float64 // taken up to here, as a mean
}

// A Count is how often something was said.
type Count struct {
	What string
	N    int
}

// Quantiles of a distribution, each the smallest value that so many percent of the
// trials do not exceed.
type Quantiles struct{ P5, Median, P90, P95 float64 }

func quantiles(sorted []float64) Quantiles {
	at := func(percent int) float64 { return sorted[max(0, (len(sorted)*percent+99)/100-1)] }
	return Quantiles{at(5), at(50), at(90), at(95)}
}

// sum makes a cell of its trials, in their order.
func sum(all []outcome) Cell {
	c := Cell{Trials: len(all)}
	var half []float64
	verdicts, limited := map[string]int{}, map[string]int{}
	modules, places, readings := 0, 0, 0
	for _, o := range all {
		half = append(half, o.half)
		modules += o.modules
		places += o.places
		readings += o.readings
		verdicts[o.verdict]++
		c.Named += one(o.named)
		c.First += one(o.first)
		c.Inside += one(o.inside)
		c.Covered += one(o.covered)
		c.Measured += one(o.relation == fault.Equal)
		c.Bounded += one(o.relation == fault.Less || o.relation == fault.Greater)
		if o.limited != "" {
			limited[o.limited]++
		}
	}
	slices.Sort(half)
	c.Half = quantiles(half)
	n := float64(len(all))
	c.Modules, c.Places, c.Readings = float64(modules)/n, float64(places)/n, float64(readings)/n
	c.Verdicts, c.Limited = counts(verdicts), counts(limited)
	return c
}

func one(is bool) int {
	if is {
		return 1
	}
	return 0
}

// counts lists the most frequent first, and as frequent ones by name.
func counts(m map[string]int) (out []Count) {
	for what, n := range m {
		out = append(out, Count{what, n})
	}
	slices.SortFunc(out, func(a, b Count) int { return cmp.Or(b.N-a.N, cmp.Compare(a.What, b.What)) })
	return out
}

// Placed says that more than half of the trials have a place.
func (c Cell) Placed() bool { return !math.IsInf(c.Half.Median, 0) }
