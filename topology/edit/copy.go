package edit

import (
	"fmt"
	"maps"
	"slices"

	"halfsplit/topology"
)

// Copy takes a selection out of a layout as one of its own, for Paste: the modules,
// the stacks selected whole, the links between two of them, and the boards and parts
// that sense, cover or hold nothing else. A board or part that is itself selected
// comes along with what it has in the selection. A module whose stack is not
// selected is in the fragment in the pack's own frame, where it lay.
//
// A copy has no maker's label and no monitor's index: those are read from the one
// module.
func Copy(l topology.Layout, sel Selection) (fragment topology.Layout, err error) {
	f, _, err := fragmentOf(l, sel)
	return f, err
}

// fragmentOf is Copy, with the stacks that loose modules stood in.
func fragmentOf(l topology.Layout, sel Selection) (f topology.Layout, stood map[string]string, err error) {
	p, err := pick(l, sel)
	if err != nil {
		return f, nil, err
	}
	c := copying{l: l, chosen: p.has, has: map[string]bool{}, stood: map[string]string{}}
	c.places()
	c.wires()
	c.metal()
	return c.f, c.stood, nil
}

// copying builds a fragment.
type copying struct {
	l      topology.Layout
	f      topology.Layout
	chosen map[string]bool
	has    map[string]bool   // ids that are in the fragment
	stood  map[string]string // stacks of modules that left theirs behind
}

func (c *copying) places() {
	stacks := stacksOf(c.l)
	for _, s := range c.l.Stacks {
		if c.chosen[s.ID] {
			s.Extra = maps.Clone(s.Extra)
			c.has[s.ID] = true
			c.f.Stacks = append(c.f.Stacks, s)
		}
	}
	for _, m := range c.l.Modules {
		if !c.has[m.Stack] && !c.chosen[m.ID] {
			continue
		}
		if !c.has[m.Stack] {
			c.stood[m.ID] = m.Stack
			place := PlaceOf(m, stacks[m.Stack])
			m = Put(m, topology.Stack{}, place.Center, place.Angle)
		}
		m.Label, m.MonitorIndex, m.Extra = "", nil, maps.Clone(m.Extra)
		c.has[m.ID] = true
		c.f.Modules = append(c.f.Modules, m)
	}
	for _, u := range c.l.Underlays {
		if c.chosen[u.ID] {
			u.Extra = maps.Clone(u.Extra)
			c.has[u.ID] = true
			c.f.Underlays = append(c.f.Underlays, u)
		}
	}
}

func (c *copying) hasRef(ref string) bool {
	module, _, ok := splitRef(ref)
	return ok && c.has[module]
}

func (c *copying) wires() {
	for _, k := range c.l.Links {
		if c.hasRef(k.From) && c.hasRef(k.To) {
			k.Minutes, k.TorqueNm, k.Extra = own1(k.Minutes), own1(k.TorqueNm), maps.Clone(k.Extra)
			c.has[k.ID] = true
			c.f.Links = append(c.f.Links, k)
		}
	}
	for _, b := range c.l.Boards {
		taps := kept(b.Taps, c.hasRef)
		if c.chosen[b.ID] || len(taps) > 0 && len(taps) == len(b.Taps) {
			b.Taps, b.Minutes, b.Extra = taps, own1(b.Minutes), maps.Clone(b.Extra)
			c.has[b.ID] = true
			c.f.Boards = append(c.f.Boards, b)
		}
	}
}

func (c *copying) metal() {
	for _, m := range c.l.Chassis {
		if c.chosen[m.ID] {
			m.Extra = maps.Clone(m.Extra)
			c.has[m.ID] = true
			c.f.Chassis = append(c.f.Chassis, m)
		}
	}
	for _, b := range c.l.Bonds {
		if c.has[b.From] && c.has[b.To] && b.ID != "" {
			b.Ohms, b.Extra = own1(b.Ohms), maps.Clone(b.Extra)
			c.has[b.ID] = true
			c.f.Bonds = append(c.f.Bonds, b)
		}
	}
	in := func(id string) bool { return c.has[id] }
	for again := true; again; { // a part may lie over a part that comes later
		again = false
		for _, p := range c.l.Parts {
			least := len(p.Over) + len(p.Holds)
			if c.has[p.ID] || !c.chosen[p.ID] && (least == 0 || len(kept(p.Over, in))+len(kept(p.Holds, in)) < least) {
				continue
			}
			c.has[p.ID], again = true, true
		}
	}
	for _, p := range c.l.Parts {
		if c.has[p.ID] {
			p.Over, p.Holds = kept(p.Over, in), kept(p.Holds, in)
			p.Minutes, p.People, p.Extra = own1(p.Minutes), own1(p.People), maps.Clone(p.Extra)
			c.f.Parts = append(c.f.Parts, p)
		}
	}
}

