package match_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/go-gl/mathgl/mgl64"
	"pgregory.net/rapid"

	"halfsplit/topology"
	"halfsplit/topology/edit"
	"halfsplit/topology/match"
)

// texts are what a person might type into a field; each field takes some of them.
var texts = []string{"7", "3", "2.5", "left", "right", "up", "above", "below", "busbar", "fuse", "cover", "bracket", "M02", "M02+", "M03-", "tray", "lid",
	"12 13", "M01 M02", "M01.0 M02.0", "yes", "no", "nmc", "lfp", "another", "0.4", "A", "", "210", "0.8", "chassis:rail_left", "rail_left"}

var kinds = []edit.Kind{edit.ModuleKind, edit.StackKind, edit.LinkKind, edit.BoardKind, edit.ChassisKind, edit.BondKind, edit.PartKind, edit.UnderlayKind, edit.LayoutKind}

// full is a pack with a thing of every kind.
func full(t *rapid.T) topology.Layout {
	l := pack(t)
	l.Chassis = append(l.Chassis, topology.ChassisPiece{ID: "rail_left"})
	l, _, err := edit.AddUnderlay(l, strings.Repeat("0", 64), "photo.jpg", 400, 300, 0)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

// things are the ids of a kind; the layout itself is "".
func things(l topology.Layout, k edit.Kind) (ids []string) {
	if k == edit.LayoutKind {
		return []string{""}
	}
	for id, is := range edit.Kinds(l) {
		if is == k {
			ids = append(ids, id)
		}
	}
	slices.Sort(ids)
	return ids
}

// Every field that can be typed into is compared: setting it to something else is a
// change that names the thing.
func TestCompare_EveryFieldOfADrawing(t *testing.T) {
	seen := map[string]bool{}
	rapid.Check(t, func(t *rapid.T) {
		a := full(t)
		for _, k := range kinds {
			ids := things(a, k)
			if len(ids) == 0 {
				t.Fatalf("no %s", k)
			}
			id := rapid.SampledFrom(ids).Draw(t, string(k))
			sel := edit.Selection{id}
			if id == "" {
				sel = nil
			}
			for _, f := range edit.Fields(k) {
				all := append(slices.Clone(f.Choices), texts...)
				from := rapid.IntRange(0, len(all)-1).Draw(t, f.Key)
				var b topology.Layout
				changed := false
				for i := 0; i < len(all) && !changed; i++ { // the first from there that is another value
					was, _ := f.Value(a, sel)
					var err error
					if b, err = f.Set(a, sel, all[(from+i)%len(all)]); err == nil {
						now, _ := f.Value(b, sel)
						changed = now != was
					}
				}
				if !changed {
					continue
				}
				seen[string(k)+" "+f.Key] = true
				if d := match.Compare(a, b); !slices.ContainsFunc(d.Changes, func(c match.Change) bool { return c.GoTo == id }) {
					t.Fatalf("%s of %s %q: %+v", f.Key, k, id, d.Changes)
				}
			}
		}
	})
	for _, k := range kinds {
		for _, f := range edit.Fields(k) {
			if !seen[string(k)+" "+f.Key] {
				t.Errorf("%s of a %s was never set: the test shows nothing of it", f.Key, k)
			}
		}
	}
}

// What hands do on the drawing, each with the thing that it is done to.
func TestCompare_WhatHandsDo(t *testing.T) {
	type act struct {
		name string
		kind edit.Kind
		do   func(l topology.Layout, id string) (topology.Layout, string, error)
	}
	stays := func(f func(topology.Layout, edit.Selection) (topology.Layout, error)) func(topology.Layout, string) (topology.Layout, string, error) {
		return func(l topology.Layout, id string) (topology.Layout, string, error) {
			l, err := f(l, edit.Selection{id})
			return l, id, err
		}
	}
	for _, a := range []act{
		{"move", edit.ModuleKind, stays(func(l topology.Layout, s edit.Selection) (topology.Layout, error) { return edit.Move(l, s, 40, -5) })},
		{"turn", edit.ModuleKind, stays(func(l topology.Layout, s edit.Selection) (topology.Layout, error) { return edit.Rotate(l, s, 15) })},
		{"turn end for end", edit.ModuleKind, stays(func(l topology.Layout, s edit.Selection) (topology.Layout, error) { return edit.Reverse(l, s, false) })},
		{"resize", edit.ModuleKind, stays(func(l topology.Layout, s edit.Selection) (topology.Layout, error) {
			return edit.Resize(l, s, 280, 140, mgl64.Vec2{0, 0})
		})},
		{"delete", edit.ModuleKind, stays(func(l topology.Layout, s edit.Selection) (topology.Layout, error) {
			l, _, err := edit.Delete(l, s)
			return l, err
		})},
		{"move a stack", edit.StackKind, stays(func(l topology.Layout, s edit.Selection) (topology.Layout, error) { return edit.Move(l, s, 40, -5) })},
		{"move a photo", edit.UnderlayKind, stays(func(l topology.Layout, s edit.Selection) (topology.Layout, error) { return edit.Move(l, s, 40, -5) })},
		{"unlink", edit.LinkKind, stays(func(l topology.Layout, s edit.Selection) (topology.Layout, error) {
			l, _, err := edit.Unlink(l, s)
			return l, err
		})},
		{"rename", edit.ModuleKind, func(l topology.Layout, id string) (topology.Layout, string, error) {
			l, err := edit.Rename(l, id, "X77")
			return l, "X77", err
		}},
		{"another module", edit.ModuleKind, func(l topology.Layout, _ string) (topology.Layout, string, error) {
			return edit.AddModule(l, topology.Module{Series: 4, Parallel: 1, X: 9000, W: 100, H: 100, Minus: "left"})
		}},
		{"another board", edit.ModuleKind, func(l topology.Layout, id string) (topology.Layout, string, error) {
			return edit.AddBoard(l, []string{id + "-", id + "+"})
		}},
		{"a chassis piece", edit.ModuleKind, func(l topology.Layout, _ string) (topology.Layout, string, error) {
			return edit.AddChassis(l, "rail_right")
		}},
		{"a part", edit.ModuleKind, func(l topology.Layout, id string) (topology.Layout, string, error) {
			return edit.AddPart(l, "bracket", []string{id})
		}},
	} {
		t.Run(a.name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				l := full(t)
				b, id, err := a.do(l, rapid.SampledFrom(things(l, a.kind)).Draw(t, "which"))
				if err != nil {
					t.Fatal(err)
				}
				d := match.Compare(l, b)
				if !slices.ContainsFunc(d.Changes, func(c match.Change) bool { return c.GoTo == id }) {
					t.Fatalf("nothing names %s: %+v", id, d.Changes)
				}
				if a.name == "rename" && len(d.Changes) != 1 {
					t.Fatalf("a new number alone gives %+v", d.Changes)
				}
			})
		})
	}
}
