package makesafe

import (
	"math"
	"slices"
	"strconv"
	"time"

	"halfsplit/fault"
)

// Readings and Provings are the items that a record needs of each, in their order.
var (
	Readings = []string{fault.SafePoles, fault.SafePlus, fault.SafeMinus}
	Provings = []string{fault.SafeBefore, fault.SafeAfter}
)

// Points are the places at which something was read, in the order of recording;
// without any, the one that is named now.
func Points(c *fault.Case) []string {
	var out []string
	for _, m := range c.MakeSafe {
		if fault.SafeVolts(m.Item) && !slices.Contains(out, m.Point) {
			out = append(out, m.Point)
		}
	}
	if len(out) == 0 {
		out = append(out, Point(c))
	}
	return out
}

// Point is the place that was named last; "" is the pack's poles.
func Point(c *fault.Case) string {
	m, _ := c.SafeNow(fault.SafePoint)
	return m.Text
}

// Count says how many of the three readings and of the two provings stand at the
// place that was named last.
func Count(c *fault.Case) (readings, provings int) {
	at := Point(c)
	count := func(items []string) (n int) {
		for _, i := range items {
			if _, ok := c.SafeAt(i, at); ok {
				n++
			}
		}
		return n
	}
	return count(Readings), count(Provings)
}

// Bound is the most that an instrument's manual lets a value be off, in volts: gain
// of the reading and counts of the range that it was read on. ok is false where the
// instrument has no range for the value.
func Bound(in fault.Instrument, m fault.MakeSafe) (volts float64, ok bool) {
	if m.Value == nil {
		return 0, false
	}
	rg, _, ok := in.RangeOf(fault.Reading{Value: *m.Value, Raw: m.Raw})
	if !ok {
		return 0, false
	}
	return in.Gain(rg)/100*math.Abs(*m.Value) + in.Off(rg)*rg.Count, true
}

// bound is Bound by the instrument that an entry names.
func bound(c *fault.Case, m fault.MakeSafe) (float64, bool) {
	in, ok := c.Instrument(m.Instrument)
	if !ok {
		return 0, false
	}
	return Bound(in, m)
}

// Decay is how long a capacitance takes through a resistance from one voltage down
// to another: t = R·C·ln(from/to), in seconds. 0 where it is there already or a
// number is missing.
func Decay(farads, ohms, from, to float64) float64 {
	if !(farads > 0 && ohms > 0 && to > 0 && from > to) {
		return 0
	}
	return farads * ohms * math.Log(from/to)
}

// at is the time of an entry.
func at(m fault.MakeSafe) (time.Time, bool) {
	t, err := time.Parse(time.RFC3339, m.At)
	return t, err == nil
}

// clock is a time as it is told.
func clock(m fault.MakeSafe) string {
	t, ok := at(m)
	if !ok {
		return "a time that was not recorded"
	}
	return t.Format("15:04")
}

func volts(v float64) string { return strconv.FormatFloat(fault.Round(v+0), 'f', -1, 64) + " V" }

func bare(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }
