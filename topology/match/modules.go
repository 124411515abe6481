package match

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"

	"halfsplit/topology"
)

// pairs finds which module of b is which of a.
func (c *comparison) pairs() {
	pair := func(a, b string) { c.names[a], c.back[b] = b, a }
	inB := places(c.b.Modules, func(m topology.Module) string { return m.ID })
	for _, x := range c.a.Modules {
		if _, ok := inB[x.ID]; ok {
			pair(x.ID, x.ID)
		}
	}
	left := func(all []topology.Module, paired map[string]string) (out []topology.Module) {
		for _, m := range all {
			if m.ID != "" && paired[m.ID] == "" {
				out = append(out, m)
			}
		}
		return out
	}
	leftA, leftB := left(c.a.Modules, c.names), left(c.b.Modules, c.back)
	type near struct {
		a, b string
		mm   float64
	}
	var all []near
	for _, x := range leftA {
		for _, y := range leftB {
			if mm := between(c.a, x, c.b, y); mm <= min(x.W, x.H, y.W, y.H)/2 && math.Abs(x.W-y.W) <= 0.1*x.W && math.Abs(x.H-y.H) <= 0.1*x.H {
				all = append(all, near{x.ID, y.ID, mm})
			}
		}
	}
	slices.SortFunc(all, func(p, q near) int { // the same whichever layout comes first
		return cmp.Or(cmp.Compare(p.mm, q.mm), cmp.Compare(min(p.a, p.b), min(q.a, q.b)), cmp.Compare(max(p.a, p.b), max(q.a, q.b)))
	})
	for _, n := range all {
		if c.names[n.a] == "" && c.back[n.b] == "" {
			pair(n.a, n.b)
		}
	}
}

// between is how far the centres of two modules lie apart, each in its pack.
func between(la topology.Layout, a topology.Module, lb topology.Layout, b topology.Module) float64 {
	ax, ay := center(la, a)
	bx, by := center(lb, b)
	return math.Hypot(ax-bx, ay-by)
}

func center(l topology.Layout, m topology.Module) (float64, float64) {
	x, y := m.X+m.W/2, m.Y+m.H/2
	for _, s := range l.Stacks {
		if s.ID == m.Stack {
			sin, cos := math.Sincos(s.Angle * math.Pi / 180)
			return s.X + x*cos - y*sin, s.Y + x*sin + y*cos
		}
	}
	return x, y
}

func (c *comparison) modules() {
	inB := places(c.b.Modules, func(m topology.Module) string { return m.ID })
	for _, x := range c.a.Modules {
		id, ok := c.names[x.ID]
		if !ok {
			c.out.OnlyA++
			c.add(Module, x.ID, "", true, "%s is missing.", x.ID)
			continue
		}
		y := c.b.Modules[inB[id]]
		c.out.Paired++
		before := len(c.out.Changes)
		c.module(x, y)
		if !slices.ContainsFunc(c.out.Changes[before:], func(c Change) bool { return c.Electrical }) {
			c.out.Matched++
		}
		c.place(x, y)
	}
	for _, y := range c.b.Modules {
		if c.back[y.ID] == "" {
			c.out.OnlyB++
			c.add(Module, "", y.ID, true, "%s is only here.", y.ID)
		}
	}
}

// module compares everything of two modules but where they lie.
func (c *comparison) module(x, y topology.Module) {
	add := func(kind string, electrical bool, format string, args ...any) {
		c.add(kind, x.ID, y.ID, electrical, y.ID+" "+format, args...)
	}
	if x.ID != y.ID {
		add(Named, true, "lies where %s was.", x.ID)
	}
	if x.Series != y.Series {
		add(Groups, true, "has %d groups, not %d.", y.Series, x.Series)
	}
	if x.Parallel != y.Parallel {
		add(Groups, true, "has %d cells in parallel, not %d.", y.Parallel, x.Parallel)
	}
	if x.Minus != y.Minus {
		add(Polarity, true, "%s: a reading at one of its ends may be of the other.", told("- end", y.Minus, x.Minus))
	}
	if !slices.Equal(x.MonitorIndex, y.MonitorIndex) {
		add(Sensing, true, "%s.", told("monitor index", span(y.MonitorIndex), span(x.MonitorIndex)))
	}
	if x.Chemistry != y.Chemistry {
		add(Cells, true, "%s.", told("chemistry", y.Chemistry, x.Chemistry))
	}
	if x.CellAh != y.CellAh {
		add(Cells, true, "%s.", told("charge of a cell", figure(y.CellAh, "Ah"), figure(x.CellAh, "Ah")))
	}
	if x.Label != y.Label {
		add(Label, false, "%s.", told("label", y.Label, x.Label))
	}
	if x.MassKg != y.MassKg {
		add(Access, false, "%s.", told("mass", figure(y.MassKg, "kg"), figure(x.MassKg, "kg")))
	}
	c.extra(x.ID, y.ID, x.Extra, y.Extra)
}

func (c *comparison) extra(a, b string, x, y topology.Extra) {
	if len(x)+len(y) > 0 && !reflect.DeepEqual(x, y) {
		c.add(Unknown, a, b, true, "%s differs in fields that this version does not know.", cmp.Or(b, a, "The layout"))
	}
}

// place compares where two modules lie: in their stack where it is one, else in the
// pack.
func (c *comparison) place(x, y topology.Module) {
	dx, dy := y.X+y.W/2-x.X-x.W/2, y.Y+y.H/2-x.Y-x.H/2
	if x.Stack != y.Stack {
		c.add(Place, x.ID, y.ID, false, "%s %s.", y.ID, told("stack", y.Stack, x.Stack))
		ax, ay := center(c.a, x)
		bx, by := center(c.b, y)
		dx, dy = bx-ax, by-ay
	}
	if words := shift(dx, dy); words != "" {
		c.add(Place, x.ID, y.ID, false, "%s lies %s.", y.ID, words)
	}
	if x.Angle != y.Angle {
		c.add(Place, x.ID, y.ID, false, "%s is turned to %g°, not %g°.", y.ID, y.Angle, x.Angle)
	}
	if x.W != y.W || x.H != y.H {
		c.add(Place, x.ID, y.ID, false, "%s is drawn %g by %g mm, not %g by %g mm.", y.ID, y.W, y.H, x.W, x.H)
	}
}

// shift is a move in words, "" where it is none to see.
func shift(dx, dy float64) string {
	var parts []string
	say := func(d float64, more, less string) {
		way := more
		if d < 0 {
			way = less
		}
		if math.Abs(d) >= 1e-6 {
			parts = append(parts, fmt.Sprintf("%.3g mm further %s", math.Abs(d), way))
		}
	}
	say(dx, "right", "left")
	say(dy, "down", "up")
	return strings.Join(parts, " and ")
}

// told says what a thing has of a kind, and what it had; "" = not recorded.
func told(noun, now, was string) string {
	switch {
	case was == "":
		return "has the " + noun + " " + now + ", where none was recorded"
	case now == "":
		return "has no " + noun + " recorded, where it was " + was
	}
	return "has the " + noun + " " + now + ", not " + was
}

func figure(v float64, unit string) string {
	if v == 0 {
		return ""
	}
	return fmt.Sprintf("%g %s", v, unit)
}

func span(x []int) string {
	if len(x) == 0 {
		return ""
	}
	return strings.Join(strings.Fields(strings.Trim(fmt.Sprint(x), "[]")), " to ")
}
