package edit_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/go-gl/mathgl/mgl64"
	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"halfsplit/fault/format"
	"halfsplit/topology"
	"halfsplit/topology/edit"
)

func sorted(ids []string) []string { slices.Sort(ids); return ids }

// A doing is one edit with figures drawn for it.
type doing func(t *rapid.T, l topology.Layout) (topology.Layout, error)

// doings are all edits, with figures that make sense and some that do not.
var doings = map[string]doing{
	"move": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		by := drawPoint(t)
		return edit.Move(l, drawSelection(t, l), by.X(), by.Y())
	},
	"move far": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.Move(l, drawSelection(t, l), rapid.Float64().Draw(t, "dx"), 1e6)
	},
	"rotate": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.Rotate(l, drawSelection(t, l), rapid.Float64Range(-1e4, 1e4).Draw(t, "degrees"))
	},
	"resize": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.Resize(l, drawSelection(t, l, edit.ModuleKind), mm(t, 0, 500, "w"), mm(t, 0, 500, "h"), mgl64.Vec2{0, 1})
	},
	"duplicate": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.Duplicate(l, drawSelection(t, l), 20, 20)
		return l, err
	},
	"delete": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.Delete(l, drawSelection(t, l))
		return l, err
	},
	"set stack": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.SetStack(l, drawSelection(t, l, edit.ModuleKind), drawSelection(t, l, edit.StackKind)[0], rapid.Bool().Draw(t, "drop"))
	},
	"new stack": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.NewStack(l, drawSelection(t, l, edit.ModuleKind), rapid.Bool().Draw(t, "drop"))
		return l, err
	},
	"tier": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.SetTier(l, drawSelection(t, l, edit.StackKind), rapid.IntRange(-2000, 2000).Draw(t, "tier"))
	},
	"add module": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.AddModule(l, topology.Module{Series: rapid.IntRange(0, 4).Draw(t, "series"), W: 100, H: mm(t, 5, 50, "h"), Minus: "top"})
		return l, err
	},
	"align": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.Align(l, drawSelection(t, l), edit.Side(rapid.IntRange(-1, 6).Draw(t, "side")))
	},
	"distribute": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.Distribute(l, drawSelection(t, l), edit.Axis(rapid.IntRange(0, 2).Draw(t, "axis")))
	},
	"same size": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.SameSize(l, drawSelection(t, l, edit.ModuleKind))
	},
	"copy and paste": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		f, err := edit.Copy(l, drawSelection(t, l))
		if err != nil {
			return l, err
		}
		legal(t, f)
		out, names, err := edit.Paste(l, f, -50, 0)
		if err == nil && len(names) != len(edit.Kinds(f)) {
			t.Fatalf("%d of %d ids are mapped", len(names), len(edit.Kinds(f)))
		}
		return out, err
	},
	"repeat": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, _, err := edit.Repeat(l, edit.Run{Of: drawSelection(t, l, edit.ModuleKind)[0], Copies: rapid.IntRange(0, 6).Draw(t, "copies"),
			Angle: rapid.Float64Range(-720, 720).Draw(t, "angle"), Gap: 5, PerRow: rapid.IntRange(0, 4).Draw(t, "per row"), RowGap: 9,
			Alternate: rapid.Bool().Draw(t, "alternate"), Link: rapid.Bool().Draw(t, "link"), From: rapid.IntRange(0, 40).Draw(t, "from"),
			Stem: rapid.SampledFrom([]string{"", "N", "1", "K"}).Draw(t, "stem")})
		return l, err
	},
	"mirror": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.Mirror(l, drawSelection(t, l), edit.Axis(rapid.IntRange(0, 1).Draw(t, "axis")))
	},
	"link": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.Link(l, drawEnd(t, l), drawEnd(t, l), rapid.SampledFrom(append(topology.LinkKinds, "rope")).Draw(t, "kind"))
		return l, err
	},
	"unlink": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.Unlink(l, drawSelection(t, l, edit.LinkKind))
		return l, err
	},
	"kind": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.SetKind(l, drawSelection(t, l, edit.LinkKind), topology.Fuse)
	},
	"reverse": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.Reverse(l, drawSelection(t, l, edit.ModuleKind), rapid.Bool().Draw(t, "links"))
	},
	"board": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.AddBoard(l, []string{drawEnd(t, l), drawEnd(t, l)})
		return l, err
	},
	"monitor": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		ohms := rapid.SampledFrom([]float64{1.2e6, 0}).Draw(t, "ohms")
		return edit.SetMonitor(l, []string{drawEnd(t, l)}, rapid.SampledFrom([]string{"chassis", "chassis:lid", "chassis:", "lid"}).Draw(t, "to"), &ohms)
	},
	"chassis": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.AddChassis(l, rapid.SampledFrom([]string{"", "tray", "frame", "chassis", "B1"}).Draw(t, "id"))
		return l, err
	},
	"bond": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.AddBond(l, drawSelection(t, l, edit.ChassisKind)[0], drawSelection(t, l, edit.ChassisKind)[0])
		return l, err
	},
	"part": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.AddPart(l, rapid.SampledFrom([]string{"cooling plate", "Deckel 2", "cover", "Ölwanne", " ", "pack"}).Draw(t, "kind"), drawSelection(t, l))
		return l, err
	},
	"holds": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.SetHolds(l, drawSelection(t, l, edit.PartKind)[0], drawSelection(t, l))
	},
	"rename": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.Rename(l, drawSelection(t, l)[0], rapid.SampledFrom([]string{"M77", "K", "K+", "L07-", "pack", "M01", "M01+", "x.1", "tray", "N9"}).Draw(t, "to"))
	},
	"renumber": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.Renumber(l, drawSelection(t, l, edit.ModuleKind), edit.Numbering{From: rapid.IntRange(0, 9).Draw(t, "from"),
			Order: rapid.SampledFrom([]string{edit.AlongString, edit.Serpentine, edit.RowByRow, ""}).Draw(t, "order")})
		return l, err
	},
	"field": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		k := rapid.SampledFrom([]edit.Kind{edit.ModuleKind, edit.StackKind, edit.LinkKind, edit.BoardKind, edit.PartKind, edit.BondKind, edit.LayoutKind, edit.UnderlayKind}).Draw(t, "kind")
		f := rapid.SampledFrom(edit.Fields(k)).Draw(t, "field")
		text := rapid.SampledFrom([]string{"", "3", "0", "-2", "12,5", "1e9", "NaN", "above", "left", "busbar", "M01+", "M01.1 M01.2", "1 to 4", "yes", "B1", "A", "0x10", "\xff", "tray"}).Draw(t, "text")
		return f.Set(l, drawSelection(t, l, k), text)
	},
	"photo": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.AddUnderlay(l, strings.Repeat("0b", 32), "a.jpg", rapid.IntRange(0, 4000).Draw(t, "wide"), 3000, 0)
		return l, err
	},
	"scale photo": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.ScaleUnderlay(l, drawSelection(t, l, edit.UnderlayKind)[0], drawPoint(t), drawPoint(t), rapid.Float64Range(-1, 5000).Draw(t, "apart"))
	},
	"straighten": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.Straighten(l, drawSelection(t, l, edit.UnderlayKind)[0], [4][2]float64{
			{mm(t, -50, 50, "x"), mm(t, -50, 50, "y")}, {mm(t, 250, 450, "x"), mm(t, -50, 50, "y")}, {mm(t, 250, 450, "x"), mm(t, 100, 300, "y")}, {mm(t, -50, 400, "x"), mm(t, 100, 300, "y")}})
	},
	"lock": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.LockUnderlays(l, drawSelection(t, l, edit.UnderlayKind), rapid.Bool().Draw(t, "locked"))
	},
	"stroke": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		return edit.AddStroke(l, 0, [][2]float64{drawPoint(t), drawPoint(t), drawPoint(t)})
	},
	"erase": func(t *rapid.T, l topology.Layout) (topology.Layout, error) {
		l, _, err := edit.Erase(l, 0, drawPoint(t), rapid.Float64Range(0, 400).Draw(t, "radius"))
		return l, err
	},
	"clear": func(t *rapid.T, l topology.Layout) (topology.Layout, error) { return edit.ClearSketch(l, 0), nil },
}

