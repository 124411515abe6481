package topology_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"halfsplit/topology"
)

// drawLayout is a partial layout as someone may leave it: modules of any size,
// links that mostly make sense and sometimes lead anywhere.
func drawLayout(t *rapid.T) topology.Layout {
	var l topology.Layout
	refs := []string{"pack+", "pack-", "load+", "load-", "rail+", "rail-"}
	count := rapid.IntRange(0, 10).Draw(t, "modules")
	id := func(i int) string { return fmt.Sprintf("M%02d", i) }
	for i := range count {
		m := topology.Module{ID: id(i), Series: rapid.IntRange(0, 4).Draw(t, "series"), Parallel: rapid.IntRange(0, 3).Draw(t, "parallel"),
			CellAh: rapid.SampledFrom([]float64{0, 30, 50}).Draw(t, "Ah"), Label: rapid.SampledFrom([]string{"", "", "A", "B"}).Draw(t, "label")}
		if rapid.IntRange(0, 3).Draw(t, "indexed") == 0 {
			m.MonitorIndex = rapid.SliceOfN(rapid.IntRange(1, 9), 1, 3).Draw(t, "index")
		}
		l.Modules = append(l.Modules, m)
		refs = append(refs, m.ID+"-", m.ID+"+")
	}
	add := func(from, to string) {
		l.Links = append(l.Links, topology.Link{ID: fmt.Sprintf("L%02d", len(l.Links)), From: from, To: to,
			Kind: rapid.SampledFrom(topology.LinkKinds).Draw(t, "kind")})
	}
	for i := 1; i < count; i++ {
		switch rapid.IntRange(0, 5).Draw(t, "joint") {
		case 0: // left open
		case 1:
			add(id(i-1)+"+", id(i)+"+")
		default:
			add(id(i-1)+"+", id(i)+"-")
		}
	}
	for range rapid.IntRange(0, 4).Draw(t, "more links") {
		add(rapid.SampledFrom(refs).Draw(t, "from"), rapid.SampledFrom(append(refs, "M00.1", "M99-", "")).Draw(t, "to"))
	}
	for i := range rapid.IntRange(0, 2).Draw(t, "boards") {
		l.Boards = append(l.Boards, topology.Board{ID: fmt.Sprintf("B%d", i), Taps: []string{rapid.SampledFrom(refs).Draw(t, "tap"), "M00.3"}})
	}
	for i := range rapid.IntRange(0, 3).Draw(t, "parts") {
		l.Parts = append(l.Parts, topology.Part{ID: fmt.Sprintf("P%d", i), Over: []string{fmt.Sprintf("P%d", rapid.IntRange(0, 3).Draw(t, "over")), "M00"},
			Holds: []string{fmt.Sprintf("P%d", rapid.IntRange(0, 4).Draw(t, "holds"))}})
	}
	return l
}

func drawSetting(t *rapid.T, l topology.Layout) topology.Setting {
	set := topology.Setting{ContactorsClosed: rapid.Bool().Draw(t, "contactors closed")}
	for _, k := range l.Links {
		if rapid.IntRange(0, 4).Draw(t, "open") == 0 {
			set.Open = append(set.Open, k.ID)
		}
	}
	for _, m := range l.Modules {
		if rapid.IntRange(0, 9).Draw(t, "removed") == 0 {
			set.Removed = append(set.Removed, m.ID)
		}
	}
	return set
}

// groupVolts gives every group volts that depend on its name alone.
func groupVolts(n *topology.Net, name func(string) string) []float64 {
	out := make([]float64, len(n.Groups))
	for g, grp := range n.Groups {
		sum := 0
		for i, c := range fmt.Sprintf("%s.%d", name(n.Layout.Modules[grp.Module].ID), grp.K) {
			sum += (i + 3) * int(c)
		}
		out[g] = 3 + float64(sum%97)/100
	}
	return out
}

// facts are what a layout and setting say, by names.
type facts struct {
	strings  map[string]string // modules and their direction, by id
	places   map[string]string // string and position, by tap
	sections []string          // ends and members
	volts    map[string]float64
	problems []string
}

func factsOf(l topology.Layout, set topology.Setting) facts {
	n, problems := topology.Compile(l)
	f := facts{strings: map[string]string{}, places: map[string]string{}, volts: map[string]float64{}}
	for s, str := range n.Strings {
		var b strings.Builder
		for i, m := range str.Modules {
			fmt.Fprintf(&b, "%s %d %v ", l.Modules[m].ID, str.Offset[i], str.Flipped[i])
			for k := range l.Modules[m].Series + 1 {
				tap := n.Tap(m, k)
				_, groups, _ := n.Position(tap)
				f.places[n.Name(tap)] = fmt.Sprintf("%s %d", n.Strings[s].ID, groups)
			}
		}
		f.strings[str.ID] = b.String()
	}
	j := n.In(set)
	volts := groupVolts(n, func(s string) string { return s })
	for i := range j.Sections {
		sec := &j.Sections[i]
		var nodes []string
		phi := j.Potentials(sec, volts)
		for _, id := range sec.Nodes {
			nodes = append(nodes, n.Name(id))
			f.volts[n.Name(id)] = phi[id]
		}
		slices.Sort(nodes)
		f.sections = append(f.sections, fmt.Sprint(n.Name(sec.From), n.Name(sec.To), n.Strings[sec.String].ID, sec.Whole, sec.Looped, nodes))
	}
	slices.Sort(f.sections)
	f.problems = texts(problems)
	slices.Sort(f.problems)
	return f
}

