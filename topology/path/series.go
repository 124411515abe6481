package path

import (
	"fmt"
	"math"
)

// Volts of one group between which a cell that is not damaged lies at rest. NMC and
// its relatives: 3.0 to 4.3; LFP: 2.5 to 3.65.
const (
	lowestCell  = 2.5
	highestCell = 4.3
)

// A SeriesGuess is a count of groups that fits a module's volts.
type SeriesGuess struct {
	Series    int
	CellVolts float64 // V of each group with that count
	Text      string
}

// SeriesOf lists the counts n of groups in series that fit a module's volts: n with
// 2.5 V ≤ volts/n ≤ 4.3 V, that is volts/4.3 ≤ n ≤ volts/2.5. The likeliest comes
// first: what is nearest to 3.65 V a cell, in the middle of NMC, or to 3.3 V, where
// LFP rests. It is a guess from volts alone; within is the volts' half-width.
func SeriesOf(volts, within float64) []SeriesGuess {
	volts = math.Abs(volts)
	if math.IsNaN(volts) || math.IsInf(volts, 0) || volts > 2000 || within < 0 || math.IsNaN(within) {
		return nil
	}
	var out []SeriesGuess
	for n := max(1, int(math.Ceil((volts-within)/highestCell))); float64(n)*lowestCell <= volts+within; n++ {
		v := volts / float64(n)
		out = append(out, SeriesGuess{n, v, fmt.Sprintf("%d groups of %s V: %s", n, num(v), chemistry(v))})
	}
	far := func(g SeriesGuess) float64 { return min(math.Abs(g.CellVolts-3.65), math.Abs(g.CellVolts-3.3)) }
	sortBy(out, far)
	return out
}

func chemistry(cell float64) string {
	switch {
	case cell > 3.65:
		return "NMC, or another with a high voltage; too much for LFP"
	case cell >= 3.0:
		return "NMC or LFP"
	}
	return "LFP, or NMC nearly empty"
}

// plausible tells whether so many volts can be those of a module.
func plausible(volts float64, series int, within float64) bool {
	if series <= 0 {
		return volts+within > lowestCell
	}
	n := float64(series)
	return volts >= n*lowestCell-within && volts <= n*highestCell+within
}
