package path_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"halfsplit/topology"
	"halfsplit/topology/path"
)

// row is a string of modules of 8 groups with 3.65 V each, read to 0.01 V.
func row(n int) (l topology.Layout, m path.Measured) {
	m = path.Measured{Reference: "B-", Gain: 0.005}
	for i := range n {
		id := fmt.Sprintf("M%02d", i+1)
		l.Modules = append(l.Modules, topology.Module{ID: id, Series: 8, X: float64(i) * 350, W: 300, H: 150, Minus: "left"})
		m.Values = append(m.Values, path.Value{Terminal: id + "-", Volts: 29.2 * float64(i), Within: 0.025}, path.Value{Terminal: id + "+", Volts: 29.2 * float64(i+1), Within: 0.025})
	}
	return l, m
}

func set(m *path.Measured, terminal string, volts float64) {
	for i := range m.Values {
		if m.Values[i].Terminal == terminal {
			m.Values[i].Volts = volts
		}
	}
}

func without(m *path.Measured, terminals ...string) {
	m.Values = slices.DeleteFunc(m.Values, func(v path.Value) bool { return slices.Contains(terminals, v.Terminal) })
}

func texts(notes []path.Note) string {
	var all []string
	for _, n := range notes {
		all = append(all, n.Text)
	}
	return strings.Join(all, "\n")
}

func grades(p path.Proposal) map[path.Grade]int {
	n := map[path.Grade]int{}
	for _, k := range p.Links {
		n[k.Grade]++
	}
	return n
}

func wants(t *testing.T, what, got string, parts ...string) {
	t.Helper()
	for _, w := range parts {
		if !strings.Contains(got, w) {
			t.Errorf("%s: %q is not in:\n%s", what, w, got)
		}
	}
}

func TestPropose_clean(t *testing.T) {
	l, m := row(6)
	set(&m, "M04-", 87.61)
	p := path.Propose(l, m)
	if g := grades(p); g[path.Certain] != 5 || len(p.Links) != 5 {
		t.Fatalf("%+v", p.Links)
	}
	wants(t, "reason", p.Links[2].Reason, "M03+ 87.60 V and M04- 87.61 V differ by 0.01 V, within ± 0.05 V")
	if len(p.Chains) != 1 || !slices.Equal(p.Chains[0].Modules, []string{"M01", "M02", "M03", "M04", "M05", "M06"}) {
		t.Errorf("order: %+v", p.Chains)
	}
	if len(p.Contradictions)+len(p.Gaps)+len(p.Reversed)+len(p.Missing)+len(p.Parallel) > 0 {
		t.Errorf("a clean string has notes: %+v", p)
	}
}

