package series

import (
	"cmp"
	"math"
	"slices"

	"halfsplit/fault"
	"halfsplit/topology"
)

// modules are the modules of an order, as indexes into the layout's.
func modules(n *topology.Net, order Order, o Options) []int {
	var out []int
	switch order {
	case Own:
		for _, id := range o.Own {
			if m, ok := n.Module(id); ok && !slices.Contains(out, m) {
				out = append(out, m)
			}
		}
		return out
	case Snake:
		return snake(n)
	}
	for _, s := range n.Strings {
		for _, m := range s.Modules {
			if order == OneStack && n.Layout.Modules[m].Stack != o.Stack {
				continue
			}
			out = append(out, m)
		}
	}
	return out
}

// links are the links of an order as points: red on the end that they lead to, as
// the drawing has them. A current sensor has no joint of its own.
func links(n *topology.Net, order Order, o Options) []Point {
	var out []Point
	for _, l := range linkOrder(n, order, o) {
		link := n.Layout.Links[l]
		p := Point{Quantity: fault.Joint, Red: link.To, Black: link.From, Link: link.ID}
		if node, ok := n.Node(link.To); ok {
			if m, _, ok := n.ModuleAt(node); ok {
				p.Module = n.Layout.Modules[m].ID
			}
		}
		out = append(out, p)
	}
	return finish(n, Joint, out, order, o)
}

func linkOrder(n *topology.Net, order Order, o Options) []int {
	var out []int
	if order == Own {
		for _, id := range o.Own {
			if l, ok := n.Link(id); ok && usable(n, l) && !slices.Contains(out, l) {
				out = append(out, l)
			}
		}
		return out
	}
	for _, b := range n.Links { // those whose ends exist
		if usable(n, b.Link) && (order != OneStack || onStack(n, b.Link, o.Stack)) {
			out = append(out, b.Link)
		}
	}
	place := rank(n, modules(n, Electrical, o))
	if order == Snake {
		place = rank(n, snake(n))
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(place(a), place(b)) })
	return out
}

func usable(n *topology.Net, l int) bool { return n.Layout.Links[l].Kind != topology.Sensor }

// rank is where a link comes among modules in their order: after the one that it
// starts from, with a link from no module before the one that it leads to.
func rank(n *topology.Net, order []int) func(link int) float64 {
	at := make([]float64, len(n.Layout.Modules))
	for i, m := range order {
		at[m] = float64(i)
	}
	of := func(ref string) (float64, bool) {
		node, ok := n.Node(ref)
		if !ok {
			return 0, false
		}
		m, _, ok := n.ModuleAt(node)
		if !ok {
			return 0, false
		}
		return at[m], true
	}
	return func(l int) float64 {
		from, okFrom := of(n.Layout.Links[l].From)
		to, okTo := of(n.Layout.Links[l].To)
		switch {
		case okFrom && okTo:
			return math.Min(from, to) + 0.5
		case okTo:
			return to - 0.25
		case okFrom:
			return from + 0.75
		}
		return float64(len(order))
	}
}

func onStack(n *topology.Net, link int, stack string) bool {
	for _, ref := range []string{n.Layout.Links[link].From, n.Layout.Links[link].To} {
		if node, ok := n.Node(ref); ok {
			if m, _, ok := n.ModuleAt(node); ok && n.Layout.Modules[m].Stack == stack {
				return true
			}
		}
	}
	return false
}

// snake walks the modules as they lie as drawn: the highest tier first, since it
// covers the others, then row by row from the top, every other row backwards.
// Modules whose centres differ by less than half a module's depth are in one row. A
// layout without outlines has the electrical order.
func snake(n *topology.Net) []int {
	type spot struct {
		m    int
		tier int
		x, y float64
	}
	all := modules(n, Electrical, Options{})
	var spots []spot
	var deep []float64
	for _, m := range all {
		mod := n.Layout.Modules[m]
		if mod.W <= 0 || mod.H <= 0 {
			return all
		}
		tier, x, y, h := centre(n.Layout, mod)
		spots = append(spots, spot{m, tier, x, y})
		deep = append(deep, h)
	}
	if len(spots) == 0 {
		return nil
	}
	slices.Sort(deep)
	row := deep[len(deep)/2] / 2
	slices.SortStableFunc(spots, func(a, b spot) int { return cmp.Or(-cmp.Compare(a.tier, b.tier), cmp.Compare(a.y, b.y)) })
	var out []int
	for i, back := 0, false; i < len(spots); back = !back {
		j := i + 1
		for j < len(spots) && spots[j].tier == spots[i].tier && spots[j].y-spots[i].y < row {
			j++
		}
		if i > 0 && spots[i].tier != spots[i-1].tier {
			back = false // every tier begins at its left
		}
		line := spots[i:j]
		slices.SortStableFunc(line, func(a, b spot) int {
			if back {
				a, b = b, a
			}
			return cmp.Compare(a.x, b.x)
		})
		for _, s := range line {
			out = append(out, s.m)
		}
		i = j
	}
	return out
}

// centre is the middle of a module in the pack's frame, in mm, with its tier and the
// height of its outline as drawn.
func centre(l topology.Layout, m topology.Module) (tier int, x, y, high float64) {
	x, y = m.X+m.W/2, m.Y+m.H/2
	turned := m.Angle
	for _, s := range l.Stacks {
		if s.ID != m.Stack {
			continue
		}
		sin, cos := math.Sincos(s.Angle * math.Pi / 180)
		x, y = s.X+x*cos-y*sin, s.Y+x*sin+y*cos
		tier, turned = s.Tier, turned+s.Angle
	}
	sin, cos := math.Sincos(turned * math.Pi / 180)
	return tier, x, y, math.Abs(m.W*sin) + math.Abs(m.H*cos)
}
