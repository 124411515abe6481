package drafting

import (
	"cmp"
	"math"
	"slices"

	"github.com/go-gl/mathgl/mgl64"
)

// A spot is a module's terminal on the drawing.
type spot struct {
	node   string
	module int
	at     mgl64.Vec2 // mm of the drawing
}

// spots are the terminals of all modules that can be seen, in reading order, the
// negative one of each first.
func (d *Draft) spots() (out []spot) {
	for _, i := range d.reading() {
		m := d.Layout.Modules[i]
		if !d.onTier(m) {
			continue
		}
		o := d.plan.Geo.Modules[i]
		out = append(out, spot{m.ID + "-", i, o.Minus()}, spot{m.ID + "+", i, o.Plus()})
	}
	return out
}

// spotOf finds a terminal among the modules' own.
func (d *Draft) spotOf(node string) (spot, bool) {
	n, ok := d.Net.Node(node)
	if !ok {
		return spot{}, false
	}
	m, k, ok := d.Net.ModuleAt(n)
	if !ok {
		return spot{}, false
	}
	o := d.plan.Geo.Modules[m]
	if k == 0 {
		return spot{node, m, o.Minus()}, true
	}
	return spot{node, m, o.Plus()}, true
}

// candidates are the terminals that the link in hand could go to, the likeliest
// first: free ones before used ones, those that close no loop before those that would,
// plus to minus before like to like, those of the same stack before others, and of
// these the nearest; the other end of the same module comes last. Before a link is begun they stand in reading order, the free
// ones first.
func (d *Draft) candidates() []spot {
	all := d.spots()
	from, begun := d.spotOf(d.From)
	all = slices.DeleteFunc(all, func(s spot) bool { return s.node == d.From })
	slices.SortStableFunc(all, func(a, b spot) int {
		own := func(s spot) int { return number(begun && s.module == from.module) }
		loop := func(s spot) int { return number(begun && d.joined(s.node, from.node)) }
		like := func(s spot) int { return number(begun && s.node[len(s.node)-1] == from.node[len(from.node)-1]) }
		stack := func(s spot) int {
			return number(begun && d.Layout.Modules[s.module].Stack != d.Layout.Modules[from.module].Stack)
		}
		far := func(s spot) float64 {
			if !begun {
				return 0
			}
			return math.Round(s.at.Sub(from.at).Len())
		}
		return cmp.Or(cmp.Compare(own(a), own(b)), cmp.Compare(number(d.used[a.node]), number(d.used[b.node])),
			cmp.Compare(loop(a), loop(b)), cmp.Compare(like(a), like(b)), cmp.Compare(stack(a), stack(b)), cmp.Compare(far(a), far(b)))
	})
	return all
}

// joined says that two terminals hang together already, through cells and links.
func (d *Draft) joined(a, b string) bool {
	na, okA := d.Net.Node(a)
	nb, okB := d.Net.Node(b)
	if !okA || !okB {
		return false
	}
	s := d.pack.Joined.SectionOf(na)
	return s >= 0 && s == d.pack.Joined.SectionOf(nb)
}

func number(b bool) int {
	if b {
		return 1
	}
	return 0
}

// StepNode moves the keyboard by so many terminals.
func (d *Draft) StepNode(by int) {
	all := d.candidates()
	if len(all) == 0 {
		d.Node = ""
		return
	}
	at := slices.IndexFunc(all, func(s spot) bool { return s.node == d.Node })
	switch {
	case at < 0 && by < 0:
		at = len(all) - 1
	case at < 0:
		at = 0
	default:
		at = ((at+by)%len(all) + len(all)) % len(all)
	}
	d.Node = all[at].node
}

// BeginLink takes a terminal in hand and moves the keyboard to the likeliest one
// for the other end.
func (d *Draft) BeginLink(node string) {
	d.From, d.Node = node, ""
	d.StepNode(1)
}

// goOn takes the other end of the module that a link has just reached, so that a
// whole string is joined one press after another; none where that is used already.
func (d *Draft) goOn(reached string) {
	d.From, d.Node = "", ""
	s, ok := d.spotOf(reached)
	if !ok {
		return
	}
	m := d.Layout.Modules[s.module]
	other := m.ID + "+"
	if reached == other {
		other = m.ID + "-"
	}
	if !d.used[other] {
		d.BeginLink(other)
	}
}

// nearest is the end of a module that lies nearest a point of the drawing.
func (d *Draft) nearest(module string, at mgl64.Vec2) string {
	m, ok := d.Net.Module(module)
	if !ok {
		return ""
	}
	o := d.plan.Geo.Modules[m]
	if at.Sub(o.Minus()).Len() < at.Sub(o.Plus()).Len() {
		return module + "-"
	}
	return module + "+"
}
