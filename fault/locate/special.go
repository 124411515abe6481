package locate

import (
	"math"
	"slices"
	"strconv"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A thing is a place of the pack that a finding can name.
type thing struct{ id, kind string }

// special lists the candidates that are not taps of the string: a board while it
// is plugged, a link while it is closed, the rails, what lies beyond closed
// contactors, an insulation monitor that nobody recorded. Each leaks at the
// potential of what it is joined to, and is absent where the state does not
// have it: that is what tells it from the module at the same potential. What no
// reading could have seen is not listed.
func (d *data) special() []*candidate {
	if d.specials == nil {
		d.specials = []*candidate{}
		d.addBoards()
		d.addLinks()
		d.addRails()
		d.addLoadSide()
		d.addConnected()
		d.addUnrecordedMonitor()
	}
	return d.specials
}

// addSpecial keeps a candidate if some section that was read has it; at is the
// node that it hangs on, NoNode where it is at none.
func (d *data) addSpecial(kind, id, placeKind string, at topology.NodeID, u []float64, sd float64, times []float64) {
	if !slices.ContainsFunc(u, func(v float64) bool { return v == v }) {
		return
	}
	place := -1
	if placeKind != "" {
		t := thing{id, placeKind}
		if place = slices.Index(d.things, t); place < 0 {
			place = len(d.things)
			d.things = append(d.things, t)
		}
	}
	d.specials = append(d.specials, &candidate{source: source{u: u, sd: sd, times: times}, kind: kind, place: place, at: at, total: 1})
}

// nowhere is a candidate's potentials before any is known.
func (d *data) nowhere() []float64 {
	u := make([]float64, len(d.slots))
	for i := range u {
		u[i] = math.NaN()
	}
	return u
}

// where gives a node's potential in every section that was read, in those
// states that present allows.
func (d *data) where(id topology.NodeID, present func(state int) bool) (u []float64, sd float64) {
	u = d.nowhere()
	sd = pathSD * nominalCell
	for s := range d.slots {
		sl := &d.slots[s]
		if !d.live[s] || sl.sec == nil || math.IsNaN(sl.phi[id]) || !present(sl.state) {
			continue
		}
		u[s] = sl.phi[id]
		if own := pathSD * sl.volts / float64(sl.along); own > 0 {
			sd = own
		}
	}
	return u, sd
}

func (d *data) addBoards() {
	for _, b := range d.net.Layout.Boards {
		plugged := func(state int) bool { return d.c.States[state].Plugged(b.ID) }
		for _, tap := range b.Taps {
			if id, ok := d.net.Node(tap); ok {
				u, sd := d.where(id, plugged)
				d.addSpecial(fault.BoardLeak, b.ID, fault.PlaceBoard, id, u, sd, nil)
			}
		}
	}
}

// ofRail says that a link is a part of a rail: the conductors from an end module
// to its contactor count as one.
func (d *data) ofRail(b topology.Branch) bool {
	for _, name := range []string{"rail-", "rail+"} {
		if node, ok := d.net.Node(name); ok && (b.A == node || b.B == node) {
			return true
		}
	}
	return false
}

// addLinks takes every link but contactors, whose two sides are a rail and the
// load side, and the rails' own.
func (d *data) addLinks() {
	for _, b := range d.net.Links {
		l := d.net.Layout.Links[b.Link]
		if l.Kind == topology.Contactor || d.ofRail(b) {
			continue
		}
		closed := func(state int) bool {
			j := d.joined[state]
			return !slices.Contains(d.c.States[state].Open, l.ID) && j.Conductor(b.A) == j.Conductor(b.B)
		}
		u, sd := d.where(b.A, closed)
		d.addSpecial(fault.LinkLeak, l.ID, fault.PlaceLink, b.A, u, sd, nil)
	}
}

func always(int) bool { return true }

func (d *data) addRails() {
	for _, id := range []string{"rail-", "rail+"} {
		if node, ok := d.net.Node(id); ok {
			u, sd := d.where(node, always)
			d.addSpecial(fault.RailLeak, id, fault.PlaceRail, node, u, sd, nil)
		}
	}
}

// addLoadSide puts a leak at either pole of what lies beyond closed contactors,
// or between them: a load whose far side conducts.
func (d *data) addLoadSide() {
	plus, okP := d.net.Node("load+")
	minus, okM := d.net.Node("load-")
	if !okP || !okM {
		return
	}
	joined := func(state int) bool { return d.c.States[state].Contactors == fault.Closed }
	low, sd := d.where(minus, joined)
	high, _ := d.where(plus, joined)
	d.addSpecial(fault.LoadSide, "load-", fault.PlaceLoad, minus, low, sd, nil)
	d.addSpecial(fault.LoadSide, "load+", fault.PlaceLoad, plus, high, sd, nil)
	mid, wide := d.nowhere(), 0.0
	for s := range mid {
		if v := high[s] - low[s]; v > 0 {
			mid[s], wide = (low[s]+high[s])/2, math.Max(wide, v/math.Sqrt(12))
		}
	}
	d.addSpecial(fault.LoadSide, "load", fault.PlaceLoad, topology.NoNode, mid, wide, nil)
}

// addConnected puts a leak anywhere along the string through what a state has
// connected besides the pack: a charging plug, a bench supply. Where it is joined
// is not recorded, so that its potential is wide.
func (d *data) addConnected() {
	var seen []string
	for _, s := range d.c.States {
		for _, what := range s.Connected {
			if what == "" || slices.Contains(seen, what) {
				continue
			}
			seen = append(seen, what)
			u, wide := d.nowhere(), 0.0
			for i := range d.slots {
				sl := &d.slots[i]
				if d.live[i] && sl.sec != nil && slices.Contains(d.c.States[sl.state].Connected, what) {
					u[i], wide = sl.volts/2, math.Max(wide, sl.volts/math.Sqrt(12))
				}
			}
			d.addSpecial(fault.LoadSide, what, fault.PlaceLoad, topology.NoNode, u, wide, nil)
		}
	}
}

// addUnrecordedMonitor weighs a monitor's two resistors where the layout has a
// monitor and a state does not say whether it was connected.
func (d *data) addUnrecordedMonitor() {
	u, times := d.monitorAt(func(state int) bool { return d.c.States[state].Monitor == "" })
	d.addSpecial(fault.MonitorLeak, "", "", topology.NoNode, u, 0.01, times)
}

// monitorAt is an insulation monitor's resistors as one source: equal ones from
// its nodes act at the mean of those that a section has, times their number.
func (d *data) monitorAt(present func(state int) bool) (u, times []float64) {
	u, times = d.nowhere(), make([]float64, len(d.slots))
	m := d.net.Layout.Monitor
	if m == nil {
		return u, times
	}
	for s := range d.slots {
		sl := &d.slots[s]
		if sl.sec == nil || !d.live[s] || !present(sl.state) {
			continue
		}
		sum := 0.0
		for _, ref := range m.From {
			if id, ok := d.net.Node(ref); ok && !math.IsNaN(sl.phi[id]) {
				sum += sl.phi[id]
				times[s]++
			}
		}
		if times[s] > 0 {
			u[s] = sum / times[s]
		}
	}
	return u, times
}

// standing are the sources that every explanation has beside its own: a monitor
// that was recorded as connected with a resistance that nobody knows, and the
// bond of a chassis piece that may not reach the rest.
func (d *data) standing() []*source {
	var out []*source
	u, times := d.monitorAt(func(state int) bool {
		m := d.net.Layout.Monitor
		return d.c.States[state].Monitor == fault.MonitorConnected && m != nil && m.Ohms == nil
	})
	if slices.ContainsFunc(u, func(v float64) bool { return v == v }) {
		out = append(out, &source{u: u, sd: 0.01, times: times, xLo: -math.Log(20e6), xHi: -math.Log(50e3)})
	}
	for s := range d.slots {
		if sl := &d.slots[s]; sl.piece != "" && sl.fixedG == 0 && d.live[s] {
			at := d.nowhere()
			at[s] = 0
			out = append(out, &source{u: at, sd: 1e-6, xLo: -math.Log(10e12), xHi: -math.Log(1e3)})
		}
	}
	return out
}

// cellName names the sections that a candidate lies in, state by state, as
// signature does.
func (d *data) cellName(buf []byte, u []float64) []byte {
	for si, used := range d.used {
		if !used {
			continue
		}
		in := -1
		for s := range d.slots {
			if d.slots[s].state == si && d.slots[s].sec != nil && u[s] == u[s] {
				in = s
				break
			}
		}
		buf = strconv.AppendInt(append(buf, ' '), int64(in), 10)
	}
	return buf
}
