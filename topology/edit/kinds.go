package edit

import (
	"fmt"
	"slices"
	"strings"

	"halfsplit/topology"
)

// A Kind is a sort of thing that has an id in a layout; LayoutKind is the layout
// itself.
type Kind string

// Kinds, as sentences name them.
const (
	StackKind    Kind = "stack"
	ModuleKind   Kind = "module"
	LinkKind     Kind = "link"
	BoardKind    Kind = "board"
	ChassisKind  Kind = "chassis piece"
	BondKind     Kind = "bond"
	PartKind     Kind = "part"
	UnderlayKind Kind = "photo"
	LayoutKind   Kind = "layout"
)

// What a layout holds at most while it is drawn here. Files may hold more groups
// than any pack has; edits do not make them.
const (
	MostModules = 1000
	mostGroups  = 100000
	furthest    = 1e6 // mm from the origin, either way
	mostTier    = 1000
)

// A Selection is the ids of what an edit is about, of whatever kinds, in the order
// in which they were chosen.
type Selection []string

// each calls f with every id of a layout, its kind and its index among its kind.
func each(l topology.Layout, f func(id string, k Kind, i int)) {
	for i := range l.Stacks {
		f(l.Stacks[i].ID, StackKind, i)
	}
	for i := range l.Modules {
		f(l.Modules[i].ID, ModuleKind, i)
	}
	for i := range l.Links {
		f(l.Links[i].ID, LinkKind, i)
	}
	for i := range l.Boards {
		f(l.Boards[i].ID, BoardKind, i)
	}
	for i := range l.Chassis {
		f(l.Chassis[i].ID, ChassisKind, i)
	}
	for i := range l.Bonds {
		f(l.Bonds[i].ID, BondKind, i)
	}
	for i := range l.Parts {
		f(l.Parts[i].ID, PartKind, i)
	}
	for i := range l.Underlays {
		f(l.Underlays[i].ID, UnderlayKind, i)
	}
}

// Kinds is the kind of every id of a layout.
func Kinds(l topology.Layout) map[string]Kind {
	of := make(map[string]Kind, len(l.Modules)+len(l.Links)+len(l.Boards))
	each(l, func(id string, k Kind, _ int) { of[id] = k })
	return of
}

// IDsOf are the ids of one kind, in the order of the layout.
func IDsOf(l topology.Layout, kind Kind) (ids []string) {
	each(l, func(id string, k Kind, _ int) {
		if k == kind {
			ids = append(ids, id)
		}
	})
	return ids
}

// picked is a selection as indexes, each kind in the order of the layout.
type picked struct {
	has map[string]bool
	of  map[Kind][]int
}

// pick finds a selection in a layout. What is named twice counts once; what is not
// there is an error.
func pick(l topology.Layout, sel Selection) (picked, error) {
	p := picked{has: make(map[string]bool, len(sel)), of: map[Kind][]int{}}
	for _, id := range sel {
		p.has[id] = true
	}
	found := 0
	each(l, func(id string, k Kind, i int) {
		if p.has[id] {
			p.of[k] = append(p.of[k], i)
			found++
		}
	})
	if found < len(p.has) {
		known := Kinds(l)
		for _, id := range sel {
			if known[id] == "" {
				return p, fmt.Errorf("nothing in this layout is called %s", named(id))
			}
		}
	}
	return p, nil
}

// only picks a selection that must be of one kind.
func only(l topology.Layout, sel Selection, k Kind) ([]int, error) {
	p, err := pick(l, sel)
	if err != nil {
		return nil, err
	}
	if other := len(p.has) - len(p.of[k]); other > 0 {
		known := Kinds(l)
		for _, id := range sel {
			if known[id] != k {
				return nil, fmt.Errorf("%s is a %s, and this is for a %s", id, known[id], k)
			}
		}
	}
	return p.of[k], nil
}

// one finds a single thing of a kind.
func one(l topology.Layout, id string, k Kind) (int, error) {
	at, err := only(l, Selection{id}, k)
	if err != nil {
		return 0, err
	}
	return at[0], nil
}

// named is an id in a sentence, where it may be empty or odd.
func named(id string) string {
	if plainWord(strings.TrimRight(id, "+-")) {
		return id
	}
	return fmt.Sprintf("%q", id)
}

// list joins names as a sentence does; of a great many it gives the first.
func list(names []string) string {
	const most = 8
	last := len(names) - 1
	switch {
	case last < 1:
		return strings.Join(names, "")
	case last > most:
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names[:last], ", ") + " and " + names[last]
}

// without is a list less the elements that gone says, in a slice of its own; the
// list itself where there is none.
func without[T any](of []T, gone func(T) bool) []T {
	if !slices.ContainsFunc(of, gone) {
		return of
	}
	return slices.DeleteFunc(slices.Clone(of), gone)
}
