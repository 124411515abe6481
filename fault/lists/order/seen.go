package order

import (
	"fmt"
	"math"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A seen is something that a meter read between two taps: the sum of groups lo to hi,
// counted along the pack.
type seen struct {
	lo, hi  int
	volts   float64
	sd      float64 // V, of the reading alone, without gain
	channel int     // readings that share a gain
	what    string
}

// A channel is an instrument on one range.
type channel struct {
	name string
	sd   float64 // of its gain and of what the list has in common, relative
}

// A view is the pack with what was seen on it.
type view struct {
	net      *topology.Net
	offset   []int // of each string along the pack
	groups   int
	all      []seen
	channels []channel
	modules  []bool // read over as a whole
}

func look(c *fault.Case, net *topology.Net) *view {
	v := &view{net: net, modules: make([]bool, len(net.Layout.Modules))}
	for _, s := range net.Strings {
		v.offset = append(v.offset, v.groups)
		v.groups += s.Groups
	}
	joined := map[string]*topology.Joined{}
	for _, s := range c.States {
		joined[s.ID] = net.In(s.Setting())
	}
	old := c.Superseded()
	for _, r := range c.Readings {
		_, gone := old[r.ID]
		if gone || r.Quantity != fault.Volts || r.Resistor != nil || r.Relation == fault.Less || r.Relation == fault.Greater || joined[r.State] == nil {
			continue
		}
		if lo, hi, turned, ok := v.between(joined[r.State], r.Red, r.Black); ok {
			volts := r.Value
			if turned {
				volts = -volts
			}
			v.add(c, r, lo, hi, volts)
		}
	}
	v.lists(c)
	return v
}

// between are the groups from the black lead to the red one, in a section that is no
// loop; turned says that black is the higher.
func (v *view) between(j *topology.Joined, red, black string) (lo, hi int, turned, ok bool) {
	a, okA := v.net.Node(black)
	b, okB := v.net.Node(red)
	if !okA || !okB {
		return 0, 0, false, false
	}
	sec := j.SectionOf(a)
	s, pa, inA := v.net.Position(a)
	t, pb, inB := v.net.Position(b)
	if !inA || !inB || s != t || pa == pb || sec < 0 || sec != j.SectionOf(b) || j.Sections[sec].Looped {
		return 0, 0, false, false
	}
	if turned = pa > pb; turned {
		pa, pb = pb, pa
	}
	return v.offset[s] + pa, v.offset[s] + pb, turned, true
}

func (v *view) add(c *fault.Case, r fault.Reading, lo, hi int, volts float64) {
	x := seen{lo: lo, hi: hi, volts: volts, what: r.ID}
	in, ok := c.Instrument(r.Instrument)
	rg, i, ranged := in.RangeOf(r)
	if ok && ranged {
		x.sd, x.channel = in.CountSD(rg), v.channel(fmt.Sprintf("%s range %d", in.ID, i), in.GainSDOn(rg))
	} else {
		x.sd, x.channel = listEach+0.0005*math.Abs(volts), v.channel(r.Instrument, unknown)
	}
	v.all = append(v.all, x)
	for m := range v.net.Layout.Modules {
		if a, b := v.of(m); a == lo && b == hi {
			v.modules[m] = true
		}
	}
}

// lists takes the group volts that a named instrument has read: a list without one is
// the monitor's own and proves nothing.
func (v *view) lists(c *fault.Case) {
	for _, g := range c.GroupVolts {
		in, ok := c.Instrument(g.Instrument)
		m, known := v.net.Module(g.Module)
		if !ok || !known || in.Kind != "" && in.Kind != "voltmeter" {
			continue
		}
		lo, hi := v.of(m)
		for k, volts := range g.Volts {
			if math.IsNaN(volts) || k >= hi-lo {
				continue
			}
			at := lo + k
			if v.flipped(m) {
				at = hi - 1 - k
			}
			rg, i, _ := in.RangeFor(volts, 0)
			v.all = append(v.all, seen{lo: at, hi: at + 1, volts: volts, sd: math.Max(in.CountSD(rg), 0.0005),
				channel: v.channel(fmt.Sprintf("%s range %d", in.ID, i), in.GainSDOn(rg)), what: fmt.Sprintf("%s group %d", g.Module, k+1)})
		}
	}
}

func (v *view) channel(name string, gain float64) int {
	if i := slices.IndexFunc(v.channels, func(c channel) bool { return c.name == name }); i >= 0 {
		return i
	}
	common := listGain / math.Sqrt(3)
	v.channels = append(v.channels, channel{name, math.Sqrt(gain*gain + common*common + drift*drift)})
	return len(v.channels) - 1
}

// of is where a module's groups lie along the pack.
func (v *view) of(m int) (lo, hi int) {
	s := v.net.StringOf(m)
	i := slices.Index(v.net.Strings[s].Modules, m)
	lo = v.offset[s] + v.net.Strings[s].Offset[i]
	return lo, lo + v.net.Layout.Modules[m].Series
}

func (v *view) flipped(m int) bool {
	s := v.net.Strings[v.net.StringOf(m)]
	return s.Flipped[slices.Index(s.Modules, m)]
}

// A block is the groups of one board along the pack.
type block struct {
	name   string
	lo, hi int
}

func (b block) size() int { return b.hi - b.lo }

// blocks are the boards where they cover every group once, else the modules.
func (v *view) blocks() (out []block, boards bool) {
	for _, b := range v.net.Layout.Boards {
		lo, hi, one := math.MaxInt, -1, -1
		for _, tap := range b.Taps {
			n, ok := v.net.Node(tap)
			if !ok {
				continue
			}
			if s, p, ok := v.net.Position(n); ok && (one < 0 || one == s) {
				lo, hi, one = min(lo, v.offset[s]+p), max(hi, v.offset[s]+p), s
			}
		}
		if hi > lo {
			out = append(out, block{b.ID, lo, hi})
		}
	}
	slices.SortFunc(out, func(a, b block) int { return a.lo - b.lo })
	next := 0
	for _, b := range out {
		if b.lo != next {
			next = -1
			break
		}
		next = b.hi
	}
	if len(out) > 0 && next == v.groups {
		return out, true
	}
	out = nil
	for _, s := range v.net.Strings {
		for _, m := range s.Modules {
			if lo, hi := v.of(m); hi > lo {
				out = append(out, block{v.net.Layout.Modules[m].ID, lo, hi})
			}
		}
	}
	return out, false
}
