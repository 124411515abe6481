package match

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"halfsplit/topology"
)

// Kinds of a Change, the heaviest first.
const (
	Module   = "module"   // there or not
	Wiring   = "link"     // there or not, its ends or its kind
	Groups   = "groups"   // series or parallel
	Named    = "renamed"  // the same place under another id
	Polarity = "polarity" // which end is negative
	Sensing  = "sensing"  // boards, the insulation monitor, monitor indices
	Metal    = "chassis"  // pieces and bonds
	Cells    = "cells"    // chemistry and Ah
	Unknown  = "unknown"  // fields that this version does not know
	Volts    = "volts"    // working and nominal
	Label    = "label"    // names that people gave
	Proof    = "proof"    // who proved the numbers, and the volts that the order was read off
	Access   = "access"   // minutes, fasteners, mass, parts
	Place    = "place"    // where something is drawn
	Picture  = "picture"  // photos, sketch, the way it was seen
)

var weights = []string{Module, Wiring, Groups, Named, Polarity, Sensing, Metal, Cells, Unknown, Volts, Label, Proof, Access, Place, Picture}

// A Change is one difference. A or B is "" where a thing is in one layout only, and
// both are where it is of the layout as a whole.
type Change struct {
	Kind       string // one of the kinds
	A, B       string // ids in the first and in the second layout
	Electrical bool   // a reading by the first layout may mean something else by the second
	Text       string
	GoTo       string // B's id, or A's where it is gone
}

// A Diff is everything that differs between two layouts.
type Diff struct {
	Matched int // modules that are in both and electrically the same
	Paired  int // modules that are in both, by id or by place
	OnlyA   int // modules of the first alone
	OnlyB   int // modules of the second alone
	Changes []Change
}

// Electrical lists the changes by which old readings may mean something else.
func (d Diff) Electrical() (out []Change) {
	for _, c := range d.Changes {
		if c.Electrical {
			out = append(out, c)
		}
	}
	return out
}

// Words is the whole in one sentence.
func (d Diff) Words() string {
	parts := []string{fmt.Sprintf("%d modules match", d.Matched)}
	if d.Matched == 1 {
		parts[0] = "1 module matches"
	}
	for _, c := range d.Changes {
		parts = append(parts, strings.TrimSuffix(c.Text, "."))
	}
	return strings.Join(parts, "; ") + "."
}

// A comparison collects changes.
type comparison struct {
	a, b  topology.Layout
	names map[string]string // module ids of a -> b where they are paired
	back  map[string]string
	out   Diff
}

// Compare says what differs from a to b. Modules are paired by id, and those that
// are left by place and shape. Compare(b, a) has the same changes seen from the
// other side. Neither layout is changed.
func Compare(a, b topology.Layout) Diff {
	c := &comparison{a: a, b: b, names: map[string]string{}, back: map[string]string{}}
	c.pairs()
	c.modules()
	c.links()
	c.sensing()
	c.metal()
	c.parts()
	c.stacks()
	c.photos()
	c.whole()
	slices.SortStableFunc(c.out.Changes, func(x, y Change) int {
		return cmp.Or(cmp.Compare(slices.Index(weights, x.Kind), slices.Index(weights, y.Kind)), cmp.Compare(x.GoTo, y.GoTo))
	})
	return c.out
}

func (c *comparison) add(kind, a, b string, electrical bool, format string, args ...any) {
	c.out.Changes = append(c.out.Changes, Change{Kind: kind, A: a, B: b, Electrical: electrical, Text: fmt.Sprintf(format, args...), GoTo: cmp.Or(b, a)})
}

// places says where each id stands in a list, the first of those that are the same.
func places[T any](list []T, id func(T) string) map[string]int {
	out := make(map[string]int, len(list))
	for i, x := range list {
		if _, ok := out[id(x)]; !ok {
			out[id(x)] = i
		}
	}
	return out
}

// there compares which ids are in two lists, and calls both for those in both.
func there[T any](c *comparison, as, bs []T, id func(T) string, kind, what string, electrical bool, both func(x, y T)) {
	inA, inB := places(as, id), places(bs, id)
	for _, x := range as {
		if i, ok := inB[id(x)]; ok {
			both(x, bs[i])
		} else {
			c.add(kind, id(x), "", electrical, "%s%s is missing.", what, id(x))
		}
	}
	for _, y := range bs {
		if _, ok := inA[id(y)]; !ok {
			c.add(kind, "", id(y), electrical, "%s%s is only here.", what, id(y))
		}
	}
}
