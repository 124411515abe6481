package circuit_test

import (
	"fmt"
	"testing"

	"halfsplit/fault/circuit"
	"halfsplit/topology"
)

func moduleID(i int) string { return fmt.Sprintf("M%02d", i) }

// oneString is modules M01 … in series with links L01 …, a disconnect SD after
// module sd (0 = none), contactors K- and K+ to the poles, and a tray.
func oneString(series []int, sd int) topology.Layout {
	l := topology.Layout{Name: "test", SeenFrom: "above", Chassis: []topology.ChassisPiece{{ID: "tray"}}}
	for i, s := range series {
		l.Modules = append(l.Modules, topology.Module{ID: moduleID(i + 1), Series: s, Parallel: 1, Minus: "left"})
		if i == 0 {
			continue
		}
		link := topology.Link{ID: fmt.Sprintf("L%02d", i), Kind: topology.Busbar, From: moduleID(i) + "+", To: moduleID(i+1) + "-"}
		if i == sd {
			link.ID, link.Kind = "SD", topology.Disconnect
		}
		l.Links = append(l.Links, link)
	}
	l.Links = append(l.Links,
		topology.Link{ID: "K-", Kind: topology.Contactor, From: "M01-", To: "pack-"},
		topology.Link{ID: "K+", Kind: topology.Contactor, From: moduleID(len(series)) + "+", To: "pack+"})
	return l
}

func equal(modules, series int) []int {
	s := make([]int, modules)
	for i := range s {
		s[i] = series
	}
	return s
}

// net compiles a layout.
func net(t testing.TB, l topology.Layout) *topology.Net {
	t.Helper()
	n, _ := topology.Compile(l)
	return n
}

func same(n int, v float64) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = v
	}
	return out
}

// read is what an ideal-reading meter of that input resistance shows, with more
// elements connected.
func read(t testing.TB, p circuit.Pack, set topology.Setting, red, black string, ohms float64, more ...circuit.Element) float64 {
	t.Helper()
	s, err := p.Solve(set, nil, append([]circuit.Element{{From: red, To: black, Ohms: ohms}}, more...))
	if err != nil {
		t.Fatal(err)
	}
	v, err := s.Volts(red, black)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
