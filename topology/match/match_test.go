package match_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"halfsplit/topology"
	"halfsplit/topology/match"
)

func pack(t *rapid.T) topology.Layout {
	l, err := topology.Make(topology.MakeSpec{Modules: rapid.IntRange(3, 20).Draw(t, "modules"), Series: rapid.IntRange(1, 16).Draw(t, "series"), Parallel: 2,
		PerRow: rapid.IntRange(1, 6).Draw(t, "per row"), W: 300, H: 150, Gap: 20, Disconnect: 1})
	if err != nil {
		t.Fatal(err)
	}
	l.Boards = []topology.Board{{ID: "B1", Taps: []string{"M01-", "M01+"}}}
	l.Chassis = []topology.ChassisPiece{{ID: "tray"}, {ID: "lid"}}
	l.Bonds = []topology.Bond{{ID: "bond", From: "tray", To: "lid"}}
	l.Parts = []topology.Part{{ID: "cover", Kind: "cover", Over: []string{"M01"}}}
	return l
}

// copied is a layout that shares no list with the first.
func copied(t *rapid.T, l topology.Layout) (out topology.Layout) {
	text, err := json.Marshal(l)
	if err == nil {
		err = json.Unmarshal(text, &out)
	}
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// A change changes one thing and says its id, "" for the layout as a whole.
type change struct {
	name       string
	do         func(l *topology.Layout, i int) string
	kind       string
	electrical bool
}

func ofModule(f func(*topology.Module)) func(*topology.Layout, int) string {
	return func(l *topology.Layout, i int) string {
		m := &l.Modules[i%len(l.Modules)]
		f(m)
		return m.ID
	}
}

func ofLink(f func(*topology.Link)) func(*topology.Layout, int) string {
	return func(l *topology.Layout, i int) string {
		k := &l.Links[i%len(l.Links)]
		f(k)
		return k.ID
	}
}

func whole(f func(*topology.Layout)) func(*topology.Layout, int) string {
	return func(l *topology.Layout, _ int) string { f(l); return "" }
}

var five = 5.0

var edits = []change{
	{"series", ofModule(func(m *topology.Module) { m.Series++ }), match.Groups, true},
	{"parallel", ofModule(func(m *topology.Module) { m.Parallel++ }), match.Groups, true},
	{"minus", ofModule(func(m *topology.Module) { m.Minus += "?" }), match.Polarity, true},
	{"index", ofModule(func(m *topology.Module) { m.MonitorIndex = []int{1, 2} }), match.Sensing, true},
	{"chemistry", ofModule(func(m *topology.Module) { m.Chemistry = "lfp" }), match.Cells, true},
	{"Ah", ofModule(func(m *topology.Module) { m.CellAh = 30 }), match.Cells, true},
	{"label", ofModule(func(m *topology.Module) { m.Label = "A-7" }), match.Label, false},
	{"mass", ofModule(func(m *topology.Module) { m.MassKg = 12 }), match.Access, false},
	{"x", ofModule(func(m *topology.Module) { m.X += 40 }), match.Place, false},
	{"angle", ofModule(func(m *topology.Module) { m.Angle += 90 }), match.Place, false},
	{"size", ofModule(func(m *topology.Module) { m.W += 10; m.X -= 5 }), match.Place, false},
	{"stack of", ofModule(func(m *topology.Module) { m.Stack = "" }), match.Place, false},
	{"extra", ofModule(func(m *topology.Module) { m.Extra = topology.Extra{"paint": json.RawMessage("1")} }), match.Unknown, true},
	{"new id", func(l *topology.Layout, i int) string {
		m := &l.Modules[i%len(l.Modules)]
		old := m.ID
		m.ID = fmt.Sprintf("X%d", 100+i%len(l.Modules)) // one of its own: two things never share an id
		now := func(ref string) string {
			if end := strings.LastIndexAny(ref, "-+"); end > 0 && ref[:end] == old {
				return m.ID + ref[end:]
			}
			return ref
		}
		for i := range l.Links {
			l.Links[i].From, l.Links[i].To = now(l.Links[i].From), now(l.Links[i].To)
		}
		for _, p := range l.Parts {
			for i, id := range p.Over {
				if id == old {
					p.Over[i] = m.ID
				}
			}
		}
		for _, b := range l.Boards {
			for i := range b.Taps {
				b.Taps[i] = now(b.Taps[i])
			}
		}
		return m.ID
	}, match.Named, true},
	{"module gone", func(l *topology.Layout, i int) string {
		i %= len(l.Modules)
		id := l.Modules[i].ID
		l.Modules = slices.Delete(l.Modules, i, i+1)
		return id
	}, match.Module, true},
	{"link gone", func(l *topology.Layout, i int) string {
		i %= len(l.Links)
		id := l.Links[i].ID
		l.Links = slices.Delete(l.Links, i, i+1)
		return id
	}, match.Wiring, true},
	{"kind", ofLink(func(k *topology.Link) { k.Kind = topology.Sensor }), match.Wiring, true},
	{"end", ofLink(func(k *topology.Link) { k.To = "load+" }), match.Wiring, true},
	{"link's id", ofLink(func(k *topology.Link) { k.ID += "x" }), match.Named, true},
	{"minutes", ofLink(func(k *topology.Link) { k.Minutes = &five }), match.Access, false},
	{"fasteners", ofLink(func(k *topology.Link) { k.Fasteners = "2 x M8" }), match.Access, false},
	{"torque", ofLink(func(k *topology.Link) { k.TorqueNm = &five }), match.Access, false},
	{"board", func(l *topology.Layout, _ int) string { l.Boards[0].Taps = l.Boards[0].Taps[:1]; return "B1" }, match.Sensing, true},
	{"board gone", func(l *topology.Layout, _ int) string { l.Boards = nil; return "B1" }, match.Sensing, true},
	{"monitor", whole(func(l *topology.Layout) { l.Monitor = &topology.Monitor{} }), match.Sensing, true},
	{"bond", func(l *topology.Layout, _ int) string { l.Bonds[0].Ohms = &five; return "bond" }, match.Metal, true},
	{"piece", func(l *topology.Layout, _ int) string { l.Chassis = l.Chassis[:1]; return "lid" }, match.Metal, true},
	{"part", func(l *topology.Layout, _ int) string { l.Parts[0].MassKg = 3; return "cover" }, match.Access, false},
	{"stack", func(l *topology.Layout, _ int) string { l.Stacks[0].X += 7; return "A" }, match.Place, false},
	{"tier", func(l *topology.Layout, _ int) string { l.Stacks[0].Tier++; return "A" }, match.Place, false},
	{"volts", whole(func(l *topology.Layout) { l.WorkingVolts = 403 }), match.Volts, false},
	{"name", whole(func(l *topology.Layout) { l.Name = "another" }), match.Label, false},
	{"front", whole(func(l *topology.Layout) { l.Front = "left" }), match.Picture, false},
	{"seen from", whole(func(l *topology.Layout) { l.SeenFrom = "below" }), match.Picture, false},
	{"photo", func(l *topology.Layout, _ int) string { l.Underlays = []topology.Underlay{{ID: "P1"}}; return "P1" }, match.Picture, false},
	{"proof", whole(func(l *topology.Layout) { l.Proof = &topology.NumberingProof{Done: "M01 warmed"} }), match.Proof, false},
	{"order's volts", whole(func(l *topology.Layout) {
		l.OrderVolts = &topology.OrderVolts{Values: []topology.TerminalVolts{{Terminal: "M01+", Volts: 14.6}}}
	}), match.Proof, false},
	{"sketch", whole(func(l *topology.Layout) { l.Sketch = []topology.Stroke{{Tier: 1}} }), match.Picture, false},
}

func TestCompare_itselfIsEmpty(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := pack(t)
		if d := match.Compare(l, copied(t, l)); len(d.Changes) > 0 || d.Matched != len(l.Modules) || d.Paired != d.Matched {
			t.Fatalf("%+v", d)
		}
	})
}

