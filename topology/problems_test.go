package topology_test

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"testing"

	"halfsplit/topology"
)

// parallel is strings M, N … of the given numbers of modules of 8 groups, each
// with a contactor at either end.
func parallel(modules ...int) topology.Layout {
	var l topology.Layout
	for s, count := range modules {
		one := pack(count, 8, 0)
		letter := string(rune('M' + s))
		rename := func(ref string) string {
			if ref[0] == 'M' || ref[0] == 'L' {
				return map[byte]string{'M': letter, 'L': "L" + letter}[ref[0]] + ref[1:]
			}
			return ref
		}
		for _, m := range one.Modules {
			m.ID = rename(m.ID)
			l.Modules = append(l.Modules, m)
		}
		for _, k := range one.Links {
			if k.ID[0] == 'K' {
				k.ID = "K" + letter + k.ID[1:]
			}
			k.ID, k.From, k.To = rename(k.ID), rename(k.From), rename(k.To)
			l.Links = append(l.Links, k)
		}
	}
	return l
}

func link(id, from, to string) topology.Link {
	return topology.Link{ID: id, Kind: topology.Busbar, From: from, To: to}
}

// without drops links.
func without(l topology.Layout, ids ...string) topology.Layout {
	l.Links = slices.DeleteFunc(slices.Clone(l.Links), func(k topology.Link) bool { return slices.Contains(ids, k.ID) })
	return l
}

func with(l topology.Layout, links ...topology.Link) topology.Layout {
	l.Links = append(slices.Clone(l.Links), links...)
	return l
}

// turned wires a module the other way round.
func turned(l topology.Layout, module string) topology.Layout {
	swap := map[string]string{module + "-": module + "+", module + "+": module + "-"}
	l.Links = slices.Clone(l.Links)
	for i, k := range l.Links {
		l.Links[i].From, l.Links[i].To = cmp.Or(swap[k.From], k.From), cmp.Or(swap[k.To], k.To)
	}
	return l
}

// change gives a pack of four modules of 8 groups with something done to it.
func change(f func(*topology.Layout)) topology.Layout {
	l := pack(4, 8, 2)
	f(&l)
	return l
}

func TestCompile_CorrectLayoutsHaveNoProblems(t *testing.T) {
	precharge := topology.Link{ID: "KP", Kind: topology.Contactor, From: "M04+", To: "pack+"}
	sensor := with(without(pack(4, 8, 0), "K-"),
		topology.Link{ID: "CS", Kind: topology.Sensor, From: "M01-", To: "rail-"},
		topology.Link{ID: "K-", Kind: topology.Contactor, From: "rail-", To: "pack-"})
	for name, l := range map[string]topology.Layout{
		"nothing drawn":                {},
		"one module":                   {Modules: []topology.Module{{ID: "M01", Series: 8}}},
		"one string":                   pack(12, 8, 6),
		"a chain without poles":        without(pack(12, 8, 6), "K-", "K+"),
		"a chain with one pole":        without(pack(12, 8, 6), "K+"),
		"precharge beside a contactor": with(pack(4, 8, 0), precharge),
		"current sensor to the rail":   sensor,
		"two strings":                  parallel(12, 12),
		"four strings":                 parallel(3, 3, 3, 3),
		"strings tied by busbars":      with(without(parallel(3, 3), "KN-", "KN+"), link("T-", "M01-", "N01-"), link("T+", "M03+", "N03+")),
		"parts in order": change(func(l *topology.Layout) {
			l.Parts = []topology.Part{{ID: "cover", Over: []string{"M01", "bar"}, Holds: []string{"SD"}}, {ID: "bar", Over: []string{"M02", "SD"}, Holds: []string{"M02"}}}
		}),
		"monitor indexes both ways": change(func(l *topology.Layout) {
			l.Modules[0].MonitorIndex, l.Modules[1].MonitorIndex = []int{1, 8}, []int{16, 9}
		}),
	} {
		t.Run(name, func(t *testing.T) {
			if _, problems := topology.Compile(l); len(problems) != 0 {
				t.Errorf("got %v", problems)
			}
		})
	}
}

