package locate

import (
	"math"
	"strconv"

	"halfsplit/fault"
	"halfsplit/topology"
)

// kinds lists the explanations that can be weighed against each other, in order.
var kinds = []string{fault.None, fault.One, fault.Two, fault.Spread, fault.BoardLeak, fault.LinkLeak, fault.RailLeak, fault.LoadSide, fault.MonitorLeak}

// basePriors are the kinds' shares from how such packs fail. Those that a case
// leaves no room for are left out and the rest scaled up: a board that is not
// drawn, a load side that no state joined. Links and rails have 0.04 between
// them, by their number, or less where they are few. A monitor that nobody recorded as disconnected stands
// beside the rest.
func (d *data) basePriors() map[string]float64 {
	p := map[string]float64{fault.None: 0.10, fault.One: 0.90 * 0.70, fault.Two: 0.90 * 0.10, fault.Spread: 0.90 * 0.08}
	count := map[string]int{}
	for _, c := range d.special() {
		count[c.kind]++
	}
	if count[fault.BoardLeak] > 0 {
		p[fault.BoardLeak] = 0.90 * 0.05
	}
	if n := count[fault.LinkLeak] + count[fault.RailLeak]; n > 0 {
		each := 0.90 * 0.04 / float64(n)
		if taps := d.tapCount(); taps > 0 {
			each = math.Min(each, jointPart*p[fault.One]/float64(taps)/2)
		}
		p[fault.LinkLeak] = each * float64(count[fault.LinkLeak])
		p[fault.RailLeak] = each * float64(count[fault.RailLeak])
	}
	if count[fault.LoadSide] > 0 {
		p[fault.LoadSide] = 0.90 * 0.03
	}
	if count[fault.MonitorLeak] > 0 {
		p[fault.MonitorLeak] = 0.02
	}
	return p
}

// jointPart bounds a link's prior by that of a module's half of the joint: in a
// pack of few links for its groups a bare conductor must not come before what it
// joins.
const jointPart = 0.8

// tapCount counts the taps that single leaks are weighed at, a joint once.
func (d *data) tapCount() int {
	n := 0
	for _, s := range d.net.Strings {
		n += s.Groups + 1
	}
	return n
}

// priors scales the base priors to one. Where a number of leaks is given, only
// explanations by that many are left.
func (d *data) priors(given int) map[string]float64 {
	base, sum := d.basePriors(), 0.0
	for k := range base {
		if (given == 1 && (k == fault.None || k == fault.Two || k == fault.Spread)) || (given == 2 && k != fault.Two) {
			delete(base, k)
		}
	}
	for _, k := range kinds {
		sum += base[k]
	}
	out := map[string]float64{}
	for _, k := range kinds {
		if base[k] > 0 {
			out[k] = base[k] / sum
		}
	}
	return out
}

// pathSD is the standard deviation of a leak path's own potential, in groups:
// wet copper and aluminium, or a can between two taps, shift the point.
const pathSD = 0.5

// A candidate is a place at which a single leak could sit. Of kind one it is a
// tap of the string: all nodes that are one conductor in every state with
// readings. The other kinds are things of the pack that leak at a tap's
// potential, and only while the state has them: see special.
type candidate struct {
	source
	kind   string
	place  int             // into data.places for kinds other than one; -1 = no place of the pack
	at     topology.NodeID // what a place of those kinds hangs on; NoNode = no one node
	nodes  []topology.NodeID
	weight []float64 // of each node; a joint's tap counts one over its terminals
	total  float64
	cell   int  // candidates with the same cell lie in the same section of every such state
	unseen bool // in no section that was read
	beside bool // stands for a whole board, as the second of two leaks only
}

// tap says that the candidate is a tap of the string itself.
func (c *candidate) tap() bool { return c.kind == fault.One }

// candidates lists every tap, in order of their first node, and what is none.
func (d *data) candidates() []*candidate {
	if d.cands == nil {
		d.cands = d.makeCandidates()
	}
	return d.cands
}

