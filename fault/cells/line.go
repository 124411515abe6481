package cells

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A line is one string's groups in order from its negative end.
type line struct {
	net   *topology.Net
	str   int
	mv    []float64 // NaN = nothing to compare
	part  []int     // by group: which module of the string it lies in
	class []int     // by group: modules alike in chemistry and size share one
	whole []run     // single modules and boards that have a group here
	ends  []int     // taps at which modules begin and end, ascending
	flat  bool      // iron phosphate on the level part of its curve
	back  *mirror   // volts that the list fits only when it is turned; nil = none
}

// A run is the groups above tap from, up to tap to; what names the module or
// board that it is exactly.
type run struct {
	from, to int
	board    bool
	id       string
}

// lines cuts the picked lists into strings.
func lines(c *fault.Case, net *topology.Net, p picked) []*line {
	out := make([]*line, len(net.Strings))
	classes := map[string]int{}
	for s, str := range net.Strings {
		l := &line{net: net, str: s, ends: []int{0}}
		for i, m := range str.Modules {
			mod := net.Layout.Modules[m]
			key := fmt.Sprintf("%s|%d|%g", strings.ToLower(mod.Chemistry), mod.Parallel, mod.CellAh)
			if _, known := classes[key]; !known {
				classes[key] = len(classes)
			}
			for at := range mod.Series {
				k := at + 1
				if str.Flipped[i] {
					k = mod.Series - at
				}
				l.mv = append(l.mv, millivolts(p.lists[m], k))
				l.part = append(l.part, i)
				l.class = append(l.class, classes[key])
			}
			if mod.Series > 0 {
				l.whole = append(l.whole, run{str.Offset[i], str.Offset[i] + mod.Series, false, mod.ID})
				l.ends = append(l.ends, str.Offset[i]+mod.Series)
			}
		}
		l.addBoards()
		l.flat = l.onPlateau()
		if m, ok := l.turned(c, p); ok {
			l.back = &m
		}
		out[s] = l
	}
	return out
}

func millivolts(g *fault.GroupVolts, k int) float64 {
	if g == nil || k > len(g.Volts) || !isUsable(g.Volts[k-1]) {
		return math.NaN()
	}
	return 1000 * g.Volts[k-1]
}

// addBoards adds the groups between the outermost taps of every board.
func (l *line) addBoards() {
	for _, b := range l.net.Layout.Boards {
		lo, hi := len(l.mv), 0
		for _, ref := range b.Taps {
			if id, ok := l.net.Node(ref); ok {
				if s, at, ok := l.net.Position(id); ok && s == l.str {
					lo, hi = min(lo, at), max(hi, at)
				}
			}
		}
		if lo < hi {
			l.whole = append(l.whole, run{lo, hi, true, b.ID})
		}
	}
}

// Between these volts an iron-phosphate cell says little about its charge.
const (
	plateauLow  = 3150.0 // mV
	plateauHigh = 3400.0
)

func (l *line) onPlateau() bool {
	mv := l.known()
	if len(mv) == 0 {
		return false
	}
	mid := median(mv)
	if mid < plateauLow || mid > plateauHigh {
		return false
	}
	for _, m := range l.net.Strings[l.str].Modules {
		if c := strings.ToLower(l.net.Layout.Modules[m].Chemistry); strings.Contains(c, "lfp") || strings.Contains(c, "iron") || strings.Contains(c, "lifepo") {
			return true
		}
	}
	return false
}

func (l *line) known() (out []float64) {
	for _, v := range l.mv {
		if !math.IsNaN(v) {
			out = append(out, v)
		}
	}
	return out
}

// id is the string's.
func (l *line) id() string { return l.net.Strings[l.str].ID }

// group names a group by its place in the string, from 0: M03.7 is the seventh of
// M03 from that module's own negative end.
func (l *line) group(at int) string {
	s := l.net.Strings[l.str]
	i := l.part[at]
	k := at - s.Offset[i] + 1
	mod := l.net.Layout.Modules[s.Modules[i]]
	if s.Flipped[i] {
		k = mod.Series - (at - s.Offset[i])
	}
	return fmt.Sprintf("%s.%d", mod.ID, k)
}

// tap names the tap with that many groups below it.
func (l *line) tap(below int) string { return l.net.Name(l.net.TapAt(l.str, below)) }

// joint says whether modules begin or end at a tap.
func (l *line) joint(tap int) bool {
	_, found := slices.BinarySearch(l.ends, tap)
	return found
}
