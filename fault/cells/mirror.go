package cells

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A list that was copied from a monitor may run from the other end of the string
// than its modules are numbered from. Volts that were taken otherwise, the modules'
// own by meter or another list, tell: they fit better turned end for end.
const (
	mirrorLeast = 0.5 // correlation that the turned list must reach
	mirrorTimes = 4.0 // standard deviations by which it must be the better
	mirrorFew   = 6   // values at least
)

// A mirror says how well a string's list fits other volts as it stands, and turned.
type mirror struct {
	with            string // what it is compared with, in words
	stands, turned  float64
	values          int
	turnedIsClearly bool
}

// turned looks for volts that the string's list fits only when it is turned.
func (l *line) turned(c *fault.Case, p picked) (mirror, bool) {
	for _, m := range append([]mirror{l.againstModules(c)}, l.againstLists(c, p)...) {
		if m.turnedIsClearly {
			return m, true
		}
	}
	return mirror{}, false
}

// againstModules compares the sums over modules with the volts that were read over
// modules. Modules must be alike, or turning them means nothing.
func (l *line) againstModules(c *fault.Case) mirror {
	s := l.net.Strings[l.str]
	over := moduleVolts(c, l.net)
	sums, read := make([]float64, len(s.Modules)), make([]float64, len(s.Modules))
	for i, m := range s.Modules {
		series := l.net.Layout.Modules[m].Series
		if series != l.net.Layout.Modules[s.Modules[0]].Series {
			return mirror{}
		}
		for at := s.Offset[i]; at < s.Offset[i]+series; at++ {
			sums[i] += l.mv[at]
		}
		read[i] = math.NaN()
		if v, ok := over[m]; ok {
			read[i] = 1000 * v
		}
	}
	return compare("the volts that were read over its modules", sums, read)
}

// moduleVolts are the latest readings over the two ends of a module.
func moduleVolts(c *fault.Case, net *topology.Net) map[int]float64 {
	out := map[int]float64{}
	old := c.Superseded()
	for _, r := range c.Readings {
		if _, gone := old[r.ID]; gone || r.Quantity != fault.Volts || r.Resistor != nil || r.Relation == fault.Less || r.Relation == fault.Greater {
			continue
		}
		red, okR := net.Node(r.Red)
		black, okB := net.Node(r.Black)
		if !okR || !okB {
			continue
		}
		m, k, ok := net.ModuleAt(red)
		n, j, also := net.ModuleAt(black)
		if ok && also && m == n && k == net.Layout.Modules[m].Series && j == 0 {
			out[m] = r.Value
		}
	}
	return out
}

// againstLists compares the list with every other one that covers the string.
func (l *line) againstLists(c *fault.Case, p picked) (out []mirror) {
	var sources [][2]string
	for _, g := range c.GroupVolts {
		if key := [2]string{g.State, g.Instrument}; !slices.Contains(sources, key) {
			sources = append(sources, key)
		}
	}
	slices.SortFunc(sources, func(a, b [2]string) int { return strings.Compare(a[0]+"\x00"+a[1], b[0]+"\x00"+b[1]) })
	for _, src := range sources {
		other := make([]*fault.GroupVolts, len(p.lists))
		for i := range c.GroupVolts {
			g := &c.GroupVolts[i]
			if m, ok := l.net.Module(g.Module); ok && g.State == src[0] && g.Instrument == src[1] && (other[m] == nil || !earlier(g, other[m])) {
				other[m] = g
			}
		}
		mv := make([]float64, 0, len(l.mv))
		for i, m := range l.net.Strings[l.str].Modules {
			series := l.net.Layout.Modules[m].Series
			for at := range series {
				k := at + 1
				if l.net.Strings[l.str].Flipped[i] {
					k = series - at
				}
				v := millivolts(other[m], k)
				if other[m] == p.lists[m] {
					v = math.NaN() // a list says nothing about itself
				}
				mv = append(mv, v)
			}
		}
		with := "the list of state " + src[0]
		if src[1] != "" {
			with += " by " + src[1]
		}
		out = append(out, compare(with, l.mv, mv))
	}
	return out
}

// compare correlates two rows as they stand and with the second one turned.
func compare(with string, a, b []float64) mirror {
	back := slices.Clone(b)
	slices.Reverse(back)
	stands, n := correlation(a, b)
	turned, k := correlation(a, back)
	m := mirror{with: with, stands: stands, turned: turned, values: min(n, k)}
	if m.values >= mirrorFew && turned > mirrorLeast {
		least := mirrorTimes * math.Sqrt(2/float64(m.values-3))
		m.turnedIsClearly = math.Atanh(math.Min(turned, 0.9999))-math.Atanh(math.Max(stands, -0.9999)) > least
	}
	return m
}

// correlation over the places that have both, and how many these are.
func correlation(a, b []float64) (r float64, n int) {
	var x, y []float64
	for i := range a {
		if !math.IsNaN(a[i]) && !math.IsNaN(b[i]) {
			x, y = append(x, a[i]), append(y, b[i])
		}
	}
	if len(x) < mirrorFew {
		return 0, len(x)
	}
	centre(x)
	centre(y)
	norm := math.Sqrt(dot(x, x) * dot(y, y))
	if norm < 1e-9 {
		return 0, len(x)
	}
	return dot(x, y) / norm, len(x)
}

func centre(v []float64) {
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	for i := range v {
		v[i] -= sum / float64(len(v))
	}
}

func (m mirror) sentence(str string) string {
	return fmt.Sprintf("The group volts of string %s fit %s better turned end for end (correlation %.2f) than as they stand (%.2f): "+
		"their order has to be proved by measuring one known group, and until then they say nothing of where a leak is.", str, m.with, m.turned, m.stands)
}