func TestCompile_Problems(t *testing.T) {
	for name, tc := range map[string]struct {
		layout topology.Layout
		want   []topology.Problem // Text: words that it holds
	}{
		"unknown terminal": {with(pack(4, 8, 0), link("X", "M04+", "M09-")),
			[]topology.Problem{{topology.UnknownTerminal, "X", "M09-"}}},
		"inner tap": {with(without(pack(2, 8, 0), "L01"), link("X", "M01+", "M02.3")),
			[]topology.Problem{{topology.Unconnected, "M02", "M02- is joined to nothing"}, {topology.InnerTap, "X", "M02.3"}}},
		"gap": {without(pack(4, 8, 0), "L02"),
			[]topology.Problem{{topology.Unconnected, "M02", "M02+ is joined to nothing"}, {topology.Unconnected, "M03", "M03- is joined to nothing"}}},
		"pole not led out": {without(with(pack(4, 8, 0), topology.Link{ID: "KL", Kind: topology.Contactor, From: "rail+", To: "load+"}), "K+"),
			[]topology.Problem{{topology.Unconnected, "M04", "M04+ is joined to nothing"}}},
		"orphan": {change(func(l *topology.Layout) { l.Modules = append(l.Modules, topology.Module{ID: "M05", Series: 8}) }),
			[]topology.Problem{{topology.Orphan, "M05", "M05 is joined to nothing"}}},
		"fork": {with(change(func(l *topology.Layout) { l.Modules = append(l.Modules, topology.Module{ID: "M05", Series: 8}) }), link("X", "M04-", "M05-")),
			[]topology.Problem{{topology.Unconnected, "M05", "M05+"}, {topology.UsedTwice, "M04", "M04- is used by L03 and X: it is joined to M03+ and M05-"}}},
		"ring": {with(without(pack(4, 8, 2), "K-", "K+"), link("L04", "M04+", "M01-")),
			[]topology.Problem{{topology.Loop, "SD", "Closing SD would short 118.4 V: M02+ and M03-"}}},
		"both contactors to one pole": {change(func(l *topology.Layout) { l.Links[3].To = "pack+" }),
			[]topology.Problem{{topology.WrongPole, "K-", "pack+ leads to M01-, where no string has its positive end"}, {topology.Loop, "K-", "would short 118.4 V"}}},
		"short across a module": {with(pack(4, 8, 0), link("X", "M02-", "M02+")),
			[]topology.Problem{{topology.UsedTwice, "M02", ""}, {topology.Loop, "X", "Closing X would short 29.6 V"}}},
		"reversed module": {turned(pack(4, 8, 2), "M02"),
			[]topology.Problem{{topology.Reversed, "M02", "string M01 sums to 59.2 V. With M02 turned it sums to 118.4 V"}}},
		"reversed at the pole": {turned(pack(4, 8, 2), "M04"),
			[]topology.Problem{{topology.Reversed, "M04", "59.2 V"}}},
		"poles exchanged": {change(func(l *topology.Layout) { l.Links[3].To, l.Links[4].To = "pack+", "pack-" }),
			[]topology.Problem{{topology.WrongPole, "K-", "pack+ leads to M01-"}, {topology.WrongPole, "K+", "pack- leads to M04+"}}},
		"doubled link": {with(pack(4, 8, 0), link("X", "M02+", "M03-")),
			[]topology.Problem{{topology.SameConductor, "X", "opening it opens nothing"}}},
		"contactor bypassed": {with(pack(4, 8, 0), link("X", "M04+", "pack+")),
			[]topology.Problem{{topology.SameConductor, "K+", "M04+ and pack+"}}},
		"link to itself": {with(pack(4, 8, 0), link("X", "M02+", "M02.8")),
			[]topology.Problem{{topology.SameConductor, "X", "starts and ends at M02+"}}},
		"unequal strings": {parallel(4, 3),
			[]topology.Problem{{topology.Unequal, "KN-", "differ by 29.6 V: M01 has 118.4 V and N01 has 88.8 V"}}},
		"reversed in one of two strings": {turned(parallel(4, 4), "N02"),
			[]topology.Problem{{topology.Reversed, "N02", "string N01 sums to 59.2 V"}, {topology.Unequal, "KN-", "differ by 59.2 V"}}},
		"five strings": {parallel(1, 1, 1, 1, 1),
			[]topology.Problem{{topology.TooManyStrings, "M01", "5 strings"}, {topology.TooManyStrings, "M01", "5 strings"}}},
		"nominal volts": {turned(change(func(l *topology.Layout) { l.NominalVolts = 102.4 }), "M03"),
			[]topology.Problem{{topology.Reversed, "M03", "sums to 51.2 V. With M03 turned it sums to 102.4 V"}}},
		"no groups": {change(func(l *topology.Layout) { l.Modules = append(l.Modules, topology.Module{ID: "Z", Series: -3}) }),
			[]topology.Problem{{topology.NoGroups, "Z", ""}, {topology.Orphan, "Z", ""}}},
		"one id twice": {change(func(l *topology.Layout) { l.Boards = []topology.Board{{ID: "SD"}} }),
			[]topology.Problem{{topology.DuplicateID, "SD", "2 things are called SD"}}},
		"module twice": {change(func(l *topology.Layout) { l.Modules = append(l.Modules, l.Modules[3]) }),
			[]topology.Problem{{topology.DuplicateID, "M04", "2 things"}}},
		"name of a pole": {topology.Layout{Modules: []topology.Module{{ID: "pack", Series: 2}}},
			[]topology.Problem{{topology.DuplicateID, "pack", "names another part"}}},
		"link named as a terminal": {with(without(pack(4, 8, 0), "L01"), link("M01+", "M01+", "M02-")),
			[]topology.Problem{{topology.DuplicateID, "M01+", "that is a terminal"}}},
		"kind of link": {with(without(pack(4, 8, 0), "L01"), topology.Link{ID: "L01", Kind: "wire", From: "M01+", To: "M02-"}),
			[]topology.Problem{{topology.UnknownKind, "L01", `"wire"`}}},
		"label twice": {change(func(l *topology.Layout) { l.Modules[1].Label, l.Modules[3].Label = "A7", "A7" }),
			[]topology.Problem{{topology.DuplicateLabel, "M02", "M02 and M04 have the same label A7"}}},
		"monitor overlap": {change(func(l *topology.Layout) {
			l.Modules[0].MonitorIndex, l.Modules[1].MonitorIndex = []int{1, 8}, []int{8, 15}
		}), []topology.Problem{{topology.MonitorIndex, "M02", "M01 and M02 both claim the monitor's index 8"}}},
		"monitor length": {change(func(l *topology.Layout) { l.Modules[0].MonitorIndex = []int{1, 7} }),
			[]topology.Problem{{topology.MonitorIndex, "M01", "1 to 7 are 7 cells, and M01 has 8"}}},
		"board taps": {change(func(l *topology.Layout) {
			l.Boards = []topology.Board{{ID: "B1", Taps: []string{"M01.0", "M01.9", "M01.0"}}}
		}),
			[]topology.Problem{{topology.UnknownTap, "B1", "M01.9"}, {topology.UnknownTap, "B1", "M01.0 twice"}}},
		"part over nothing": {change(func(l *topology.Layout) { l.Parts = []topology.Part{{ID: "cover", Over: []string{"M01", "M77"}}} }),
			[]topology.Problem{{topology.UnknownID, "cover", "M77"}}},
		"parts over each other": {change(func(l *topology.Layout) {
			l.Parts = []topology.Part{{ID: "c", Over: []string{"a"}}, {ID: "a", Over: []string{"b"}}, {ID: "b", Over: []string{"c", "M01"}}}
		}), []topology.Problem{{topology.CoverCycle, "a", "Parts a, b and c lie over each other"}}},
		"part that holds nothing": {change(func(l *topology.Layout) { l.Parts = []topology.Part{{ID: "rail", Holds: []string{"M01", "M77"}}} }),
			[]topology.Problem{{topology.UnknownID, "rail", "rail holds M77"}}},
		"part held by what is under it": {change(func(l *topology.Layout) {
			l.Parts = []topology.Part{{ID: "lid", Over: []string{"bar"}}, {ID: "bar", Holds: []string{"lid", "M01"}}}
		}), []topology.Problem{{topology.CoverCycle, "bar", "Parts bar and lid lie over or hold each other"}}},
		"parts that hold each other": {change(func(l *topology.Layout) {
			l.Parts = []topology.Part{{ID: "b", Holds: []string{"a"}}, {ID: "a", Holds: []string{"b"}, Over: []string{"M01"}}}
		}), []topology.Problem{{topology.CoverCycle, "a", "Parts a and b hold each other"}}},
		"part that holds itself": {change(func(l *topology.Layout) {
			l.Parts = []topology.Part{{ID: "bar", Holds: []string{"bar"}}}
		}), []topology.Problem{{topology.CoverCycle, "bar", "Part bar holds itself."}}},
		"photo that takes an id": {change(func(l *topology.Layout) {
			l.Underlays = []topology.Underlay{{ID: "M01"}, {ID: "photo"}}
		}), []topology.Problem{{topology.DuplicateID, "M01", "2 things are called M01."}}},
		"stack": {change(func(l *topology.Layout) { l.Modules[2].Stack = "Q" }),
			[]topology.Problem{{topology.UnknownID, "M03", "stack Q"}}},
		"bond": {change(func(l *topology.Layout) {
			l.Chassis = []topology.ChassisPiece{{ID: "tray"}}
			l.Bonds = []topology.Bond{{ID: "b", From: "tray", To: "lid"}}
		}), []topology.Problem{{topology.UnknownID, "b", `"lid"`}}},
		"monitor's connection": {change(func(l *topology.Layout) {
			l.Monitor = &topology.Monitor{From: []string{"pack+", "M09-"}, To: "chassis:lid"}
		}), []topology.Problem{{topology.UnknownTerminal, "M01", "M09-"}, {topology.UnknownID, "M01", "chassis:lid"}}},
	} {
		t.Run(name, func(t *testing.T) {
			_, got := topology.Compile(tc.layout)
			if len(got) != len(tc.want) {
				t.Fatalf("got %d problems, want %d:\n%v", len(got), len(tc.want), strings.Join(texts(got), "\n"))
			}
			for i, w := range tc.want {
				if g := got[i]; g.Kind != w.Kind || (w.GoTo != "" && g.GoTo != w.GoTo) || !strings.Contains(g.Text, w.Text) {
					t.Errorf("got %+v\nwant %+v", g, w)
				}
			}
		})
	}
}

func texts(problems []topology.Problem) (out []string) {
	for _, p := range problems {
		out = append(out, fmt.Sprintf("%s → %s: %s", p.Kind, p.GoTo, p.Text))
	}
	return out
}