func TestProperty_OrderOfDeclarationIsIrrelevant(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		set := drawSetting(t, l)
		other := l
		other.Modules = rapid.Permutation(l.Modules).Draw(t, "modules")
		other.Links = rapid.Permutation(l.Links).Draw(t, "links")
		other.Boards = rapid.Permutation(l.Boards).Draw(t, "boards")
		other.Parts = rapid.Permutation(l.Parts).Draw(t, "parts")
		a, b := factsOf(l, set), factsOf(other, set)
		for _, x := range []struct {
			what string
			a, b any
		}{{"strings", a.strings, b.strings}, {"places", a.places, b.places}, {"sections", a.sections, b.sections}, {"problems", a.problems, b.problems}} {
			if fmt.Sprint(x.a) != fmt.Sprint(x.b) {
				t.Fatalf("%s:\n%v\n%v", x.what, x.a, x.b)
			}
		}
		for name, v := range a.volts {
			if !(math.Abs(v-b.volts[name]) < 1e-9) {
				t.Fatalf("%s at %g V and %g V", name, v, b.volts[name])
			}
		}
	})
}

// kinds of problems, those about volts around a loop taken together: which link
// is named depends on names.
func kinds(problems []topology.Problem) []string {
	seen := map[string]bool{}
	for _, p := range problems {
		switch p.Kind {
		case topology.Loop, topology.Unequal:
			seen["around a loop"] = true
		default:
			seen[p.Kind] = true
		}
	}
	var out []string
	for k := range seen {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// undecided says whether as many groups and modules of some string run one way
// as the other, so that only a name can tell which way it runs.
func undecided(l topology.Layout) bool {
	n, _ := topology.Compile(l)
	for _, str := range n.Strings {
		modules, groups := 0, 0
		for i, m := range str.Modules {
			sign := 1
			if str.Flipped[i] {
				sign = -1
			}
			modules += sign
			groups += sign * n.Layout.Modules[m].Series
		}
		if modules == 0 && groups == 0 && len(str.Modules) > 0 {
			return true
		}
	}
	return false
}

// compare checks that another layout is the same pack with other names:
// sections have the same members, and potentials are sign times the first's.
func compare(t *rapid.T, l, other topology.Layout, set, otherSet topology.Setting, rename, renameModule func(string) string, sign float64) {
	n, problems := topology.Compile(l)
	o, otherProblems := topology.Compile(other)
	if a, b := kinds(problems), kinds(otherProblems); !slices.Equal(a, b) {
		t.Fatalf("problems:\n%v\n%v", texts(problems), texts(otherProblems))
	}
	a, b := n.In(set), o.In(otherSet)
	if len(a.Sections) != len(b.Sections) || len(n.Strings) != len(o.Strings) {
		t.Fatalf("%d sections of %d strings, and %d of %d", len(a.Sections), len(n.Strings), len(b.Sections), len(o.Strings))
	}
	volts := groupVolts(n, func(s string) string { return s })
	otherVolts := make([]float64, len(volts))
	for g, grp := range n.Groups {
		m, _ := o.Module(renameModule(n.Layout.Modules[grp.Module].ID))
		k := grp.K
		if sign < 0 {
			k = n.Layout.Modules[grp.Module].Series + 1 - k
		}
		for h, oGrp := range o.Groups {
			if oGrp.Module == m && oGrp.K == k {
				otherVolts[h] = volts[g]
			}
		}
	}
	for i := range a.Sections {
		sec := &a.Sections[i]
		zero, ok := o.Node(rename(n.Name(sec.Nodes[0])))
		if !ok || b.SectionOf(zero) < 0 {
			t.Fatalf("%s is in no section under its other name", n.Name(sec.Nodes[0]))
		}
		same := &b.Sections[b.SectionOf(zero)]
		if len(same.Nodes) != len(sec.Nodes) || same.Whole != sec.Whole || same.Looped != sec.Looped || len(same.Strings) != len(sec.Strings) {
			t.Fatalf("section %+v\nis %+v", sec, same)
		}
		phi, otherPhi := a.Potentials(sec, volts), b.Potentials(same, otherVolts)
		for _, id := range sec.Nodes {
			other, _ := o.Node(rename(n.Name(id)))
			d, e := phi[id]-phi[sec.Nodes[0]], otherPhi[other]-otherPhi[zero]
			if !(math.Abs(d-sign*e) < 1e-9) {
				t.Fatalf("%s above %s: %g V, under other names %g V", n.Name(id), n.Name(sec.Nodes[0]), d, e)
			}
		}
	}
}

func TestProperty_Relabel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		set := drawSetting(t, l)
		order := rapid.Permutation([]string{"a", "b", "c", "d", "e", "f", "g", "h", "i", "j"}).Draw(t, "names")
		module := func(id string) string {
			var i int
			if _, err := fmt.Sscanf(id, "M%d", &i); err != nil || i >= len(order) {
				return id
			}
			return order[i]
		}
		node := func(ref string) string {
			if len(ref) < 3 || ref[0] != 'M' {
				return ref
			}
			return module(ref[:3]) + ref[3:]
		}
		if undecided(l) {
			t.Skip("only names tell which way a string runs")
		}
		other, otherSet := renamed(l, node, module), set
		otherSet.Removed = nil
		for _, id := range set.Removed {
			otherSet.Removed = append(otherSet.Removed, module(id))
		}
		compare(t, l, other, set, otherSet, node, module, 1)
	})
}

