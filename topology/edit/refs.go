package edit

import (
	"slices"
	"strconv"
	"strings"

	"halfsplit/topology"
)

// A terminal or tap reference names a module and what of it: M09-, M09.3, M09+.
// splitRef parts it; ok is false for pack+ and its like, and for what is none.
func splitRef(ref string) (module, rest string, ok bool) {
	at := strings.LastIndexAny(ref, ".+-")
	if at < 1 || outer(ref) {
		return "", "", false
	}
	if module, rest = ref[:at], ref[at:]; rest[0] == '.' {
		k, err := strconv.Atoi(rest[1:])
		return module, rest, err == nil && k >= 0
	}
	return module, rest, len(rest) == 1
}

// outer says whether a reference is a terminal that no module has.
func outer(ref string) bool {
	switch ref {
	case "pack+", "pack-", "load+", "load-", "rail+", "rail-":
		return true
	}
	return false
}

// A mapper says what an id is called instead, itself where it keeps its name; ok is
// false where it is gone.
type mapper func(id string) (now string, ok bool)

// ref is a terminal or tap under a mapper.
func (f mapper) ref(ref string) (string, bool) {
	module, rest, ok := splitRef(ref)
	if !ok {
		return ref, true
	}
	module, ok = f(module)
	return module + rest, ok
}

// chassis is a reference to reference metal under a mapper.
func (f mapper) chassis(ref string) (string, bool) {
	piece, ok := topology.ChassisRef(ref)
	if !ok || piece == "" {
		return ref, true
	}
	piece, ok = f(piece)
	return "chassis:" + piece, ok
}

// all maps a list into one of its own; what is gone is left out. Without a change
// it is the list itself.
func all(of []string, f func(string) (string, bool)) []string {
	same := true
	now := make([]string, 0, len(of))
	for _, id := range of {
		to, ok := f(id)
		if same = same && ok && to == id; ok {
			now = append(now, to)
		}
	}
	if same {
		return of
	}
	return now
}

// mapped calls everything in a layout what f says it is called. Links that have lost
// an end, bonds likewise and the monitor where it has lost what it measures to or
// all that it measures from go; who calls it has said so before.
func mapped(l topology.Layout, f mapper) topology.Layout {
	id := func(s string) string { s, _ = f(s); return s }
	l.Stacks = slices.Clone(l.Stacks)
	for i := range l.Stacks {
		l.Stacks[i].ID = id(l.Stacks[i].ID)
	}
	l.Modules = slices.Clone(l.Modules)
	for i := range l.Modules {
		m := &l.Modules[i]
		m.ID = id(m.ID)
		if stack, ok := f(m.Stack); ok || m.Stack == "" {
			m.Stack = stack
		} else {
			m.Stack = ""
		}
	}
	l.Links = slices.Clone(l.Links)
	l.Links = slices.DeleteFunc(l.Links, func(k topology.Link) bool {
		_, from := f.ref(k.From)
		_, to := f.ref(k.To)
		return !from || !to
	})
	for i := range l.Links {
		k := &l.Links[i]
		k.ID = id(k.ID)
		k.From, _ = f.ref(k.From)
		k.To, _ = f.ref(k.To)
	}
	l.Boards = slices.Clone(l.Boards)
	for i := range l.Boards {
		l.Boards[i].ID = id(l.Boards[i].ID)
		l.Boards[i].Taps = all(l.Boards[i].Taps, f.ref)
	}
	l.Monitor = f.monitor(l.Monitor)
	l.Chassis = slices.Clone(l.Chassis)
	for i := range l.Chassis {
		l.Chassis[i].ID = id(l.Chassis[i].ID)
	}
	return f.mechanical(l)
}

func (f mapper) monitor(m *topology.Monitor) *topology.Monitor {
	if m == nil {
		return nil
	}
	now := *m
	var ok bool
	now.From = all(m.From, f.ref)
	if now.To, ok = f.chassis(m.To); !ok || len(now.From) == 0 && len(m.From) > 0 {
		return nil
	}
	return &now
}

// mechanical maps what is no part of the circuit.
func (f mapper) mechanical(l topology.Layout) topology.Layout {
	id := func(s string) string { s, _ = f(s); return s }
	l.Bonds = slices.Clone(l.Bonds)
	l.Bonds = slices.DeleteFunc(l.Bonds, func(b topology.Bond) bool {
		_, from := f(b.From)
		_, to := f(b.To)
		return !from || !to
	})
	for i := range l.Bonds {
		b := &l.Bonds[i]
		b.ID, b.From, b.To = id(b.ID), id(b.From), id(b.To)
	}
	l.Parts = slices.Clone(l.Parts)
	for i := range l.Parts {
		p := &l.Parts[i]
		p.ID, p.Over, p.Holds = id(p.ID), all(p.Over, f), all(p.Holds, f)
	}
	l.Underlays = slices.Clone(l.Underlays)
	for i := range l.Underlays {
		l.Underlays[i].ID = id(l.Underlays[i].ID)
	}
	l.OrderVolts = f.orderVolts(l.OrderVolts)
	return l
}

// orderVolts lets volts go with the terminals that they were measured on, so that none
// comes to stand at another module. A reference that is gone stays as a word: the
// values were measured against it.
func (f mapper) orderVolts(v *topology.OrderVolts) *topology.OrderVolts {
	if v == nil {
		return nil
	}
	now := *v
	if ref, ok := f.ref(v.Reference); ok {
		now.Reference = ref
	}
	now.Values = slices.Clone(v.Values)
	now.Values = slices.DeleteFunc(now.Values, func(t topology.TerminalVolts) bool {
		_, ok := f.ref(t.Terminal)
		return !ok
	})
	for i := range now.Values {
		now.Values[i].Terminal, _ = f.ref(now.Values[i].Terminal)
	}
	return &now
}
