package locate

import (
	"fmt"
	"math"

	"halfsplit/fault"
	"halfsplit/topology"
)

// A slot is one section in one state: the place where two numbers can be known.
//
// A chassis piece that may not be bonded to the rest is a slot too: it floats
// like a section, has no cells, and its bond is its conductance to chassis.
type slot struct {
	state   int    // index into Case.States; -1 = a chassis piece
	piece   string // the chassis piece; "" = a section
	joined  *topology.Joined
	sec     *topology.Section // nil = a chassis piece
	phi     []float64         // V above sec.From, by node; NaN elsewhere
	volts   float64           // V from sec.From to sec.To
	share   float64           // part of the whole pack's groups that lies here
	middle  float64           // V, mean potential of the groups: where background acts
	fixedG  float64           // S, known resistors of the state (a monitor) to chassis
	fixedGU float64           // S·V, the same weighted with their potentials
	along   int               // how many groups of the section's own string lie here
}

// An end of an element: a node of a slot, or chassis.
type end struct {
	slot  int // index into data.slots; -1 = chassis
	node  topology.NodeID
	volts float64 // V above the slot's negative end
	piece string  // chassis piece, where it is chassis
	path  int     // into pathMemo.list, one up; 0 = not laid yet
}

func (e end) chassis() bool { return e.slot < 0 }

// endAt finds where a reference lies in a state.
func (d *data) endAt(ref string, si int) (end, string) {
	if piece, ok := topology.ChassisRef(ref); ok {
		if group := d.loose[piece]; group != "" {
			return end{slot: d.pieceSlot(group), node: topology.NoNode, piece: piece}, ""
		}
		return end{slot: -1, piece: piece}, ""
	}
	id, ok := d.net.Node(ref)
	if !ok {
		return end{}, ref + " is not a node of this layout"
	}
	sec := d.joined[si].SectionOf(id)
	if sec < 0 {
		if m, _, isModule := d.net.ModuleAt(id); isModule {
			return end{}, fmt.Sprintf("%s is removed in state %s", d.net.Layout.Modules[m].ID, d.c.States[si].ID)
		}
		return end{}, fmt.Sprintf("%s is not joined to any module in state %s: it is not on the string", ref, d.c.States[si].ID)
	}
	s := d.slotFor(si, sec)
	return end{slot: s, node: id, volts: d.slots[s].phi[id]}, ""
}

func (d *data) slotFor(si, sec int) int {
	key := [2]int{si, sec}
	if s, ok := d.slotAt[key]; ok {
		return s
	}
	j := d.joined[si]
	if l := d.like; l != nil && l.joined[si] == j && l.cells[si] == d.cells[si] {
		if s, ok := l.slotAt[key]; ok {
			d.slotAt[key] = len(d.slots)
			d.slots = append(d.slots, l.slots[s])
			return len(d.slots) - 1
		}
	}
	sl := slot{state: si, joined: j, sec: &j.Sections[sec]}
	cv := d.cells[si]
	sl.phi = j.Potentials(sl.sec, cv.mean)
	sl.volts = sl.phi[sl.sec.To]
	sl.share = float64(len(sl.sec.Groups)) / float64(len(d.net.Groups))
	for _, g := range sl.sec.Groups {
		grp := d.net.Groups[g]
		sl.middle += (sl.phi[grp.Lo] + sl.phi[grp.Hi]) / 2 / float64(len(sl.sec.Groups))
	}
	sl.along = max(1, d.groupsAlong(&sl))
	d.addMonitor(&sl)
	d.slotAt[key] = len(d.slots)
	d.slots = append(d.slots, sl)
	return len(d.slots) - 1
}

// addMonitor puts a connected, unpowered monitor in as the resistors recorded.
func (d *data) addMonitor(sl *slot) {
	m := d.net.Layout.Monitor
	if m == nil || m.Ohms == nil || d.c.States[sl.state].Monitor != fault.MonitorConnected {
		return
	}
	for _, ref := range m.From {
		if id, ok := d.net.Node(ref); ok && !math.IsNaN(sl.phi[id]) {
			sl.fixedG += 1 / *m.Ohms
			sl.fixedGU += sl.phi[id] / *m.Ohms
		}
	}
}

// pieceSlot is the slot of a chassis piece that may not be bonded to the rest.
func (d *data) pieceSlot(piece string) int {
	for s := range d.slots {
		if d.slots[s].piece == piece {
			return s
		}
	}
	d.slots = append(d.slots, slot{state: -1, piece: piece})
	return len(d.slots) - 1
}
