package store_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/ui/store"
)

// drawn is one edit by the hands of package edit; it may refuse.
func drawn(t *rapid.T, l topology.Layout) (out topology.Layout, err error) {
	kinds := edit.Kinds(l)
	ids := slices.Sorted(maps.Keys(kinds))
	some := func(most int) (sel edit.Selection) {
		for range rapid.IntRange(1, most).Draw(t, "how many") {
			sel = append(sel, rapid.SampledFrom(ids).Draw(t, "of"))
		}
		slices.Sort(sel)
		return slices.Compact(sel)
	}
	module := func() string {
		if len(l.Modules) == 0 {
			return "M01"
		}
		return rapid.SampledFrom(l.Modules).Draw(t, "module").ID
	}
	mm := func(what string) float64 { return float64(rapid.IntRange(-4000, 4000).Draw(t, what)) / 7 }
	if len(ids) == 0 {
		out, _, err = edit.AddModule(l, topology.Module{Series: 4, Parallel: 1, W: 200, H: 90, Minus: "left"})
		return out, err
	}
	switch rapid.IntRange(0, 17).Draw(t, "edit") {
	case 0:
		out, _, err = edit.AddModule(l, topology.Module{Series: 1 + len(ids)%6, Parallel: 1, X: mm("x"), Y: mm("y"), W: 200, H: 90, Minus: "left"})
	case 1:
		out, _, err = edit.Link(l, module()+"+", module()+"-", rapid.SampledFrom(topology.LinkKinds).Draw(t, "kind"))
	case 2:
		m := module()
		out, _, err = edit.AddBoard(l, []string{m + "-", m + "+"})
	case 3:
		out, _, err = edit.AddPart(l, "cover", some(3))
	case 4:
		if len(l.Parts) == 0 {
			return l, nil
		}
		out, err = edit.SetHolds(l, l.Parts[0].ID, some(2))
	case 5:
		out, err = edit.AddStroke(l, rapid.IntRange(-1, 2).Draw(t, "tier"), [][2]float64{{mm("x"), mm("y")}, {mm("x"), mm("y")}})
	case 6:
		out, _, err = edit.AddUnderlay(l, strings.Repeat("0a", 32), "above.jpg", 4000, 3000, 0)
	case 7, 8:
		out, err = edit.Move(l, some(3), mm("dx"), mm("dy"))
	case 9:
		out, err = edit.Rotate(l, some(3), mm("angle"))
	case 10:
		out, err = edit.Mirror(l, some(3), rapid.SampledFrom([]edit.Axis{edit.Across, edit.Down}).Draw(t, "axis"))
	case 11:
		out, _, err = edit.Duplicate(l, some(4), mm("dx"), mm("dy"))
	case 12:
		out, _, _, err = edit.Repeat(l, edit.Run{Of: module(), Copies: rapid.IntRange(1, 5).Draw(t, "copies"), Gap: 5, PerRow: 3, RowGap: 20, Alternate: true, Link: true})
	case 13:
		out, _, err = edit.Delete(l, some(2))
	case 14:
		out, _, err = edit.NewStack(l, some(3), true)
	case 15:
		out, _, err = edit.Renumber(l, some(5), edit.Numbering{From: 1, Order: edit.RowByRow})
	case 16:
		out, err = edit.Rename(l, rapid.SampledFrom(ids).Draw(t, "from"), rapid.SampledFrom([]string{"M01", "lid", "A_1", "pack"}).Draw(t, "to"))
	default:
		kind := kinds[rapid.SampledFrom(ids).Draw(t, "of")]
		f := rapid.SampledFrom(edit.Fields(kind)).Draw(t, "field")
		for id, k := range kinds {
			if k == kind {
				return f.Set(l, edit.Selection{id}, rapid.SampledFrom([]string{"", "1", "7,5", "busbar", "M01", "left"}).Draw(t, "text"))
			}
		}
	}
	return out, err
}

// Whatever the hands of package edit make of a drawing can be kept; memory and casebook
// keep the same under the same names, and undo and redo give back what was there.
func TestLayouts_WhateverIsDrawnIsKept(t *testing.T) {
	b := shop(t)
	rapid.Check(t, func(rt *rapid.T) {
		both := []store.Layouts{layoutStores["memory"](t, twoModules()), layoutIn(t, b, twoModules())}
		past, future := []topology.Layout{twoModules()}, []topology.Layout(nil)
		for range rapid.IntRange(1, 25).Draw(rt, "steps") {
			was := past[len(past)-1]
			switch rapid.IntRange(0, 5).Draw(rt, "do") {
			case 0:
				for _, s := range both {
					if _, err := s.Undo(); (err == nil) != (len(past) > 1) {
						rt.Fatal(err)
					}
				}
				if n := len(past); n > 1 {
					past, future = past[:n-1], append(future, past[n-1])
				}
			case 1:
				for _, s := range both {
					if _, err := s.Redo(); (err == nil) != (len(future) > 0) {
						rt.Fatal(err)
					}
				}
				if n := len(future); n > 0 {
					past, future = append(past, future[n-1]), future[:n-1]
				}
			default:
				l, err := drawn(rt, was)
				if err != nil {
					continue
				}
				for _, s := range both {
					if err := s.Save(l, "an edit"); err != nil {
						rt.Fatalf("%v\n%+v", err, l)
					}
				}
				if !cmp.Equal(l, was, cmpopts.EquateEmpty()) {
					past, future = append(past, l), nil
				}
			}
			for _, s := range both {
				if d := cmp.Diff(past[len(past)-1], s.Layout(), cmpopts.EquateEmpty()); d != "" {
					rt.Fatal(d)
				}
			}
			if a, b := both[0].Steps(), both[1].Steps(); a != b {
				rt.Fatalf("in memory %+v, in the casebook %+v", a, b)
			}
		}
	})
}