// Turned end for end, every + for a −, a pack is itself with all potentials the
// other way.
func TestProperty_Mirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		set := drawSetting(t, l)
		same := func(id string) string { return id }
		series := map[string]int{}
		for _, m := range l.Modules {
			series[m.ID] = m.Series
		}
		node := func(ref string) string {
			var k int
			if id, tap, ok := strings.Cut(ref, "."); ok {
				if _, err := fmt.Sscan(tap, &k); err == nil {
					return fmt.Sprintf("%s.%d", id, series[id]-k)
				}
			}
			switch {
			case strings.HasSuffix(ref, "+"):
				return strings.TrimSuffix(ref, "+") + "-"
			case strings.HasSuffix(ref, "-"):
				return strings.TrimSuffix(ref, "-") + "+"
			}
			return ref
		}
		compare(t, l, renamed(l, node, same), set, set, node, same, -1)
	})
}

func renamed(l topology.Layout, node, module func(string) string) topology.Layout {
	l.Modules, l.Links, l.Boards, l.Parts = slices.Clone(l.Modules), slices.Clone(l.Links), slices.Clone(l.Boards), slices.Clone(l.Parts)
	for i := range l.Modules {
		l.Modules[i].ID = module(l.Modules[i].ID)
	}
	for i := range l.Links {
		l.Links[i].From, l.Links[i].To = node(l.Links[i].From), node(l.Links[i].To)
	}
	for i, b := range l.Boards {
		l.Boards[i].Taps = slices.Clone(b.Taps)
		for k, tap := range b.Taps {
			l.Boards[i].Taps[k] = node(tap)
		}
	}
	for i, p := range l.Parts {
		l.Parts[i].Over = slices.Clone(p.Over)
		for k, id := range p.Over {
			l.Parts[i].Over[k] = module(id)
		}
		l.Parts[i].Holds = slices.Clone(p.Holds)
		for k, id := range p.Holds {
			l.Parts[i].Holds[k] = module(id)
		}
	}
	return l
}

// Whatever is drawn, everything can be asked of it, and every problem leads to
// something that is there.
func TestProperty_NothingPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLayout(t)
		ids := []string{"M00", "M01", "L00", "B0", "P0", "pack", "", "M00+"}
		for i := range l.Modules {
			if rapid.IntRange(0, 9).Draw(t, "spoil") == 0 {
				l.Modules[i].ID = rapid.SampledFrom(ids).Draw(t, "id")
				l.Modules[i].Series = rapid.IntRange(-2, 3).Draw(t, "series")
			}
		}
		for i := range l.Links {
			if rapid.IntRange(0, 9).Draw(t, "spoil") == 0 {
				l.Links[i].ID = rapid.SampledFrom(ids).Draw(t, "id")
			}
		}
		known := map[string]bool{}
		for _, m := range l.Modules {
			known[m.ID] = true
		}
		for _, k := range l.Links {
			known[k.ID] = true
		}
		for _, b := range l.Boards {
			known[b.ID] = true
		}
		for _, p := range l.Parts {
			known[p.ID] = true
		}
		n, problems := topology.Compile(l)
		for _, p := range problems {
			if !known[p.GoTo] || p.Kind == "" || !strings.HasSuffix(p.Text, ".") {
				t.Fatalf("problem %+v", p)
			}
		}
		in := 0
		for s, str := range n.Strings {
			in += len(str.Modules)
			for k := range str.Groups + 1 {
				at, above := n.TapAt(s, k), n.TapAbove(s, k)
				for _, id := range []topology.NodeID{at, above} {
					if got, groups, ok := n.Position(id); !ok || got != s || groups != k {
						t.Fatalf("tap %d of string %d is %s, which lies at %d of %d", k, s, n.Name(id), groups, got)
					}
				}
			}
		}
		if in != len(l.Modules) {
			t.Fatalf("%d of %d modules are in a string", in, len(l.Modules))
		}
		j := n.In(drawSetting(t, l))
		volts := groupVolts(n, func(s string) string { return s })
		for i := range j.Sections {
			sec := &j.Sections[i]
			phi := j.Potentials(sec, volts)
			for id := range n.Len() {
				inside := j.SectionOf(topology.NodeID(id)) == i
				if math.IsNaN(phi[id]) == inside {
					t.Fatalf("%s is at %g V; in the section: %v", n.Name(topology.NodeID(id)), phi[id], inside)
				}
			}
		}
	})
}
