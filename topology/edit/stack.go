package edit

import (
	"fmt"
	"slices"

	"halfsplit/topology"
)

// SetStack regroups modules into a stack, "" for none, without moving them in the
// pack. Stacks that this empties go if dropEmpty says so.
func SetStack(l topology.Layout, sel Selection, stack string, dropEmpty bool) (topology.Layout, error) {
	at, err := only(l, sel, ModuleKind)
	if err != nil {
		return l, err
	}
	var to topology.Stack
	if stack != "" {
		i, err := one(l, stack, StackKind)
		if err != nil {
			return l, err
		}
		to = l.Stacks[i]
	}
	out := l
	out.Modules = slices.Clone(l.Modules)
	stacks, left := stacksOf(l), map[string]bool{}
	for _, i := range at {
		m := &out.Modules[i]
		if m.Stack == stack {
			continue
		}
		left[m.Stack] = true
		place := PlaceOf(*m, stacks[m.Stack])
		*m = Put(*m, to, place.Center, place.Angle)
		if err := inReach(m.ID, m.X, m.Y); err != nil {
			return l, err
		}
	}
	if dropEmpty {
		return dropStacks(out, left), nil
	}
	return out, nil
}

// dropStacks takes out those of the stacks that hold no module now. A part that lay
// over one lies over it no longer.
func dropStacks(l topology.Layout, left map[string]bool) topology.Layout {
	for _, m := range l.Modules {
		delete(left, m.Stack)
	}
	delete(left, "")
	if len(left) == 0 {
		return l
	}
	l.Stacks = without(l.Stacks, func(s topology.Stack) bool { return left[s.ID] })
	return mapped(l, func(id string) (string, bool) { return id, !left[id] })
}

// NewStack puts modules into a new stack, without moving them in the pack. Its
// origin is the top left of their bounds, its tier that of the first one's stack.
// Without modules it lies at the pack's origin.
func NewStack(l topology.Layout, sel Selection, dropEmpty bool) (out topology.Layout, id string, err error) {
	at, err := only(l, sel, ModuleKind)
	if err != nil {
		return l, "", err
	}
	s := topology.Stack{}
	if b, ok := Bounds(l, sel); ok {
		s.X, s.Y = tidy(b.Min.X()), tidy(b.Min.Y())
		s.Tier = stacksOf(l)[l.Modules[at[0]].Stack].Tier
	}
	if err := inReach("the new stack", s.X, s.Y); err != nil {
		return l, "", err
	}
	s.ID = idsOf(l).letter()
	out = l
	out.Stacks = append(slices.Clone(l.Stacks), s)
	if out, err = SetStack(out, sel, s.ID, dropEmpty); err != nil {
		return l, "", err
	}
	return out, s.ID, nil
}

// letter takes a free letter for a stack, or S with a number after all of them.
func (n *ids) letter() string {
	for c := 'A'; c <= 'Z'; c++ {
		if n.take(string(c), StackKind) == nil {
			return string(c)
		}
	}
	return n.from("S", 1, 0, "", StackKind)
}

// SetTier puts stacks on a tier; 0 is the lowest.
func SetTier(l topology.Layout, sel Selection, tier int) (topology.Layout, error) {
	at, err := only(l, sel, StackKind)
	if err != nil {
		return l, err
	}
	if err := tierOK(tier); err != nil {
		return l, err
	}
	l.Stacks = slices.Clone(l.Stacks)
	for _, i := range at {
		l.Stacks[i].Tier = tier
	}
	return l, nil
}

func tierOK(tier int) error {
	if tier < -mostTier || tier > mostTier {
		return fmt.Errorf("a tier is a whole number from %d to %d, and not %d", -mostTier, mostTier, tier)
	}
	return nil
}

// AddModule adds a module. Without an id it gets the next free number after those
// there are; what the rest says must make sense.
func AddModule(l topology.Layout, m topology.Module) (out topology.Layout, id string, err error) {
	n := idsOf(l)
	if m.ID == "" {
		m.ID = n.from("M", 1, digitsOf(l, "M", 2), "", ModuleKind)
	} else if err := n.take(m.ID, ModuleKind); err != nil {
		return l, "", err
	}
	if m.Parallel == 0 {
		m.Parallel = 1
	}
	if err := moduleOK(l, m); err != nil {
		return l, "", err
	}
	if err := room(l, 1, m.Series); err != nil {
		return l, "", err
	}
	m.X, m.Y, m.W, m.H, m.Angle = tidy(m.X), tidy(m.Y), tidy(m.W), tidy(m.H), round01(m.Angle)
	l.Modules = append(slices.Clone(l.Modules), m)
	return l, m.ID, nil
}

// moduleOK refuses numbers and words that a module cannot have.
func moduleOK(l topology.Layout, m topology.Module) error {
	if m.Series < 1 || m.Series > topology.MostSeries || m.Parallel < 1 || m.Parallel > topology.MostParallel {
		return fmt.Errorf("a module has from 1 to %d groups of 1 to %d cells, and not %d of %d", topology.MostSeries, topology.MostParallel, m.Series, m.Parallel)
	}
	for _, mm := range []float64{m.W, m.H} {
		if !(mm >= MinSize && mm <= furthest) {
			return fmt.Errorf("a module is from %d mm to a kilometre wide and deep, not %s mm", MinSize, figure(mm))
		}
	}
	if !finite(m.Angle) || m.CellAh < 0 || m.MassKg < 0 || !finite(m.CellAh, m.MassKg) {
		return fmt.Errorf("the angle, the capacity and the mass of a module are numbers, the latter two not below zero")
	}
	if opposite[m.Minus] == "" {
		return fmt.Errorf("the minus end of a module is left, right, top or bottom, and not %q", m.Minus)
	}
	if x := m.MonitorIndex; x != nil && len(x) != 2 {
		return fmt.Errorf("a module has a first and a last index in the monitor's list, or none")
	}
	if m.Stack != "" {
		if _, err := one(l, m.Stack, StackKind); err != nil {
			return err
		}
	}
	return inReach(m.ID, m.X, m.Y)
}

// opposite ends of a module.
var opposite = map[string]string{"left": "right", "right": "left", "top": "bottom", "bottom": "top"}