func TestCompare_eachEditIsNamed(t *testing.T) {
	for _, e := range edits {
		t.Run(e.name, func(t *testing.T) {
			rapid.Check(t, func(t *rapid.T) {
				a := pack(t)
				b := copied(t, a)
				id := e.do(&b, rapid.IntRange(0, 50).Draw(t, "which"))
				d := match.Compare(a, b)
				i := slices.IndexFunc(d.Changes, func(c match.Change) bool { return c.Kind == e.kind && c.GoTo == id })
				if i < 0 || d.Changes[i].Electrical != e.electrical || !strings.Contains(d.Changes[i].Text, id) {
					t.Fatalf("%s of %q: %+v", e.name, id, d.Changes)
				}
				if same := d.Matched == len(a.Modules); same == (e.electrical && slices.ContainsFunc(a.Modules, func(m topology.Module) bool { return m.ID == d.Changes[i].A })) {
					t.Fatalf("%s of %q: %d of %d modules match", e.name, id, d.Matched, len(a.Modules))
				}
				if len(d.Changes) != 1 && e.name != "stack of" {
					t.Fatalf("one edit gave %d changes: %+v", len(d.Changes), d.Changes)
				}
			})
		})
	}
}

func TestCompare_symmetrical(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := pack(t)
		b := copied(t, a)
		for range rapid.IntRange(1, 5).Draw(t, "edits") {
			e := rapid.SampledFrom(edits).Draw(t, "edit")
			if len(b.Boards)*len(b.Links)*len(b.Modules) > 0 && len(b.Chassis) > 1 {
				e.do(&b, rapid.IntRange(0, 50).Draw(t, "which"))
			}
		}
		key := func(c match.Change, swap bool) string {
			if swap {
				c.A, c.B = c.B, c.A
			}
			return c.Kind + " " + c.A + " " + c.B
		}
		var there, back []string
		for _, c := range match.Compare(a, b).Changes {
			there = append(there, key(c, false))
		}
		for _, c := range match.Compare(b, a).Changes {
			back = append(back, key(c, true))
		}
		slices.Sort(there)
		slices.Sort(back)
		if !slices.Equal(there, back) {
			t.Fatalf("from a to b %q, from b to a %q", there, back)
		}
	})
}

func TestDiff_Words(t *testing.T) {
	a, err := topology.Make(topology.MakeSpec{Modules: 12, Series: 8, Parallel: 2, W: 300, H: 150, Gap: 20, Disconnect: 6})
	if err != nil {
		t.Fatal(err)
	}
	b := a
	b.Modules, b.Links = slices.Clone(a.Modules), slices.Clone(a.Links)
	b.Modules[6].Series = 7
	b.Modules[4].X += 40
	for i, k := range b.Links {
		if k.ID == "SD" {
			b.Links[i].Kind = topology.Fuse
		}
	}
	b.Links = slices.DeleteFunc(b.Links, func(k topology.Link) bool { return k.ID == "L03" })
	const want = "11 modules match; L03 is missing: it joined M03+ and M04-; SD is a fuse, not a disconnect; M07 has 7 groups, not 8; M05 lies 40 mm further right."
	d := match.Compare(a, b)
	if got := d.Words(); got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
	if len(d.Electrical()) != 3 {
		t.Errorf("electrical: %+v", d.Electrical())
	}
}
