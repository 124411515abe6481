package locate

import (
	"math"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A ruler maps potentials of one section to a string's groups and volts.
type ruler struct {
	net      *topology.Net
	str      int
	from, to int       // groups: the part that the leak can be in
	base     float64   // V of the section's negative end along the string, gaps counting 0
	cum      []float64 // V of every tap along the string, gaps counting 0
}

func (a *analysis) rulerOf(r *resolved, sl *slot) ruler {
	str := sl.sec.String
	if len(r.leak.Places) > 0 {
		if m, ok := a.net.Module(r.leak.Places[0].ID); ok {
			str = a.net.StringOf(m)
		}
	}
	ru := ruler{net: a.net, str: str, from: math.MaxInt, to: -1}
	for _, c := range a.po.cands {
		for _, id := range c.nodes {
			if s, g, ok := a.net.Position(id); ok && s == str && c.cell == r.cell {
				ru.from, ru.to = min(ru.from, g), max(ru.to, g)
			}
		}
	}
	if ru.to < 0 { // a board, a link, a rail: anywhere in the section that it hangs on
		for _, c := range a.po.cands {
			for _, id := range c.nodes {
				if s, g, ok := a.net.Position(id); ok && s == str && c.u[r.slot] == c.u[r.slot] {
					ru.from, ru.to = min(ru.from, g), max(ru.to, g)
				}
			}
		}
	}
	ru.cum = make([]float64, a.net.Strings[str].Groups+1)
	mean := a.d.cells[sl.state].mean
	for g, grp := range a.net.Groups {
		if a.net.StringOf(grp.Module) == str {
			_, lo, _ := a.net.Position(grp.Lo)
			_, hi, _ := a.net.Position(grp.Hi)
			v := mean[g]
			if hi < lo { // a module wired against its string lowers it
				v = -v
			}
			ru.cum[max(lo, hi)] = v
		}
	}
	for i := 1; i < len(ru.cum); i++ {
		ru.cum[i] += ru.cum[i-1]
	}
	if s, g, ok := a.net.Position(sl.sec.From); ok && s == str {
		ru.base = ru.cum[g]
	} else if low := a.d.lowestOf(sl, str); low != topology.NoNode {
		if _, g, ok := a.net.Position(low); ok {
			ru.base = ru.cum[g]
		}
	}
	return ru
}

// volts is a potential along the string, kept within the leaking part.
func (ru ruler) volts(u float64) float64 {
	return math.Max(ru.cum[ru.from], math.Min(ru.cum[ru.to], ru.base+u))
}

// groups is where on the string a potential lies, between taps in proportion.
func (ru ruler) groups(u float64) float64 {
	v := ru.volts(u)
	for i := ru.from; i < ru.to; i++ {
		lo, hi := ru.cum[i], ru.cum[i+1]
		if v <= hi && v >= lo && hi > lo {
			return float64(i) + (v-lo)/(hi-lo)
		}
	}
	if v <= ru.cum[ru.from] {
		return float64(ru.from)
	}
	return float64(ru.to)
}

// taps names the taps around an interval, rounded outward.
func (ru ruler) taps(p fault.Interval) fault.TapRange {
	name := func(g float64, up bool) string {
		n := int(math.Floor(g + 1e-9))
		if up {
			n = int(math.Ceil(g - 1e-9))
		}
		n = max(ru.from, min(ru.to, n))
		id := ru.net.TapAt(ru.str, n)
		if n == ru.from && n < ru.to { // the joint's upper side, where the lower is another section's
			id = ru.net.TapAbove(ru.str, n)
		}
		return ru.net.Name(id)
	}
	return fault.TapRange{Low: name(float64(p.Low), false), Mid: name(math.Round(float64(p.Mid)), false), High: name(float64(p.High), true)}
}
