package edit

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"

	"halfsplit/topology"
)

// Rename gives a thing another id, everywhere it occurs in the layout.
func Rename(l topology.Layout, from, to string) (topology.Layout, error) {
	return RenameAll(l, map[string]string{from: to})
}

// RenameAll gives several things other ids at once, so that two can change names. It
// refuses an id that something else has or would have.
func RenameAll(l topology.Layout, names map[string]string) (topology.Layout, error) {
	n := idsOf(l)
	kinds := maps.Clone(n.kind)
	olds := slices.Sorted(maps.Keys(names))
	for _, old := range olds {
		if n.kind[old] == "" {
			return l, fmt.Errorf("nothing in this layout is called %s", named(old))
		}
		delete(n.kind, old)
	}
	for _, old := range olds {
		if err := n.take(names[old], kinds[old]); err != nil {
			return l, err
		}
	}
	for _, k := range l.Links { // a module may have taken the stem of a link that stays
		now := k.ID
		if to, ok := names[now]; ok {
			now = to
		}
		delete(n.kind, now)
		if err := n.take(now, LinkKind); err != nil {
			return l, err
		}
	}
	return mapped(l, func(id string) (string, bool) {
		if to, ok := names[id]; ok {
			return to, true
		}
		return id, true
	}), nil
}

// Orders in which Renumber counts.
const (
	AlongString = "along the string" // from the negative end, string by string
	Serpentine  = "serpentine"       // row by row by place, every second row backward
	RowByRow    = "row by row"       // by place, every row from left to right
)

// A Numbering says how Renumber is to count.
type Numbering struct {
	Stem   string // "" keeps M
	From   int    // the first number
	Digits int    // at least; 0 = as many as the last one needs, at least two
	Order  string // AlongString, Serpentine or RowByRow
}

// Renumber gives modules new ids in an order, and renames them everywhere in the
// layout. names holds what changed: old to new. It refuses an id that something
// outside the selection has.
func Renumber(l topology.Layout, sel Selection, by Numbering) (out topology.Layout, names map[string]string, err error) {
	at, err := only(l, sel, ModuleKind)
	if err != nil {
		return l, nil, err
	}
	if by.From < 0 || by.From > 1e6 || by.Digits < 0 || by.Digits > 9 {
		return l, nil, fmt.Errorf("numbers begin from 0 to a million and have up to nine digits")
	}
	order, err := inOrder(l, at, by.Order)
	if err != nil {
		return l, nil, err
	}
	digits := by.Digits
	if digits == 0 {
		digits = max(2, len(fmt.Sprint(by.From+len(at)-1)))
	}
	names = map[string]string{}
	for i, m := range order {
		if id := join(cmp.Or(by.Stem, "M"), by.From+i, digits, ""); id != l.Modules[m].ID {
			names[l.Modules[m].ID] = id
		}
	}
	if out, err = RenameAll(l, names); err != nil {
		return l, nil, err
	}
	return out, names, nil
}

// inOrder puts modules in an order.
func inOrder(l topology.Layout, at []int, order string) ([]int, error) {
	chosen := map[int]bool{}
	for _, i := range at {
		chosen[i] = true
	}
	switch order {
	case AlongString:
		net, _ := topology.Compile(l)
		var out []int
		for _, s := range net.Strings {
			for _, m := range s.Modules {
				if chosen[m] {
					out = append(out, m)
				}
			}
		}
		return out, nil
	case Serpentine, RowByRow:
		var out []int
		for k, row := range rows(l, at) {
			if order == Serpentine && k%2 == 1 {
				slices.Reverse(row)
			}
			out = append(out, row...)
		}
		return out, nil
	}
	return nil, fmt.Errorf("modules are numbered %s, %s or %s, and not %q", AlongString, Serpentine, RowByRow, order)
}

// rows sorts modules into rows from the top, each from the left: a row is what
// overlaps with its first by more than half of the smaller's depth.
func rows(l topology.Layout, at []int) (out [][]int) {
	places := Places(l)
	at = slices.Clone(at)
	boxes := map[int]Box{}
	for _, i := range at {
		boxes[i] = places[i].Box()
	}
	slices.SortStableFunc(at, func(a, b int) int {
		return cmp.Compare(places[a].Center.Y(), places[b].Center.Y())
	})
	for _, i := range at {
		if n := len(out) - 1; n >= 0 {
			a, b := boxes[out[n][0]], boxes[i]
			shared := math.Min(a.Max.Y(), b.Max.Y()) - math.Max(a.Min.Y(), b.Min.Y())
			if shared > math.Min(a.Size().Y(), b.Size().Y())/2 || a.Center().Y() == b.Center().Y() {
				out[n] = append(out[n], i)
				continue
			}
		}
		out = append(out, []int{i})
	}
	for _, row := range out {
		slices.SortStableFunc(row, func(a, b int) int {
			return cmp.Compare(places[a].Center.X(), places[b].Center.X())
		})
	}
	return out
}
