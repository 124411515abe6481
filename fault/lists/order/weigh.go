package order

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A Map is one order: To[i] is how many groups lie below the group of index i+1,
// counted along the strings in their order.
type Map struct {
	Name  string // "forward from the negative end"
	To    []int
	Share float64 // of all orders, by these readings and the prior shares
	Times float64 // how many times likelier these readings are by the best order than by this one; 1 = the best
	log   float64
	prior float64
}

// A Result is what the readings say of the orders.
type Result struct {
	Maps []Map    // the likeliest first; empty where the list does not go with the pack
	Used int      // readings and groups that were compared
	Says []string // in sentences, the first Head of them of all orders, then one of each
	Head int
	Told bool   // the first has a share of 0.95 at least
	Tell string // what would tell, where they cannot be told apart; "" = nothing
}

const told = 0.95

// Weigh holds a list of volts by monitor index, from the first, against a case's
// readings; NaN is an index without a value. It has one value for every group of the
// pack, or nothing is weighed.
func Weigh(c fault.Case, list []float64) Result {
	net, _ := topology.Compile(c.Layout)
	v := look(&c, net)
	if len(list) != v.groups || v.groups == 0 {
		return Result{Says: []string{fmt.Sprintf("The list has %d values and the pack %d groups: no order can be weighed.", len(list), v.groups)}}
	}
	w := &weighing{v: v, s: newScorer(v, list), net: net}
	w.blocks, w.boards = v.blocks()
	w.named()
	w.shuffled()
	return w.result()
}

type weighing struct {
	v      *view
	s      *scorer
	net    *topology.Net
	blocks []block
	boards bool
	maps   []Map
	beyond bool    // too many blocks to be shuffled
	rest   float64 // prior share of all arrangements that have no name
}

func (w *weighing) blockName() string {
	if w.boards {
		return "board"
	}
	return "module"
}

// named are the orders that have a name.
func (w *weighing) named() {
	n := w.v.groups
	forward, mirrored := make([]int, n), make([]int, n)
	for i := range n {
		forward[i], mirrored[i] = i, n-1-i
	}
	w.add("forward from the negative end", forward, priorForward)
	w.add("mirrored, from the positive end", mirrored, priorMirrored)
	start, turned := make([]int, len(w.blocks)), make([]bool, len(w.blocks))
	at := 0
	for k, b := range w.blocks {
		start[k], turned[k] = at, true
		at += b.size()
	}
	w.add(w.blockName()+"s in order, each mirrored in itself", arranged(w.blocks, start, turned), priorInside)
	at = 0
	for k := len(w.blocks) - 1; k >= 0; k-- {
		start[k], turned[k] = at, false
		at += w.blocks[k].size()
	}
	w.add(w.blockName()+"s from the positive end, each forward in itself", arranged(w.blocks, start, turned), priorBoards)
	w.rest = priorShuffled
	if to, ok := w.layout(); ok {
		for i := range w.maps {
			w.maps[i].prior *= 1 - priorLayout
		}
		w.rest *= 1 - priorLayout
		w.add("as the layout gives the monitor's indices", to, priorLayout)
	}
	for i := range w.maps {
		w.maps[i].log = w.s.whole(w.maps[i].To)
	}
}

// add takes an order; one that is there already gets the prior of both.
func (w *weighing) add(name string, to []int, prior float64) {
	if i := slices.IndexFunc(w.maps, func(m Map) bool { return slices.Equal(m.To, to) }); i >= 0 {
		w.maps[i].prior += prior
		if prior == priorLayout {
			w.maps[i].Name += ", as the layout gives it"
		}
		return
	}
	w.maps = append(w.maps, Map{Name: name, To: to, prior: prior})
}