func TestPropose_badData(t *testing.T) {
	for _, c := range []struct {
		name  string
		edit  func(*topology.Layout, *path.Measured)
		where func(path.Proposal) string
		want  []string
		most  int // links that may be certain
	}{
		{"turned", func(_ *topology.Layout, m *path.Measured) { set(m, "M05+", 116.8); set(m, "M05-", 146) },
			func(p path.Proposal) string { return texts(p.Reversed) }, []string{"M05 lies the other way round: its - end is 29.20 V above its + end"}, 5},
		{"mV for V", func(_ *topology.Layout, m *path.Measured) { set(m, "M03+", 87600) },
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"M03+: 87600", "typed in mV", "87.60 V and agrees with M04-"}, 3},
		{"sign", func(_ *topology.Layout, m *path.Measured) { set(m, "M03+", -87.6) },
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"its sign is wrong", "agrees with M04-"}, 3},
		{"digit", func(_ *topology.Layout, m *path.Measured) { set(m, "M03+", 97.6) },
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"one of its digits is wrong", "M04-"}, 3},
		{"exchanged digits", func(_ *topology.Layout, m *path.Measured) { set(m, "M03+", 78.6) },
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"two of its digits are exchanged", "M04-"}, 3},
		{"open end", func(_ *topology.Layout, m *path.Measured) { set(m, "M04-", 0) },
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"M04- reads 0.00 V: it may have been open"}, 3},
		{"both ends nothing", func(_ *topology.Layout, m *path.Measured) { set(m, "M04-", 0); set(m, "M04+", 0) },
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"M04 has 0.00 V between its ends", "not known to be empty"}, 3},
		{"missing", func(_ *topology.Layout, m *path.Measured) { without(m, "M04-") },
			func(p path.Proposal) string { return strings.Join(p.Missing, " ") + texts(p.Gaps) }, []string{"M04-", "volts are missing"}, 4},
		{"unknown terminal", func(_ *topology.Layout, m *path.Measured) {
			m.Values = append(m.Values, path.Value{Terminal: "M40+", Volts: 3})
		},
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{`"M40+" is no terminal`}, 5},
		{"twice", func(_ *topology.Layout, m *path.Measured) {
			m.Values = append(m.Values, path.Value{Terminal: "M02+", Volts: 44, Within: 0.025})
		},
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"M02+ has two values, 58.40 V and 44.00 V"}, 4},
		{"no number", func(_ *topology.Layout, m *path.Measured) { set(m, "M02+", math.NaN()) },
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"no number of volts"}, 4},
		{"leads swapped", func(_ *topology.Layout, m *path.Measured) {
			for i := range m.Values {
				m.Values[i].Volts *= -1
			}
		}, func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"Red and black were probably swapped"}, 5},
		{"link against volts", func(l *topology.Layout, _ *path.Measured) {
			l.Links = []topology.Link{{ID: "L03", Kind: topology.Busbar, From: "M03+", To: "M05-"}}
		},
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"L03 joins M03+ and M05-, but they differ by 29.20 V"}, 3},
		{"disconnect out", func(_ *topology.Layout, m *path.Measured) {
			for i := range m.Values {
				if m.Values[i].Terminal >= "M04" {
					m.Values[i].Volts -= 70
				}
			}
		}, func(p path.Proposal) string { return texts(p.Gaps) }, []string{"Nothing joins M04 to M03", "their volts overlap", "float"}, 4},
		{"section above", func(_ *topology.Layout, m *path.Measured) {
			for i := range m.Values {
				if m.Values[i].Terminal >= "M04" {
					m.Values[i].Volts += 11
				}
			}
		}, func(p path.Proposal) string { return texts(p.Gaps) }, []string{"the one ends at 87.60 V, the other begins at 98.60 V", "disconnect"}, 4},
		{"module's own volts", func(_ *topology.Layout, m *path.Measured) {
			m.ModuleVolts, m.ModuleWithin = map[string]float64{"M02": 25}, 0.05
		}, func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"M02 has 25.00 V by its own value, but 29.20 V"}, 3},
		{"wrong series", func(l *topology.Layout, _ *path.Measured) { l.Modules[2].Series = 4 },
			func(p path.Proposal) string { return texts(p.Contradictions) }, []string{"which 4 groups cannot have", "8 groups of 3.65 V"}, 3},
	} {
		t.Run(c.name, func(t *testing.T) {
			l, m := row(6)
			c.edit(&l, &m)
			p := path.Propose(l, m)
			wants(t, c.name, c.where(p), c.want...)
			if n := grades(p)[path.Certain]; n > c.most {
				t.Errorf("%d links are certain, at most %d can be: %+v", n, c.most, p.Links)
			}
		})
	}
}

func TestPropose_infersFromModuleVolts(t *testing.T) {
	l, m := row(4)
	without(&m, "M02+", "M03+")
	m.ModuleVolts, m.ModuleWithin = map[string]float64{"M02": 29.2, "M03": 29.2}, 0.01
	p := path.Propose(l, m)
	if g := grades(p); g[path.Probable] < 2 || len(p.Links) != 3 {
		t.Fatalf("%+v", p.Links)
	}
	if len(p.Chains) != 1 {
		t.Errorf("order: %+v", p.Chains)
	}
}

func TestPropose_parallelStringsByDistance(t *testing.T) {
	l, m := row(3)
	for i := range 3 {
		id := fmt.Sprintf("M1%d", i)
		l.Modules = append(l.Modules, topology.Module{ID: id, Series: 8, X: float64(i) * 350, Y: 400, W: 300, H: 150, Minus: "left"})
		m.Values = append(m.Values, path.Value{Terminal: id + "-", Volts: 29.2 * float64(i), Within: 0.025}, path.Value{Terminal: id + "+", Volts: 29.2 * float64(i+1), Within: 0.025})
	}
	p := path.Propose(l, m)
	if g := grades(p); g[path.Probable] != 4 || len(p.Links) != 4 {
		t.Fatalf("%+v", p.Links)
	}
	wants(t, "reason", p.Links[0].Reason, "Probable: nearest of two, 50 mm")
	if len(p.Links[0].Alternatives) != 1 || len(p.Chains) != 2 || p.Chains[0].Modules[1] != "M02" || p.Chains[1].Modules[1] != "M11" {
		t.Errorf("%+v", p)
	}
	wants(t, "parallel", texts(p.Parallel), "Order between equal potentials cannot be told by volts")
}

func TestSeriesOf(t *testing.T) {
	all := path.SeriesOf(29.2, 0.05)
	if len(all) != 5 || all[0].Series != 8 && all[0].Series != 9 {
		t.Errorf("29.2 V: %+v", all)
	}
	for _, g := range all {
		if g.CellVolts < 2.5 || g.CellVolts > 4.3 {
			t.Errorf("%+v", g)
		}
	}
	if path.SeriesOf(math.NaN(), 0) != nil || path.SeriesOf(0, 0) != nil {
		t.Error("no volts have a count of groups")
	}
}
