package path

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"halfsplit/topology"
)

// A Range is the monitor's indices of a module's first and last group, counted from
// its negative end. First above Last: the monitor counts from its positive end.
type Range struct {
	Module      string
	First, Last int
}

// Forward gives the modules, in the order given, the monitor's indices from start on,
// each from its negative end. Modules without groups and ids that are not in the
// layout are left out and said.
func Forward(l topology.Layout, modules []string, start int) ([]Range, []Note) {
	out, notes := []Range(nil), []Note(nil)
	for _, id := range modules {
		i := slices.IndexFunc(l.Modules, func(m topology.Module) bool { return m.ID == id })
		switch {
		case i < 0:
			notes = append(notes, Note{id, fmt.Sprintf("%q is no module of this layout; it has no index.", id)})
		case l.Modules[i].Series < 1:
			notes = append(notes, Note{id, fmt.Sprintf("%s has no groups recorded; it has no index, and what follows may be shifted.", id)})
		case slices.ContainsFunc(out, func(r Range) bool { return r.Module == id }):
			notes = append(notes, Note{id, fmt.Sprintf("%s is in the order twice; it is counted once.", id)})
		default:
			out = append(out, Range{id, start, start + l.Modules[i].Series - 1})
			start += l.Modules[i].Series
		}
	}
	return out, notes
}

// Mirrored is Forward with the whole list turned about: the last module's positive
// end has the index start.
func Mirrored(l topology.Layout, modules []string, start int) ([]Range, []Note) {
	back := slices.Clone(modules)
	slices.Reverse(back)
	out, notes := Forward(l, back, start)
	for i, r := range out {
		out[i].First, out[i].Last = r.Last, r.First
	}
	slices.Reverse(out)
	return out, notes
}

// A Block is what one monitoring board senses: modules from negative to positive.
// Mirrored: the board counts from the positive end.
type Block struct {
	Board    string
	Modules  []string
	Mirrored bool
}

// ByBoards gives indices block by block in the order given, from start on. A module
// in two blocks has the index of the first, and that is said.
func ByBoards(l topology.Layout, blocks []Block, start int) ([]Range, []Note) {
	var out []Range
	var notes []Note
	for _, b := range blocks {
		var mine []string
		for _, id := range b.Modules {
			if i := slices.IndexFunc(out, func(r Range) bool { return r.Module == id }); i >= 0 {
				notes = append(notes, Note{id, fmt.Sprintf("%s is with board %s and with one before it; the first is taken.", id, b.Board)})
				continue
			}
			mine = append(mine, id)
		}
		give := Forward
		if b.Mirrored {
			give = Mirrored
		}
		r, n := give(l, mine, start)
		out, notes = append(out, r...), append(notes, n...)
		for _, x := range r {
			start += max(x.First, x.Last) - min(x.First, x.Last) + 1
		}
	}
	return out, notes
}

// Assign writes ranges into a copy of the layout. Modules without a range keep what
// they have.
func Assign(l topology.Layout, ranges []Range) topology.Layout {
	l.Modules = slices.Clone(l.Modules)
	for i, m := range l.Modules {
		for _, r := range ranges {
			if r.Module == m.ID {
				l.Modules[i].MonitorIndex = []int{r.First, r.Last}
			}
		}
	}
	return l
}

// Check tells which ranges overlap, leave indices out, do not fit their module, and
// which modules have none. An index that is missing between the lowest and the
// highest may be a board that is not drawn.
func Check(l topology.Layout, ranges []Range) (out []Note) {
	say := func(at, format string, args ...any) { out = append(out, Note{at, fmt.Sprintf(format, args...)}) }
	sorted := slices.Clone(ranges)
	slices.SortStableFunc(sorted, func(a, b Range) int { return cmp.Compare(min(a.First, a.Last), min(b.First, b.Last)) })
	highest, who := 0, ""
	for i, r := range sorted {
		low, high := min(r.First, r.Last), max(r.First, r.Last)
		switch {
		case i > 0 && low <= highest:
			say(r.Module, "%s and %s both have the monitor's index %d.", who, r.Module, low)
		case i > 0 && low == highest+2:
			say(r.Module, "No module has the monitor's index %d.", highest+1)
		case i > 0 && low > highest+1:
			say(r.Module, "No module has the monitor's indices %d to %d.", highest+1, low-1)
		}
		if i == 0 || high > highest {
			highest, who = high, r.Module
		}
	}
	for _, m := range l.Modules {
		i := slices.IndexFunc(ranges, func(r Range) bool { return r.Module == m.ID })
		if i < 0 {
			say(m.ID, "%s has no monitor index.", m.ID)
			continue
		}
		if n := max(ranges[i].First, ranges[i].Last) - min(ranges[i].First, ranges[i].Last) + 1; n != m.Series {
			say(m.ID, "The monitor's %d to %d are %d cells, and %s has %d groups.", ranges[i].First, ranges[i].Last, n, m.ID, m.Series)
		}
	}
	for _, r := range ranges {
		if !slices.ContainsFunc(l.Modules, func(m topology.Module) bool { return m.ID == r.Module }) {
			say(r.Module, "%q is no module of this layout.", strings.TrimSpace(r.Module))
		}
	}
	return out
}
