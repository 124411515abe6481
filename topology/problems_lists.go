package topology

import (
	"cmp"
	"maps"
	"slices"
	"strconv"
)

// ids reports ids that mean two things, and kinds of link that are none.
func (in *inspector) ids() {
	l := in.Layout
	count := map[string]int{}
	var order []string
	see := func(what, id string) {
		if id == "" {
			in.add(DuplicateID, in.someID(), "A %s has no id.", what)
			return
		}
		if count[id]++; count[id] == 1 {
			order = append(order, id)
		}
	}
	for _, x := range l.Stacks {
		see("stack", x.ID)
	}
	for _, x := range l.Modules {
		see("module", x.ID)
		switch x.ID {
		case "pack", "rail", "load", "chassis":
			in.add(DuplicateID, x.ID, "A module cannot be called %s: that names another part of the pack.", x.ID)
		}
	}
	for _, x := range l.Links {
		see("link", x.ID)
		if _, taken := in.byName[x.ID]; taken {
			in.add(DuplicateID, x.ID, "A link cannot be called %s: that is a terminal.", x.ID)
		}
		if !slices.Contains(LinkKinds, x.Kind) {
			in.add(UnknownKind, x.ID, "Link %s is of the kind %s, which is none of %s.", x.ID, strconv.Quote(x.Kind), list(LinkKinds))
		}
	}
	for _, x := range l.Boards {
		see("board", x.ID)
	}
	for _, x := range l.Chassis {
		see("chassis piece", x.ID)
	}
	for _, x := range l.Bonds {
		if x.ID != "" {
			see("bond", x.ID)
		}
	}
	for _, x := range l.Parts {
		see("part", x.ID)
	}
	for _, x := range l.Underlays {
		see("photo under the drawing", x.ID)
	}
	for _, id := range order {
		if count[id] > 1 {
			in.add(DuplicateID, id, "%d things are called %s.", count[id], id)
		}
	}
}

// numbers reports labels and monitor indexes that two modules claim, and
// indexes that do not fit the module. A range may run backward: the monitor
// then counts from the positive end.
func (in *inspector) numbers() {
	labels := map[string][]string{}
	type span struct {
		low, high int
		id        string
	}
	var spans []span
	for _, m := range in.Layout.Modules {
		if m.Label != "" {
			labels[m.Label] = append(labels[m.Label], m.ID)
		}
		switch x := m.MonitorIndex; {
		case len(x) == 0:
		case len(x) != 2:
			in.add(MonitorIndex, m.ID, "%s has %d monitor indexes. A first and a last are expected.", m.ID, len(x))
		default:
			s := span{min(x[0], x[1]), max(x[0], x[1]), m.ID}
			if cells := s.high - s.low + 1; cells != m.Series {
				in.add(MonitorIndex, m.ID, "The monitor's %d to %d are %d cells, and %s has %d groups.", x[0], x[1], cells, m.ID, m.Series)
			}
			spans = append(spans, s)
		}
	}
	for _, label := range slices.Sorted(maps.Keys(labels)) {
		if same := labels[label]; len(same) > 1 {
			slices.Sort(same)
			in.add(DuplicateLabel, same[0], "%s have the same label %s.", list(same), label)
		}
	}
	slices.SortFunc(spans, func(a, b span) int {
		return cmp.Or(cmp.Compare(a.low, b.low), cmp.Compare(a.high, b.high), cmp.Compare(a.id, b.id))
	})
	for i := 1; i < len(spans); i++ {
		a, b := &spans[i-1], &spans[i]
		if b.low <= a.high {
			in.add(MonitorIndex, b.id, "%s and %s both claim the monitor's index %d.", a.id, b.id, b.low)
			if b.high < a.high {
				b.high, b.id = a.high, a.id // the wider one may meet the next as well
			}
		}
	}
}

// boards reports sense leads that lead nowhere.
func (in *inspector) boards() {
	for _, b := range in.Layout.Boards {
		seen := map[string]bool{}
		for _, tap := range b.Taps {
			if _, ok := in.Node(tap); !ok {
				in.add(UnknownTap, b.ID, "Board %s senses %s, which is not a tap of this layout.", b.ID, tap)
			} else if seen[tap] {
				in.add(UnknownTap, b.ID, "Board %s senses %s twice.", b.ID, tap)
			}
			seen[tap] = true
		}
	}
}

// metal reports what modules stand in, bonds join and the monitor measures, if
// it is not there.
func (in *inspector) metal() {
	stacks, pieces := map[string]bool{"": true}, map[string]bool{"": true}
	for _, s := range in.Layout.Stacks {
		stacks[s.ID] = true
	}
	for _, c := range in.Layout.Chassis {
		pieces[c.ID] = true
	}
	for _, m := range in.Layout.Modules {
		if !stacks[m.Stack] {
			in.add(UnknownID, m.ID, "%s stands in stack %s, which is not in this layout.", m.ID, m.Stack)
		}
	}
	for _, b := range in.Layout.Bonds {
		for _, end := range []string{b.From, b.To} {
			if end == "" || !pieces[end] {
				in.add(UnknownID, cmp.Or(b.ID, in.someID()), "A bond leads to %s, which is not a chassis piece of this layout.", strconv.Quote(end))
			}
		}
		if b.From == b.To {
			in.add(UnknownID, cmp.Or(b.ID, in.someID()), "A bond starts and ends at %s.", strconv.Quote(b.From))
		}
	}
	if m := in.Layout.Monitor; m != nil {
		for _, from := range m.From {
			if _, ok := in.Node(from); !ok {
				in.add(UnknownTerminal, in.someID(), "The insulation monitor is connected at %s, which is not a node of this layout.", from)
			}
		}
		if piece, ok := ChassisRef(m.To); m.To != "" && (!ok || !pieces[piece]) {
			in.add(UnknownID, in.someID(), "The insulation monitor measures to %s, which is not a chassis piece of this layout.", m.To)
		}
	}
}
