package topology_test

import (
	"fmt"
	"math"
	"testing"

	"halfsplit/topology"
)

// pack is one string of equal modules M01 … in a row, a disconnect SD after
// module sd (0 = none), contactors K- and K+ to the outer terminals.
func pack(modules, series, sd int) topology.Layout {
	l := topology.Layout{Name: "test", SeenFrom: "above"}
	id := func(i int) string { return fmt.Sprintf("M%02d", i) }
	for i := 1; i <= modules; i++ {
		l.Modules = append(l.Modules, topology.Module{ID: id(i), Series: series, Parallel: 1, W: 300, H: 150, Y: float64(160 * i), Minus: "left"})
		if i > 1 {
			link := topology.Link{ID: fmt.Sprintf("L%02d", i-1), Kind: topology.Busbar, From: id(i-1) + "+", To: id(i) + "-"}
			if i-1 == sd {
				link.ID, link.Kind = "SD", topology.Disconnect
			}
			l.Links = append(l.Links, link)
		}
	}
	l.Links = append(l.Links,
		topology.Link{ID: "K-", Kind: topology.Contactor, From: id(1) + "-", To: "pack-"},
		topology.Link{ID: "K+", Kind: topology.Contactor, From: id(modules) + "+", To: "pack+"})
	return l
}

func TestIn_OpenDisconnectGivesTwoSections(t *testing.T) {
	n, problems := topology.Compile(pack(12, 8, 6))
	if len(problems) != 0 {
		t.Fatalf("problems: %v", problems)
	}
	j := n.In(topology.Setting{Open: []string{"SD"}})
	if len(j.Sections) != 2 {
		t.Fatalf("got %d sections, want 2", len(j.Sections))
	}
	lo, hi := j.Sections[0], j.Sections[1]
	got := []string{n.Name(lo.From), n.Name(lo.To), n.Name(hi.From), n.Name(hi.To)}
	want := []string{"M01-", "M06+", "M07-", "M12+"}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("end %d: got %s, want %s", i, got[i], want[i])
		}
	}
	if lo.Whole || hi.Whole {
		t.Error("a half is not the whole string")
	}
	out, _ := n.Node("pack+")
	if j.SectionOf(out) != -1 {
		t.Error("pack+ lies beyond open contactors and is in no section")
	}
	side, ok := n.Node("SD@M07-")
	if !ok || n.Name(side) != "M07-" {
		t.Errorf("SD@M07- resolved to %v %v", side, ok)
	}
}

func TestPotentials_TiedStringsShareTheDifference(t *testing.T) {
	l := pack(2, 1, 0)
	b := pack(2, 1, 0)
	for i := range b.Modules {
		b.Modules[i].ID = "N" + b.Modules[i].ID[1:]
		b.Modules[i].Parallel = 3
	}
	l.Modules = append(l.Modules, b.Modules...)
	l.Links = append(l.Links,
		topology.Link{ID: "J1", Kind: topology.Busbar, From: "N01+", To: "N02-"},
		topology.Link{ID: "T-", Kind: topology.Busbar, From: "M01-", To: "N01-"},
		topology.Link{ID: "T+", Kind: topology.Busbar, From: "M02+", To: "N02+"})
	n, _ := topology.Compile(l)
	j := n.In(topology.Setting{})
	if len(j.Sections) != 1 || !j.Sections[0].Looped || len(n.Strings) != 2 {
		t.Fatalf("got %d sections, %d strings", len(j.Sections), len(n.Strings))
	}
	// 8 V and 4 V in a ring of resistances 2 and 2/3: 1.5 A flows, the top is at 5 V.
	phi := j.Potentials(&j.Sections[0], []float64{4, 4, 2, 2})
	top, _ := n.Node("M02+")
	if math.Abs(phi[top]-5) > 1e-12 {
		t.Errorf("top at %g V, want 5", phi[top])
	}
}

// The section's negative end need not be its first node: here the module that
// was declared second lies below the first.
func TestPotentials_NegativeEndDeclaredLast(t *testing.T) {
	n, _ := topology.Compile(topology.Layout{
		Modules: []topology.Module{{ID: "A", Series: 1}, {ID: "B", Series: 1}},
		Links:   []topology.Link{{ID: "L", Kind: topology.Busbar, From: "A-", To: "B+"}}})
	j := n.In(topology.Setting{})
	phi := j.Potentials(&j.Sections[0], []float64{2.5, 3})
	for name, want := range map[string]float64{"B-": 0, "B+": 3, "A-": 3, "A+": 5.5} {
		id, _ := n.Node(name)
		if phi[id] != want {
			t.Errorf("%s at %g V, want %g", name, phi[id], want)
		}
	}
}