func drawEnd(t *rapid.T, l topology.Layout) string {
	refs := []string{"pack+", "pack-", "load+", "rail+", "M01.1", "M01", "chassis", ""}
	for _, m := range l.Modules {
		refs = append(refs, m.ID+"-", m.ID+"+")
	}
	return rapid.SampledFrom(refs).Draw(t, "end")
}

// written is a layout as a file, by which two are compared.
func written(t interface{ Fatalf(string, ...any) }, l topology.Layout) string {
	raw, err := format.WriteLayout(l)
	if err != nil {
		t.Fatalf("it cannot be written: %v", err)
	}
	return string(raw)
}

// editing makes some edits in turn. What it was given is as it was, what comes out can
// be read, what is refused is refused in words and changes nothing.
func editing(t *rapid.T) {
	names := make([]string, 0, len(doings))
	for name := range doings {
		names = append(names, name)
	}
	slices.Sort(names)
	l := drawLayout(t)
	legal(t, l)
	for range rapid.IntRange(1, 6).Draw(t, "edits") {
		name := rapid.SampledFrom(names).Draw(t, "edit")
		before := written(t, l)
		out, err := doings[name](t, l)
		if written(t, l) != before {
			t.Fatalf("%s has changed its argument", name)
		}
		if err != nil {
			if len(err.Error()) < 15 || written(t, out) != before {
				t.Fatalf("%s was refused with %q, and gives another layout", name, err)
			}
			continue
		}
		legal(t, out)
		edit.Path(out)
		for _, m := range out.Modules {
			if m.Extra["colour"] == nil && slices.ContainsFunc(l.Modules, func(o topology.Module) bool { return o.ID == m.ID && o.Extra["colour"] != nil }) {
				t.Fatalf("%s has lost the unknown field of %s", name, m.ID)
			}
		}
		if out.Extra["lift_points"] == nil {
			t.Fatalf("%s has lost the layout's unknown field", name)
		}
		l = out
	}
}