// layout is the order that every module's monitor_index gives, where they are whole.
func (w *weighing) layout() ([]int, bool) {
	to := make([]int, w.v.groups)
	for i := range to {
		to[i] = -1
	}
	for m, mod := range w.net.Layout.Modules {
		if len(mod.MonitorIndex) != 2 {
			return nil, false
		}
		lo, hi := w.v.of(m)
		first, last := mod.MonitorIndex[0], mod.MonitorIndex[1]
		step := 1
		if last < first {
			step = -1
		}
		if (last-first)*step+1 != mod.Series {
			return nil, false
		}
		for k := range mod.Series {
			at := first + k*step - 1
			if at < 0 || at >= len(to) || to[at] >= 0 {
				return nil, false
			}
			to[at] = lo + k
			if w.v.flipped(m) {
				to[at] = hi - 1 - k
			}
		}
	}
	return to, true
}

// shuffled weighs all other arrangements of the blocks, with the gains of the
// likeliest order: they hardly depend on it. The likeliest arrangement is an order of
// its own; what is left of them stands together.
func (w *weighing) shuffled() {
	if w.beyond = len(w.blocks) > mostBlocks; w.beyond || len(w.blocks) < 2 {
		return
	}
	top := slices.MaxFunc(w.maps, func(a, b Map) int { return sign(a.log - b.log) })
	var x arrangement
	for range 3 {
		w.s.whole(top.To)
		x = newShuffle(w.s, w.blocks).weigh()
		to := arranged(w.blocks, x.start, x.turned)
		log := w.s.whole(to)
		shift := log - x.best // what lies over two blocks, and the width of the gains
		x.best, x.total = x.best+shift, x.total+shift
		if log < top.log+1 || slices.Equal(to, top.To) {
			break
		}
		top = Map{To: to, log: log}
	}
	to := arranged(w.blocks, x.start, x.turned)
	each := math.Log(w.rest) - x.count // ln prior of one arrangement
	left := x.total
	for _, m := range w.maps {
		if m.Name != "" && w.isArrangement(m.To) {
			left = subLogs(left, m.log)
		}
	}
	if !slices.ContainsFunc(w.maps, func(m Map) bool { return slices.Equal(m.To, to) }) {
		left = subLogs(left, x.best)
		w.maps = append(w.maps, Map{Name: w.describe(x), To: to, log: x.best, prior: math.Exp(each)})
	}
	if !math.IsInf(left, -1) {
		w.maps = append(w.maps, Map{Name: "any other arrangement of the " + w.blockName() + "s", log: left, prior: math.Exp(each)})
	}
}

// isArrangement says that an order keeps every block together.
func (w *weighing) isArrangement(to []int) bool {
	at := make([]int, len(to))
	for i, p := range to {
		at[p] = i
	}
	for _, b := range w.blocks {
		lo, hi := math.MaxInt, 0
		for p := b.lo; p < b.hi; p++ {
			lo, hi = min(lo, at[p]), max(hi, at[p])
		}
		if hi-lo+1 != b.size() {
			return false
		}
		for p := b.lo; p+1 < b.hi; p++ {
			if d := at[p+1] - at[p]; d != at[b.lo+1]-at[b.lo] || d*d != 1 {
				return false
			}
		}
	}
	return true
}

// describe names an arrangement by its blocks, in the order of the list.
func (w *weighing) describe(x arrangement) string {
	order := make([]int, len(w.blocks))
	for k := range order {
		order[k] = k
	}
	slices.SortFunc(order, func(a, b int) int { return x.start[a] - x.start[b] })
	var out []string
	for _, k := range order {
		s := w.blocks[k].name
		if x.turned[k] {
			s += " mirrored"
		}
		out = append(out, s)
	}
	return w.blockName() + "s in the order " + strings.Join(out, ", ")
}

func subLogs(a, b float64) float64 {
	if d := b - a; d < -1e-9 {
		return a + math.Log1p(-math.Exp(d))
	}
	return math.Inf(-1)
}

func sign(d float64) int {
	switch {
	case d < 0:
		return -1
	case d > 0:
		return 1
	}
	return 0
}
