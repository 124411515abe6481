package plan

import (
	"fmt"
	"math"
	"testing"

	"github.com/go-gl/mathgl/mgl64"
	"pgregory.net/rapid"

	"halfsplit/topology"
)

func near2(a, b mgl64.Vec2) bool { return a.Sub(b).Len() < 1e-6 }

func TestOutline_TerminalsLieAtTheEndsHoweverItIsTurned(t *testing.T) {
	m := topology.Module{W: 300, H: 100, X: 10, Y: 20}
	for name, c := range map[string]struct {
		minus       string
		angle       float64
		stack       topology.Stack
		minusAt, to mgl64.Vec2 // minus and plus terminal
	}{
		"left":                   {"left", 0, topology.Stack{}, mgl64.Vec2{10, 70}, mgl64.Vec2{310, 70}},
		"right":                  {"right", 0, topology.Stack{}, mgl64.Vec2{310, 70}, mgl64.Vec2{10, 70}},
		"top":                    {"top", 0, topology.Stack{}, mgl64.Vec2{160, 20}, mgl64.Vec2{160, 120}},
		"bottom":                 {"bottom", 0, topology.Stack{}, mgl64.Vec2{160, 120}, mgl64.Vec2{160, 20}},
		"not given is left":      {"", 0, topology.Stack{}, mgl64.Vec2{10, 70}, mgl64.Vec2{310, 70}},
		"quarter turn clockwise": {"left", 90, topology.Stack{}, mgl64.Vec2{160, -80}, mgl64.Vec2{160, 220}},
		"half turn":              {"left", 180, topology.Stack{}, mgl64.Vec2{310, 70}, mgl64.Vec2{10, 70}},
		"stack moved":            {"left", 0, topology.Stack{X: 1000, Y: 500}, mgl64.Vec2{1010, 570}, mgl64.Vec2{1310, 570}},
		// x right and y down: a clockwise quarter turn takes (x, y) to (−y, x).
		"stack turned":      {"left", 0, topology.Stack{Angle: 90}, mgl64.Vec2{-70, 10}, mgl64.Vec2{-70, 310}},
		"both turned":       {"left", 90, topology.Stack{Angle: -90}, mgl64.Vec2{-80, -160}, mgl64.Vec2{220, -160}},
		"stack turned, top": {"top", 0, topology.Stack{X: 5, Angle: 180}, mgl64.Vec2{-155, -20}, mgl64.Vec2{-155, -120}},
	} {
		t.Run(name, func(t *testing.T) {
			m := m
			m.Minus, m.Angle = c.minus, c.angle
			o := outline(m, c.stack)
			if !near2(o.Minus(), c.minusAt) || !near2(o.Plus(), c.to) {
				t.Errorf("minus %v, plus %v; want %v and %v", o.Minus(), o.Plus(), c.minusAt, c.to)
			}
		})
	}
}

func TestOutline_KeepsItsSizeAndItsCorners(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := topology.Module{
			X: rapid.Float64Range(-1e3, 1e3).Draw(t, "x"), Y: rapid.Float64Range(-1e3, 1e3).Draw(t, "y"),
			W: rapid.Float64Range(10, 900).Draw(t, "w"), H: rapid.Float64Range(10, 900).Draw(t, "h"),
			Angle: rapid.Float64Range(-360, 360).Draw(t, "angle"), Minus: rapid.SampledFrom([]string{"left", "right", "top", "bottom"}).Draw(t, "minus"),
		}
		o := outline(m, topology.Stack{X: 7, Y: -9, Angle: rapid.Float64Range(-360, 360).Draw(t, "stack")})
		if math.Abs(o.Corners[0].Sub(o.Corners[1]).Len()-m.W) > 1e-6 || math.Abs(o.Corners[1].Sub(o.Corners[2]).Len()-m.H) > 1e-6 {
			t.Fatalf("corners %v of %g × %g", o.Corners, m.W, m.H)
		}
		want := map[mgl64.Vec2]bool{}
		for _, uw := range [][2]float64{{0, 0}, {1, 0}, {1, 1}, {0, 1}} {
			p := o.At(uw[0], uw[1])
			for _, c := range o.Corners {
				if near2(p, c) {
					want[c] = true
				}
			}
		}
		if len(want) != 4 {
			t.Fatalf("At gives %d of the 4 corners", len(want))
		}
	})
}

func TestOutlines_WithoutOutlinesTheModulesStandInStringOrder(t *testing.T) {
	l := topology.Layout{}
	for i := 1; i <= 9; i++ {
		l.Modules = append(l.Modules, topology.Module{ID: fmt.Sprintf("M%d", i), Series: 4})
		if i > 1 {
			l.Links = append(l.Links, topology.Link{ID: fmt.Sprintf("L%d", i), Kind: topology.Busbar, From: fmt.Sprintf("M%d+", i-1), To: fmt.Sprintf("M%d-", i)})
		}
	}
	n, _ := topology.Compile(l)
	all, schematic := outlines(l, n.Strings)
	if !schematic || len(all) != 9 {
		t.Fatalf("schematic %v with %d outlines", schematic, len(all))
	}
	for i := range all {
		for j := i + 1; j < len(all); j++ {
			if all[i].Box().Overlaps(all[j].Box()) {
				t.Errorf("modules %d and %d lie on each other", i+1, j+1)
			}
		}
	}
}