func TestEdits_anyInTurnLeaveALayout(t *testing.T) { rapid.Check(t, editing) }

func FuzzEdits(f *testing.F) { f.Fuzz(rapid.MakeFuzz(editing)) }

// every kind of edit is drawn so that it does something, not only refused.
func TestEdits_eachDoesSomething(t *testing.T) {
	for name, do := range doings {
		if name == "move far" {
			continue
		}
		t.Run(name, func(t *testing.T) {
			did := 0
			for tries := 0; did == 0 && tries < 20; tries++ { // some need several things drawn apart
				rapid.Check(t, func(t *rapid.T) {
					l := drawLayout(t)
					if out, err := do(t, l); err == nil && !cmp.Equal(l, out, cmpopts.EquateEmpty()) {
						did++
					}
				})
			}
			if did == 0 {
				t.Error("it never changed a layout")
			}
		})
	}
}

func TestMove_thereAndBackIsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		sel, by := drawSelection(t, l), drawPoint(t)
		out, err := edit.Move(l, sel, by.X(), by.Y())
		if err != nil {
			t.Skip()
		}
		back, err := edit.Move(out, sel, -by.X(), -by.Y())
		if err != nil || written(t, back) != written(t, l) {
			t.Fatalf("%v\n%s", err, cmp.Diff(l, back))
		}
	})
}

func TestRename_thereAndBackIsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		id := drawSelection(t, l)[0]
		out, err := edit.Rename(l, id, "other")
		if err != nil {
			t.Skip()
		}
		if strings.Contains(strings.ReplaceAll(written(t, out), "photo1", ""), `"`+id+`"`) && id != "photo1" {
			t.Fatalf("%s is still named", id)
		}
		back, err := edit.Rename(out, "other", id)
		if err != nil || written(t, back) != written(t, l) {
			t.Fatalf("%v\n%s", err, cmp.Diff(l, back))
		}
	})
}

func TestDuplicate_andDeletedIsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		out, names, err := edit.Duplicate(l, drawSelection(t, l), 30, 40)
		if err != nil {
			t.Skip()
		}
		var copies edit.Selection
		for _, id := range names {
			copies = append(copies, id)
		}
		back, went, err := edit.Delete(out, sorted(copies))
		if err != nil || len(went) > 0 || !cmp.Equal(back, l, cmpopts.EquateEmpty()) {
			t.Fatalf("%v %q\n%s", err, went, cmp.Diff(l, back, cmpopts.EquateEmpty()))
		}
	})
}
