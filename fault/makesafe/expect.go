package makesafe

import (
	"math"
	"slices"

	"halfsplit/fault"
)

// Expected is what the layout and the recorded state lead to expect at a place,
// computed and never measured. It is compared with a reading after that was typed,
// and not shown before.
type Expected struct {
	Known  bool   // false: nothing can be said, for the reason in Why
	Why    string // as a sentence without its stop
	Joined bool   // a closed path leads from a pole to modules
	// Poles, Plus and Minus are volts as Readings name them; NaN = not known. Where
	// no path leads to modules nothing is expected of them: what stands on capacitors
	// or leaks across is not known, and is no zero.
	Poles, Plus, Minus float64
	Within             float64 // V, how well the volts are known
}

// Of is the expectation of one reading.
func (e Expected) Of(item string) float64 {
	switch item {
	case fault.SafePoles:
		return e.Poles
	case fault.SafePlus:
		return e.Plus
	case fault.SafeMinus:
		return e.Minus
	}
	return math.NaN()
}

// Unknown is an expectation of which nothing can be said.
func Unknown(why string) Expected {
	n := math.NaN()
	return Expected{Why: why, Poles: n, Plus: n, Minus: n}
}

// compare says how a reading lies to its expectation; lacks is true where they do
// not agree. It is silent where nothing is expected.
func compare(c *fault.Case, m fault.MakeSafe, e Expected) (text string, lacks bool) {
	want := e.Of(m.Item)
	if !e.Known || !e.Joined || math.IsNaN(want) || m.Value == nil {
		return "", false
	}
	b, ok := bound(c, m)
	if !ok {
		return "", false
	}
	got, off := *m.Value, math.Abs(*m.Value-want)
	name := capital(fault.SafeName(m.Item))
	if off <= b+e.Within {
		return name + ": " + volts(got) + " was read, and " + volts(want) + " is expected from the modules that this place is joined to.", false
	}
	return name + ": " + volts(got) + " was read where " + volts(want) + " is expected by the layout and the recorded state. The meter did not reach these points, or the state is not as recorded.", true
}

// Copied says in words why a number that was typed is doubted: it is what was
// expected to the last digit, or the number of the reading before it. "" = not at
// all. A number that stands on a display has the display's digits.
func Copied(c *fault.Case, m fault.MakeSafe, e Expected) string {
	if m.Value == nil || *m.Value == 0 {
		return ""
	}
	v := *m.Value
	if want := e.Of(m.Item); e.Known && e.Joined && !math.IsNaN(want) && want != 0 && volts(v) == volts(want) {
		return "exactly what is computed, to the last digit: was it read from the meter?"
	}
	if (m.Item == fault.SafeBefore || m.Item == fault.SafeAfter) && m.Known != nil && v == *m.Known {
		return "exactly the volts of the known source, to the last digit: was it read from the meter?"
	}
	if !slices.Contains(Readings, m.Item) {
		return "" // a steady source shows the same twice
	}
	for _, item := range Readings {
		o, ok := c.SafeAt(item, m.Point)
		if ok && item != m.Item && o.Value != nil && *o.Value == v {
			return "the same number as " + fault.SafeName(item) + ", to the last digit"
		}
	}
	return ""
}
