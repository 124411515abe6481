package plan

import (
	"fmt"
	"testing"

	"github.com/go-gl/mathgl/mgl64"
	"pgregory.net/rapid"

	"halfsplit/topology"
	"halfsplit/ui/sample"
)

// column is a stack of modules; minus gives each one's negative end.
func column(n int, gap float64, minus func(i int) string) topology.Layout {
	l := topology.Layout{Stacks: []topology.Stack{{ID: "A"}}}
	for i := 0; i < n; i++ {
		l.Modules = append(l.Modules, topology.Module{ID: fmt.Sprintf("M%02d", i+1), Stack: "A", Series: 6, Parallel: 1, W: 320, H: 120, Y: float64(i) * (120 + gap), Minus: minus(i)})
		if i > 0 {
			l.Links = append(l.Links, topology.Link{ID: fmt.Sprintf("L%02d", i), Kind: topology.Busbar, From: fmt.Sprintf("M%02d+", i), To: fmt.Sprintf("M%02d-", i+1)})
		}
	}
	return l
}

func alternate(i int) string { return [...]string{"left", "right"}[i%2] }

// through is how many mm of wires lie inside modules.
func through(g *Geometry) float64 {
	ob := newObstacles(g.Modules)
	sum := 0.0
	for _, w := range g.Wires {
		for i := 1; i < len(w.Way); i++ {
			sum += ob.inside(w.Way[i-1], w.Way[i])
		}
	}
	return sum
}

func compiled(l topology.Layout) *Geometry {
	n, _ := topology.Compile(l)
	return NewGeometry(n)
}

func TestWires_GoRoundModules(t *testing.T) {
	turned := column(6, 14, alternate)
	turned.Stacks[0].Angle = 37
	askew := column(6, 90, alternate)
	for i := range askew.Modules {
		askew.Modules[i].Angle = float64(i * 5)
	}
	for name, l := range map[string]topology.Layout{
		"two stacks":            sample.Layout(),
		"one column":            column(8, 14, alternate),
		"all the same way":      column(6, 20, func(int) string { return "left" }),
		"narrow gap, same way":  column(6, 6, func(int) string { return "left" }),
		"stack at an angle":     turned,
		"modules at an angle":   askew,
		"minus on top":          column(5, 60, func(int) string { return "top" }),
		"minus on the far side": column(5, 60, func(int) string { return "bottom" }),
	} {
		t.Run(name, func(t *testing.T) {
			g := compiled(l)
			if mm := through(g); mm > 0.5 {
				t.Errorf("%.1f mm of wires run through modules", mm)
			}
			for _, w := range g.Wires {
				if len(w.Way) < 2 {
					t.Errorf("%s has no way", l.Links[w.Link].ID)
				}
			}
		})
	}
}

func TestWires_EndAtTheirTerminals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := column(rapid.IntRange(2, 9).Draw(t, "modules"), rapid.Float64Range(4, 80).Draw(t, "gap"), func(i int) string {
			return rapid.SampledFrom([]string{"left", "right", "top", "bottom"}).Draw(t, fmt.Sprint("minus", i))
		})
		l.Stacks[0].Angle = float64(rapid.IntRange(0, 7).Draw(t, "eighths")) * 45
		n, _ := topology.Compile(l)
		g := NewGeometry(n)
		for i, w := range g.Wires {
			from, to := portAt(n, g, n.Links[i].A), portAt(n, g, n.Links[i].B)
			if len(w.Way) < 2 || !near2(w.Way[0], from) || !near2(w.Way[len(w.Way)-1], to) {
				t.Fatalf("%s goes %v, should go from %v to %v", l.Links[w.Link].ID, w.Way, from, to)
			}
		}
	})
}

func portAt(n *topology.Net, g *Geometry, id topology.NodeID) mgl64.Vec2 {
	m, k, _ := n.ModuleAt(id)
	if k == 0 {
		return g.Modules[m].Minus()
	}
	return g.Modules[m].Plus()
}

func TestWires_DoNotDependOnTheOrderOfLinks(t *testing.T) {
	l := sample.Layout()
	back := l
	back.Links = nil
	for i := len(l.Links) - 1; i >= 0; i-- {
		back.Links = append(back.Links, l.Links[i])
	}
	a, b := compiled(l), compiled(back)
	ways := map[string]string{}
	for _, w := range a.Wires {
		if id := l.Links[w.Link].ID; id != "K+" && id != "K-" { // their terminals take the first free place
			ways[id] = fmt.Sprintf("%.3f", w.Way)
		}
	}
	for _, w := range b.Wires {
		if id := back.Links[w.Link].ID; ways[id] != "" && ways[id] != fmt.Sprintf("%.3f", w.Way) {
			t.Errorf("%s goes another way", id)
		}
	}
}

func TestTerminals_LieOutsideTheModulesAndApart(t *testing.T) {
	g := compiled(sample.Layout())
	if len(g.Terminals) != 2 {
		t.Fatalf("got %d terminals, want pack+ and pack-", len(g.Terminals))
	}
	for _, term := range g.Terminals {
		for i, o := range g.Modules {
			if p := term.At; clipped(o, p.Sub(mgl64.Vec2{1, 1}), p.Add(mgl64.Vec2{1, 1})) > 0 {
				t.Errorf("%s lies on module %d", term.Name, i)
			}
		}
	}
	if g.Terminals[0].At.Sub(g.Terminals[1].At).Len() < 20 {
		t.Error("pack+ and pack- lie on each other")
	}
}