func (d *data) makeCandidates() []*candidate {
	all := d.net.In(topology.Setting{ContactorsClosed: true})
	terminals := map[topology.NodeID]int{}
	for m, mod := range d.net.Layout.Modules {
		terminals[all.Conductor(d.net.Tap(m, 0))]++
		terminals[all.Conductor(d.net.Tap(m, mod.Series))]++
	}
	byKey, cells := map[string]*candidate{}, map[string]int{}
	cellOf := func(name []byte) int {
		n, ok := cells[string(name)]
		if !ok {
			n = len(cells)
			cells[string(name)] = n
		}
		return n
	}
	var out []*candidate
	var key, cell []byte
	for m, mod := range d.net.Layout.Modules {
		for k := 0; k <= mod.Series; k++ {
			id := d.net.Tap(m, k)
			w := 1.0
			if k == 0 || k == mod.Series {
				w = 1 / float64(terminals[all.Conductor(id)])
			}
			key, cell = d.signature(key[:0], cell[:0], id)
			c := byKey[string(key)]
			if c == nil {
				c = d.newCandidate(id)
				c.cell, c.kind = cellOf(cell), fault.One
				byKey[string(key)] = c
				out = append(out, c)
			}
			c.nodes, c.weight = append(c.nodes, id), append(c.weight, w)
			c.total += w
		}
	}
	for _, c := range d.special() {
		cell = d.cellName(cell[:0], c.u)
		c.cell = cellOf(cell)
		out = append(out, c)
	}
	return append(out, boardsBeside(out)...)
}

// boardsBeside makes one wide candidate of every board that some state lacks, to
// be the second of two leaks beside one in the string: a leak that stayed in part
// when the board went. A board that was never unplugged reads like its modules,
// and pairs of taps speak for it.
func boardsBeside(cands []*candidate) []*candidate {
	taps := map[int]bool{}
	for _, c := range cands {
		if c.tap() {
			taps[c.cell] = true
		}
	}
	byPlace := map[int][]*candidate{}
	var places []int
	for _, c := range cands {
		if c.kind == fault.BoardLeak && !taps[c.cell] {
			if byPlace[c.place] == nil {
				places = append(places, c.place)
			}
			byPlace[c.place] = append(byPlace[c.place], c)
		}
	}
	var out []*candidate
	for _, p := range places {
		all := byPlace[p]
		u, span := middle(all)
		wide := &candidate{kind: fault.BoardLeak, place: p, at: all[len(all)/2].at, total: 1, cell: all[0].cell, beside: true}
		wide.u, wide.sd = u, math.Hypot(span/math.Sqrt(12), all[0].sd)
		out = append(out, wide)
	}
	return out
}

// signature appends the names of a node's conductor in every state with
// readings, and of its section in each.
func (d *data) signature(key, cell []byte, id topology.NodeID) ([]byte, []byte) {
	seen := false
	for si, j := range d.joined {
		if !d.used[si] {
			continue
		}
		s, conductor := d.slotWith(si, id), topology.NoNode
		if s >= 0 {
			seen, conductor = true, j.Conductor(id)
		}
		key = strconv.AppendInt(append(key, ' '), int64(conductor), 10)
		cell = strconv.AppendInt(append(cell, ' '), int64(s), 10)
	}
	if !seen {
		return append(key[:0], "unseen"...), append(cell[:0], "unseen"...)
	}
	return key, cell
}

// slotWith is the section that a node lies in, in one state, if it was read; -1
// otherwise.
func (d *data) slotWith(si int, id topology.NodeID) int {
	sec := d.joined[si].SectionOf(id)
	if s, ok := d.slotAt[[2]int{si, sec}]; ok && sec >= 0 && d.live[s] {
		return s
	}
	return -1
}

func (d *data) newCandidate(id topology.NodeID) *candidate {
	c := &candidate{unseen: true}
	c.u = make([]float64, len(d.slots))
	for s := range d.slots {
		c.u[s] = math.NaN()
		if d.live[s] && d.slots[s].sec != nil {
			c.u[s] = d.slots[s].phi[id]
		}
		if !math.IsNaN(c.u[s]) {
			c.unseen = false
			sl := &d.slots[s]
			c.sd = pathSD * sl.volts / float64(sl.along)
		}
	}
	if c.sd <= 0 {
		c.sd = pathSD * nominalCell
	}
	return c
}

// groupsAlong counts the groups of the section's own string.
func (d *data) groupsAlong(sl *slot) int {
	n := 0
	for _, g := range sl.sec.Groups {
		if d.net.StringOf(d.net.Groups[g].Module) == sl.sec.String {
			n++
		}
	}
	return n
}

// places splits a candidate over the things it could be part of, by weight. A
// module's number is its index in the layout; other things follow.
func (d *data) places(c *candidate, add func(place int, part float64)) {
	if !c.tap() {
		if c.place >= 0 {
			add(c.place, 1)
		}
		return
	}
	for i, id := range c.nodes {
		if m, _, ok := d.net.ModuleAt(id); ok {
			add(m, c.weight[i]/c.total)
		}
	}
}
