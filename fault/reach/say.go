package reach

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"halfsplit/fault"
)

// Pinned is the half-width, in groups, up to which a place counts as pinned: the
// leak path's own potential leaves 1.96 × 0.5 groups that no meter narrows, and
// this is 1.3 times that.
const Pinned = 1.3 * 1.96 * pathSD

// Basis says what an answer is: simulated, from how many packs, with which seed.
func (a Answer) Basis() string {
	packs := "1 pack"
	if a.Trials > 1 {
		packs = fmt.Sprintf("%d packs", a.Trials)
	}
	return fmt.Sprintf("Simulated: %s with one hidden leak for each of %d leak sizes, the same packs in every state, seed %d. Expected, not measured.", packs, len(a.Ohms), a.Seed)
}

// With names what is read with.
func (a Answer) With() string {
	if a.Resistor == nil {
		return a.Instrument.ID + " and no test resistor"
	}
	return fmt.Sprintf("%s and the test resistor %s (%s, %g W, %g V)", a.Instrument.ID, a.Resistor.ID, fault.FormatOhms(a.Resistor.Ohms), a.Resistor.Watts, a.Resistor.MaxVolts)
}

// Headlines are the answer in plain words, one sentence or two a state.
func (a Answer) Headlines() []string {
	var out []string
	for s := range a.States {
		out = append(out, a.headline(s))
	}
	return out
}

// pinned is how many leak sizes, from the smallest, are pinned.
func (a Answer) pinned(s int) (n int) {
	for _, c := range a.Cells[s] {
		if !c.Placed() || c.Half.Median > Pinned {
			break
		}
		n++
	}
	return n
}

func (a Answer) headline(s int) string {
	from := "From the unbroken string"
	if s > 0 {
		from = "With " + a.States[s].Name + " (" + a.States[s].MinutesWords() + ")"
	}
	row, n := a.Cells[s], a.pinned(s)
	var text strings.Builder
	if n > 0 {
		fmt.Fprintf(&text, "%s a leak up to %s is pinned to %s, if it is the only one", from, Size(a.Ohms[n-1]), places(row[:n]))
	} else {
		fmt.Fprintf(&text, "%s a leak of %s, the smallest asked about, is pinned no closer than to %s", from, Size(a.Ohms[0]), places(row[:1]))
	}
	if n < len(row) {
		last := row[len(row)-1]
		what := "to " + places(row[len(row)-1:])
		if !last.Placed() {
			what = fmt.Sprintf("to no place at all in %s of the packs", Percent(last.Trials-last.Named, last.Trials))
		}
		fmt.Fprintf(&text, "; one of %s %s", Size(a.Ohms[len(row)-1]), what)
	}
	first, inside, trials := 0, 0, 0
	for _, c := range row[:max(1, n)] {
		first, inside, trials = first+c.First, inside+c.Inside, trials+c.Trials
	}
	upTo := ""
	if n < len(row) {
		upTo = "Up to " + Size(a.Ohms[max(1, n)-1]) + " the"
	} else {
		upTo = "The"
	}
	fmt.Fprintf(&text, ". %s true module leads in %d of %d packs and is in the 95 %% set in %d.", upTo, first, trials, inside)
	return text.String()
}

// places is how small a place some cells have, the widest of their medians.
func places(cells []Cell) string {
	half, modules := 0.0, 0.0
	for _, c := range cells {
		half, modules = math.Max(half, c.Half.Median), modules+c.Modules/float64(len(cells))
	}
	if math.IsInf(half, 0) {
		return "no place"
	}
	return fmt.Sprintf("%s (± %s groups)", modulesWords(modules), Groups(half))
}

func modulesWords(n float64) string {
	text := strconv.FormatFloat(n, 'f', 1, 64)
	if text == "1.0" {
		return "1 module"
	}
	return text + " modules"
}

// Groups writes a half-width with two significant digits; "none" where no place is
// named.
func Groups(v float64) string {
	switch {
	case math.IsInf(v, 0) || math.IsNaN(v):
		return "none"
	case v >= 9.95:
		return strconv.FormatFloat(v, 'f', 0, 64)
	case v >= 0.995:
		return strconv.FormatFloat(v, 'f', 1, 64)
	}
	return strconv.FormatFloat(v, 'f', 2, 64)
}

// Size writes a leak size without digits that say nothing: 30 kΩ, 2 MΩ.
func Size(ohms float64) string {
	scale, unit := fault.OhmUnit(ohms)
	return strconv.FormatFloat(fault.Round(ohms/scale), 'f', -1, 64) + fault.ThinSpace + unit
}

// Percent is a share of trials in whole percent, for what is no claim of certainty.
func Percent(n, of int) string { return fmt.Sprintf("%.0f %%", 100*float64(n)/float64(max(1, of))) }

// MinutesWords are the minutes of opening a state's links.
func (s State) MinutesWords() string {
	missing := ""
	if len(s.Unrecorded) > 0 {
		missing = "minutes not recorded for " + list(s.Unrecorded)
	}
	if len(s.Open) == 0 {
		return "nothing is opened"
	}
	if len(s.Unrecorded) == len(s.Open)+len(s.Choice) {
		return "minutes not recorded"
	}
	text := fmt.Sprintf("%g min", s.Most)
	if s.Least != s.Most {
		text = fmt.Sprintf("%g to %g min", s.Least, s.Most)
	}
	if missing != "" {
		text += "; " + missing
	}
	return text
}

// Most is what was said most often, with how often; "" where nothing was said.
func Most(counts []Count, trials int) string {
	if len(counts) == 0 {
		return ""
	}
	if counts[0].N == trials {
		return counts[0].What
	}
	return counts[0].What + " " + Percent(counts[0].N, trials)
}

// OhmsWords say whether the leak's ohms come out as a value or as a bound, and in how
// many packs.
func (c Cell) OhmsWords() string {
	switch {
	case c.Measured == 0 && c.Bounded == 0:
		return "none"
	case c.Measured == c.Trials:
		return "value"
	case c.Bounded == c.Trials:
		return "bound"
	case c.Measured >= c.Bounded:
		return "value " + Percent(c.Measured, c.Trials)
	}
	return "bound " + Percent(c.Bounded, c.Trials)
}