// kept is what of a list stays, in a list of its own.
func kept(of []string, stays func(string) bool) []string {
	return slices.DeleteFunc(slices.Clone(of), func(s string) bool { return !stays(s) })
}

// own1 is a value of its own, nil for none.
func own1[T any](v *T) *T {
	if v == nil {
		return nil
	}
	now := *v
	return &now
}

// Paste puts a fragment into a layout, shifted by dx, dy mm. What is called as
// something there gets the next free number after its own: M13 after M12. names is
// what each id of the fragment is called now.
func Paste(l, fragment topology.Layout, dx, dy float64) (out topology.Layout, names map[string]string, err error) {
	all := Selection{}
	for _, s := range fragment.Stacks {
		all = append(all, s.ID)
	}
	for _, m := range fragment.Modules {
		all = append(all, m.ID)
	}
	for i := range fragment.Underlays {
		all = append(all, fragment.Underlays[i].ID)
	}
	fragment.Underlays = slices.Clone(fragment.Underlays)
	for i := range fragment.Underlays {
		fragment.Underlays[i].Locked = false
	}
	fragment, err = Move(fragment, all, dx, dy)
	if err != nil {
		return l, nil, err
	}
	if err := room(l, len(fragment.Modules), groupsOf(fragment)); err != nil {
		return l, nil, err
	}
	taken := idsOf(l)
	names = map[string]string{}
	each(fragment, func(id string, k Kind, _ int) {
		if taken.take(id, k) == nil {
			names[id] = id
		}
	})
	each(fragment, func(id string, k Kind, _ int) {
		if names[id] == "" {
			names[id] = taken.after(id, k)
		}
	})
	f := mapped(fragment, func(id string) (string, bool) { now, ok := names[id]; return now, ok })
	out = l
	out.Stacks = slices.Concat(l.Stacks, f.Stacks)
	out.Modules = slices.Concat(l.Modules, f.Modules)
	out.Links = slices.Concat(l.Links, f.Links)
	out.Boards = slices.Concat(l.Boards, f.Boards)
	out.Chassis = slices.Concat(l.Chassis, f.Chassis)
	out.Bonds = slices.Concat(l.Bonds, f.Bonds)
	out.Parts = slices.Concat(l.Parts, f.Parts)
	out.Underlays = slices.Concat(l.Underlays, f.Underlays)
	return out, names, nil
}

// Duplicate copies a selection within its layout, shifted by dx, dy mm; modules stay
// in their stacks, and stacks selected whole are new ones. names is the new id of
// each thing that was copied: see Copy for what comes along.
func Duplicate(l topology.Layout, sel Selection, dx, dy float64) (out topology.Layout, names map[string]string, err error) {
	fragment, stood, err := fragmentOf(l, sel)
	if err != nil {
		return l, nil, err
	}
	if len(Kinds(fragment)) == 0 {
		return l, nil, fmt.Errorf("nothing of this can be copied: a link is copied with the modules at both of its ends")
	}
	if out, names, err = Paste(l, fragment, dx, dy); err != nil {
		return l, nil, err
	}
	stacks := stacksOf(l)
	for i := len(l.Modules); i < len(out.Modules); i++ { // a slice of Paste's own
		m := &out.Modules[i]
		stack, ok := stacks[stood[fragment.Modules[i-len(l.Modules)].ID]]
		if !ok {
			continue
		}
		place := PlaceOf(*m, topology.Stack{})
		*m = Put(*m, stack, place.Center, place.Angle)
	}
	return out, names, nil
}

func groupsOf(l topology.Layout) (n int) {
	for _, m := range l.Modules {
		n += m.Series
	}
	return n
}

// room refuses more modules and groups than are drawn here.
func room(l topology.Layout, modules, groups int) error {
	if n := len(l.Modules) + modules; modules > 0 && n > MostModules {
		return fmt.Errorf("that would be %d modules; more than %d are not drawn here", n, MostModules)
	}
	if n := groupsOf(l) + groups; groups > 0 && n > mostGroups {
		return fmt.Errorf("that would be %d groups; more than %d are not drawn here", n, mostGroups)
	}
	return nil
}
